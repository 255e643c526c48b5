# SPDX-License-Identifier: MIT
"""From nothing known to nearly the equilibrium of many phases: an interior-point method in the dual.

The equilibrium maximises the sum over the elements of moles times potential while no phase would
grow (h <= 0); the multipliers are the moles of the phases. Every phase keeps a slack s and moles N
with N s a little above nothing, as a share of the most that the elements could make of it, so that
a phase of a trace element is weighed by that trace. All points step together; those that are near
enough drop out. What is left open is which phases exist and the last digits.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.ground.matrices import solved
from retortwright.ground.ranges import Mask
from retortwright.physics.phase_system import Charges, Picture

__all__ = ["Approach", "Rough"]

_STARTS_UNDER = 3.0  # by how much every species lies below its own potential at the start
_REACH = 8.0  # most that a potential changes in one step
_KEEP = 1e-3  # least product of moles and slack that a phase keeps, over the mean
_FLOOR = 1e-14


@dataclass(frozen=True, slots=True)
class Rough:
    """Where the approach ended: potentials of the elements, moles and slacks of the phases, melts."""

    potentials: Array
    moles: Array
    slack: Array
    logs: Array


@dataclass(frozen=True, slots=True)
class Approach:
    """How near to go, in how many steps, and how hard a wide step is damped (less is harder)."""

    gap: float
    imbalance: float
    steps: int
    damping: float

    def rough(self, charges: Charges) -> Rough:
        """Potentials, moles and slacks near the equilibrium of each point."""
        state = _State.at_start(charges)
        found = Rough(*(each.copy() for each in (state.potentials, state.moles, state.slack, state.logs)))
        left = np.arange(len(charges.totals))
        for step in range(self.steps + 1):
            near = (state.gap < self.gap) & (state.imbalance < self.imbalance)
            last = step == self.steps
            if last or near.sum() > len(near) / 16:
                done = np.ones_like(near) if last else near
                for name in ("potentials", "moles", "slack", "logs"):
                    getattr(found, name)[left[done]] = getattr(state, name)[done]
                left = left[~done]
                if not len(left):
                    break
                state = state.kept(~done)
            state.step(self)
        return found


class _State:
    """All that changes on the way, for the points still on it."""

    def __init__(self, charges: Charges, potentials: Array, moles: Array, slack: Array) -> None:
        self.charges, self.potentials, self.moles, self.slack = charges, potentials, moles, slack
        atoms = charges.system.atoms
        self.squares = (atoms[:, :, None] * atoms[:, None, :]).reshape(len(atoms), -1)

    @classmethod
    def at_start(cls, charges: Charges) -> _State:
        """Elements at one potential, so low that no phase would grow, then each raised half way to where one would."""
        system, atoms = charges.system, charges.system.atoms
        lowest = ((charges.standard - _STARTS_UNDER) / atoms.sum(1)).min(1)
        potentials = np.repeat(lowest[:, None], atoms.shape[1], axis=1)
        levels = potentials @ atoms.T - charges.standard
        for element in [*np.argsort(-charges.totals.mean(0))] * 2:
            has = np.flatnonzero(atoms[:, element])
            room = ((-_STARTS_UNDER - levels[:, has]) / atoms[has, element]).min(1) / 2
            potentials[:, element] += room
            levels += room[:, None] * atoms[:, element]
        logs = np.clip(levels, -50.0, 0.0)
        for part in system.slices:
            logs[:, part] -= np.log(np.exp(logs[:, part]).sum(1, keepdims=True))
        slack = np.maximum(-Picture.at(charges, atoms, potentials, logs, 8).excess, 1.0)
        moles = 5.0 / system.phases * charges.most / slack
        state = cls(charges, potentials, moles, slack)
        state._look(logs)
        state._measure()
        return state

    @property
    def logs(self) -> Array:
        """Of the shares in the melts."""
        return self.picture.logs

    def kept(self, which: Mask) -> _State:
        """The points still on the way."""
        parts = (each[which] for each in (self.potentials, self.moles, self.slack))
        kept = _State(self.charges.kept(which), *parts)
        kept.picture = self.picture.kept(kept.charges, which)
        kept._measure()
        return kept

    def _look(self, logs: Array) -> None:
        charges = self.charges
        self.picture = Picture.at(charges, charges.system.atoms, self.potentials, logs)

    def _measure(self) -> None:
        charges = self.charges
        self.left = charges.totals - self.picture.in_phases(self.moles)
        scale = np.where(charges.totals > 0, charges.totals, 1.0)
        self.imbalance = (np.abs(self.left) / scale).max(1)
        self.gap = (self.moles * self.slack / charges.most).mean(1)

    def step(self, how: Approach) -> None:
        """One step of Newton's method towards a smaller product of moles and slack."""
        most, moles, slack = self.charges.most, self.moles, self.slack
        near = (self.imbalance < 0.1) & (np.abs(self.picture.excess + slack).max(1) < 0.1)
        aim = np.maximum(np.where(near, 0.02, 0.3) * self.gap, 0.1 * how.gap)[:, None] * most
        change, grown, more = self._newton(aim, how.damping)
        less = -(self.picture.excess + slack) - grown
        edge = np.maximum(0.995, 1 - self.gap)
        reach = np.minimum(1.0, _REACH / np.maximum(np.abs(change).max(1), 1e-9))
        reach = np.minimum(reach, edge * _room(slack, less))[:, None]
        stride = np.minimum(1.0, edge * _room(moles, more))[:, None]
        self.potentials = self.potentials + reach * change
        self.moles, self.slack = moles + stride * more, slack + reach * less
        self._look(self.logs)
        many = len(self.charges.system.mixed)
        own = -self.picture.excess[:, :many]  # curved: the straight step leaves more slack than there is
        self.slack[:, :many] = np.where(own > 1e-9, own, self.slack[:, :many])
        gap = (self.moles * self.slack / most).mean(1)
        self.moles = np.maximum(self.moles, _KEEP * gap[:, None] * most / self.slack)
        self._measure()

    def _newton(self, aim: Array, damping: float) -> tuple[Array, Array, Array]:
        """Changes of the potentials, of h, and of the moles.

        The phases that most likely exist keep their moles as unknowns beside the potentials, as many
        as there are elements; the others are eliminated.
        """
        moles, slack, most, excess = self.moles, self.slack, self.charges.most, self.picture.excess
        elements, mixed = self.potentials.shape[1], len(self.charges.system.mixed)
        many = min(elements, moles.shape[1])
        weight = moles / slack
        top = np.argpartition(-weight / most, many - 1, axis=1)[:, :many]
        others, row = np.ones(moles.shape, dtype=bool), np.arange(len(moles))[:, None]
        others[row, top] = False
        bent = self.picture.curvature(moles, self.squares, np.where(others, weight, 0.0)[:, mixed:])
        held, heavy = self.picture.held, np.where(others, weight, 0.0)[:, :mixed]
        bent = bent + np.matmul(held.transpose(0, 2, 1) * heavy[:, None, :], held)
        push = np.where(others, (aim + moles * excess) / slack, 0.0)
        right = self.left - self.picture.in_phases(push)
        scale = 1 / np.sqrt(np.where(self.charges.totals > 0, self.charges.totals, 1.0))
        rows = self.picture.held_by(top)
        unit = np.sqrt(most[row, top])
        matrix = np.zeros((len(moles), elements + many, elements + many))
        matrix[:, :elements, :elements] = bent * scale[:, :, None] * scale[:, None, :]
        one, two = np.arange(elements), elements + np.arange(many)
        matrix[:, one, one] += _FLOOR + np.abs(self.left) * scale**2 / damping
        matrix[:, elements:, :elements] = rows * unit[:, :, None] * scale[:, None, :]
        matrix[:, :elements, elements:] = matrix[:, elements:, :elements].transpose(0, 2, 1)
        matrix[:, two, two] = -(slack * most / moles)[row, top]
        side = -(excess + aim / moles)[row, top] * unit
        found = solved(matrix, np.concatenate([right * scale, side], axis=1))
        change = found[:, :elements] * scale
        grown = self.picture.grown(change)
        more = weight * (grown + excess) + aim / slack
        more[row, top] = found[:, elements:] * unit
        return change, grown, more


def _room(value: Array, by: Array) -> Array:
    """How many steps of so much there are until the first of some values is used up."""
    return np.asarray(1 / np.maximum((-by / value).max(1), 1e-9))
