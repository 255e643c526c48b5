# SPDX-License-Identifier: MIT
"""The way of the liquid: dips, falls, walls, bores."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retortwright.situation.crossing import Crossing
from retortwright.situation.drains import (
    coldest,
    dip,
    draining_bore,
    drains_of,
    liquid_in_dips,
    melted_share,
    narrowest,
    steepness,
)
from situation.crossings import RUBIDIUM, changed, crossing

RISE = '{ on = "line", joined = "TIG", tube = "12 x 1 mm", length = "40 mm", rises = "10 deg", of = "304L" }'
FALLS = st.lists(st.floats(-0.02, 0.02), min_size=1, max_size=12)


@cache
def plain() -> Crossing:
    return crossing(RUBIDIUM)


def kept(falls: list[float], bore: float = 0.01) -> float:
    """What stays in a way that falls by so much from one stretch to the next."""
    height = -np.cumsum([0.0, *falls])
    return float(np.sum(liquid_in_dips(height, np.full(len(height), bore), np.full(len(height), 0.02))))


def test_a_full_dip_holds_its_bore() -> None:
    # exact: three stretches of 20 mm lie a bore or more below the lower crest
    expected = 3 * math.pi / 4 * 0.01**2 * 0.02
    assert kept([0.012, 0.0, 0.0, -0.011]) == pytest.approx(expected, rel=1e-9)
    # exact: half a bore deep is half full
    assert kept([0.005, 0.0, 0.0, -0.005]) == pytest.approx(expected / 2, rel=1e-9)


@given(FALLS)
@settings(max_examples=40, deadline=None)
def test_a_way_that_falls_all_along_keeps_nothing_and_one_that_rises_after_a_fall_does(
    falls: list[float],
) -> None:
    downhill = [abs(each) for each in falls]
    assert kept(downhill) == 0.0
    assert kept([-each for each in downhill]) == 0.0  # nor one that rises all along: it runs back
    assert kept([*downhill, 0.01, -0.005]) > 0.0


@given(FALLS, st.floats(0.001, 0.02))
@settings(max_examples=40, deadline=None)
def test_more_rise_at_the_end_never_keeps_less(falls: list[float], more: float) -> None:
    assert kept([*falls, -more]) >= kept(falls) - 1e-15


def test_the_way_from_the_landing_to_the_neck() -> None:
    one = plain()
    (drain,) = drains_of(one)
    names = [one.tree.instances[n].name for n in one.mesh.instance[drain.cells]]
    assert list(dict.fromkeys(names)) == ["line", "glass"]
    places = one.mesh.middle[drain.cells]
    assert max(place for name, place in zip(names, places, strict=True) if name == "glass") <= 0.010
    assert np.all(np.diff(drain.height) <= 1e-9)
    assert float(melted_share(one, 312.45)[0]) == pytest.approx(1.0)


def test_falls_as_they_are_written() -> None:
    # exact: as in the file
    found = {name: math.degrees(figure.values[0]) for name, figure in steepness(plain()).items()}
    assert found == {"line": pytest.approx(10.0, abs=1e-6), "glass": pytest.approx(90.0, abs=1e-3)}
    figure, where = dip(plain())
    assert (figure.values[0], where) == (0.0, None)


def test_a_line_that_dips_keeps_metal() -> None:
    bent = changed(
        RUBIDIUM,
        ("piece.line.length", "80 mm"),
        ("piece.arm.at", "75 mm"),
        ("heat.tape.over.line", "60 to 80 mm"),
        ("piece.rise", RISE),
        ("piece.glass.on", "rise"),
        ("heat.tape.over.rise", "all"),
    )  # fmt: skip
    one = crossing(bent)
    figure, where = dip(one)
    assert where in ("line", "rise")
    # exact: 7 mm deep at the bend, 40 mm to either side; less than the bore over 80 mm
    volume = figure.values[0] / 1460
    assert 0.2 * math.pi / 4 * 0.01**2 * 0.08 < volume < 0.6 * math.pi / 4 * 0.01**2 * 0.08
    assert math.degrees(steepness(one)["rise"].values[0]) == pytest.approx(-10.0, abs=1e-3)


def test_a_warmer_tape_warms_the_coldest_wall() -> None:
    before = {name: figure.values[0] for name, (figure, _) in coldest(plain()).items()}
    after = {
        name: figure.values[0]
        for name, (figure, _) in coldest(crossing(changed(RUBIDIUM, ("heat.tape.holds", "120 degC")))).items()
    }
    assert set(before) == {"line", "glass"}
    assert all(after[name] > before[name] + 10 for name in before)


def test_bores() -> None:
    assert narrowest(plain()) == (pytest.approx(0.010), "line")
    # published: [bretherton-1961], rho g R^2 over the tension above 0.842, with tension 0.0875 N/m and 1460 kg/m3
    expected = 2 * math.sqrt(0.842 * 0.0875 / (1460 * 9.80665))
    assert draining_bore(plain()).values[0] == pytest.approx(expected, rel=1e-3)
