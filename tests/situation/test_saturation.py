# SPDX-License-Identifier: MIT
"""Dew, frost, triple points and heats of landing beside printed figures, equations and each other."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from reference.vapour import vapour_over
from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.reference.datum import Row, number_of
from retortwright.reference.tables import shipped
from retortwright.rig.reading import rig_of
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.saturation import PureMetal, pure_metal
from retortwright.situation.saturation_table import saturation_of
from situation.rigs import BENCH, MIDDLE

METALS = ["Li", "Na", "K", "Rb", "Cs", "Mg", "Ca", "Sr", "Ba", "Zn"]
ATMOSPHERE = 101325.0
MANY = 64


@cache
def metal(name: str, samples: int = 1) -> PureMetal:
    """A metal, with one sample the middle of every belief."""
    draws = MIDDLE if samples == 1 else Draws(samples=samples)
    found = pure_metal(Chemistry(Ledger(rig_of(BENCH), shipped(), draws)), name)
    assert found is not None
    return found


def molar_mass(name: str) -> float:
    """Of the atoms [kg/mol]."""
    row = shipped().find("elements", name, "atomic-mass")
    assert isinstance(row, Row)
    return number_of(row).best


def ends(name: str, pressure: float) -> tuple[float, float]:
    """The band of the temperature from which vapour of a pressure lands [K]."""
    low, high = np.quantile(metal(name, MANY).lands_from(pressure), [0.05, 0.95])
    return float(low), float(high)


LANDS = {  # degC at 10, 100 and 1000 Pa
    "Na": (344, 424, 528),
    "K": (257, 328, 422),
    "Rb": (213, 279, 366),
    "Cs": (196, 261, 348),
    "Li": (612, 722, 863),
    "Zn": (397, 477, 578),
    "Ba": (746, 891, 1085),
    "Mg": (500, 588, 700),
    "Ca": (683, 799, 947),
    "Sr": (609, 717, 856),
}
# Worked out from Alcock's equations. Barium's 2002 data lie 61 K below the boiling point; calcium above its
# melting point was worked out with the equation of the solid; strontium's own band is 20 K.
FAR = {("Ba", 10.0), ("Ba", 100.0), ("Ba", 1000.0), ("Ca", 1000.0), ("Sr", 10.0), ("Sr", 100.0)}


@pytest.mark.parametrize("pressure", [10.0, 100.0, 1000.0])
@pytest.mark.parametrize("name", LANDS)
def test_dew_and_frost(name: str, pressure: float) -> None:
    printed = LANDS[name][round(np.log10(pressure)) - 1] + 273.15
    # exact: worked out apart, in whole degrees; the two sets of data agree within 5 K but for those named
    apart = abs(float(metal(name).lands_from(pressure)[0]) - printed)
    assert (apart > 5.0) == ((name, pressure) in FAR), apart
    low, high = ends(name, pressure)
    assert low - 0.5 <= printed <= high + 0.5


ALCOCK = {  # K at 1, 10 and 100 Pa
    "Li": (797.4, 885.4, 995.3),
    "Na": (553.8, 617.3, 697.4),
    "Rb": (433.6, 485.7, 552.1),
    "Cs": (417.6, 468.7, 534.1),
    "Mg": (700.9, 772.7, 861.2),
    "Ca": (864.2, 956.4, 1071.5),
    "Sr": (795.7, 882.0, 989.9),
    "Ba": (911.0, 1019.0, 1164.0),
    "Zn": (610.0, 670.0, 750.0),
}


@pytest.mark.parametrize("name", ALCOCK)
def test_temperatures_of_the_vapour_pressure_equations(name: str) -> None:
    for decade, printed in enumerate(ALCOCK[name]):
        # published: Alcock and others 1984, equations solved; lithium, rubidium, caesium seen, the rest recalled
        low, high = ends(name, 10.0**decade)
        assert low <= printed <= high
        if name in ("Li", "Na", "Rb", "Cs", "Mg", "Zn"):
            assert float(metal(name).lands_from(10.0**decade)[0]) == pytest.approx(printed, rel=0.003)


TRIPLE = {
    "Li": 2e-8, "Na": 2e-5, "K": 1e-4, "Rb": 2e-4, "Cs": 3e-4, "Zn": 21.0, "Ba": 7.0, "Mg": 383.0, "Ca": 210.0,
    "Sr": 292.0,
}  # fmt: skip


@pytest.mark.parametrize("name", TRIPLE)
def test_pressure_at_the_melting_point(name: str) -> None:
    low, high = np.quantile(metal(name, MANY).triple_pressure(), [0.05, 0.95])
    digit = 10 ** np.floor(np.log10(TRIPLE[name])) / 2 if TRIPLE[name] < 10.0 else 0.5
    # exact: worked out apart from Alcock's equations, in the digits given; potassium is printed 1e-4, ours is 1.6e-4
    allowed = 2 * digit if name == "K" else digit
    assert low - allowed <= TRIPLE[name] <= high + allowed


def test_drainers_and_crusters_part_by_the_triple_point() -> None:
    # practice: alkali metals land liquid at any pressure worth having, magnesium and calcium solid at 100 Pa
    liquid = {name: float(metal(name).lands_from(100.0)[0]) > metal(name).melts for name in METALS}
    assert [name for name in METALS if liquid[name]] == ["Li", "Na", "K", "Rb", "Cs", "Ba", "Zn"]
    for name in METALS:
        # exact: the same question asked of the pressures
        assert liquid[name] == (float(metal(name).triple_pressure()[0]) < 100.0)


@pytest.mark.parametrize("name", METALS)
def test_pressure_and_temperature_are_one_another_turned_round(name: str) -> None:
    over = metal(name, MANY)
    temperature = over.lands_from(np.array([[0.1], [30.0], [3000.0]]))
    # exact: inverse functions, sample by sample
    assert temperature.shape == (3, MANY)
    assert over.pressure(temperature) == pytest.approx(
        np.array([[0.1], [30.0], [3000.0]]) * np.ones(MANY), rel=1e-8
    )


@pytest.mark.parametrize("name", METALS)
def test_pressure_is_that_of_the_species_table(name: str) -> None:
    melts = metal(name).melts
    for temperature in (0.8 * melts, melts + 1.0, melts + 300.0):
        # exact: the same sum written for the tests of the table
        assert metal(name).pressure(temperature)[0] == pytest.approx(vapour_over(name).pressure(temperature))


HEAT = {"Cs": 1.3, "Rb": 2.5, "K": 5.5, "Na": 11.8, "Zn": 4.9, "Ca": 10.7, "Mg": 14.6, "Li": 54.0}
OF_ATOMS = {
    "Rb",
    "Na",
}  # printed for vapour of single atoms; with the pairs in it 11 and 8 % less is set free


@pytest.mark.parametrize("name", HEAT)
def test_heat_of_landing_of_ten_grams_an_hour(name: str) -> None:
    over = metal(name)
    boils = over.lands_from(ATMOSPHERE)
    heat = float(over.heat_of_landing(boils)[0])
    if name in OF_ATOMS:
        atoms = next(gas for gas in over.gases if gas.elements[name] == 1)
        liquid = next(each for each in over.condensed if each.phase == "l")
        assert heat < float((atoms.enthalpy(boils) - liquid.enthalpy(boils))[0])
        heat = float((atoms.enthalpy(boils) - liquid.enthalpy(boils))[0])
    found = heat / molar_mass(name) * 0.010 / 3600.0
    # published: CRC heats of vaporization at the boiling point, recalled; 5 % and half the last digit
    assert abs(found - HEAT[name]) <= 0.05 * HEAT[name] + 0.05


@pytest.mark.parametrize("name", METALS)
def test_heat_of_landing_is_the_slope_of_the_pressure(name: str) -> None:
    over = metal(name)
    for temperature in (0.9 * over.melts, over.melts + 200.0):
        step = 1e-3
        slope = np.log(over.pressure(temperature + step) / over.pressure(temperature - step)) / (2 * step)
        parts = over.parts(temperature)
        total = sum(float(part[0]) for part in parts.values())
        atoms = sum(gas.elements[name] * float(parts[gas.name][0]) for gas in over.gases)
        # exact: Clausius and Clapeyron, by mole of molecules
        clapeyron = float(slope[0]) * GAS_CONSTANT * temperature**2 * total / atoms
        assert float(over.heat_of_landing(temperature)[0]) == pytest.approx(clapeyron, rel=1e-4)


def test_landing_solid_gives_the_heat_of_melting_as_well() -> None:
    over = metal("Mg")
    below, above = (float(over.heat_of_landing(end)[0]) for end in (over.melts - 0.001, over.melts + 0.001))
    # practice: magnesium melts with 8.5 kJ/mol
    assert below - above == pytest.approx(8500.0, abs=300.0)


@pytest.mark.parametrize("name", METALS)
def test_the_table_for_many_calls_agrees(name: str) -> None:
    table = saturation_of(Chemistry(Ledger(rig_of(BENCH), shipped(), MIDDLE)), name)
    assert table is not None
    for pressure in (1.0, 100.0, 1000.0):
        # regression: a few hundredths of a kelvin between the places of the table
        assert float(table.dew(np.array([pressure]))[0]) == pytest.approx(
            float(metal(name).lands_from(pressure)[0]), abs=0.05
        )


def test_beyond_what_is_known_is_unknown() -> None:
    over = metal("Rb")
    assert np.isnan(over.lands_from(1e12)[0])
    assert np.isnan(over.lands_from(0.0)[0])
    assert np.isnan(over.pressure(over.reach[1] + 1.0)[0])
    ledger = Ledger(rig_of(BENCH), shipped(), MIDDLE)
    assert pure_metal(Chemistry(ledger), "Ga") is None
    assert "Ga" in ledger.missing[0].says
