# SPDX-License-Identifier: MIT
"""Newton steps to walls and vapour that agree, all samples at once.

Heat into every cell is nothing, the dew point in the retort is what the walls along the ways make it, and each
arm takes what can come or is full. Where vapour lands saturation bends sharply and what lands moves
from cell to cell: steps that swing to and fro are shortened. What a sample does never depends on
the others; one that has come to rest is left alone.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.situation.blocks import Kept
from retortwright.situation.exchange import FullPower
from retortwright.situation.vapour import VapourWork
from retortwright.situation.vapour_step import Move, StepWork
from retortwright.situation.vapour_together import Seen, Together, added, hotter
from retortwright.situation.wall import Wall

__all__ = ["WetSteps", "solve_wet"]

_SWINGS, _SHORT = -0.3, 0.2  # trend of steps below which they are halved, and the least share of one
_FEW = 0.7  # share of samples that still move, below which the others are laid aside
_HOLDS = ("room", "chamber", "holds", "bath", "inlet")  # what temperatures are called that surroundings hold
_BEYOND, _HOTTEST = 30.0, 2600.0  # K


@dataclass(frozen=True, slots=True)
class WetSteps:
    """How far to go: the last step [K], how far arms may be off [1], after how many it ends anyway."""

    close: float
    off: float
    most: int


def _bounds(wall: Wall, work: VapourWork) -> tuple[Array, Array]:
    """What no wall can be colder or hotter than [K], (samples,): all that cools, all that heats."""
    around = [np.broadcast_to(work.stream.room, work.stream.room.shape)]
    for exchange in wall.exchanges:
        for name in _HOLDS:
            held = getattr(exchange, name, None)
            if held is not None:
                around.append(np.broadcast_to(np.asarray(held, dtype=np.float64), work.stream.room.shape))
    low, high = np.min(around, axis=0) - _BEYOND, np.max([*around, work.stream.temperature], axis=0) + _BEYOND
    free = any(isinstance(exchange, FullPower) for exchange in wall.exchanges)
    return low, np.full_like(high, _HOTTEST) if free else high


def solve_wet(wall: Wall, work: VapourWork, start: Together, steps: WetSteps) -> None:
    """Steps from a start until every sample has come to rest, or the steps run out; the start is kept up to date.

    Samples that do not come to rest are tried once more from walls as hot as vapour can make them.
    """
    _from(wall, work, start, steps)
    lost = np.flatnonzero(start.known & ~start.rested)
    if len(lost):
        part = work.part(lost)
        again = hotter(part, start.part(lost))
        _from(wall.picked(start.known & ~start.rested), part, again, steps)
        start.put(lost, again)
        work.keep(lost, part)


def _from(wall: Wall, work: VapourWork, start: Together, steps: WetSteps) -> None:
    """The same from one start."""
    active = np.flatnonzero(start.known)
    if not len(active):
        return
    low, high = (each[active] for each in _bounds(wall, work))
    course = _Course(wall.picked(start.known), work.part(active), start.part(active), low, high)
    for _ in range(steps.most):
        course.go(steps)
        moving = ~course.now.rested
        if not np.any(moving):
            break
        if np.mean(moving) < _FEW:
            start.put(active, course.now)
            work.keep(active, course.work)
            active = active[moving]
            course.pick(moving)
    start.put(active, course.now)
    work.keep(active, course.work)


class _Course:
    """Some samples on their way."""

    def __init__(self, wall: Wall, work: VapourWork, now: Together, low: Array, high: Array) -> None:
        self.wall, self.work, self.now, self.low, self.high = wall, work, now, low, high
        self.before = np.zeros_like(now.temperature)
        self.stride = np.ones(len(now.dew))
        self.kept = Kept()

    def pick(self, keep: NDArray[np.bool_]) -> None:
        """Go on with some of the samples."""
        some = np.flatnonzero(keep)
        self.wall, self.work, self.now = self.wall.picked(keep), self.work.part(some), self.now.part(some)
        self.low, self.high, self.stride = self.low[some], self.high[some], self.stride[some]
        self.before = self.before[:, some]
        self.kept.pick(keep)

    def go(self, steps: WetSteps) -> None:
        """One step; samples that are at rest stay as they are."""
        now = self.now
        seen = Seen(self.work, now)
        step = StepWork(seen, self.wall)
        move = step.move(self.kept)
        near = np.max(np.abs(move.whole), axis=0)
        trend = added(move.walls * self.before) / np.maximum(added(self.before * self.before), 1e-12)
        longer = np.minimum(1.0, 1.5 * self.stride)
        self.stride = np.where(trend < _SWINGS, np.maximum(self.stride / 2, _SHORT), longer)
        self.before = move.walls
        rests = (near < steps.close) & (np.abs(move.dew) < steps.close) & seen.fits(steps.off)
        self._take(move, seen, rests)

    def _take(self, move: Move, seen: Seen, rests: NDArray[np.bool_]) -> None:
        """Take a step in the samples that are not at rest; frost is tried where liquid does not agree."""
        now, melts = self.now, self.work.stream.melts
        going = ~now.rested * self.stride
        frost = rests & ~now.rested & now.wet & (now.dew < melts)
        now.temperature = np.clip(now.temperature + going * move.walls, self.low, self.high)
        now.dew = np.clip(now.dew + going * move.dew, self.low, seen.highest)
        now.steep = np.maximum(now.steep + going * move.steep, 0.0)
        now.rounds = np.where(now.rested, now.rounds, seen.rounds)
        now.condensed = np.where(now.rested, now.condensed, seen.condensed)
        now.steps = now.steps + ~now.rested
        now.wet = now.wet & ~frost
        now.rested = now.rested | (rests & ~frost)
