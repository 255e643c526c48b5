# SPDX-License-Identifier: MIT
"""A wall that leaves the range of a datum has no temperature, and a sentence that says why."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.reference.datum import Row, curve_of
from retortwright.reference.tables import Tables, shipped
from situation.rigs import Solved, solved, whole_rig

TUBE = """[piece.tube]
tube = "25.4 x 1.65 mm"
length = "300 mm"
of = "{of}"
closed = "FKM O-ring cap"
"""
FURNACE = 'furnace = { over = { tube = "0 to 150 mm" } }'
NITROGEN = 'cold = { over = { tube = "100 to 200 mm" }, by = "liquid nitrogen" }'


def assert_unknown(found: Solved, sentence: str) -> None:
    picture = found.picture
    assert [missing.says for missing in picture.missing if sentence in missing.says], picture.missing
    assert np.all(np.isnan(picture.temperature))
    for values in (*picture.joints.values(), *picture.colder.values()):
        assert np.all(np.isnan(values))


def test_nickel_alloy_above_its_data() -> None:
    found = solved(whole_rig(TUBE.format(of="Ni-Cr-Fe"), FURNACE, to="1060 degC"), Draws(samples=8))
    assert_unknown(found, "conductivity of Ni-Cr-Fe is known from 148 to 1273 K (blumm-600); asked at 13")


def test_nickel_alloy_within_its_data() -> None:
    found = solved(whole_rig(TUBE.format(of="Ni-Cr-Fe"), FURNACE, to="960 degC"), Draws(samples=8))
    assert found.picture.missing == ()
    assert np.all(np.isfinite(found.picture.temperature))


def test_borosilicate_in_liquid_nitrogen() -> None:
    found = solved(whole_rig(TUBE.format(of="borosilicate"), cool=NITROGEN), Draws(samples=8))
    assert_unknown(
        found, "conductivity of borosilicate is known from 173 to 773 K (crc-glass-conductivity); asked at"
    )


def test_stainless_in_liquid_nitrogen_is_within_its_data() -> None:
    found = solved(whole_rig(TUBE.format(of="304L"), cool=NITROGEN), Draws(samples=8))
    assert found.picture.missing == ()
    assert np.min(found.picture.temperature) > 77.0


def test_only_some_samples_out_of_range() -> None:
    text = whole_rig(TUBE.format(of="Ni-Cr-Fe"), FURNACE, to="1000 degC")
    found = solved(text, Draws(samples=32))
    blank = np.any(np.isnan(found.picture.temperature), axis=0)
    assert 0 < np.count_nonzero(blank) < 32
    assert len(found.picture.missing) == 1
    # a sample is known as a whole or not at all
    np.testing.assert_array_equal(blank, np.all(np.isnan(found.picture.temperature), axis=0))
    np.testing.assert_array_equal(blank, np.isnan(found.picture.joints["piece.tube.closed"]))


@pytest.mark.parametrize(
    "address",
    [
        "materials/304L/conductivity", "materials/304L/emissivity-unstated", "beliefs/convection.free/default",
        "beliefs/room.temperature/default", "beliefs/furnace.film/default", "beliefs/tolerance.wall/default",
    ],
)  # fmt: skip
def test_a_blanked_row_leaves_no_number(address: str) -> None:
    found = solved(whole_rig(TUBE.format(of="304L"), FURNACE), tables=shipped().without(address))
    assert address in [missing.datum for missing in found.picture.missing]
    assert np.all(np.isnan(found.picture.temperature))


def test_several_alike_without_a_number_are_said_quietly() -> None:
    alike = """[piece.arm]
on = "tube"
at = "200 mm"
every = "20 mm"
count = 3
joined = "TIG"
tube = "8 x 1 mm"
length = "50 mm"
of = "304L"
"""
    found = solved(whole_rig(TUBE.format(of="Ni-Cr-Fe") + alike, FURNACE, to="1060 degC"), Draws(samples=4))
    assert_unknown(found, "conductivity of Ni-Cr-Fe")


def test_a_wet_cloth_that_would_boil() -> None:
    wrap = 'wet = { over = { tube = "160 to 200 mm" }, by = "wet wrap", feed = "0.05 L/h" }'
    found = solved(whole_rig(TUBE.format(of="304L"), FURNACE, cool=wrap), Draws(samples=8))
    assert_unknown(found, "evaporation from a wet cloth is known from")


def test_a_wet_cloth_that_would_freeze() -> None:
    cold = 'wet = { over = { tube = "60 to 95 mm" }, by = "wet wrap", feed = "1 L/h" }\n' + NITROGEN
    found = solved(whole_rig(TUBE.format(of="304L"), cool=cold), Draws(samples=8))
    assert_unknown(found, "evaporation from a wet cloth is known from")


@pytest.mark.parametrize(
    "material",
    [
        "304L", "316L", "310S", "nickel", "Ni-Cr-Fe", "copper", "tantalum", "borosilicate", "fused silica",
        "mild steel", "alumina", "household steel", "brass", "ceramic wool", "glass wool", "glass tape",
    ],
)  # fmt: skip
def test_a_wall_in_a_cold_room_has_its_data(material: str) -> None:
    row = shipped().find("materials", material, "conductivity")
    assert isinstance(row, Row)
    # practice: a shed in winter is no warmer than -20 degC
    assert curve_of(row).covers(253.15)


WOOL = 'wool = { over = { tube = "200 to 300 mm" }, of = "ceramic wool", thick = "20 mm" }'


def wool_from(data: str) -> Tables:
    row = shipped().find("materials", "ceramic wool", "conductivity")
    assert isinstance(row, Row)
    return shipped().with_row(row.with_data(data))


def test_a_lagging_over_liquid_nitrogen_has_its_data() -> None:
    found = solved(whole_rig(TUBE.format(of="304L"), lag=WOOL, cool=NITROGEN), Draws(samples=4))
    assert found.picture.missing == ()
    assert np.all(np.isfinite(found.picture.temperature))


def test_a_lagging_below_its_data() -> None:
    text = whole_rig(TUBE.format(of="304L"), lag=WOOL, cool=NITROGEN)
    found = solved(text, Draws(samples=4), tables=wool_from("300:0.036 1273:0.2142"))
    assert_unknown(
        found, "conductivity of ceramic wool is known from 300 to 1273 K (ceramic-fibre-conductivity)"
    )


def test_a_lagging_above_its_data_in_some_samples() -> None:
    wool = WOOL.replace("200 to", "150 to")  # from the mouth of the furnace on
    hot = whole_rig(TUBE.format(of="304L"), FURNACE, lag=wool, to="700 degC")
    found = solved(hot, Draws(samples=32), tables=wool_from("170:0.021 600:0.06"))
    blank = np.isnan(found.picture.joints["piece.tube.closed"])
    assert 0 < np.count_nonzero(blank) < 32
    assert [missing.datum for missing in found.picture.missing] == ["lag.wool"]
