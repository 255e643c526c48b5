# SPDX-License-Identifier: MIT
"""One Newton step of walls and vapour together.

Unknown besides the walls are the dew point in the retort, how steeply pressure falls off in each arm, and
what more goes over stretches of a way on which nothing lands. They go along as more right-hand sides of the
matrix of the walls; what is left is a small system for each sample.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.situation.balance import Factored, heat_balance
from retortwright.situation.blocks import Kept
from retortwright.situation.vapour_arms import fall_of
from retortwright.situation.vapour_exchange import HotVapour, LandingHeat
from retortwright.situation.vapour_together import DEW_STEP, NEXT_TO_NOTHING, STEEP_STEP, Seen, added
from retortwright.situation.wall import Wall

__all__ = ["FARTHEST", "Move", "StepWork"]

FARTHEST = 60.0  # K, of a step of a cell on which something lands
_SHORTER, _LONGER = 0.5, 1.5
_NEAREST = 0.02  # of the longest step of the vapour: no shorter, however often it turned
_SLIGHT, _SECANT = (
    1e-3,
    0.2,
)  # K and of steepness, to see slopes by: as far as the last step went, within these
_STEEPEST = 9.0  # ln(1 + fall * length)
_WEAKEST = 0.05  # of what an arm can take, that it takes less for a unit of steepness
_LEAST = 1e-9  # W
_WEAK = 1e-3  # W/K


@dataclass(frozen=True, slots=True)
class Move:
    """A step: of all walls as it should be (cells, samples) and as far as it is good, of the vapour."""

    whole: Array
    walls: Array
    dew: Array  # (samples,) K
    steep: Array  # (arms, samples)


class StepWork:
    """What a step is made of: the slopes of all equations by all unknowns, in the order dew, arms, bridges."""

    def __init__(self, seen: Seen, wall: Wall) -> None:
        self.seen, self.work, self.now = seen, seen.work, seen.now
        whole = replace(wall, exchanges=[*wall.exchanges, *seen.exchanges])
        self.balance = heat_balance(whole, self.now.temperature)
        self._places = [self._strong(each) for each in seen.landings]
        both = [each.cells[some] for each, some in zip(seen.landings, self._places, strict=True)]
        self.wet = np.unique(np.concatenate(both))  # cells that feel on each other what lands
        self.samples, self.arms = len(self.now.dew), len(self.work.arms)
        self.columns = np.arange(self.samples)
        self.count = 1 + self.arms + len(self.wet)
        self.loads = np.zeros((len(self.now.temperature), 1 + self.count, self.samples))
        self.loads[:, 0] = self.balance.residual
        self.changes = np.zeros((self.arms, self.count, self.samples))  # of what arms take over what can come
        self.now_able = np.maximum(seen.able, NEXT_TO_NOTHING)
        self._by_dew()
        self._by_arms()
        self.loads[self.wet, 2 + self.arms + np.arange(len(self.wet))] = 1.0

    def _by_dew(self) -> None:
        """How heat changes with the dew point in the retort, at fixed walls."""
        seen, work, now = self.seen, self.work, self.now
        later = now.dew + _SLIGHT
        mouths = work.mouths(seen.looked, later, seen.rounds)
        hot = work.hot(mouths, seen.falls, later, now.wet)
        more = (-hot.heat(now.temperature[work.covered])[0] - seen.heat) / _SLIGHT
        self.loads[work.covered, 1] = more
        grown = np.log(np.maximum(seen.able_at(mouths, seen.falls), _LEAST) / np.maximum(seen.able, _LEAST))
        for number, each in enumerate(seen.places):
            self.changes[number, 0] = added(more[each]) / self.now_able[number] - grown[number] / _SLIGHT

    def _by_arms(self) -> None:
        """How heat changes with the fall of pressure in each arm."""
        seen, work, now = self.seen, self.work, self.now
        retort = work.stream.saturation.pressure(now.dew)
        for number, (arm, mouth, each) in enumerate(zip(work.arms, seen.mouths, seen.places, strict=True)):
            little = np.clip(np.abs(now.last[1 + number]), _SLIGHT, _SECANT)
            fall = fall_of(now.steep[number] + little, arm.arm.length)
            own = HotVapour("vapour", arm.arm.cells, *work.film(arm, mouth, fall, retort))
            change = (-own.heat(now.temperature[arm.arm.cells])[0] - seen.heat[each]) / little
            self.loads[arm.arm.cells, 2 + number] = change
            grown = np.log(np.maximum(arm.able(mouth, fall), _LEAST) / np.maximum(seen.able[number], _LEAST))
            self.changes[number, 1 + number] = added(change) / self.now_able[number] - grown / little

    def _strong(self, landing: LandingHeat) -> NDArray[np.intp]:
        """The places of a way on which what lands depends much on temperatures."""
        strength = landing.strength(self.now.temperature[landing.cells])
        return np.flatnonzero(np.any(strength > _WEAK, axis=1))

    def _coupled(self) -> tuple[Array, Array]:
        """How heat leaving the cells on which something lands depends on the others of them, (samples, cells, cells),
        and how the dew point in the retort rises with each of them, (samples, cells)."""
        whole = np.zeros((self.samples, len(self.wet), len(self.wet)))
        dew = np.zeros((self.samples, len(self.wet)))
        looked = self.seen.looked
        for number, (each, some) in enumerate(zip(self.seen.landings, self._places, strict=True)):
            walls = self.now.temperature[each.cells]
            place = np.searchsorted(self.wet, each.cells[some])
            whole[:, place[:, None], place] += each.coupled(walls, some, _WEAK)
            dew[:, place] += ((looked.highest == number) * looked.pull * each.raises(walls, some, _WEAK)).T
        return whole, dew

    def move(self, kept: Kept) -> Move:
        """The step of all unknowns, the vapour within its bounds and no farther than is good."""
        response = Factored(self.balance, inverses=kept).each(self.loads)
        matrix, side = self._system(response)
        now, arms = self.now, self.arms
        at = np.concatenate([now.dew[None], now.steep])
        least, most = -at, _STEEPEST - at
        least[0], most[0] = self.work.stream.room - now.dew, self.seen.highest - now.dew
        unknown = _within(matrix, side, least, most)
        turns = unknown[: 1 + arms] * now.last < 0
        greatest = np.array([DEW_STEP, *[STEEP_STEP] * arms])[:, None]
        far = np.clip(now.far * np.where(turns, _SHORTER, _LONGER), _NEAREST * greatest, greatest)
        least, most = np.maximum(least, -far), np.minimum(most, far)
        given = np.concatenate([np.ones((1, self.samples)), _within(matrix, side, least, most)])
        walls = self._landing(np.einsum("wks,ks->ws", response[self.wet], given))
        rises = np.einsum("sw,ws->s", self._by_walls, walls)
        follows = self.seen.looked.dew - now.dew + rises  # of the walls as they go
        dew = np.where(np.abs(follows) < np.abs(given[1]), follows, given[1])
        given[1] = np.clip(dew, least[0], most[0])
        whole = np.einsum("cks,ks->cs", response, given)
        now.far, now.last = far, given[1 : 2 + arms]
        steep = given[2 : 2 + arms]
        return Move(whole, self._bounded(whole), given[1], steep)

    def _system(self, response: Array) -> tuple[Array, Array]:
        """The equations of the unknowns besides the walls, (samples, unknowns, unknowns)."""
        seen = self.seen
        matrix, side = np.zeros((self.samples, self.count, self.count)), np.zeros((self.samples, self.count))
        coupled, self._by_walls = self._coupled()
        wet = response[self.wet].transpose(2, 0, 1)  # (samples, cells, columns)
        felt = np.einsum("sw,swk->sk", self._by_walls, wet)
        side[:, 0] = seen.looked.dew - self.now.dew + felt[:, 0]
        matrix[:, 0] = -felt[:, 1:]
        felt = coupled @ wet
        matrix[:, 1 + self.arms :] = felt[:, :, 1:]
        side[:, 1 + self.arms :] = -felt[:, :, 0]
        for number in range(self.arms):
            matrix[:, 1 + number], side[:, 1 + number] = self._arm(number, response)
        index = np.array([0, *range(1 + self.arms, self.count)])
        matrix[:, index, index] += 1.0
        return matrix, side

    def _arm(self, number: int, response: Array) -> tuple[Array, Array]:
        """That of an arm: it takes what can come; one that would take less though it is full stays full."""
        seen, cells = self.seen, self.work.arms[number].arm.cells
        inside = seen.slope[seen.places[number]] / self.now_able[number]
        felt = np.cumsum(inside[:, None] * response[cells], axis=0)[-1]
        row = felt[1:] - self.changes[number]
        row[1 + number] = np.maximum(row[1 + number], _WEAKEST)
        load = (seen.taken[number] - seen.able[number]) / self.now_able[number] - felt[0]
        steep = self.now.steep[number]
        full = load <= -steep * row[1 + number]
        row[:, full] = 0.0
        row[1 + number, full] = 1.0
        return row.T, np.where(full, -steep, load)

    def _landing(self, step: Array) -> Array:
        """A step of the cells that feel on each other what lands, as far as is good where something lands."""
        taken, walls = step.copy(), self.now.temperature
        for each, some in zip(self.seen.landings, self._places, strict=True):
            place = np.searchsorted(self.wet, each.cells[some])
            bounded = each.landing_step(walls[each.cells], step[place], FARTHEST, some)
            taken[place] = np.where(np.abs(bounded) < np.abs(taken[place]), bounded, taken[place])
        return taken

    def _bounded(self, step: Array) -> Array:
        """A step of the walls, no farther than is good for what lands on them."""
        taken, walls = step.copy(), self.now.temperature
        for each in self.seen.landings:
            bounded = each.bounded(walls[each.cells], step[each.cells], FARTHEST)
            taken[each.cells] = np.where(
                np.abs(bounded) < np.abs(taken[each.cells]), bounded, taken[each.cells]
            )
        return taken


def _within(matrix: Array, side: Array, least: Array, most: Array) -> Array:
    """The solution in which the first few unknowns keep to bounds: one that would not is held there, in place."""
    count = len(least)
    for _ in range(count):
        unknown = np.linalg.solve(matrix, side[:, :, None])[:, :, 0].T
        kept = np.clip(unknown[:count], least, most)
        row, column = np.nonzero((kept != unknown[:count]).T)
        if not len(row):
            break
        matrix[row, column] = 0.0
        matrix[row, column, column] = 1.0
        side[row, column] = kept[column, row]
    unknown[:count] = np.clip(unknown[:count], least, most)
    return np.asarray(unknown)
