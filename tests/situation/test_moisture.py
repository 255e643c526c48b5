# SPDX-License-Identifier: MIT
"""Water in the charge: its hydrogen, and what it comes to where nothing is open."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from retortwright.physics.constants import ATMOSPHERE, GAS_CONSTANT
from retortwright.reference.tables import Tables, shipped
from retortwright.situation.moisture import MoistureWork, hydride_of, moisture_of
from situation.charges import POT, rig_text, situation

# A tube of half a litre, so that what the charge itself takes of it is nothing beside the digits printed.
HALF_LITRE = """
[piece.pot]
tube = "54 x 2 mm"
length = "127.324 mm"
rises = "90 deg"
of = "304L"
bottom = { shape = "flat", thick = "4 mm", joined = "TIG" }
[piece.top]
on = "pot"
joined = "TIG"
tube = "54 x 2 mm"
length = "127.324 mm"
rises = "90 deg"
of = "304L"
closed = "FKM O-ring cap"
"""
DRY = "H2O = '0 %'"


def work(
    water: str,
    pieces: str = POT,
    more: str = "",
    tables: Tables | None = None,
    salt: str = "9 g",
    plant: str = "",
) -> MoistureWork:
    text = rig_text("Rb", {"RbCl": f"{salt}; {water}" if water else salt, "Ca": "2 g"}, pieces, more)
    return moisture_of(situation(text.replace("[plant]\n", f"[plant]\n{plant}\n"), tables=tables))


@pytest.mark.parametrize(
    ("percent", "millilitres", "half"),
    [("0.01", 3, 0.5), ("0.05", 13, 0.5), ("0.1", 27, 0.5), ("0.5", 134, 0.5), ("1", 267, 0.5)],
)
def test_hydrogen_of_twenty_grams_of_salt(percent: str, millilitres: float, half: float) -> None:
    # exact: one molecule of hydrogen a molecule of water, at 20 degC and one atmosphere; to the digits printed
    found = work(f"H2O = '{percent} %'", salt="20 g")
    moles, water = found.hydrogen_moles(found.picture.ledger())
    assert moles[0] * GAS_CONSTANT * 293.15 / ATMOSPHERE * 1e6 == pytest.approx(millilitres, abs=half)
    assert water[0] * 1e3 == pytest.approx(20 * float(percent) / 100, rel=1e-9)


def test_a_milligram_of_water_in_half_a_litre_at_room_temperature() -> None:
    # exact: 55.5 umol of hydrogen are 270 Pa at 20 degC; to the digits printed
    found = work("H2O = '0.1 %'", HALF_LITRE, salt="1 g")
    figure = found.pressure("cold")
    assert found.situation.heat("cold").temperature == pytest.approx(293.15, abs=1e-6)
    assert float(figure.said["moles"][0]) * 1e6 == pytest.approx(55.5, abs=0.05)
    assert float(figure.said["volume"][0]) == pytest.approx(0.5e-3, rel=1e-4)
    assert float(figure.values[0]) == pytest.approx(270, abs=5)
    solid = 1e-3 / 2760 + 2e-3 / 1540  # exact: the charge takes room of its own
    assert float(figure.values[0]) == pytest.approx(
        55.51e-6 * GAS_CONSTANT * 293.15 / (0.5e-3 - solid), rel=1e-4
    )


@pytest.mark.parametrize(
    ("percent", "kilopascals", "half"),
    [("0.01", 0.8, 0.05), ("0.05", 4, 0.5), ("0.1", 8, 0.5), ("0.5", 42, 0.5), ("1", 83, 0.5)],
)
def test_half_a_litre_half_of_it_hot(percent: str, kilopascals: float, half: float) -> None:
    # exact: n R / (V/2 (1/T + 1/T')) with one half at 20 degC and the other at 700 degC; to the digits printed
    found = work(f"H2O = '{percent} %'", HALF_LITRE, salt="20 g")
    heat, mesh = found.situation.heat("cold"), found.situation.mesh
    split = np.where(mesh.instance == 0, 973.15, 293.15)[:, None]
    found.situation._heat[heat.regime] = replace(heat, temperature=split)
    moles, _ = found.hydrogen_moles(found.picture.ledger())
    pressure = moles * GAS_CONSTANT / found.holds("cold")
    assert pressure[0] / 1e3 == pytest.approx(kilopascals, abs=half)


def test_every_cell_counts_at_its_own_temperature() -> None:
    # exact: as many moles as the pressure holds in every cell of bore
    found = work("H2O = '0.1 %'", more='[assume]\nroom.temperature = "20 degC"')
    figure, heat, mesh = found.pressure("rise"), found.situation.heat("rise"), found.situation.mesh
    shut_half = found.tree.index("V1")
    volume = np.pi / 4 * (mesh.outside - 2 * mesh.wall) ** 2 * mesh.width
    volume = np.where(mesh.instance == shut_half, volume / 2, volume)
    solid = 9e-3 / 2760 + 2e-3 / 1540
    holds = np.sum(volume / heat.temperature[:, 0]) - solid / heat.temperature[mesh.first[0], 0]
    assert float(figure.values[0]) == pytest.approx(9e-6 / 18.01528e-3 * GAS_CONSTANT / holds, rel=1e-5)
    assert 350 < heat.temperature.max() < 660


def test_a_density_that_is_not_known_leaves_the_charge_out() -> None:
    found = work("H2O = '0.1 %'", tables=shipped().without("charges/Ca/density"))
    whole = work("H2O = '0.1 %'")
    figure = found.pressure("rise")
    assert not figure.missing
    assert float(figure.values[0]) < float(whole.pressure("rise").values[0])
    assert "charges/Ca/density" not in figure.cites


def test_all_hydrogen_counts() -> None:
    # exact: two of RbOH, one of Ca(OH)2 and one of CaH2 bring a molecule
    found = work("H2O = '0 %', RbOH = '1 %'")
    moles, _ = found.hydrogen_moles(found.picture.ledger())
    assert moles[0] == pytest.approx(0.09 / 102.475 / 2, rel=1e-4)


def test_water_that_nobody_stated_is_missing_by_name() -> None:
    figure = work("").pressure("rise")
    assert figure.missing[0].datum == "charge.RbCl.contains.H2O"
    assert "contains" in figure.missing[0].says
    assert float(work(DRY).pressure("rise").values[0]) == 0.0


BUBBLER = 'bubbler = { on = "arm", depth = "40 mm", bore = "6 mm" }'
BEYOND = 'bubbler = { on = "V1", depth = "40 mm", bore = "6 mm" }'


@pytest.mark.parametrize(("plant", "shut"), [("", ["rise"]), (BUBBLER, []), (BEYOND, ["rise"])])
def test_which_states_are_shut(plant: str, shut: list[str]) -> None:
    found = work(DRY, plant=plant)
    assert [each.name for each in found.shut_states()] == shut
    assert [each.name for each in found.pumped_states()] == ["distil"]


def test_a_pump_behind_a_shut_valve_does_not_draw() -> None:
    text = rig_text("Rb", {"RbCl": f"9 g; {DRY}", "Ca": "2 g"})
    shut = text.replace('distil = { open = ["V1"]', "distil = { open = []")
    assert shut != text
    assert [each.name for each in moisture_of(situation(shut)).shut_states()] == ["rise", "distil"]


def test_a_rise_of_one_pascal_a_minute_in_half_a_litre_is_a_rate_of_water() -> None:
    # exact: 1 Pa/min x 0.5 L / (R 293.15 K) = 12.3 umol an hour = 0.2217 mg
    rate, rise = work(DRY, HALF_LITRE).dry_rate("cold")
    assert rise * 60 == pytest.approx(1.0, abs=1e-4)
    assert rate * 1e6 == pytest.approx(60 * 0.5e-3 / (GAS_CONSTANT * 293.15) * 18.01528e3, rel=2e-4)


@pytest.mark.parametrize("reductant", ["Ca", "Li"])
def test_hydrogen_that_was_taken_up_comes_back(reductant: str) -> None:
    # practice: a second gas peak between 550 and 850 degC
    hydride = hydride_of(work(DRY).picture.ledger(), reductant)
    assert hydride is not None
    assert 550 < hydride.gives - 273.15 < 850


def test_hydride_of_calcium() -> None:
    # exact: the table's own Gibbs energies: CaH2 = Ca + H2 at one kilopascal
    from retortwright.reference.species import Species, find_species

    hydride = hydride_of(work(DRY).picture.ledger(), "Ca")
    assert hydride is not None
    assert hydride.formula == "CaH2"
    parts = [find_species(shipped(), name) for name in ("Ca(s)", "H2(g)", "CaH2(s)")]
    metal, gas, solid = (each.gibbs(hydride.gives) for each in parts if isinstance(each, Species))
    pressure = 1e5 * np.exp(-(metal + gas - solid) / (GAS_CONSTANT * hydride.gives))
    assert float(pressure) == pytest.approx(1000, rel=0.02)
    assert hydride_of(work(DRY).picture.ledger(), "La") is None
