# SPDX-License-Identifier: MIT
"""What the vapour over a charge brings with the product, by its kind, as the product is taken.

Masses beside that of the product. A gas of metals alone counts by its atoms: the reductant, other
metals of the charge. A gas with a halogen counts whole, as salt. A gas with the reductant and oxygen
is reductant that comes as its suboxide, one with another metal and oxygen is oxide of the charge. Gases
that do not land (hydrogen, water, oxides of carbon) count nowhere here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.reference.species import name_parts
from retortwright.reference.tables import Tables
from retortwright.situation.route import molar_mass

__all__ = ["Carried", "Kind", "carried_of", "kinds_of"]

_HALOGENS = frozenset({"F", "Cl", "Br", "I"})
_NOT_METALS = _HALOGENS | {"H", "C", "N", "O", "S", "P", "Ar"}


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of impurity: its class as the grades know it, a formula that stands for it."""

    sort: str  # reductant, salt or neighbours
    formula: str


@dataclass(frozen=True, slots=True)
class Carried:
    """Mass over that of the product in the vapour at the moment, and what stands over the charge."""

    shares: Mapping[Kind, Array]  # (steps, samples)
    pressures: Mapping[Kind, Array]  # of the molecules that bring it, (steps, samples) [Pa]
    product: Array  # of the molecules that bring the product, (steps, samples) [Pa]
    atoms: Array  # of the product, as a pressure, (steps, samples) [Pa]


def kinds_of(metal: str, reductant: str | None, salt: str | None, gases: Iterable[str]) -> dict[str, Kind]:
    """The kind that each gas but those of the product alone brings, by the name of the gas."""
    found: dict[str, Kind] = {}
    for gas in gases:
        elements = set(elements_of(name_parts(gas)[0]))
        metals = elements - _NOT_METALS
        if elements & _HALOGENS and metals:
            found[gas] = Kind("salt", salt or name_parts(gas)[0])
        elif "O" in elements and reductant in elements:
            found[gas] = Kind("reductant", str(reductant))
        elif "O" in elements and metals and "H" not in elements:
            found[gas] = Kind("salt", salt or name_parts(gas)[0])
        elif "O" not in elements and metals - {metal}:
            other = min(metals - {metal})
            found[gas] = Kind("reductant" if other == reductant else "neighbours", other)
    return found


def carried_of(
    tables: Tables, metal: str, reductant: str | None, salt: str | None, pressures: Mapping[str, Array]
) -> Carried:
    """What some gases over a charge bring, from their pressures (steps, samples) [Pa]."""
    kinds = kinds_of(metal, reductant, salt, pressures)
    nothing = np.zeros(np.shape(next(iter(pressures.values()))))
    masses: dict[Kind, Array] = {}
    molecules: dict[Kind, Array] = {}
    product, atoms = nothing, nothing
    for gas, pressure in pressures.items():
        elements, kind = elements_of(name_parts(gas)[0]), kinds.get(gas)
        pure = not set(elements) & _NOT_METALS
        if pure and metal in elements:
            product, atoms = product + pressure, atoms + elements[metal] * pressure
        if kind is None:
            continue
        own = {kind.formula: elements.get(kind.formula, 0)} if pure else elements
        mass = sum(count * molar_mass(tables, element) for element, count in own.items())
        masses[kind] = masses.get(kind, nothing) + mass * pressure
        molecules[kind] = molecules.get(kind, nothing) + pressure
    per = atoms * molar_mass(tables, metal)
    with np.errstate(divide="ignore", invalid="ignore"):
        shares = {kind: mass / per for kind, mass in masses.items()}
    return Carried(shares, molecules, product, atoms)
