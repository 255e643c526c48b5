# SPDX-License-Identifier: MIT
"""What takes the reductant: electrons that a formula takes until nothing in it can be reduced.

Every reaction of the pot is counted in electrons: an atom of calcium gives two, one of lithium one.
Oxygen ends as oxide, chlorine as chloride, nitrogen as nitride; hydrogen leaves as gas; a metal
that the reductant does not free stays what it is. A molecule of water so takes two electrons, a
chloride of a neighbouring alkali metal one, lime beside calcium none.
"""

from __future__ import annotations

from collections.abc import Iterable

from retortwright.belief.believed import Ledger
from retortwright.ground.formula import elements_of
from retortwright.reference.datum import Row, number_of

__all__ = ["electrons_taken", "freed_by", "is_moist", "molar", "valence"]

_TAKES = frozenset({"O", "S", "F", "Cl", "Br", "I", "N", "P"})
_LEAVES = frozenset({"H", "C"})  # as gas or as it is


def valence(ledger: Ledger, element: str) -> float:
    """The usual valence of an element, cited; nan with the reason written down."""
    row = ledger.row("elements", element, "valence")
    return number_of(row).best if isinstance(row, Row) else float("nan")


def molar(ledger: Ledger, formula: str) -> float:
    """The mass of a mole of a formula [kg/mol], cited; nan with the reason written down."""
    total = 0.0
    for element, count in elements_of(formula).items():
        row = ledger.row("elements", element, "atomic-mass")
        total += count * (number_of(row).best if isinstance(row, Row) else float("nan"))
    return total


def freed_by(ledger: Ledger, reductant: str, wanted: str) -> frozenset[str]:
    """The metals whose compounds take a reductant: the wanted one and its neighbours."""
    if ("reductants", reductant, "frees") not in ledger.tables.rows:
        return frozenset({wanted})
    row = ledger.row("reductants", reductant, "frees")
    return frozenset({wanted, *(row.data.split() if row is not None else ())})


def electrons_taken(ledger: Ledger, formula: str, freed: Iterable[str]) -> float:
    """Electrons that a formula takes from the reductant; none where it gives some.

    `freed` are the metals that the reductant frees.
    """
    total = 0.0
    for element, count in elements_of(formula).items():
        if element in _TAKES:
            total += count * valence(ledger, element)
        elif element not in _LEAVES and element not in freed:
            total -= count * valence(ledger, element)
    return max(total, 0.0) if total == total else total


def is_moist(formula: str) -> bool:
    """Whether a formula is water or holds it: hydroxides count as their water."""
    return {"O", "H"} <= set(elements_of(formula))
