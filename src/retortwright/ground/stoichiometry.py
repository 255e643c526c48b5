# SPDX-License-Identifier: MIT
"""The balance of a reaction from the atoms in each formula."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import gcd, lcm

__all__ = ["Atoms", "balanced", "null_space"]

Atoms = Mapping[str, int]


def balanced(reactants: Sequence[Atoms], products: Sequence[Atoms]) -> tuple[int, ...]:
    """The smallest whole numbers of each reactant, then each product, of a balanced reaction.

    Parameters: atoms of each element in every formula. Raises ValueError where no reaction or more
    than one balances, or where one runs the other way.

    Range: any formulas. Source: exact, the null space of the element matrix in fractions.

    >>> balanced([{"Rb": 1, "Cl": 1}, {"Ca": 1}], [{"Rb": 1}, {"Ca": 1, "Cl": 2}])
    (2, 1, 2, 1)
    """
    spaces = null_space([*reactants, *({e: -n for e, n in atoms.items()} for atoms in products)])
    if len(spaces) != 1:
        kind = "no reaction" if not spaces else "more than one reaction"
        raise ValueError(f"{kind} between these formulas balances")
    numbers = spaces[0] if spaces[0][0] > 0 else tuple(-n for n in spaces[0])
    if min(numbers) <= 0:
        raise ValueError(
            "the reaction between these formulas balances only with one of them on the other side"
        )
    return numbers


def null_space(formulas: Sequence[Atoms]) -> list[tuple[int, ...]]:
    """Whole-number amounts of the formulas that leave no element over, one tuple a dimension.

    Parameters: atoms of each element in every formula, negative on the other side of a reaction.

    Range: any formulas. Source: exact, Gauss-Jordan elimination in fractions.

    >>> null_space([{"H": 2}, {"O": 2}, {"H": -2, "O": -1}])
    [(2, 1, 2)]
    """
    elements = sorted({element for atoms in formulas for element in atoms})
    rows = [[Fraction(atoms.get(element, 0)) for atoms in formulas] for element in elements]
    pivots: list[int] = []
    for column in range(len(formulas)):
        place = len(pivots)
        source = next((r for r in range(place, len(rows)) if rows[r][column]), None)
        if source is None:
            continue
        rows[place], rows[source] = rows[source], rows[place]
        rows[place] = [value / rows[place][column] for value in rows[place]]
        for other in range(len(rows)):
            if other != place and rows[other][column]:
                factor = rows[other][column]
                rows[other] = [a - factor * b for a, b in zip(rows[other], rows[place], strict=True)]
        pivots.append(column)
    free = [column for column in range(len(formulas)) if column not in pivots]
    return [_whole(rows, pivots, column, len(formulas)) for column in free]


def _whole(rows: list[list[Fraction]], pivots: list[int], free: int, size: int) -> tuple[int, ...]:
    """One vector of the null space in smallest whole numbers."""
    vector = [Fraction(0)] * size
    vector[free] = Fraction(1)
    for place, column in enumerate(pivots):
        vector[column] = -rows[place][free]
    scale = lcm(*(value.denominator for value in vector))
    whole = [int(value * scale) for value in vector]
    divisor = gcd(*whole) or 1
    return tuple(value // divisor for value in whole)
