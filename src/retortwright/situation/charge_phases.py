# SPDX-License-Identifier: MIT
"""Which phases any charge of some elements can have: a gas, melts of salts, oxides and metals, pure phases.

Salts of whatever anion melt into one another, and so do oxides, but the two apart; metals mix that
are said to. Each solid is a phase of its own, and so is every liquid that is none of these.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from retortwright.ground.ranges import Mask
from retortwright.physics.phase_system import PhaseSystem
from retortwright.reference.compounds import class_of
from retortwright.reference.species import Species, condensed_of, gases_of
from retortwright.reference.tables import Tables
from retortwright.situation.melting import mix_as_metals

__all__ = ["ChargePhases", "charge_phases"]

_SALTS = frozenset(["chloride", "bromide", "iodide", "fluoride", "hydroxide", "carbonate", "hydride"])
_OXIDES = frozenset(["oxide", "peroxide", "superoxide", "other"])


@dataclass(frozen=True, slots=True)
class ChargePhases:
    """The species phase by phase, and the system they make up."""

    elements: tuple[str, ...]
    species: tuple[Species, ...]
    names: tuple[str, ...]  # of the phases
    system: PhaseSystem

    @property
    def gases(self) -> int:
        """How many of the species are gases; they come first."""
        return self.system.mixed[0]

    def pair(self, number: int) -> tuple[str, str]:
        """The formulas of a pair of the system."""
        one, other = self.system.pairs[number]
        return self.species[one].formula, self.species[other].formula

    def kept(self, which: Mask) -> ChargePhases:
        """The same of some of the species; the elements stay, and so does the gas."""
        species = tuple(each for each, here in zip(self.species, which, strict=True) if here)
        parts = [(self.names[number], int(which[part].sum())) for number, part in enumerate(self.system.slices)]
        mixed = {name: count for name, count in parts if count or name == "gas"}
        alone = tuple(each.name for each in species[sum(mixed.values()) :])
        place = np.cumsum(which) - 1
        pairs = tuple((int(place[one]), int(place[other])) for one, other in self._pairs_of(which))
        system = PhaseSystem(self.system.atoms[which], tuple(mixed.values()), pairs)
        return ChargePhases(self.elements, species, (*mixed, *alone), system)

    def _pairs_of(self, which: Mask) -> Iterator[tuple[int, int]]:
        return ((one, other) for one, other in self.system.pairs if which[one] and which[other])


def charge_phases(
    tables: Tables, elements: Iterable[str], dissolved: Collection[str] = ()
) -> ChargePhases:
    """The phases of all species made of some elements only; a melt of one species is a pure phase.

    Metals that are `dissolved` in one another make one melt whatever the tables say.
    """
    elements = tuple(sorted(elements))
    gases = list(gases_of(tables, elements))
    condensed = condensed_of(tables, elements)
    melts = {name: members for name, members in _melts(tables, condensed, dissolved) if len(members) > 1}
    molten = {each.name for members in melts.values() for each in members}
    alone = [each for each in condensed if each.name not in molten]
    mixed = {"gas": gases, **melts} if gases else melts
    species = [*(each for members in mixed.values() for each in members), *alone]
    atoms = np.array([[each.elements.get(element, 0) for element in elements] for each in species], float)
    place = {each.name: number for number, each in enumerate(species)}
    pairs = tuple(
        (place[one.name], place[other.name])
        for name in ("salt melt", "oxide melt")
        for one, other in combinations(melts.get(name, ()), 2)
    )
    names = (*mixed, *(each.name for each in alone))
    counts = tuple(len(members) for members in mixed.values())
    return ChargePhases(elements, tuple(species), names, PhaseSystem(atoms, counts, pairs))


def _melts(
    tables: Tables, condensed: Iterable[Species], dissolved: Collection[str]
) -> Iterator[tuple[str, list[Species]]]:
    liquids = [each for each in condensed if each.phase == "l"]
    sorts = {each.name: class_of(tables, each.formula) for each in liquids}
    yield "salt melt", [each for each in liquids if sorts[each.name] in _SALTS]
    yield "oxide melt", [each for each in liquids if sorts[each.name] in _OXIDES and "O" in each.elements]
    metals = [each for each in liquids if sorts[each.name] == "metal"]
    while metals:
        group = [metals[0]]
        for each in metals[1:]:
            one = {each.formula, *(other.formula for other in group)} <= set(dissolved)
            if one or all(mix_as_metals(tables, each.formula, other.formula) for other in group):
                group.append(each)
        metals = [each for each in metals if each not in group]
        yield f"melt of {' '.join(each.formula for each in group)}", group
