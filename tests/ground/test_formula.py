# SPDX-License-Identifier: MIT
"""Chemical formulas as people write them, counted by hand and against a general library of chemicals."""

from __future__ import annotations

import chemicals.elements
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retortwright.ground.formula import ELEMENTS, elements_of


@pytest.mark.parametrize(
    ("formula", "atoms"),
    [
        ("RbCl", {"Rb": 1, "Cl": 1}),
        ("CaO", {"Ca": 1, "O": 1}),
        ("K2CO3", {"K": 2, "C": 1, "O": 3}),
        ("Ca(OH)2", {"Ca": 1, "O": 2, "H": 2}),
        ("Co", {"Co": 1}),
        ("CO", {"C": 1, "O": 1}),
        ("H2O", {"H": 2, "O": 1}),
        ("C12H22O11", {"C": 12, "H": 22, "O": 11}),
        ("Al2(SO4)3", {"Al": 2, "S": 3, "O": 12}),
        ("(NH4)2CO3", {"N": 2, "H": 8, "C": 1, "O": 3}),
        ("Mg((OH)2)2", {"Mg": 1, "O": 4, "H": 4}),
        ("CH3CH3", {"C": 2, "H": 6}),
        ("(CaO)", {"Ca": 1, "O": 1}),
    ],
)
def test_counted_by_hand(formula: str, atoms: dict[str, int]) -> None:
    assert elements_of(formula) == atoms  # exact


@pytest.mark.parametrize(
    ("formula", "says"),
    [
        ("", "'' is no formula such as RbCl, CaO or Ca(OH)2"),
        ("rbcl", "cannot read it from 'rbcl' on"),
        ("Rbcl", "cannot read it from 'cl' on"),
        ("Xx", "there is no element Xx"),
        ("Rb Cl", "cannot read it from ' Cl' on"),
        ("CaCl2.2H2O", "cannot read it from '.2H2O' on"),
        ("Ca(OH2", "'Ca(OH2' is no formula such as"),
        ("CaOH)2", "a bracket closes that was never opened"),
        ("K0", "'K0' is no formula such as"),
        ("Ca(OH)0", "'Ca(OH)0' is no formula such as"),
        ("()", "'()' is no formula such as"),
        ("2H", "cannot read it from '2H' on"),
        ("K²", "cannot read it from '²' on"),
        ("K٢", "cannot read it from '٢' on"),
    ],
)
def test_what_is_no_formula(formula: str, says: str) -> None:
    with pytest.raises(ValueError, match="is no formula") as caught:
        elements_of(formula)
    assert says in str(caught.value)


def test_the_elements_exist_and_none_is_left_out() -> None:
    first = {element.symbol for element in chemicals.elements.periodic_table if element.number <= 83}
    assert first == ELEMENTS  # published: the periodic table as that library has it, H to Bi


@given(st.dictionaries(st.sampled_from(sorted(ELEMENTS)), st.integers(1, 99), min_size=1, max_size=5))
def test_any_formula_as_that_library_counts_it(atoms: dict[str, int]) -> None:
    formula = "".join(f"{symbol}{count if count > 1 else ''}" for symbol, count in atoms.items())
    assert elements_of(formula) == atoms == chemicals.elements.simple_formula_parser(formula)


@given(st.text(alphabet="HOCaKl()0129 .²", max_size=12))
def test_any_text_is_a_formula_or_a_sentence(text: str) -> None:
    try:
        found = elements_of(text)
    except ValueError as error:
        assert "is no formula" in str(error)  # noqa: PT017
    else:
        assert found
        assert all(count > 0 for count in found.values())
