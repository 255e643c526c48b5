# SPDX-License-Identifier: MIT
"""A charge from which vapour is taken away: step by step, every volatile thing in proportion.

In each step some volumes of vapour leave that are in equilibrium with what stays. A trace of argon
carries them: n moles of it under a pressure P take n p / (P - sum of p) moles of each gas along, as
many as bring the wanted atoms; it is no part of the charge. What leaves and what stays add up to what
there was in every step. A step so large that a gas would be gone half way is no trouble: what is
left of it stays positive.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.ground.ranges import Mask, quietly
from retortwright.physics.phase_equilibrium import PhaseEquilibrium
from retortwright.situation.any_charge import Conditions, in_doubt

__all__ = ["CARRIER", "Taken", "standing", "taken_away"]

CARRIER = "Ar"
_FIRST_PRESSURE = 1e7  # Pa, of the carrier over a charge of which nothing is known yet
_TRACE = 1e-7  # of the wanted metal: moles of carrier there
_ABOVE = 30.0  # pressure of the carrier over that of the vapour
_LOST = 1e-14  # share of all atoms: of an element of which less is left nothing is reckoned
_FAR_ABOVE = 3000.0  # the same, where it may be hotter
_TURNS = 24  # to find how much carrier brings what is wanted
_FAR = 5.0  # most that the logarithm of the carrier changes while only one side is known
_OVER = 2e-4  # by how much what is brought may be more than is wanted
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
    doubt: Mask  # (steps, samples): where a species without data might be there
    found: tuple[PhaseEquilibrium, ...]  # of each step, where all of it is kept


class _Search:
    """Where rising curves cross zero, of slope one but for flat parts, each between too low and too high."""

    def __init__(self, start: Array) -> None:
        self.at = start.copy()
        self.low, self.high = np.full_like(start, -np.inf), np.full_like(start, np.inf)
        self.under, self.over = np.full_like(start, np.nan), np.full_like(start, np.nan)
        self.turn = 0

    def next(self, some: Array, values: Array) -> None:
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


class _Taking:
    """The points on their way."""

    def __init__(self, at: Conditions, totals: Array, metal: str) -> None:
        self.at, self.totals = at, totals.copy()
        phases = at.phases
        self.gases = phases.gases
        self.atoms = phases.system.atoms[: self.gases]
        self.carrier = phases.elements.index(CARRIER)
        self.inert = [each.elements == {CARRIER: 1} for each in phases.species].index(True)
        self.holds = self.atoms[:, phases.elements.index(metal)]
        self.product = np.array([set(each.elements) == {metal} for each in phases.species[: self.gases]])
        self.whole = totals[:, phases.elements.index(metal)]
        self.gone = np.zeros((len(totals), self.gases))
        self.pressure = np.full(len(totals), _FIRST_PRESSURE)
        self.open = np.ones(len(totals), dtype=bool)  # something of the product still comes
        self.found = self._solved(np.arange(len(totals)), _TRACE * self.whole, None)
        self._look()

    def _solved(self, points: Array, carrier: Array, before: PhaseEquilibrium | None) -> PhaseEquilibrium:
        totals = self.totals[points].copy()
        totals[totals < _LOST * totals.sum(1, keepdims=True)] = 0.0
        totals[:, self.carrier] = carrier
        return self.at.kept(points).solved(totals, self.pressure[points], before)

    def _partial(self) -> Array:
        """Pressure of each gas [Pa]."""
        gas = self.found.shares[:, : self.gases] * self.pressure[:, None]
        gas[:, self.inert] = 0.0
        return gas

    @quietly
    def _look(self) -> None:
        """What stands over the charge now, and where nothing does."""
        self.partial = self._partial()
        self.own = self.partial[:, self.product].sum(1)
        self.open &= ~(self.own < _NOTHING)

    @quietly
    def step(self, share: float) -> None:
        """Takes a share of the metal's atoms away, wherever there is something to take."""
        wanted = share * self.whole
        self.pressure = np.where(self.open, _ABOVE * self.partial.sum(1), self.pressure)
        bearing = self.partial @ self.holds
        carrier = wanted * (self.pressure - self.partial.sum(1)) / bearing
        left = np.flatnonzero(self.open & self.found.converged & np.isfinite(carrier))
        brought = np.full(len(wanted), np.nan)
        search = _Search(np.log(carrier))
        before = self.found.kept(left)
        for _ in range(_TURNS):
            found = self._solved(left, np.exp(search.at[left]), before)
            brought[left] = found.moles[:, : self.gases] @ self.holds / wanted[left]
            self._put(left, found)
            good = found.converged
            off = ~((brought[left] >= 1.0) & (brought[left] <= 1 + _OVER)) & good
            search.next(left[good], np.log(brought[left[good]] / (1 + _OVER / 2)))
            own = found.shares[:, : self.gases][:, self.product].sum(1) * self.pressure[left]
            self.open[left[off & (own < _NOTHING) & (brought[left] < 1.0)]] = False
            off &= self.open[left]
            left, before = left[off], found.kept(off)
            if not len(left):
                break
        self._take(brought)
        self._look()

    def _put(self, points: Array, found: PhaseEquilibrium) -> None:
        for name in PhaseEquilibrium.__slots__:
            getattr(self.found, name)[points] = getattr(found, name)

    def _take(self, brought: Array) -> None:
        good = self.open & self.found.converged & (brought >= 1.0) & (brought <= 1 + 10 * _OVER)
        gas = self.found.moles[:, : self.gases] / brought[:, None]
        gas[:, self.inert] = 0.0
        self.gone = np.where(good[:, None], self.gone + gas, np.nan)
        self.totals = np.where(good[:, None], self.totals - gas @ self.atoms, np.nan)
        self.found.converged[~good] = False


def taken_away(at: Conditions, totals: Array, metal: str, shares: Array) -> Taken:
    """The charge when these shares of a metal's atoms have left it, the first of them next to nothing.

    `totals` are the moles of the elements as they are put in, (samples, elements).
    """
    state = _Taking(at, totals, metal)
    parts: list[tuple[Array, ...]] = []
    found: list[PhaseEquilibrium] = []
    for share in np.diff(shares, prepend=0.0):
        state.step(float(share))
        shown = state.found.converged.copy()
        doubt = in_doubt(at.phases, state.found, at.kelvin, state.totals) & shown
        known = (shown & ~doubt & state.open)[:, None]
        moles = state.found.moles[:, state.gases :]
        told = (state.partial, state.totals, state.gone, moles)
        parts.append((*(np.where(known, each, np.nan) for each in told), shown, ~state.open, doubt))
        found.append(state.found.kept(np.arange(len(totals))))
    return Taken(*(np.stack(each) for each in zip(*parts, strict=True)), tuple(found))


def standing(at: Conditions, totals: Array, metal: str, before: PhaseEquilibrium, pressure: Array) -> Array:
    """Pressure of the gases that are nothing but a metal over charges at other temperatures [Pa].

    `before` are the charges as they were, `pressure` of their vapour roughly.
    """
    phases = at.phases
    over, rest = _FAR_ABOVE * pressure, np.where(np.isfinite(totals), totals, 0.0)
    rest[rest < _LOST * rest.sum(1, keepdims=True)] = 0.0
    rest[:, phases.elements.index(CARRIER)] = _TRACE * totals[:, phases.elements.index(metal)]
    own = np.array([set(each.elements) == {metal} for each in phases.species[: phases.gases]])
    found = at.solved(rest, over, before)
    known = found.converged & ~in_doubt(phases, found, at.kelvin, rest)
    return np.where(known, found.shares[:, : phases.gases][:, own].sum(1) * over, np.nan)
