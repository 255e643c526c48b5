# SPDX-License-Identifier: MIT
"""Gibbs energies of species over the samples, each with the uncertainty of its rows.

What is uncertain of a compound's formation enthalpy is one belief, shared by its solid, its melt
and its vapour (and by the double salts it is part of), so that it cancels where it should. The
rest is the species' own: the heat of melting, which fades to nothing at the melting point, or
what is uncertain in the step from the condensed phase to the vapour.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array, Real
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.species import Species, find_species

__all__ = ["Chemistry"]

_OWN = {"s": "formation", "l": "melting", "g": "vapour"}


class Chemistry:
    """Species of one ledger, looked up once."""

    def __init__(self, ledger: Ledger) -> None:
        self.ledger = ledger
        self._species: dict[str, Species | Missing] = {}

    def find(self, name: str) -> Species | None:
        """A species, cited; None with the reason written down."""
        found = self._looked_up(name)
        if isinstance(found, Missing):
            self.ledger.missing.append(found)
            return None
        self.ledger.cites |= set(found.addresses)
        return found

    def _looked_up(self, name: str) -> Species | Missing:
        if name not in self._species:
            self._species[name] = find_species(self.ledger.tables, name)
        return self._species[name]

    def gibbs(self, name: str, temperature: Real) -> Array:
        """Standard Gibbs energy over the samples, which are the last axis [J/mol]; nan where unknown."""
        species = self.find(name)
        if species is None:
            return np.full(np.broadcast_shapes(np.shape(temperature), (self.ledger.draws.size,)), np.nan)
        return species.gibbs(temperature) + self.doubt(species, temperature)

    def enthalpy(self, name: str, temperature: Real) -> Array:
        """Formation based enthalpy over the samples [J/mol]; nan where unknown."""
        species = self.find(name)
        if species is None:
            return np.full(np.broadcast_shapes(np.shape(temperature), (self.ledger.draws.size,)), np.nan)
        return species.enthalpy(temperature) + self._shared(species)

    def lowest(self, names: Iterable[str], temperature: Real) -> Array:
        """The Gibbs energy of whichever phase is stable [J/mol]; nan only where none is known."""
        found = [self.gibbs(name, temperature) for name in names]
        return np.fmin.reduce(found) if found else np.full(self.ledger.draws.size, np.nan)

    def doubt(self, species: Species, temperature: Real) -> Array:
        """What the rows of a species leave uncertain in its Gibbs energy, over the samples [J/mol]."""
        own = np.zeros(self.ledger.draws.size)
        row = self.ledger.tables.find("species", species.name, "own-spread")
        if isinstance(row, Row):
            name = f"{_OWN[species.phase]}.{species.name}"
            own = self._drawn(name, species.name, "own-spread", species.seen)
        if species.melts is not None:
            own = own * (1 - np.asarray(temperature) / species.melts)
        return own + self._shared(species)

    def _shared(self, species: Species) -> Array:
        total = np.zeros(self.ledger.draws.size)
        for count, name in species.shares or ((1, species.name),):
            row = self.ledger.tables.find("species", name, "formation-enthalpy")
            if isinstance(row, Row) and row.spread:
                owner = self._looked_up(name)  # the belief is its own, whoever shares it
                seen = owner.seen if isinstance(owner, Species) else species.seen
                drawn = self._drawn(f"formation.{name}", name, "formation-enthalpy", seen)
                total = total + count * (drawn - number_of(row).best)
        return total

    def _drawn(self, belief: str, species: str, prop: str, seen: bool) -> Array:
        """Samples of a row; whether it is known from memory only is a matter of the species, not of its width."""
        drawn = self.ledger.sampled(belief, "species", species, prop)
        used = self.ledger.used[belief]
        self.ledger.used[belief] = used if used.basis == "file" else replace(used, seen=seen)
        return drawn
