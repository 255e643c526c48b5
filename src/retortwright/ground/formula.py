# SPDX-License-Identifier: MIT
"""Chemical formulas as people write them: RbCl, CaO, K2CO3, Ca(OH)2."""

from __future__ import annotations

import re

__all__ = ["ELEMENTS", "elements_of"]

ELEMENTS = frozenset(
    [
        "H",
        "He",
        "Li",
        "Be",
        "B",
        "C",
        "N",
        "O",
        "F",
        "Ne",
        "Na",
        "Mg",
        "Al",
        "Si",
        "P",
        "S",
        "Cl",
        "Ar",
        "K",
        "Ca",
        "Sc",
        "Ti",
        "V",
        "Cr",
        "Mn",
        "Fe",
        "Co",
        "Ni",
        "Cu",
        "Zn",
        "Ga",
        "Ge",
        "As",
        "Se",
        "Br",
        "Kr",
        "Rb",
        "Sr",
        "Y",
        "Zr",
        "Nb",
        "Mo",
        "Tc",
        "Ru",
        "Rh",
        "Pd",
        "Ag",
        "Cd",
        "In",
        "Sn",
        "Sb",
        "Te",
        "I",
        "Xe",
        "Cs",
        "Ba",
        "La",
        "Ce",
        "Pr",
        "Nd",
        "Pm",
        "Sm",
        "Eu",
        "Gd",
        "Tb",
        "Dy",
        "Ho",
        "Er",
        "Tm",
        "Yb",
        "Lu",
        "Hf",
        "Ta",
        "W",
        "Re",
        "Os",
        "Ir",
        "Pt",
        "Au",
        "Hg",
        "Tl",
        "Pb",
        "Bi",
    ]
)
_TOKEN = re.compile(r"([A-Z][a-z]?)([0-9]*)|(\()|(\))([0-9]*)")


def elements_of(formula: str) -> dict[str, int]:
    """Atoms of each element in a formula. Raises ValueError with a sentence.

    >>> elements_of("Ca(OH)2")
    {'Ca': 1, 'O': 2, 'H': 2}
    """
    stack: list[dict[str, int]] = [{}]
    at = 0
    while at < len(formula):
        match = _TOKEN.match(formula, at)
        if match is None:
            raise ValueError(f"'{formula}' is no formula: cannot read it from '{formula[at:]}' on")
        symbol, number, opening, closing, times = match.groups()
        if opening:
            stack.append({})
        elif closing:
            if len(stack) == 1:
                raise ValueError(f"'{formula}' is no formula: a bracket closes that was never opened")
            _add(stack[-2], stack.pop(), int(times or 1))
        elif symbol in ELEMENTS:
            _add(stack[-1], {symbol: 1}, int(number or 1))
        else:
            raise ValueError(f"'{formula}' is no formula: there is no element {symbol}")
        at = match.end()
    if len(stack) != 1 or not stack[0] or 0 in stack[0].values():
        raise ValueError(f"'{formula}' is no formula such as RbCl, CaO or Ca(OH)2")
    return stack[0]


def _add(total: dict[str, int], more: dict[str, int], times: int) -> None:
    for symbol, count in more.items():
        total[symbol] = total.get(symbol, 0) + count * times
