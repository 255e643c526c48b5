# SPDX-License-Identifier: MIT
"""Electrons that each thing in a charge takes from the reductant."""

from __future__ import annotations

import pytest

from retortwright.belief.believed import Ledger
from retortwright.reference.tables import shipped
from retortwright.rig.reading import rig_of
from retortwright.situation.takers import electrons_taken, freed_by, is_moist, molar, valence
from situation.charges import MIDDLE, rig_text

RIG = rig_of(rig_text("Rb", {"RbCl": "9 g", "Ca": "2 g"}))


def ledger() -> Ledger:
    return Ledger(RIG, shipped(), MIDDLE)


@pytest.mark.parametrize(
    ("formula", "electrons"),
    [
        ("H2O", 2),  # exact: Ca + H2O -> CaO + H2
        ("RbCl", 1),  # exact: 2 RbCl + Ca -> 2 Rb + CaCl2
        ("KCl", 1),
        ("RbOH", 2),  # exact: 2 RbOH + 2 Ca -> 2 Rb + 2 CaO + H2
        ("Rb2O", 2),
        ("Ca(OH)2", 2),  # exact: Ca(OH)2 + Ca -> 2 CaO + H2
        ("K2CO3", 6),  # exact: K2CO3 + 3 Ca -> 2 K + 3 CaO + C
        ("CaO", 0),
        ("Ca3N2", 0),
        ("BaCl2", 0),  # stays what it is
        ("BaO2", 2),  # exact: BaO2 + Ca -> BaO + CaO
        ("SiO2", 0),
        ("CaH2", 0),  # gives hydrogen, takes nothing
        ("O2", 4),
        ("N2", 6),  # exact: 3 Ca + N2 -> Ca3N2
    ],
)  # fmt: skip
def test_beside_calcium(formula: str, electrons: int) -> None:
    book = ledger()
    assert electrons_taken(book, formula, freed_by(book, "Ca", "Rb")) == electrons  # exact
    assert not book.missing


def test_what_the_reductant_frees_decides() -> None:
    # exact: aluminium frees magnesium out of its oxide, calcium beside it stays oxide
    book = ledger()
    assert electrons_taken(book, "MgO", freed_by(book, "Al", "Ba")) == 2
    assert electrons_taken(book, "MgO", freed_by(book, "Ca", "Rb")) == 0
    assert electrons_taken(book, "BaO", freed_by(book, "Zr", "Ba")) == 2  # the wanted metal always counts


def test_a_metal_without_a_valence_is_missing_by_name() -> None:
    book = Ledger(RIG, shipped().without("elements/Ba/valence"), MIDDLE)
    taken = electrons_taken(book, "BaCl2", frozenset({"Rb"}))
    assert taken != taken
    assert [each.datum for each in book.missing] == ["elements/Ba/valence"]


def test_masses_and_valences_are_cited() -> None:
    book = ledger()
    assert molar(book, "H2O") == pytest.approx(0.0180153, abs=5e-8)  # published: atomic masses
    assert valence(book, "Al") == 3
    assert {"elements/H/atomic-mass", "elements/O/atomic-mass", "elements/Al/valence"} <= book.cites


@pytest.mark.parametrize(
    ("formula", "moist"), [("H2O", True), ("RbOH", True), ("CaH2", False), ("CaO", False)]
)
def test_hydroxides_count_as_water(formula: str, moist: bool) -> None:
    assert is_moist(formula) is moist
