# SPDX-License-Identifier: MIT
"""Equilibrium of a gas, melts and pure phases for any amounts of the elements, many points at once.

Each point is checked on its own: every element balances, no phase that is absent would grow, and in
every phase there is all species stand at the potential of their elements. A point for which this
cannot be shown has no numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.ground.ranges import Mask, quietly
from retortwright.physics.melt_mixing import Mixing
from retortwright.physics.phase_approach import Approach, Rough
from retortwright.physics.phase_settling import MOST_STEPS, Settled
from retortwright.physics.phase_system import ABSENT, Charges, PhaseSystem, Picture

__all__ = ["UNITS", "WAYS", "PhaseEquilibrium"]

# One after the other, until a point has settled.
_APPROACHES = (
    Approach(1e-8, 1e-3, 60, 30.0),
    Approach(1e-11, 1e-6, 150, 30.0),
    Approach(1e-9, 1e-4, 200, 10.0),
    Approach(1e-13, 1e-6, 250, 100.0),
)
_UNDER = 1e-12  # h below zero that a phase which is there counts as having, to start from
WAYS = len(_APPROACHES)
UNITS = {"WAYS": "1"}
_STEPS = 24  # from near by
_BALANCE = 1e-9  # of each element
_EVEN = 1e-9  # of every phase and species, over R T


@dataclass(frozen=True, slots=True)
class PhaseEquilibrium:
    """What there is of each species at each point; nan in everything where no equilibrium was shown."""

    moles: Array  # (points, species)
    phase_moles: Array  # (points, phases)
    shares: Array  # of each species in its phase, also in a phase that is not there
    excess: Array  # h of each phase over R T: 0 where it is there, below it elsewhere
    potentials: Array  # of the elements over R T
    imbalance: Array  # of the worst element, as a share of it
    uneven: Array  # of the worst species or phase that is there, over R T
    converged: Mask
    one_melt: Mask  # whether no melt would part into two
    open: Mask  # whether nothing there fixes the potential of a species, (points, species)

    @classmethod
    @quietly
    def of(
        cls,
        system: PhaseSystem,
        standard: Array,
        totals: Array,
        interactions: tuple[Array, Array] | None = None,
        before: PhaseEquilibrium | None = None,
        roughly: bool = False,
        ways: int = WAYS,
    ) -> PhaseEquilibrium:
        """The equilibrium of each point.

        `standard` are the standard potentials of the species over R T, those of gases with the
        logarithm of the pressure over its standard added, nan or inf where a species is not there
        (points, species); `totals` the moles of the elements (points, elements); `interactions` w and
        v over R T of the pairs of the system, (points, pairs) each. `before` are equilibria of much the
        same points, from which each is reached in few steps where it is near. `roughly` leaves out
        whether another melt would do better: for points on the way to others. Of the ways that lead
        there from nothing known only the first `ways` are tried.
        """
        charges = _charges(system, standard, totals, interactions)
        found = _nothing(charges)
        left = np.flatnonzero(np.isfinite(totals).all(1) & (totals >= 0).all(1) & (totals.sum(1) > 0))
        if before is not None:
            left = found._filled(charges, left, left[before.converged[left]], before._as_start, roughly, _STEPS)
        for approach in _APPROACHES[:ways]:
            left = found._filled(charges, left, left, _from_nothing(approach), roughly)
        return found

    def _filled(
        self,
        charges: Charges,
        left: NDArray[np.intp],
        tried: NDArray[np.intp],
        start: Callable[[Charges, NDArray[np.intp]], Rough],
        roughly: bool,
        steps: int = MOST_STEPS,
    ) -> NDArray[np.intp]:
        """Solves some of the points that are left, each from its start; which are left then."""
        if not len(tried):
            return left
        some = charges.kept(tried)
        judged = _judged(some, Settled.of(some, start(some, tried), steps), roughly)
        good = judged.converged
        for each in fields(self):
            getattr(self, each.name)[tried[good]] = getattr(judged, each.name)[good]
        return np.setdiff1d(left, tried[good])

    def _as_start(self, _: Charges, points: NDArray[np.intp]) -> Rough:
        """Where some of the points were."""
        slack = np.maximum(-self.excess[points], _UNDER)
        logs = np.log(np.maximum(self.shares[points], 1e-300))
        return Rough(self.potentials[points].copy(), self.phase_moles[points].copy(), slack, logs)

    @quietly
    def stays_one(
        self,
        system: PhaseSystem,
        standard: Array,
        totals: Array,
        interactions: tuple[Array, Array] | None,
        everywhere: bool,
    ) -> Mask:
        """Whether no melt would part of its own accord, and none would grow with quite another composition.

        The second is only looked for if `everywhere` says so.
        """
        return self._one_melt(_charges(system, standard, totals, interactions), everywhere)

    def _one_melt(self, charges: Charges, everywhere: bool) -> Mask:
        one = np.ones(len(self.potentials), dtype=bool)
        levels = self.potentials @ charges.system.atoms.T - charges.standard
        for number, mixing in enumerate(charges.mixing):
            if mixing is not None:
                part, there = charges.system.slices[number], self.phase_moles[:, number] > 0
                one &= mixing.stays_one(self.shares[:, part]) | ~there
                if everywhere:
                    high = np.maximum(self.excess[:, number], 0.0)
                    one &= ~mixing.rises_elsewhere(levels[:, part], high)
        return one

    def kept(self, which: Mask | NDArray[np.intp]) -> PhaseEquilibrium:
        """The same for some of the points."""
        return PhaseEquilibrium(*(getattr(self, each.name)[which] for each in fields(self)))


def _from_nothing(approach: Approach) -> Callable[[Charges, NDArray[np.intp]], Rough]:
    return lambda charges, _: approach.rough(charges)


def _charges(
    system: PhaseSystem, standard: Array, totals: Array, interactions: tuple[Array, Array] | None
) -> Charges:
    """The points in the form they are solved in: species of elements that are not there are not there."""
    gone = (np.where(totals > 0, 0.0, 1.0) @ (system.atoms > 0).T) > 0
    standard = np.where(np.isfinite(standard) & ~gone, standard, ABSENT)
    with np.errstate(divide="ignore"):
        most = np.stack(
            [
                np.min(np.where(each > 0, totals / np.where(each > 0, each, 1.0), np.inf), axis=1)
                for each in system.atoms
            ],
            axis=1,
        )
    most = np.minimum(system.by_phase(most), totals.sum(1)[:, None])
    most = np.maximum(most, 1e-30 * totals.sum(1)[:, None])
    return Charges(system, standard, totals, most, tuple(_mixings(system, interactions)))


def _mixings(system: PhaseSystem, interactions: tuple[Array, Array] | None) -> Iterator[Mixing | None]:
    for part in system.slices:
        inside = range(part.start, part.stop)
        own = [number for number, pair in enumerate(system.pairs) if set(pair) <= set(inside)]
        if interactions is None or not own:
            yield None
            continue
        pairs = [(system.pairs[each][0] - part.start, system.pairs[each][1] - part.start) for each in own]
        yield Mixing.of_pairs(len(inside), pairs, interactions[0][:, own], interactions[1][:, own])


def _nothing(charges: Charges) -> PhaseEquilibrium:
    points, species = charges.standard.shape
    elements, phases = charges.totals.shape[1], charges.system.phases
    no = np.zeros(points, dtype=bool)
    wide = [np.full((points, each), np.nan) for each in (species, phases, species, phases, elements)]
    short = [np.full(points, np.nan) for _ in range(2)]
    every = np.ones((points, species), dtype=bool)
    return PhaseEquilibrium(
        wide[0], wide[1], wide[2], wide[3], wide[4], short[0], short[1], no, no.copy(), every
    )


def _judged(charges: Charges, settled: Settled, roughly: bool) -> PhaseEquilibrium:
    """What was found, and whether it is an equilibrium: every condition is computed afresh."""
    system, there = charges.system, settled.moles > 0
    moles = system.by_species(settled.moles, settled.shares)
    scale = np.where(charges.totals > 0, charges.totals, 1.0)
    imbalance = (np.abs(moles @ system.atoms - charges.totals) / scale).max(1)
    picture = Picture.at(
        charges, system.atoms, settled.potentials, np.log(np.maximum(settled.shares, 1e-300)), 0
    )
    uneven = np.maximum(np.abs(np.where(there, picture.excess, 0.0)).max(1), picture.uneven)
    stable = np.where(there, 0.0, picture.excess).max(1) < _EVEN
    converged = settled.done & (imbalance < _BALANCE) & (uneven < _EVEN) & stable
    converged &= (settled.moles >= 0).all(1)
    found = PhaseEquilibrium(
        moles, settled.moles, settled.shares, picture.excess, settled.potentials, imbalance, uneven,
        converged, np.ones_like(converged), settled.open,
    )  # fmt: skip
    if roughly:
        return found
    one_melt = found._one_melt(charges, True)
    return replace(found, converged=converged & one_melt, one_melt=one_melt)
