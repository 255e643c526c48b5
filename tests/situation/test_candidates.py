# SPDX-License-Identifier: MIT
"""Charges by which a metal could be made: which, how much is weighed, and that they are whole rigs."""

from __future__ import annotations

import pytest

from retortwright.reference.tables import shipped
from retortwright.situation.candidates import Candidate, candidates_for, makeable, rig_for

TABLES = shipped()


def named(metal: str) -> list[str]:
    """The candidates of a metal as they are shown."""
    return [str(each) for each in candidates_for(TABLES, metal)]


def test_every_metal_of_the_tables_is_looked_at_and_what_lanthanum_frees() -> None:
    assert {"Li", "Cs", "Mg", "Ba", "Zn", "Sm", "Tm"} <= set(makeable(TABLES))
    assert "Al" not in makeable(TABLES)


@pytest.mark.parametrize("metal", makeable(TABLES))
def test_a_metal_is_never_its_own_reductant_and_none_comes_twice(metal: str) -> None:
    found = candidates_for(TABLES, metal)
    assert len(set(found)) == len(found)
    assert all(each.reductant != metal for each in found)
    assert Candidate(metal, metal) in found
    assert all(metal in each.salt for each in found)


def test_what_is_asked_for_and_never_lit_is_there() -> None:
    assert {"KOH + Mg", "K2CO3 + Mg", "K2CO3 + C", "KN3 + Al", "K2CrO4 + Al", "KNO3 + Al"} <= set(named("K"))
    assert "BaO2 + Al" in named("Ba")
    assert "ZnO2 + Al" not in named("Zn")  # its formula would be taken for an oxide


def test_dolime_is_a_route_to_magnesium_alone() -> None:
    assert "MgO + CaO + Si" in named("Mg")
    assert not any("CaO" in each for each in named("Ba"))


@pytest.mark.parametrize(
    ("candidate", "grams"),
    [
        # exact: the reaction by molar masses, 10 g of metal in the salt, the least excess of practice
        (Candidate("Rb", "RbCl", "Ca"), {"RbCl": 14.15, "Ca": 2.345 * 1.2}),
        (Candidate("Ba", "BaO", "Al"), {"BaO": 11.17, "Al": 0.982 * 1.1}),
        (Candidate("Mg", "MgO", "Si", "CaO"), {"MgO": 16.58, "CaO": 23.07, "Si": 5.778 * 1.05}),
        (Candidate("Eu", "Eu2O3", "La"), {"Eu2O3": 11.58, "La": 9.141 * 1.1}),
    ],
)
def test_a_charge_is_weighed_by_its_reaction(candidate: Candidate, grams: dict[str, float]) -> None:
    rig = rig_for(TABLES, candidate, "304L", 1200.0, "cell")
    assert {each.formula: each.mass.best * 1e3 for each in rig.charge} == pytest.approx(grams, rel=1e-3)
    assert rig.aim.metal == candidate.metal
    assert rig.aim.grade == "cell"
    assert rig.pieces[0].of == "304L"
