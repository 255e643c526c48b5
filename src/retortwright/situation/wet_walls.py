# SPDX-License-Identifier: MIT
"""Newton steps on the walls where vapour lands on them: saturation bends so sharply that steps have to be short.

A cell on which something can land goes no farther in a step than its own limit, which halves when
the cell turns back and grows while it goes on. One that creeps the same way for long goes farther
than its step; in the end it is enough that it hardly moves. What a sample does never depends on the others.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.situation.balance import heat_balance, solved
from retortwright.situation.vapour_exchange import LandingHeat
from retortwright.situation.wall import Wall

__all__ = ["solve_wet"]

_STEPS = 120
_FARTHEST, _SHORTEST = 25.0, 1e-4  # K, of a step
_SHORTER, _LONGER = 0.5, 1.3
_PATIENCE, _ENOUGH, _HARDLY = (
    20,
    40,
    0.25,
)  # steps until a cell is hurried, and until so many kelvin are enough
_WITHIN = (60.0, 2600.0)  # K, for iterates only


def solve_wet(wall: Wall, guess: Array, close: float) -> Array:
    """Temperatures at which every cell balances, from a first guess; nan where none are found."""
    found = guess.copy()
    active = np.arange(guess.shape[1])
    landing = _landing_cells(wall)
    limit = np.full(guess.shape, np.inf)
    limit[landing] = _FARTHEST
    before, gain = np.zeros_like(guess), np.ones_like(guess)
    stride = np.ones(guess.shape[1])
    part = wall
    for number in range(_STEPS):
        balance = heat_balance(part, found[:, active])
        step = solved(balance, balance.residual)
        size = np.sum(before * before, axis=0)
        trend = np.sum(step * before, axis=0) / np.where(size > 0, size, 1.0)
        stride = np.where(trend < -0.5, stride / 2, np.minimum(1.0, 1.5 * stride))
        turned = step[landing] * before[landing] < 0
        limit[landing] = np.clip(limit[landing] * np.where(turned, _SHORTER, _LONGER), _SHORTEST, _FARTHEST)
        if number > _PATIENCE:
            gain[landing] = np.where(turned, 1.0, _LONGER * gain[landing])
        taken = np.clip(stride * gain * step, -limit, limit)
        found[:, active] = np.clip(found[:, active] + taken, *_WITHIN)
        near = np.abs(step)
        if number > _ENOUGH:
            near[landing] *= min(1.0, close / _HARDLY)
        moving = np.logical_not(np.max(near, axis=0) < close)
        if not np.any(moving):
            return found
        before = step
        if not np.all(moving):
            part = part.picked(moving)
            active, stride = active[moving], stride[moving]
            before, limit, gain = before[:, moving], limit[:, moving], gain[:, moving]
    found[:, active] = np.nan
    return found


def _landing_cells(wall: Wall) -> NDArray[np.intp]:
    cells = [each.cells for each in wall.exchanges if isinstance(each, LandingHeat)]
    return np.unique(np.concatenate(cells)) if cells else np.zeros(0, dtype=np.intp)
