# SPDX-License-Identifier: MIT
"""The route of a charge: which salt or oxide, which reductant, what they become, balanced."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import gcd

import numpy as np

from retortwright.ground.formula import elements_of
from retortwright.ground.stoichiometry import balanced
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.tables import Tables
from retortwright.rig.parts import Reagent, Rig

__all__ = ["Route", "anion_of", "main_pair", "molar_mass", "route_of", "usual_compound"]


@dataclass(frozen=True, slots=True)
class Route:
    """salts x salt + reductants x reductant -> metals x metal + lefts x left."""

    metal: str
    salt: str
    reductant: str
    left: str
    salts: int
    reductants: int
    metals: int
    lefts: int

    @property
    def per_salt(self) -> float:
        """Atoms of the metal in a formula of the salt."""
        return self.metals / self.salts

    def __str__(self) -> str:
        sides = [
            [(self.salts, self.salt), (self.reductants, self.reductant)],
            [(self.metals, self.metal), (self.lefts, self.left)],
        ]
        written = (
            " + ".join(f"{number} {name}" if number > 1 else name for number, name in side) for side in sides
        )
        return " -> ".join(written)


def molar_mass(tables: Tables, formula: str) -> float:
    """The mass of a mole of a formula [kg/mol]; nan where an element is not in our tables."""
    total = 0.0
    for element, count in elements_of(formula).items():
        row = tables.find("elements", element, "atomic-mass")
        total += count * (number_of(row).best if isinstance(row, Row) else np.nan)
    return total


def anion_of(formula: str, metal: str) -> Mapping[str, int]:
    """What is left of a formula without the metal."""
    return {element: count for element, count in elements_of(formula).items() if element != metal}


def route_of(rig: Rig, tables: Tables) -> Route | Missing:
    """The route that a charge stands for.

    The salt is the reagent that brings most of the wanted metal in a compound, the reductant the
    largest reagent that is a single other element. Says what is missing where there is none.
    """
    pair = main_pair(rig, tables)
    return pair if isinstance(pair, Missing) else _balanced(tables, rig.aim.metal, *pair)


def main_pair(rig: Rig, tables: Tables) -> tuple[str, str] | Missing:
    """The formulas of the salt that brings most of the wanted metal and of the largest reductant.

    Says what is missing where the charge has no such two.
    """
    metal = rig.aim.metal
    salts = [each for each in rig.charge if metal in elements_of(each.formula) and each.formula != metal]
    reductants = [
        each for each in rig.charge if len(elements_of(each.formula)) == 1 and each.formula != metal
    ]
    if not rig.charge:
        return Missing("charge", "there is no charge")
    if not salts and any(each.formula == metal for each in rig.charge):
        says = f"{metal} is distilled once more here, out of no salt: what of its impurities comes over is not computed"
        return Missing("charge", says)
    if not salts:
        return Missing("charge", f"no salt or oxide of {metal} is in the charge")
    if not reductants:
        return Missing("charge", "no metal or other element that could free it is in the charge")
    salt = max(salts, key=lambda each: _moles(tables, each) * elements_of(each.formula)[metal]).formula
    return salt, max(reductants, key=lambda each: _moles(tables, each)).formula


def _moles(tables: Tables, reagent: Reagent) -> float:
    return reagent.mass.best / molar_mass(tables, reagent.formula)


def _balanced(tables: Tables, metal: str, salt: str, reductant: str) -> Route | Missing:
    anion = anion_of(salt, metal)
    if len(anion) != 1:
        return Missing(f"charge.{salt}", f"what {reductant} makes of {salt} is not computed by this version")
    element = next(iter(anion))
    left = usual_compound(tables, reductant, element)
    if isinstance(left, Missing):
        return left
    try:
        numbers = balanced(
            [elements_of(salt), elements_of(reductant)], [elements_of(metal), elements_of(left)]
        )
    except ValueError as error:
        return Missing(f"charge.{salt}", f"{salt} and {reductant}: {error}")
    return Route(metal, salt, reductant, left, *numbers)


def usual_compound(tables: Tables, metal: str, anion: str) -> str | Missing:
    """The usual compound of a metal with one other element, by their valences."""
    valences = []
    for element in (metal, anion):
        row = tables.find("elements", element, "valence")
        if isinstance(row, Missing):
            return Missing(row.datum, f"no usual valence of {element} is in our tables")
        valences.append(round(number_of(row).best))
    divisor = gcd(*valences)
    one, other = valences[1] // divisor, valences[0] // divisor
    return f"{metal}{one if one > 1 else ''}{anion}{other if other > 1 else ''}"
