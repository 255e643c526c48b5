# SPDX-License-Identifier: MIT
"""What really happens between a salt and a reductant, also where it should never be tried."""

from __future__ import annotations

import pytest

from retortwright.reference.datum import Missing
from retortwright.reference.tables import shipped
from retortwright.situation.route_reaction import Reaction, reaction_of


def written(salt: str, reductant: str, metal: str | None = None, *beside: str) -> str:
    return str(reaction_of(shipped(), salt, reductant, metal, beside))


# exact: balanced by hand
@pytest.mark.parametrize(
    ("salt", "reductant", "metal", "expected"),
    [
        ("KF", "Ca", "K", "2 KF + Ca -> 2 K + CaF2"),
        ("KOH", "Mg", "K", "2 KOH + 2 Mg -> 2 K + 2 MgO + H2"),
        ("Ca(OH)2", "Ca", None, "Ca(OH)2 + Ca -> 2 CaO + H2"),
        ("Ba(OH)2", "Al", "Ba", "3 Ba(OH)2 + 2 Al -> 3 BaO + Al2O3 + 3 H2"),
        ("K2CO3", "Mg", "K", "K2CO3 + 3 Mg -> 2 K + 3 MgO + C"),
        ("K2CO3", "C", "K", "K2CO3 + 2 C -> 2 K + 3 CO"),
        ("KHCO3", "Mg", None, "2 KHCO3 + 6 Mg -> 2 K + 6 MgO + 2 C + H2"),
        ("BaCO3", "Al", None, "3 BaCO3 + 4 Al -> 3 BaO + 2 Al2O3 + 3 C"),
        ("KO2", "Ca", None, "KO2 + 2 Ca -> K + 2 CaO"),
        ("BaO2", "Al", None, "3 BaO2 + 2 Al -> 3 BaO + Al2O3"),
        ("H2O", "Ca", None, "H2O + Ca -> CaO + H2"),
        ("MgO", "C", "Mg", "MgO + C -> Mg + CO"),
    ],
)
def test_reactions(salt: str, reductant: str, metal: str | None, expected: str) -> None:
    assert written(salt, reductant, metal) == expected


def test_a_slag_of_our_tables_forms() -> None:
    # exact: a quarter of the oxide stays in the slag, so that three quarters of the metal come
    assert written("BaO", "Al", "Ba") == "4 BaO + 2 Al -> 3 Ba + BaAl2O4"
    assert written("MgO", "Si", "Mg", "CaO") == "2 MgO + Si + 2 CaO -> 2 Mg + Ca2SiO4"
    assert written("SrO", "Al", "Sr", "BaO") == "3 SrO + 2 Al + BaO -> 3 Sr + BaAl2O4"


@pytest.mark.parametrize(
    ("salt", "reductant"),
    [("CaCl2(H2O)2", "Ca"), ("CsAlSi2O6", "Na"), ("CaO", "Ca"), ("KNO3", "Ca"), ("KCl", "CaC2")],
)
def test_what_is_not_computed_is_said(salt: str, reductant: str) -> None:
    found = reaction_of(shipped(), salt, reductant)
    assert isinstance(found, Missing)
    assert salt in found.says


def test_what_comes_out_and_what_goes_in() -> None:
    found = reaction_of(shipped(), "Ca(OH)2", "Ca")
    assert isinstance(found, Reaction)
    assert [found.number_of(name) for name in ("CaO", "H2", "Ca", "Rb")] == [2, 1, -1, 0]
    assert found.formulas == ("Ca(OH)2", "Ca", "CaO", "H2")
