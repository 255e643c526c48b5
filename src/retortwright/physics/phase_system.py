# SPDX-License-Identifier: MIT
"""Which species make up which phase, and what every phase says at given potentials of the elements.

Species come in the order of the phases: those of the gas, of the melts, then the pure phases, one
species each. At any potentials of the elements a phase has one composition that suits them best
and an excess h over its own Gibbs energy, in units of R T: the phase is in equilibrium with the
elements where h = 0, cannot be there where h < 0, and would grow where h > 0. h is convex in the
potentials, its slope is what a mole of the phase holds of each element, and its curvature is how
readily that composition shifts. Ideal phases have all three in closed form; in a melt with an
excess Gibbs energy the composition follows by Newton's method from the one before.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.ground.matrices import times
from retortwright.ground.ranges import Mask
from retortwright.physics.melt_mixing import Mixing

__all__ = ["ABSENT", "UNITS", "Charges", "PhaseSystem", "Picture"]

_NOTHING = -280.0  # logarithm of a share that is nothing: much smaller numbers are slow to reckon with
ABSENT = 1e4  # standard potential over R T of a species that is not there
UNITS = {"ABSENT": "1"}


@dataclass(frozen=True, slots=True)
class PhaseSystem:
    """Species by elements, and how many species each of the phases that mix has, the gas first.

    `pairs` are the species of one melt that mix with an excess Gibbs energy.
    """

    atoms: Array  # (species, elements)
    mixed: tuple[int, ...]
    pairs: tuple[tuple[int, int], ...] = ()

    @property
    def slices(self) -> tuple[slice, ...]:
        """The species of each phase that mixes."""
        ends = np.cumsum((0, *self.mixed))
        return tuple(slice(int(ends[each]), int(ends[each + 1])) for each in range(len(self.mixed)))

    @property
    def first_pure(self) -> int:
        """The number of the first species that is a phase of its own."""
        return sum(self.mixed)

    @property
    def phases(self) -> int:
        """How many phases there can be."""
        return len(self.mixed) + len(self.atoms) - self.first_pure

    def by_phase(self, of_species: Array) -> Array:
        """Sums of what each species of a phase has, (points, phases)."""
        parts = [of_species[:, each].sum(1)[:, None] for each in self.slices]
        return np.concatenate([*parts, of_species[:, self.first_pure :]], axis=1)

    def by_species(self, of_phases: Array, shares: Array) -> Array:
        """What belongs to each species when phases are shared out, (points, species)."""
        counts = np.array([*self.mixed, *([1] * (self.phases - len(self.mixed)))])
        return np.repeat(of_phases, counts, axis=1) * shares


@dataclass(frozen=True, slots=True)
class Charges:
    """Points to be solved: standard potentials over R T, moles of the elements, and how melts mix."""

    system: PhaseSystem
    standard: Array  # (points, species); ABSENT where a species is not there
    totals: Array  # (points, elements)
    most: Array  # (points, phases): moles of each that the elements could make at most
    mixing: tuple[Mixing | None, ...]  # of each phase that mixes; None where it is ideal

    def kept(self, which: Mask | NDArray[np.intp]) -> Charges:
        """The same for some of the points."""
        mixing = tuple(None if each is None else each.kept(which) for each in self.mixing)
        return replace(
            self,
            standard=self.standard[which],
            totals=self.totals[which],
            most=self.most[which],
            mixing=mixing,
        )


@dataclass(frozen=True, slots=True)
class Picture:
    """All phases at given potentials of the elements.

    `atoms` says what a species is made of: (species, elements), or the same for each point apart.
    """

    charges: Charges
    atoms: Array
    logs: Array  # of the share of each species in its phase; where melts start from
    shares: Array
    excess: Array  # h, (points, phases)
    held: Array  # elements in a mole of each phase that mixes, (points, mixed phases, elements)
    uneven: Array  # how far the species of a melt are from one potential, the worst

    @classmethod
    def at(cls, charges: Charges, atoms: Array, potentials: Array, logs: Array, turns: int = 2) -> Picture:
        """The picture at potentials of the elements over R T; melts settle by some turns."""
        system = charges.system
        if atoms.ndim == 2:
            levels = potentials @ atoms.T - charges.standard
        else:
            levels = np.matmul(atoms, potentials[:, :, None])[:, :, 0] - charges.standard
        points, elements = potentials.shape
        shares, excess = np.ones_like(levels), np.empty((points, system.phases))
        held, uneven = np.empty((points, len(system.mixed), elements)), np.zeros(points)
        logs = logs.copy()
        for number, part in enumerate(system.slices):
            mixing = charges.mixing[number]
            if mixing is None:
                top = levels[:, part].max(1, keepdims=True)
                under = levels[:, part] - top
                parts = np.where(under > _NOTHING, np.exp(np.maximum(under, _NOTHING)), 0.0)
                total = parts.sum(1, keepdims=True)
                shares[:, part], excess[:, number] = parts / total, (top + np.log(total))[:, 0]
            else:
                logs[:, part], excess[:, number], off = mixing.settled(levels[:, part], logs[:, part], turns)
                shares[:, part], uneven = np.exp(logs[:, part]), np.maximum(uneven, off)
            held[:, number] = times(shares[:, part], atoms[..., part, :])
        excess[:, len(system.mixed) :] = levels[:, system.first_pure :]
        return cls(charges, atoms, logs, shares, excess, held, uneven)

    def kept(self, charges: Charges, which: Mask | NDArray[np.intp]) -> Picture:
        """The same for some of the points, whose charges are given."""
        atoms = self.atoms if self.atoms.ndim == 2 else self.atoms[which]
        parts = (each[which] for each in (self.logs, self.shares, self.excess, self.held, self.uneven))
        return Picture(charges, atoms, *parts)

    def curvature(self, moles: Array, squares: Array | None, pure: Array | None) -> Array:
        """Sum over the phases that mix of moles times the curvature of h, (points, elements, elements).

        `pure` adds as much of the square of each pure species; `squares` are those of the atoms, once
        for all points.
        """
        system, charges = self.charges.system, self.charges
        ideal = [number for number, mixing in enumerate(charges.mixing) if mixing is None]
        weights = np.zeros_like(self.shares)
        for number in ideal:
            part = system.slices[number]
            weights[:, part] = moles[:, number : number + 1] * self.shares[:, part]
        if pure is not None:
            weights[:, system.first_pure :] = pure
        elements = self.atoms.shape[-1]
        if squares is not None:
            total = (weights @ squares).reshape(-1, elements, elements)
        else:
            last = system.first_pure if pure is None else len(system.atoms)
            some = self.atoms[:, :last]
            total = np.matmul((weights[:, :last, None] * some).transpose(0, 2, 1), some)
        for number, mixing in enumerate(charges.mixing):
            if mixing is not None:
                part = system.slices[number]
                bent = mixing.response(self.shares[:, part], self.atoms[..., part, :])
                total += moles[:, number, None, None] * bent
        many = len(system.mixed)
        return np.asarray(total - np.matmul(self.held.transpose(0, 2, 1) * moles[:, None, :many], self.held))

    def held_by(self, phases: NDArray[np.intp]) -> Array:
        """Elements in a mole of some of the phases at each point, (points, some, elements)."""
        many, first = len(self.charges.system.mixed), self.charges.system.first_pure
        row = np.arange(len(phases))[:, None]
        species = np.maximum(phases - many + first, 0)
        pure = self.atoms[species] if self.atoms.ndim == 2 else self.atoms[row, species]
        mixed = self.held[row, np.minimum(phases, many - 1)]
        found: Array = np.where((phases < many)[:, :, None], mixed, pure)
        return found

    @property
    def all_held(self) -> Array:
        """Elements in a mole of every phase, (points, phases, elements)."""
        pure = self.atoms[..., self.charges.system.first_pure :, :]
        points = len(self.held)
        return np.concatenate([self.held, np.broadcast_to(pure, (points, *pure.shape[-2:]))], axis=1)

    def in_phases(self, moles: Array) -> Array:
        """Elements held by so many moles of each phase, (points, elements)."""
        many = len(self.charges.system.mixed)
        pure = self.atoms[..., self.charges.system.first_pure :, :]
        mixed = np.matmul(moles[:, None, :many], self.held)[:, 0]
        return np.asarray(mixed + times(moles[:, many:], pure))

    def grown(self, step: Array) -> Array:
        """By how much h of each phase goes up with a step of the potentials, to first order."""
        pure = self.atoms[..., self.charges.system.first_pure :, :]
        mixed = np.matmul(self.held, step[:, :, None])[:, :, 0]
        alone = step @ pure.T if pure.ndim == 2 else np.matmul(pure, step[:, :, None])[:, :, 0]
        return np.concatenate([mixed, alone], axis=1)
