# SPDX-License-Identifier: MIT
"""A charge from which vapour is taken away: step by step, every volatile thing in proportion.

In each step some volumes of vapour leave that are in equilibrium with what stays. A trace of argon
carries them: n moles of it under a pressure P take n p / (P - sum of p) moles of each gas along, as
many as bring the wanted atoms; it is no part of the charge. What leaves and what stays add up to what
there was in every step. A step so large that a gas would be gone half way is no trouble: what is
left of it stays positive. A step is taken as its end is, then each gas is counted by what it was on
the way; against four times as many steps pressures differ by 4 % at most where nothing jumps, and what
has gone in all by 6 %, and up to 40 % just after a phase has come or gone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.ground.ranges import Mask, quietly
from retortwright.physics.phase_equilibrium import WAYS, PhaseEquilibrium
from retortwright.reference.species import STANDARD_PRESSURE
from retortwright.situation.any_charge import Conditions, doubtful, in_doubt
from retortwright.situation.few_species import Few, levels_of

__all__ = ["CARRIER", "Taken", "standing", "taken_away"]

CARRIER = "Ar"
_FIRST_PRESSURE = 1e7  # Pa, of the carrier over a charge of which nothing is known yet
_TRACE = 1e-7  # of the wanted metal: moles of carrier there
_ABOVE = 100.0  # pressure of the carrier over that of the vapour, and what it may become
_LEAST_ABOVE, _MOST_ABOVE = 10.0, 1e4
_LOST = 1e-11  # share of all atoms: of an element of which less is left nothing is reckoned
_FAR_ABOVE = 3000.0  # the same, where it may be hotter
_SPARED = 1e-3  # share of an element that is never taken in looking ahead
_JUMPS = 5.0  # by how much the share of a gas changes where a phase comes or goes in a step
_MOST = 0.3  # share of what there is of an element that may leave in a step for it to count as steady
_LOOKS = 5  # in so many steps it is looked once whether another melt would do better
_TURNS = 24  # to find how much carrier brings what is wanted
_FAR = 5.0  # most that the logarithm of the carrier changes while only one side is known
_AWAY = (1.0, -2.0, 3.5)  # by how much it is changed where nothing could be shown
_OVER = 2e-3  # by how much what is brought may be more than is wanted
_NOTHING = 1e-6  # Pa of the product: from there on nothing comes


@dataclass(frozen=True, slots=True)
class Taken:
    """What there is after each step; nan where it is not known, (steps, samples, ...)."""

    pressures: Array  # of each gas [Pa]
    left: Array  # atoms of each element in the pot [mol]
    gone: Array  # molecules of each gas that have left [mol]
    moles: Array  # of each species that is no gas, in the pot [mol]
    shown: Mask  # (steps, samples)
    ended: Mask  # (steps, samples): where nothing of the product comes any more
    doubt: Mapping[str, Mask]  # species that might be there but have no data, (steps, samples)
    found: tuple[PhaseEquilibrium, ...]  # of each step, where all of it is kept


class _Search:
    """Where rising curves cross zero, of slope one but for flat parts, each between too low and too high."""

    def __init__(self, start: Array) -> None:
        self.at = start.copy()
        self.low, self.high = np.full_like(start, -np.inf), np.full_like(start, np.inf)
        self.under, self.over = np.full_like(start, np.nan), np.full_like(start, np.nan)
        self.turn = 0

    def next(self, some: NDArray[np.intp], values: Array) -> None:
        """Takes the values found for some of them, and says where to look next."""
        at, above = self.at[some], values > 0
        self.high[some], self.over[some] = (
            np.where(above, new, old[some]) for new, old in ((at, self.high), (values, self.over))
        )
        self.low[some], self.under[some] = (
            np.where(above, old[some], new) for new, old in ((at, self.low), (values, self.under))
        )
        low, high, under, over = (each[some] for each in (self.low, self.high, self.under, self.over))
        far = 2.0 ** max(self.turn - 2, 0)
        nearer = np.where(np.abs(under) < over, low, high)
        by = np.where(np.abs(under) < over, under, over)
        guess = (nearer - by, low - under * (high - low) / (over - under), (low + high) / 2)[self.turn % 3]
        guess = np.where((guess > low) & (guess < high), guess, (low + high) / 2)
        alone = at - np.sign(values) * np.minimum(np.abs(values) * far, _FAR)
        self.at[some] = np.where(np.isfinite(low) & np.isfinite(high), guess, alone)
        self.turn += 1


def _counted(totals: Array) -> Array:
    """Moles of the elements without those of which next to nothing is left."""
    return np.where(totals < _LOST * totals.sum(1, keepdims=True), 0.0, totals)


class _Taking:
    """The points on their way."""

    def __init__(self, at: Conditions, totals: Array, metal: str) -> None:
        self.at, self.totals = at, totals.copy()
        phases = at.phases
        self.gases = phases.gases
        self.atoms = phases.system.atoms[: self.gases]
        self.carrier = phases.elements.index(CARRIER)
        self.inert = [each.elements == {CARRIER: 1} for each in phases.species].index(True)
        self.metal = phases.elements.index(metal)
        self.holds = self.atoms[:, self.metal]
        self.product = np.array([set(each.elements) == {metal} for each in phases.species[: self.gases]])
        self.whole = totals[:, self.metal]
        self.gone = np.zeros((len(totals), self.gases))
        self.pressure = np.full(len(totals), _FIRST_PRESSURE)
        self.open = np.ones(len(totals), dtype=bool)  # something of the product still comes
        self.always = np.zeros(len(phases.species), dtype=bool)
        self.always[: self.gases] = self.holds > 0
        self.always[self.inert] = True
        self.few = Few.of(at, np.ones(len(phases.species), dtype=bool))
        trace, every = _TRACE * self.whole, np.arange(len(totals))
        one = self._solved(every[:1], trace[:1], None)  # all others from there, as far as that goes
        before = one.kept(np.zeros(len(totals), dtype=np.intp)) if one.converged[0] else None
        self.few_found = self._solved(every, trace, before)
        self._look()

    def _solved(
        self, points: NDArray[np.intp], carrier: Array, before: PhaseEquilibrium | None, ways: int = WAYS
    ) -> PhaseEquilibrium:
        totals = self._with_carrier(points, carrier)
        if before is not None:
            before.phase_moles[:, 0] = carrier / before.shares[:, self._own_inert]
        return self.few.at.kept(points).solved(
            totals, self.pressure[points], before, before is not None, ways
        )

    def _with_carrier(self, points: NDArray[np.intp], carrier: Array) -> Array:
        totals = _counted(self.totals[points])
        totals[:, self.carrier] = carrier
        return totals

    @property
    def _own_inert(self) -> int:
        """The number of the carrier among the few species."""
        return int(self.few.which[: self.inert].sum())

    @quietly
    def _look(self) -> None:
        """What stands over the charge now, where nothing does, and which species matter."""
        levels = levels_of(self.at, self.few_found, self.pressure)
        if self.few.which.all() or self.few.lacks(levels):
            found = self.few.of_all(self.few_found, levels)
            self.few = Few.enough(self.at, levels, self.always)
            self.few_found = self.few.of_these(found)
        self.found = self.few.of_all(self.few_found, levels)
        self.partial = self.found.shares[:, : self.gases] * self.pressure[:, None]
        self.partial[:, self.inert] = 0.0
        self.own = self.partial[:, self.product].sum(1)
        self.open &= ~(self.own < _NOTHING)

    def _press(self) -> None:
        """A pressure of the carrier that is well above that of the vapour."""
        vapour = self.partial.sum(1)
        over = self.open & ~((self.pressure > _LEAST_ABOVE * vapour) & (self.pressure < _MOST_ABOVE * vapour))
        new = np.where(over & (vapour > 0), _ABOVE * vapour, self.pressure)
        factor = (self.pressure / new)[:, None]
        self.few_found.shares[:, : self.few.at.phases.gases] *= factor
        rest = 1 - (self.few_found.shares[:, : self.few.at.phases.gases].sum(1))
        self.few_found.shares[:, self._own_inert] += rest
        potential = np.log(self.few_found.shares[:, self._own_inert] * new / STANDARD_PRESSURE)
        self.few_found.potentials[:, self.carrier] = potential + self.at.standard[:, self.inert]
        self.pressure = new

    @quietly
    def step(self, share: float, everywhere: bool) -> None:
        """Takes a share of the metal's atoms away, wherever there is something to take.

        Whether another melt would do better is looked for `everywhere`, or only close by.
        """
        wanted = share * self.whole
        self._press()
        then = self.few_found.kept(np.arange(len(wanted)))
        carrier = wanted * self.pressure / self._ahead(wanted, then)
        left = np.flatnonzero(self.open & self.few_found.converged & np.isfinite(carrier))
        brought, search = np.full(len(wanted), np.nan), _Search(np.log(carrier))
        before, gases = then.kept(left), self.few.at.phases.gases
        holds, product = self.holds[self.few.which[: self.gases]], self.product[self.few.which[: self.gases]]
        failed = np.zeros(len(wanted), dtype=np.intp)
        for _ in range(_TURNS):
            found = self._solved(left, np.exp(search.at[left]), before, 1)
            brought[left] = found.moles[:, :gases] @ holds / wanted[left]
            _put(self.few_found, left, found)
            good = found.converged
            off = ~((brought[left] >= 1.0) & (brought[left] <= 1 + _OVER)) & good
            search.next(left[good], np.log(brought[left[good]] / (1 + _OVER / 2)))
            own = found.shares[:, :gases][:, product].sum(1) * self.pressure[left]
            self.open[left[off & (own < _NOTHING) & (brought[left] < 1.0)]] = False
            off &= self.open[left]
            again = left[~good & (failed[left] < len(_AWAY))]
            search.at[again] += np.array(_AWAY)[failed[again]]
            failed[again] += 1
            before = _joined(found.kept(off), then.kept(again))
            left = np.concatenate([left[off], again])
            if not len(left):
                break
        self._take(brought, everywhere)

    def _ahead(self, wanted: Array, then: PhaseEquilibrium) -> Array:
        """Pressure of all that bears the metal when so much of it has left as the vapour is now [Pa].

        What there is then is put where it was, where it is found.
        """
        bearing = self.partial @ self.holds
        elements = (self.partial @ self.atoms) * (wanted / bearing)[:, None]
        some = np.flatnonzero(self.open & self.few_found.converged & np.isfinite(elements).all(1))
        kept, found = self.totals, bearing.copy()
        self.totals = np.maximum(kept - np.nan_to_num(elements), _SPARED * kept)
        new = self._solved(some, _TRACE * self.whole[some], self.few_found.kept(some), 1)
        gases = self.few.at.phases.gases
        there = new.shares[:, :gases] @ self.holds[self.few.which[: self.gases]] * self.pressure[some]
        found[some] = np.where(new.converged, there, bearing[some])
        _put(then, some[new.converged], new.kept(new.converged))
        self.totals = kept
        return np.asarray(found)

    def _take(self, brought: Array, everywhere: bool) -> None:
        good = self.open & self.few_found.converged & (brought >= 1.0) & (brought <= 1 + 2 * _OVER)
        some = np.flatnonzero(good)
        totals = self._with_carrier(some, self.whole[some])
        at, found = self.few.at.kept(some), self.few_found.kept(some)
        good[some] = at.stays_one(found, totals, self.pressure[some], everywhere)
        self.few_found.converged[~good] = False
        start, there = self.partial / (self.partial @ self.holds)[:, None], self.found.phase_moles > 0
        self._look()
        same = (there == (self.found.phase_moles > 0))[:, 1:].all(1)
        gas = self.found.moles[:, : self.gases] / brought[:, None]
        gas[:, self.inert] = 0.0
        gas = self._over_the_step(gas, start, same)
        self.gone = np.where(good[:, None], self.gone + gas, np.nan)
        self.totals = np.where(good[:, None], self.totals - gas @ self.atoms, np.nan)

    def _over_the_step(self, gas: Array, start: Array, same: Mask) -> Array:
        """What leaves in a step, from what does where all of it is as its end.

        Each gas counts by the mean of its pressure over that of the metal at the start and at the end:
        the logarithmic one, or the plain one where it jumps. An element that is soon gone leaves as
        it does at the end. Gases of the metal alone make up for it. Where not the `same` phases are there
        at the end only what is no metal's and rises counts so: what is used up cannot leave twice.
        """
        end = self.partial / (self.partial @ self.holds)[:, None]
        ratio = start / end
        mean = np.where(np.abs(ratio - 1) > 1e-6, (ratio - 1) / np.log(ratio), 1.0)
        mean = np.where((ratio > 1 / _JUMPS) & (ratio < _JUMPS), mean, (1 + ratio) / 2)
        mean = np.where(np.isfinite(mean), mean, 1.0)
        mean = np.where(same[:, None] | ((mean < 1.0) & (self.holds == 0)), mean, 1.0)
        lost = (gas * mean) @ self.atoms > _MOST * self.totals
        lost[:, self.metal] = False
        mean = np.where((lost @ (self.atoms > 0).T) > 0, 1.0, mean)
        others = np.where(self.product, 0.0, gas * mean)
        own = np.where(self.product, gas, 0.0)
        factor = (gas @ self.holds - others @ self.holds) / (own @ self.holds)
        fine = (np.isfinite(factor) & (factor > 0))[:, None]
        return np.where(fine, others + own * factor[:, None], gas)


def _joined(one: PhaseEquilibrium, other: PhaseEquilibrium) -> PhaseEquilibrium:
    names = PhaseEquilibrium.__slots__
    return PhaseEquilibrium(*(np.concatenate([getattr(one, name), getattr(other, name)]) for name in names))


def _put(into: PhaseEquilibrium, points: NDArray[np.intp], found: PhaseEquilibrium) -> None:
    for name in PhaseEquilibrium.__slots__:
        getattr(into, name)[points] = getattr(found, name)


def taken_away(at: Conditions, totals: Array, metal: str, shares: Array) -> Taken:
    """The charge when these shares of a metal's atoms have left it, the first of them next to nothing.

    `totals` are the moles of the elements as they are put in, (samples, elements).
    """
    state = _Taking(at, totals, metal)
    arrays: list[tuple[Array, ...]] = []
    masks: list[tuple[Mask, Mask]] = []
    doubt: dict[str, Mask] = {}
    found: list[PhaseEquilibrium] = []
    for number, share in enumerate(np.diff(shares, prepend=0.0)):
        state.step(float(share), number % _LOOKS == 0)
        shown = state.found.converged.copy()
        known = (shown & state.open)[:, None]
        for species, where in doubtful(at.phases, state.found, at.kelvin, _counted(state.totals)):
            doubt.setdefault(species.name, np.zeros((len(shares), len(totals)), dtype=bool))[number] = where
            known &= ~where[:, None]
        told = (state.partial, state.totals, state.gone, state.found.moles[:, state.gases :])
        arrays.append(tuple(np.where(known, each, np.nan) for each in told))
        masks.append((shown, ~state.open))
        found.append(state.found)
    pressures, left, gone, moles = (np.stack(each) for each in zip(*arrays, strict=True))
    told_of, ended = (np.stack(each) for each in zip(*masks, strict=True))
    return Taken(pressures, left, gone, moles, told_of, ended, doubt, tuple(found))


def standing(at: Conditions, totals: Array, metal: str, before: PhaseEquilibrium, pressure: Array) -> Array:
    """Pressure of the gases that are nothing but a metal over charges at other temperatures [Pa].

    `before` are the charges as they were, `pressure` of their vapour roughly.
    """
    phases = at.phases
    over, rest = _FAR_ABOVE * pressure, _counted(np.where(np.isfinite(totals), totals, 0.0))
    rest[:, phases.elements.index(CARRIER)] = _TRACE * totals[:, phases.elements.index(metal)]
    own = np.array([set(each.elements) == {metal} for each in phases.species[: phases.gases]])
    found = at.solved(rest, over, before)
    known = found.converged & ~in_doubt(phases, found, at.kelvin, rest)
    return np.where(known, found.shares[:, : phases.gases][:, own].sum(1) * over, np.nan)
