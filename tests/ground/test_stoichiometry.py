# SPDX-License-Identifier: MIT
"""Reactions balance by their atoms, in smallest whole numbers."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retortwright.ground.formula import elements_of
from retortwright.ground.stoichiometry import balanced, null_space


def numbers(reaction: str) -> tuple[int, ...]:
    """The numbers of `A + B -> C + D`."""
    left, right = ([elements_of(name.strip()) for name in side.split("+")] for side in reaction.split("->"))
    return balanced(left, right)


# exact: counted by hand
@pytest.mark.parametrize(
    ("reaction", "expected"),
    [
        ("RbCl + Ca -> Rb + CaCl2", (2, 1, 2, 1)),
        ("CsCl + Li -> Cs + LiCl", (1, 1, 1, 1)),
        ("KOH + Mg -> K + MgO + H2", (2, 2, 2, 2, 1)),
        ("KOH + Al -> K + Al2O3 + H2", (6, 4, 6, 2, 3)),
        ("K2CO3 + Mg -> K + MgO + C", (1, 3, 2, 3, 1)),
        ("BaO + Al -> Ba + BaAl2O4", (4, 2, 3, 1)),
        ("MgO + CaO + Si -> Mg + Ca2SiO4", (2, 2, 1, 2, 1)),
        ("Eu2O3 + La -> Eu + La2O3", (1, 2, 2, 1)),
        ("Ca(OH)2 + Ca -> CaO + H2", (1, 1, 2, 1)),
    ],
)
def test_reactions_of_the_trade(reaction: str, expected: tuple[int, ...]) -> None:
    assert numbers(reaction) == expected


@pytest.mark.parametrize(
    ("reaction", "says"),
    [
        ("RbCl + Ca -> Rb + CaO", "no reaction"),
        ("RbCl -> Cs", "no reaction"),
        ("KClO3 + Mg -> KCl + MgO + O2", "more than one reaction"),
        ("Rb + CaCl2 + Ca -> RbCl", "other side"),
    ],
)
def test_what_does_not_balance_is_said(reaction: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        numbers(reaction)


@given(
    st.lists(st.dictionaries(st.sampled_from("ABCD"), st.integers(1, 4), min_size=1), min_size=2, max_size=5)
)
def test_every_vector_of_the_null_space_leaves_no_atom(formulas: list[Mapping[str, int]]) -> None:
    # exact: conservation of every element, and as many vectors as there are columns less the rank
    for vector in null_space(formulas):
        for element in "ABCD":
            assert sum(n * atoms.get(element, 0) for n, atoms in zip(vector, formulas, strict=True)) == 0
        assert any(vector)
