# SPDX-License-Identifier: MIT
"""The species of the table: what each is made of, its pieces, and whose uncertainty it shares.

A species is named by formula and phase: `RbCl(s)`, `RbCl(l)`, `Rb2Cl2(g)`. Polymorphs are
consecutive pieces of the one solid. A liquid is carried below its melting point with its heat
capacity held, as far as its row says: a melt needs that reference.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array, Real
from retortwright.ground.formula import elements_of
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.nine_term import NineTerm, held_below
from retortwright.reference.tables import Tables

__all__ = [
    "PHASES",
    "STANDARD_PRESSURE",
    "Species",
    "condensed_of",
    "find_species",
    "gases_of",
    "name_parts",
    "unknown_of",
]

PHASES = ("s", "l", "g")
STANDARD_PRESSURE = 1e5  # Pa, of every gas in its standard state
_SHARE = re.compile(r"\s*(?:(\d+)\s+)?(\S+)\s*$")


@dataclass(frozen=True, slots=True)
class Species:
    """One formula in one phase."""

    name: str
    formula: str
    phase: str
    elements: Mapping[str, int]
    pieces: NineTerm
    melts: float | None  # K, of a liquid
    shares: tuple[tuple[int, str], ...]  # whose formation enthalpy it inherits the uncertainty of
    seen: bool
    addresses: tuple[str, ...]

    @property
    def lowest(self) -> float:
        """The coldest temperature at which it is known [K]."""
        return float(self.pieces.low[0])

    @property
    def highest(self) -> float:
        """The hottest temperature at which it is known [K]."""
        return float(self.pieces.high[-1])

    def gibbs(self, temperature: Real) -> Array:
        """Standard Gibbs energy [J/mol]; nan where it is not known."""
        return self.pieces.gibbs_energy(temperature)

    def enthalpy(self, temperature: Real) -> Array:
        """Formation based enthalpy [J/mol]; nan where it is not known."""
        return self.pieces.formation_based_enthalpy(temperature)

    def missing_at(self, temperature: float) -> Missing:
        """The sentence for a temperature at which it is not known."""
        known = f"known from {self.lowest:.0f} to {self.highest:.0f} K"
        return Missing(
            f"species/{self.name}/piece-1", f"{self.name} is {known}; asked at {temperature:.0f} K"
        )


def name_parts(name: str) -> tuple[str, str]:
    """Formula and phase of a species name. Raises ValueError.

    >>> name_parts("Ca(OH)2(s)")
    ('Ca(OH)2', 's')
    """
    formula, _, phase = name.rpartition("(")
    phase = phase.removesuffix(")")
    if not formula or phase not in PHASES or not name.endswith(f"({phase})"):
        raise ValueError(f"'{name}' is no species such as RbCl(s), RbCl(l) or Rb2Cl2(g)")
    return formula, phase


def find_species(tables: Tables, name: str) -> Species | Missing:
    """The species of a name, or why there is none."""
    rows = list(_rows_of(tables, name))
    if not rows:
        return Missing(f"species/{name}", f"no thermochemical data of {name} in our tables")
    for row in rows:
        if row.address in tables.blanked:
            return Missing(row.address, f"{row.name} of {name} is not known")
    numbers = np.array([[float(x) for x in row.data.split()] for row in rows if row.form == "nine-term"])
    pieces = NineTerm(numbers[:, 0], numbers[:, 1], numbers[:, 2:])
    by_name = {row.name: row for row in rows}
    formula, phase = name_parts(name)
    melts = float(pieces.low[0]) if phase == "l" else None
    if "supercooled-to" in by_name:
        pieces = held_below(pieces, number_of(by_name["supercooled-to"]).best)
    shares = tuple(_shares(by_name["shares"].data)) if "shares" in by_name else ()
    seen = all(
        row.known != "recalled" for row in rows if row.form == "nine-term" or row.name == "formation-enthalpy"
    )
    named = (row.address for row in rows if row.form != "nine-term")
    addresses = (*named, f"species/{name}/piece-1")
    return Species(name, formula, phase, elements_of(formula), pieces, melts, shares, seen, addresses)


def _rows_of(tables: Tables, name: str) -> Iterator[Row]:
    for prop in ("formation-enthalpy", "own-spread", "shares", "supercooled-to"):
        row = tables.rows.get(("species", name, prop))
        if row is not None:
            yield row
    number = 1
    while ("species", name, f"piece-{number}") in tables.rows:
        yield tables.rows["species", name, f"piece-{number}"]
        number += 1


def _shares(text: str) -> Iterator[tuple[int, str]]:
    for part in text.split(" + "):
        match = _SHARE.match(part)
        if match is None:
            raise ValueError(f"cannot read '{text}' as shares such as '2 RbCl(s)'")
        yield int(match[1] or 1), match[2]


def gases_of(tables: Tables, elements: Iterable[str]) -> tuple[Species, ...]:
    """Every gas made of these elements only, in the order of the table."""
    return tuple(_made_of(tables, frozenset(elements), ("g",)))


def condensed_of(tables: Tables, elements: Iterable[str]) -> tuple[Species, ...]:
    """Every solid and liquid made of these elements only, in the order of the table."""
    return tuple(_made_of(tables, frozenset(elements), ("s", "l")))


def unknown_of(tables: Tables, elements: Iterable[str]) -> tuple[Missing, ...]:
    """Why species made of these elements only are not known, though the table has them."""
    wanted = frozenset(elements)
    found = []
    for name in tables.subjects("species"):
        if tables.blanked and wanted.issuperset(elements_of(name_parts(name)[0])):
            species = find_species(tables, name)
            if isinstance(species, Missing):
                found.append(species)
    return tuple(found)


def _made_of(tables: Tables, elements: frozenset[str], phases: tuple[str, ...]) -> Iterator[Species]:
    for name in tables.subjects("species"):
        formula, phase = name_parts(name)
        if phase in phases and elements.issuperset(elements_of(formula)):
            species = find_species(tables, name)
            if isinstance(species, Species):
                yield species
