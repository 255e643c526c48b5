# SPDX-License-Identifier: MIT
"""What substances give with water: gas by stoichiometry, heat by enthalpies."""

from __future__ import annotations

import pytest

from retortwright.ground.formula import elements_of
from retortwright.reference.datum import Row, number_of
from retortwright.reference.tables import shipped
from retortwright.reference.wetting import Wetting, wetting_of

TABLES = shipped()
MOLAR_VOLUME = 22.414  # L/mol at 0 degC and 1 atm


def wetted(formula: str) -> Wetting:
    """What a formula gives; it must give something."""
    found = wetting_of(TABLES, formula)
    assert found is not None, formula
    return found


def mass(formula: str) -> float:
    """Of a mole [g]."""
    total = 0.0
    for element, count in elements_of(formula).items():
        row = TABLES.find("elements", element, "atomic-mass")
        assert isinstance(row, Row)
        total += count * number_of(row).best * 1e3
    return total


@pytest.mark.parametrize(
    ("formula", "gas", "litres"),
    # exact: stoichiometry; litres at 0 degC and 1 atm from a gram, to the digits printed
    [
        ("Li", "H2", 1.615), ("Na", "H2", 0.488), ("K", "H2", 0.287), ("Rb", "H2", 0.131), ("Cs", "H2", 0.0843),
        ("Ca", "H2", 0.559), ("LiH", "H2", 2.82), ("CaH2", "H2", 1.065), ("Li3N", "NH3", 0.643),
        ("CaC2", "C2H2", 0.350),
    ],
)  # fmt: skip
def test_gas_of_a_gram(formula: str, gas: str, litres: float) -> None:
    found = wetted(formula)
    assert set(found.gases) == {gas}
    assert found.gases[gas] * MOLAR_VOLUME / mass(formula) == pytest.approx(litres, rel=0.002)


def test_the_same_in_a_warm_room() -> None:
    # exact: at 25 degC and 1 atm CaH2 gives 1.16, LiH 3.08 L of hydrogen a gram, Li3N 0.70 L of ammonia
    warm = MOLAR_VOLUME * 298.15 / 273.15
    for formula, gas, litres in (("CaH2", "H2", 1.16), ("LiH", "H2", 3.08), ("Li3N", "NH3", 0.70)):
        assert wetted(formula).gases[gas] * warm / mass(formula) == pytest.approx(litres, abs=0.006)


@pytest.mark.parametrize(
    ("metal", "heat"),
    # recalled: [nbs-1982], to the dissolved hydroxides, kJ/mol
    [("Li", 222.7), ("Na", 184.3), ("K", 196.5), ("Rb", 195.3), ("Cs", 202.5), ("Ca", 431.2)],
)
def test_heat_with_water(metal: str, heat: float) -> None:
    assert wetted(metal).heat == pytest.approx(heat * 1e3, rel=0.01)


@pytest.mark.parametrize(
    ("formula", "heat"),
    # exact: from enthalpies of formation recalled of [nbs-1982]: Mg(OH)2 -924.5, H2O -285.8, LiH -90.5, LiOH -484.9
    [("Mg", 352.9e3), ("LiH", 108.6e3)],
)
def test_heat_from_our_species(formula: str, heat: float) -> None:
    assert wetted(formula).heat == pytest.approx(heat, rel=0.03)


@pytest.mark.parametrize("formula", ["RbCl", "CaO", "CaCl2", "C", "Fe", "Al2O3", "H2O"])
def test_what_gives_no_gas(formula: str) -> None:
    assert wetting_of(TABLES, formula) is None


def test_a_heat_that_our_tables_do_not_have_is_none_and_not_zero() -> None:
    assert wetted("CaC2").heat is None
    assert wetted("Ca3N2").heat is None
