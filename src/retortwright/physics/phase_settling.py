# SPDX-License-Identifier: MIT
"""From nearly there to the equilibrium of many phases: Newton's method on the phases that exist.

Each point gets its own components: as many independent species as it has elements, those there is
most of. In them a trace stands alone in its row and an element that only comes in a fixed ratio to
another balances to nothing at all, so that neither drowns in the rounding of what there is much of.
A phase that comes out with less than nothing is dropped, one that would grow is added, until the
phases that are there are even, those that are not would not grow, and every row balances. Where the
phases leave a potential open it stays where it was, and the species that hang on it are marked.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.ground.matrices import solved, times
from retortwright.ground.ranges import Mask
from retortwright.physics.phase_approach import Rough
from retortwright.physics.phase_system import ABSENT, Charges, Picture

__all__ = ["MOST_STEPS", "UNITS", "Settled"]

MOST_STEPS = 80
UNITS = {"MOST_STEPS": "1"}
_CANDIDATES = 4  # species for each component, before all are tried
_REACH = 4.0  # most that a potential changes in one step
_DAMPING = 30.0
_EVEN = 1e-11  # of h of the phases there are, and of the balance of each row
_GROWS = 1e-10  # h of a phase that would grow
_GROWS_FAR = 3.0  # h of a phase that is added at once
_ROUNDING = 1e-14  # of a total, below which it is nothing
_FELT = 1e-10  # of the rarest element: so much of it is not lost for the sake of rounding
_WILD = 1e6  # moles over all there are of the elements, from where no way leads back
_LITTLE = 1e-12  # of all atoms: a balance of less is a matter of rounding
_TINY = 1e-200


@dataclass(frozen=True, slots=True)
class Settled:
    """Where the steps ended."""

    potentials: Array  # of the elements over R T
    moles: Array  # of each phase
    shares: Array  # of each species in its phase
    excess: Array  # h of each phase
    uneven: Array  # of the species in the melts, the worst
    done: Mask
    open: Mask  # whether nothing that is there fixes the potential of a species, (points, species)

    @classmethod
    def of(cls, charges: Charges, rough: Rough, steps: int = MOST_STEPS) -> Settled:
        """The equilibrium of each point from nearly there."""
        state = _State.begun(charges, rough)
        points, elements = charges.totals.shape
        nothing = np.full((points, elements), np.nan)
        found = cls(
            nothing, rough.moles.copy(), np.ones_like(rough.logs), rough.slack.copy(), np.zeros(points),
            np.zeros(points, dtype=bool), np.ones(rough.logs.shape, dtype=bool),
        )  # fmt: skip
        left = np.arange(points)
        for step in range(steps + 1):
            settled, lost = state.judged()
            over = np.ones_like(settled) if step == steps else settled | lost
            if over.sum() > len(over) / 16:
                place = left[over]
                found.potentials[place] = times(state.own[over], state.rows.back[over].transpose(0, 2, 1))
                found.moles[place], found.shares[place] = state.moles[over], state.picture.shares[over]
                found.excess[place], found.uneven[place] = (
                    state.picture.excess[over],
                    state.picture.uneven[over],
                )
                found.done[place], found.open[place] = settled[over], state.open[over]
                left = left[~over]
                if not len(left):
                    break
                state = state.kept(~over)
            state.step()
        return found


def _components(atoms: Array, amounts: Array) -> NDArray[np.intp]:
    """For each point as many independent species as there are elements, those there is most of."""
    rank = np.log(np.maximum(amounts, 1e-250) * np.abs(atoms).sum(1))
    many = min(_CANDIDATES * atoms.shape[1], len(atoms))
    most = np.argpartition(-rank, many - 1, axis=1)[:, :many]
    row = np.arange(len(rank))[:, None]
    chosen, enough = _independent(atoms[most], rank[row, most])
    found = most[row, chosen]
    if not enough.all():
        few = np.flatnonzero(~enough)
        every = np.broadcast_to(atoms, (len(few), *atoms.shape))
        found[few] = _independent(every, rank[few])[0]
    return found


def _independent(atoms: Array, rank: Array) -> tuple[NDArray[np.intp], Mask]:
    """For each point the independent species of highest rank, and whether there were enough of them."""
    points, _, elements = atoms.shape
    rest, row = atoms.copy(), np.arange(points)
    chosen, enough = np.empty((points, elements), dtype=np.intp), np.ones(points, dtype=bool)
    for number in range(elements):
        open_to = np.where(np.abs(rest).max(2) > 1e-9, rank, -np.inf)
        best = open_to.argmax(1)
        chosen[:, number], enough = best, enough & np.isfinite(open_to[row, best])
        pivot = rest[row, best]
        column = np.abs(pivot).argmax(1)
        over = np.where(enough, pivot[row, column], 1.0)
        factor = np.take_along_axis(rest, column[:, None, None], axis=2)[:, :, 0] / over[:, None]
        rest = rest - factor[:, :, None] * pivot[:, None, :]
        rest[np.abs(rest) < 1e-10] = 0
    return chosen, enough


def _inverses(matrix: Array) -> tuple[Array, Array, Array]:
    """Inverses of matrices of whole numbers, and the whole numbers and determinants they are ratios of."""
    unit = np.round(np.linalg.det(matrix))
    whole = np.round(np.linalg.inv(matrix) * unit[:, None, None])
    return whole / unit[:, None, None], whole, unit


def _summed(totals: Array, whole: Array, unit: Array) -> Array:
    """Totals of the components, summed with more digits than they come with: most of it cancels."""
    long = (totals.astype(np.longdouble)[:, :, None] * whole.astype(np.longdouble)).sum(1)
    return np.asarray(long / unit[:, None], dtype=np.float64)


@dataclass(frozen=True, slots=True)
class _Rows:
    """What is to be balanced: the components of each point."""

    charges: Charges
    atoms: Array  # (points, species, components)
    totals: Array  # of the components
    back: Array  # (points, elements, components): potentials of the elements from those of the components

    def kept(self, which: Mask | NDArray[np.intp]) -> _Rows:
        """The same for some of the points."""
        charges = self.charges.kept(which)
        return _Rows(charges, self.atoms[which], self.totals[which], self.back[which])


class _State:
    """All that changes on the way, for the points still on it. Rows are those of the components."""

    def __init__(self, rows: _Rows, own: Array, moles: Array, there: Mask, picture: Picture) -> None:
        self.rows, self.picture = rows, picture
        self.own = own  # potentials of the components
        self.moles, self.there = moles, there  # of each phase, and whether it exists

    @classmethod
    def begun(cls, charges: Charges, rough: Rough) -> _State:
        """The state to begin with, and which phases most likely exist."""
        system = charges.system
        picture = Picture.at(charges, system.atoms, rough.potentials, rough.logs, 12)
        amounts = system.by_species(rough.moles, picture.shares)
        chosen = _components(system.atoms, amounts)
        back, whole, unit = _inverses(system.atoms[chosen])
        atoms = np.matmul(system.atoms[None], back)
        atoms[np.abs(atoms) < 1e-9] = 0
        totals = _summed(charges.totals, whole, unit)
        rarest = np.where(charges.totals > 0, charges.totals, np.inf).min(1)[:, None]
        least = np.minimum(_ROUNDING * times(charges.totals, np.abs(back)), _FELT * rarest)
        totals[np.abs(totals) < least] = 0
        own = np.matmul(system.atoms[chosen], rough.potentials[:, :, None])[:, :, 0]
        # A phase exists if it carries a share of some row that is larger than its slack.
        flow = np.abs(totals) + times(amounts, np.abs(atoms))
        picture = Picture.at(charges, atoms, own, picture.logs)
        held = np.abs(picture.all_held) * rough.moles[:, :, None]
        carried = (held / np.maximum(flow, _TINY)[:, None, :]).max(2)
        likely = np.where(carried > rough.slack, carried / rough.slack, 0.0)
        order = np.argsort(np.argsort(-likely, axis=1), axis=1)
        there = (likely > 0) & (order < totals.shape[1])
        moles = np.where(there, rough.moles, 0.0)
        return cls(_Rows(charges, atoms, totals, back), own, moles, there, picture)

    def kept(self, which: Mask | NDArray[np.intp]) -> _State:
        """The points still on the way."""
        rows = self.rows.kept(which)
        picture = self.picture.kept(rows.charges, which)
        return _State(rows, self.own[which], self.moles[which], self.there[which], picture)

    @property
    def flow(self) -> Array:
        """What goes through each row, in moles."""
        amounts = self.rows.charges.system.by_species(np.abs(self.moles), self.picture.shares)
        return np.abs(self.rows.totals) + times(amounts, np.abs(self.rows.atoms))

    @property
    def open(self) -> Mask:
        """Whether a species is made of a component that next to nothing is made of."""
        little = self.flow < _LITTLE * self.rows.charges.totals.sum(1)[:, None]
        made = (np.abs(self.rows.atoms) > 0) & little[:, None, :]
        there = self.rows.charges.standard < ABSENT
        return np.asarray(made.any(2) & there, dtype=bool)

    def judged(self) -> tuple[Mask, Mask]:
        """Which points have settled and which are lost; phases come and go at the others."""
        excess = self.picture.excess
        left = self.rows.totals - self.picture.in_phases(self.moles)
        off = (np.abs(left) / np.maximum(self.flow, _TINY)).max(1)
        lost = ~np.isfinite(off) | ~np.isfinite(excess).all(1)
        even = (off < _EVEN) & (np.abs(np.where(self.there, excess, 0.0)).max(1) < _EVEN)
        even &= self.picture.uneven < _EVEN
        below, grows = self.there & (self.moles < 0), ~self.there & (excess > _GROWS)
        shrinks = below & (excess < -_GROWS)
        settled = even & ~below.any(1) & ~grows.any(1)
        drops = (even & below.any(1)) | shrinks.any(1)
        self._drop(np.flatnonzero(drops))
        room = self.there.sum(1) < self.rows.totals.shape[1]
        adds = (even & ~drops & grows.any(1)) | (~even & room & (grows & (excess > _GROWS_FAR)).any(1))
        self._add(np.flatnonzero(adds & ~lost))
        wild = (np.abs(self.moles) > _WILD * self.rows.charges.totals.sum(1)[:, None]).any(1)
        return settled, lost | wild | (self.there.sum(1) > self.rows.totals.shape[1])

    def _drop(self, points: NDArray[np.intp]) -> None:
        share = np.where(self.there, self.moles / self.rows.charges.most, 0.0)[points]
        phase = share.argmin(1)
        self.there[points, phase], self.moles[points, phase] = False, 0.0

    def _add(self, points: NDArray[np.intp]) -> None:
        """The phase that would grow most; where others make it up, it takes the place of one of them."""
        if not len(points):
            return
        some = self.kept(points)
        phase = np.where(some.there, -np.inf, some.picture.excess).argmax(1)
        row, size = np.arange(len(points)), self.rows.totals.shape[1]
        top = np.argsort(~some.there, axis=1, kind="stable")[:, :size]
        on = some.there[row[:, None], top]
        rows = some.picture.held_by(top) * on[:, :, None]
        new = some.picture.held_by(phase[:, None])[:, 0]
        unit = np.where(on, 1 / np.sqrt(np.maximum((rows**2).sum(2), 1e-250)), 1.0)
        rows, long = rows * unit[:, :, None], np.sqrt((new**2).sum(1))
        new = new / long[:, None]
        square = np.matmul(rows, rows.transpose(0, 2, 1)) + 1e-14 * np.eye(top.shape[1])
        parts = solved(square, np.matmul(rows, new[:, :, None])[:, :, 0])
        rest = np.abs(new - np.matmul(parts[:, None, :], rows)[:, 0]).max(1)
        parts = parts * unit * long[:, None]  # moles of each that make up a mole of the new one
        moles = some.moles[row[:, None], top]
        with np.errstate(divide="ignore", invalid="ignore"):
            lasts = np.where(on & (parts > 1e-9 * np.abs(parts).max(1)[:, None]), moles / parts, np.inf)
        first = np.maximum(lasts, 0.0).argmin(1)
        made_up = ((rest < 1e-7) | (on.sum(1) >= size)) & np.isfinite(lasts[row, first])
        self.there[points, phase] = True
        self.moles[points, phase] = 1e-16 * self.rows.charges.most[points, phase]
        who, gone = points[made_up], top[row, first][made_up]
        amount = np.maximum(lasts[row, first], 0.0)[made_up]
        taken = np.where(on, parts, 0.0)[made_up] * amount[:, None]
        self.moles[who[:, None], top[made_up]] -= taken
        self.moles[who, phase[made_up]] = amount
        self.there[who, gone], self.moles[who, gone] = False, 0.0

    def step(self) -> None:
        """One step of Newton's method in the potentials and the moles of the phases that exist."""
        many = self.rows.totals.shape[1]
        top = np.argsort(~self.there, axis=1, kind="stable")[:, :many]
        many = top.shape[1]
        row = np.arange(len(top))[:, None]
        on = self.there[row, top]
        left = self.rows.totals - self.picture.in_phases(self.moles)
        bent = self.picture.curvature(np.abs(self.moles), None, None)
        scale = 1 / np.sqrt(np.maximum(self.flow, _TINY))
        rows = self.picture.held_by(top) * on[:, :, None]
        rows = rows * scale[:, None, :]
        unit = np.where(on, 1 / np.sqrt(np.maximum((rows**2).max(2), 1e-250)), 1.0)
        size = scale.shape[1]
        matrix = np.zeros((len(left), size + many, size + many))
        matrix[:, :size, :size] = bent * scale[:, :, None] * scale[:, None, :]
        one, two = np.arange(size), size + np.arange(many)
        matrix[:, one, one] += 1e-15 + np.abs(left) * scale**2 / _DAMPING
        matrix[:, size:, :size] = rows * unit[:, :, None]
        matrix[:, :size, size:] = matrix[:, size:, :size].transpose(0, 2, 1)
        matrix[:, two, two] = np.where(on, -1e-15, 1.0)
        side = np.where(on, -unit * self.picture.excess[row, top], 0.0)
        found = solved(matrix, np.concatenate([left * scale, side], axis=1))
        change = found[:, :size] * scale
        reach = np.minimum(1.0, _REACH / np.maximum(np.abs(change).max(1), 1e-9))[:, None]
        more = np.zeros_like(self.moles)
        more[row, top] = np.where(on, found[:, size:] * unit, 0.0)
        self.own = self.own + reach * change
        self.moles = self.moles + reach * more
        self.picture = Picture.at(self.rows.charges, self.rows.atoms, self.own, self.picture.logs, 12)
