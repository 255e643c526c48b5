# SPDX-License-Identifier: MIT
"""Newton steps on the walls where vapour lands on them: saturation bends so sharply that steps have to be short.

A cell on which something can land goes no farther in a step than its own limit, which halves when
the cell turns back and grows while it goes on. In the end it is enough that it hardly moves: where
neighbours take what lands from each other, nothing else feels it. What a sample does never depends
on the others.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.situation.balance import heat_balance, solved
from retortwright.situation.vapour_exchange import LandingHeat
from retortwright.situation.wall import Wall

__all__ = ["FARTHEST", "WetSteps", "solve_wet"]

FARTHEST = 25.0  # K, of a step
_SHORTEST = 1e-4
_SHORTER, _LONGER = 0.5, 1.3
_HARDLY, _SLIGHTLY = 0.25, 0.05  # K, of cells on which something lands and of all others
_REMEMBERED, _ONE_WAY = 0.7, 0.8  # a cell that goes one way for five steps is not one that swings
_EVEN = 0.05  # W, that may be left over on all cells on which something lands
_WITHIN = (60.0, 2600.0)  # K, for iterates only


@dataclass(frozen=True, slots=True)
class WetSteps:
    """How far to go: the last step [K], and after how many steps it is enough that nothing moves much,
    and after how many it ends anyway."""

    close: float
    exact: int
    most: int


def solve_wet(wall: Wall, guess: Array, limit: Array, steps: WetSteps) -> tuple[Array, NDArray[np.bool_]]:
    """Temperatures at which every cell balances, from a first guess, and the samples that came to rest.

    `limit` (cells, samples) is how far a cell on which something lands may go [K]; it is kept up to date.
    """
    found = guess.copy()
    active = np.arange(guess.shape[1])
    rested = np.zeros(guess.shape[1], dtype=bool)
    landing = _landing_cells(wall)
    before, stride = np.zeros_like(guess), np.ones(guess.shape[1])
    way = np.zeros((len(landing), guess.shape[1]))
    part = wall
    for number in range(steps.most):
        balance = heat_balance(part, found[:, active])
        step = solved(balance, balance.residual)
        size = np.sum(before * before, axis=0)
        trend = np.sum(step * before, axis=0) / np.where(size > 0, size, 1.0)
        stride = np.where(trend < -0.5, stride / 2, np.minimum(1.0, 1.5 * stride))
        turned = step[landing] * before[landing] < 0
        signs = np.sign(step[landing])
        way = _REMEMBERED * way + (1.0 - _REMEMBERED) * signs if number else signs
        far = limit[np.ix_(landing, active)] * np.where(turned, _SHORTER, _LONGER)
        far = np.clip(far, _SHORTEST, FARTHEST)
        limit[np.ix_(landing, active)] = far
        taken = stride * step
        taken[landing] = np.clip(taken[landing], -far, far)
        found[:, active] = np.clip(found[:, active] + taken, *_WITHIN)
        near, close = np.abs(step), steps.close
        if number >= steps.exact:
            swings = np.abs(way) < _ONE_WAY
            near[landing] = np.where(swings, np.abs(taken[landing]), near[landing]) * _SLIGHTLY / _HARDLY
            close = max(close, _SLIGHTLY)
        uneven = np.abs(np.cumsum(balance.residual[landing], axis=0)[-1]) if len(landing) else 0.0
        moving = np.logical_not((np.max(near, axis=0) < close) & (uneven < _EVEN))
        rested[active] = ~moving
        if not np.any(moving):
            break
        before = step
        if not np.all(moving):
            part = part.picked(moving)
            active, stride = active[moving], stride[moving]
            before, way = before[:, moving], way[:, moving]
    return found, rested


def _landing_cells(wall: Wall) -> NDArray[np.intp]:
    cells = [each.cells for each in wall.exchanges if isinstance(each, LandingHeat)]
    return np.unique(np.concatenate(cells)) if cells else np.zeros(0, dtype=np.intp)
