# SPDX-License-Identifier: MIT
"""Newton steps on the walls and on the vapour in them together.

Unknown are the temperatures of the walls, the dew point in the retort and how steeply the pressure
falls off in each arm: heat into every cell is nothing, the dew point is what the walls along the ways make
it, and each arm takes what can come or is full. The few unknowns besides the walls go along as more
right-hand sides of the same matrix. Where vapour lands saturation bends so sharply that steps have to be
short: such a cell goes no farther in a step than its own limit, which halves when the cell turns back
and grows while it goes on. What a sample does never depends on the others.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.situation.balance import Factored, heat_balance
from retortwright.situation.exchange import Exchange, FullPower
from retortwright.situation.vapour import Vapour, VapourWork
from retortwright.situation.vapour_arms import Mouth, fall_of
from retortwright.situation.vapour_exchange import HotVapour
from retortwright.situation.wall import Wall

__all__ = ["Together", "WetSteps", "finished", "solve_wet", "started"]

_FARTHEST = 25.0  # K, of a step of a cell on which something lands
_SHORTEST = 1e-3
_SHORTER, _LONGER = 0.5, 1.5
_DEW_STEP, _STEEP_STEP = 25.0, 1.5  # the most at once
_SLIGHT = 1e-3  # K, and of ln, to see slopes by
_WEAKEST = 0.05  # of what an arm can take, that it takes less for a unit of steepness
_STEEPEST = 9.0
_SECANT = 0.2
_LAST = 80  # steps, after which limits of each cell shrink whenever it turns back
_OFTEN, _LAGS, _NEARLY = 1e9, 0.3, 0.01
_EXACT, _STEERED, _ROUND = 20, 10, 20  # steps with exact slopes, then some that only steer in each round
_NEAREST = 0.02  # of the longest step of the vapour: no shorter, however often it turned
_NEXT_TO_NOTHING = 1e-3  # W
_BRIDGES = 3
_KEPT = 1  # steps for which the inverse of a dense block serves
_HOLDS = ("room", "chamber", "holds", "bath", "inlet")  # what temperatures are called that surroundings hold
_BEYOND, _HOTTEST = 30.0, 2600.0  # K


@dataclass(frozen=True, slots=True)
class WetSteps:
    """How far to go: the last step [K], how far arms may be off [1], after how many it ends anyway."""

    close: float
    off: float
    most: int


@dataclass(slots=True)
class Together:
    """Walls and vapour on their way: (..., samples)."""

    temperature: Array  # (cells, samples) K
    dew: Array  # K in the retort
    steep: Array  # (arms, samples) ln(1 + fall * length)
    rounds: Array  # (arms, samples) how often what comes past goes through each arm at most
    wet: NDArray[np.bool_]  # whether what condenses is liquid and runs back
    condensed: Array  # (covered cells, samples) mol/s that run back
    far: Array  # (1 + arms, samples) how far the dew point [K] and the steepness of each arm may go in a step
    last: Array  # (1 + arms, samples) how far they went
    known: NDArray[np.bool_]  # whether there is a start at all
    rested: NDArray[np.bool_]
    steps: NDArray[np.intp]

    def part(self, some: NDArray[np.intp] | slice | list[int]) -> Together:
        """That of some samples."""
        return Together(*(getattr(self, name)[..., some] for name in self.__slots__))

    def put(self, some: NDArray[np.intp], other: Together) -> None:
        """Take over what has become of some samples."""
        for name in self.__slots__:
            getattr(self, name)[..., some] = getattr(other, name)


DEBUG = None


def started(work: VapourWork, temperature: Array, like: Together | None = None) -> Together:
    """A start at some walls, (cells, samples), with vapour as in what is much like it; liquid runs back."""
    samples, count = temperature.shape[1], len(work.arms)
    known = np.all(np.isfinite(temperature), axis=0)
    filled = np.where(known, temperature, work.stream.room)
    wet = np.ones(samples, dtype=bool)
    condensed = np.zeros((len(work.covered), samples))
    dew = work.look(filled, wet, condensed).dew if like is None else like.dew
    alike = like is not None and like.steep.shape == (count, samples)
    steep = like.steep.copy() if like is not None and alike else np.zeros((count, samples))
    rounds = np.array([np.where(arm.arm.early, _OFTEN, 1.0 + 0.0 * dew) for arm in work.arms]).reshape(count, samples)
    far = np.full((1 + count, samples), _STEEP_STEP)
    far[0] = _DEW_STEP
    return Together(
        filled, dew.copy(), steep, rounds, wet, condensed, far, np.zeros_like(far), known,
        np.zeros(samples, dtype=bool), np.zeros(samples, dtype=np.intp),
    )  # fmt: skip


def finished(work: VapourWork, together: Together) -> tuple[Vapour, list[Exchange]]:
    """The picture of what the steps came to, and what the vapour gives to the walls in it."""
    seen = _Seen(work, together)
    looked, names = seen.looked, [arm.arm.name for arm in work.arms]
    stream, dew = work.stream, together.dew
    vapour = Vapour(
        stream, work.ways, looked.landings, looked.same, looked.entering, looked.most,
        np.minimum(stream.saturation.pressure(dew), stream.over_charge), dew, stream.saturation.latent_heat(dew),
        {name: arm.reach(mouth, fall) for name, arm, mouth, fall in zip(names, work.arms, seen.mouths, seen.falls, strict=True)},
        dict(zip(names, seen.falls, strict=True)),
        {name: mouth.dew for name, mouth in zip(names, seen.mouths, strict=True)},
        dict(zip(names, seen.taken, strict=True)),
        dict(zip(names, seen.able, strict=True)),
        together.rested, together.steps, (), frozenset(), (),
    )  # fmt: skip
    return vapour, seen.exchanges


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
    """Steps from a start, until every sample has come to rest or the steps run out; the start is kept up to date."""
    active = np.flatnonzero(start.known)
    if not len(active):
        return
    part, own, now = wall.picked(start.known), work.part(active), start.part(active)
    low, high = (each[active] for each in _bounds(wall, work))
    bores, inverses = None, {}
    before, stride = np.zeros_like(now.temperature), np.ones(len(active))
    limit = np.full(now.temperature.shape, 5.0)
    for number in range(steps.most):
        if number % _KEPT == 0:
            bores, inverses = None, {}
        steered = number >= _EXACT and (number - _EXACT) % _ROUND < _STEERED or number >= _LAST
        step = _Seen(own, now, steered)
        found = step.move(part, bores, inverses, _BRIDGES if number < 10 else 4 * _BRIDGES)
        bores = found.bores
        taken = found.temperature
        if number >= _LAST:
            turned = taken[step.landing] * before[step.landing] < 0
            far = limit[step.landing] * np.where(turned, _SHORTER, 1.3)
            limit[step.landing] = far = np.clip(far, _SHORTEST, _FARTHEST)
            taken[step.landing] = np.clip(taken[step.landing], -far, far)
            rest = np.delete(found.whole, step.landing, axis=0)
            found.size[:] = np.maximum(np.max(np.abs(taken[step.landing]), axis=0) / 5, np.max(np.abs(rest), axis=0))
        trend = _sum(taken * before) / np.maximum(_sum(before * before), 1e-12)
        stride = np.where(trend < -0.3, np.maximum(stride / 2, 0.2), np.minimum(1.0, 1.5 * stride))
        before = taken
        near = found.size
        moving = ~((near < steps.close) & (np.abs(found.dew) < steps.close) & step.fits(steps.off)) | (steered and number < _LAST)
        if DEBUG is not None:
            DEBUG(number, active, now, found, step, moving)
        moving &= ~now.rested
        frozen = ~moving & ~now.rested & now.wet & (now.dew < own.stream.melts)
        going = ~now.rested * stride
        now.temperature = np.clip(now.temperature + going * found.temperature, low, high)
        now.dew = np.clip(now.dew + going * found.dew, low, step.highest)
        now.steep = np.clip(now.steep + going * found.steep, 0.0, _STEEPEST)
        now.rounds = np.where(now.rested, now.rounds, step.rounds)
        now.condensed = np.where(now.rested, now.condensed, step.condensed)
        now.steps = now.steps + ~now.rested
        now.wet = now.wet & ~frozen
        now.rested = ~(moving | frozen)
        moving = ~now.rested
        if not np.any(moving):
            break
        if np.mean(moving) < 0.7:
            start.put(active, now)
            keep = np.flatnonzero(moving)
            part, own, now, before = part.picked(moving), own.part(keep), now.part(keep), before[:, keep]
            stride, limit = stride[keep], limit[:, keep]
            active, low, high = active[keep], low[keep], high[keep]
            bores = {n: full[keep] for n, full in bores.items()}
            inverses = {n: full[keep] for n, full in inverses.items()}
    start.put(active, now)


@dataclass(frozen=True, slots=True)
class _Move:
    temperature: Array
    size: Array
    whole: Array
    dew: Array
    steep: Array
    bores: dict[int, Array]


class _Seen:
    """What vapour does at some walls and gives to them."""

    def __init__(self, work: VapourWork, now: Together, steered: bool = False) -> None:
        self.work, self.now = work, now
        self.looked = work.look(now.temperature, now.wet, now.condensed)
        mouths = work.mouths(self.looked, now.dew, now.rounds)
        rounds = work.rounds(mouths, now.temperature, now.wet)
        early = np.array([arm.arm.early for arm in work.arms], dtype=bool)[:, None]
        self.rounds = np.where(early, rounds, now.rounds + _LAGS * (rounds - now.rounds))
        self.strays = np.any(np.abs(rounds - self.rounds) > _NEARLY * self.rounds, axis=0)
        self.mouths = work.mouths(self.looked, now.dew, self.rounds)
        self.falls = [fall_of(steep, arm.arm.length) for steep, arm in zip(now.steep, work.arms, strict=True)]
        self.highest = work.stream.saturation.dew(work.stream.over_charge)
        self.hot = work.hot(self.mouths, self.falls, now.dew, now.wet)
        landing = work.landing(self.looked, now.dew, steered)
        self.landings = landing
        self.exchanges: list[Exchange] = [*landing, self.hot]
        self.landing = np.unique(np.concatenate([each.cells for each in landing]))
        leaving, self.slope = self.hot.heat(now.temperature[work.covered])
        self.heat = -leaving
        self.condensed = self.heat / work.stream.saturation.latent_heat(now.dew)
        self.places = [work.place[arm.arm.cells] for arm in work.arms]
        self.taken = np.array([_sum(self.heat[each]) for each in self.places]).reshape(now.steep.shape)
        self.able = self._able(self.mouths, self.falls)
        self.off = np.log(np.maximum(self.taken, 1e-9) / np.maximum(self.able, 1e-9))

    def _able(self, mouths: Sequence[Mouth], falls: Sequence[Array]) -> Array:
        able = [arm.able(mouth, fall) for arm, mouth, fall in zip(self.work.arms, mouths, falls, strict=True)]
        return np.array(able).reshape(len(able), len(self.now.dew))

    def fits(self, close: float) -> NDArray[np.bool_]:
        """Whether each arm takes what can come, or less with vapour up to its end."""
        whole = (self.now.steep == 0.0) & (self.off <= close)
        few = np.abs(self.taken - self.able) < _NEXT_TO_NOTHING
        few |= self.taken < _NEXT_TO_NOTHING
        return np.asarray(np.all(whole | (np.abs(self.off) < close) | few, axis=0) & ~self.strays)

    def move(self, wall: Wall, bores: dict[int, Array] | None, inverses: dict[int, Array], most: int) -> _Move:
        """The step of all unknowns."""
        work, now = self.work, self.now
        balance = heat_balance(replace(wall, exchanges=[*wall.exchanges, *self.exchanges]), now.temperature, bores)
        samples = len(now.dew)
        bridges = [bridge for each in self.landings for bridge in each.bridges(now.temperature[each.cells], most)]
        arms = len(work.arms)
        count = arms + len(bridges)
        columns = np.arange(samples)
        for bridge in bridges:
            balance.slopes.diagonal[bridge.near, columns] -= bridge.near_heat
            balance.slopes.diagonal[bridge.far, columns] -= bridge.far_heat
        loads = np.zeros((len(now.temperature), 2 + count, samples))
        loads[:, 0] = balance.residual
        for number, bridge in enumerate(bridges):
            loads[bridge.near, 2 + arms + number, columns] = -1.0
            loads[bridge.far, 2 + arms + number, columns] = 1.0
        # by the dew point
        later = now.dew + _SLIGHT
        mouths = work.mouths(self.looked, later, self.rounds)
        hot = work.hot(mouths, self.falls, later, now.wet)
        more = (-hot.heat(now.temperature[work.covered])[0] - self.heat) / _SLIGHT
        loads[work.covered, 1] = more
        matrix = np.zeros((samples, 1 + count, 1 + count))
        able = self._able(mouths, self.falls)
        by_dew = [_sum(more[each]) for each in self.places]
        grown = np.log(np.maximum(able, 1e-9) / np.maximum(self.able, 1e-9)) / _SLIGHT
        # by the fall in each arm
        retort = work.stream.saturation.pressure(now.dew)
        by_steep = []
        for number, (arm, mouth, each) in enumerate(zip(work.arms, self.mouths, self.places, strict=True)):
            little = np.clip(np.abs(now.last[1 + number]), _SLIGHT, _SECANT)
            fall = fall_of(now.steep[number] + little, arm.arm.length)
            film, at = work.film(arm, mouth, fall, retort)
            own = HotVapour("vapour", arm.arm.cells, film, at)
            change = (-own.heat(now.temperature[arm.arm.cells])[0] - self.heat[each]) / little
            loads[arm.arm.cells, 2 + number] = change
            rate = np.log(np.maximum(arm.able(mouth, fall), 1e-9) / np.maximum(self.able[number], 1e-9)) / little
            by_steep.append((_sum(change), rate))
        response = Factored(balance, inverses=inverses).each(loads)
        side = np.zeros((samples, 1 + count))
        for number, bridge in enumerate(bridges):
            felt = bridge.near_heat * response[bridge.near, :, columns].T - bridge.far_heat * response[bridge.far, :, columns].T
            matrix[:, 1 + arms + number] = -felt[1:].T
            matrix[:, 1 + arms + number, 1 + arms + number] += 1.0
            side[:, 1 + arms + number] = felt[0]
        first, pull = self.looked.first, self.looked.pull
        # dew: dew(T) - D + pull * dT_first - dD = 0
        side[:, 0] = self.looked.dew - now.dew + pull * response[first, 0, columns]
        for other in range(1 + count):
            matrix[:, 0, other] = -pull * response[first, 1 + other, columns]
        matrix[:, 0, 0] += 1.0
        for number, each in enumerate(self.places):
            cells = work.covered[each]
            inside = self.slope[each]
            able_now = np.maximum(self.able[number], _NEXT_TO_NOTHING)

            def felt(column: int) -> Array:
                return -_sum(inside * response[cells, column]) / able_now

            row = np.zeros((samples, 1 + count))
            for other in range(1 + count):
                row[:, other] = -felt(1 + other)
            row[:, 0] -= by_dew[number] / able_now - grown[number] 
            change, rate = by_steep[number]
            row[:, 1 + number] -= change / able_now - rate
            load = (self.taken[number] - self.able[number]) / able_now + felt(0)
            row[:, 1 + number] = np.maximum(row[:, 1 + number], _WEAKEST)
            full = load <= -now.steep[number] * row[:, 1 + number]
            row[full] = 0.0
            row[full, 1 + number] = 1.0
            matrix[:, 1 + number], side[:, 1 + number] = row, np.where(full, -now.steep[number], load)
        at = np.concatenate([now.dew[None], now.steep])
        least, most = -at, _STEEPEST - at
        least[0], most[0] = work.stream.room - now.dew, self.highest - now.dew
        unknown = _within(matrix, side, least, most)
        turns = unknown[: 1 + arms] * now.last < 0
        greatest = np.array([_DEW_STEP, *[_STEEP_STEP] * arms])[:, None]
        now.far = far = np.clip(now.far * np.where(turns, _SHORTER, _LONGER), _NEAREST * greatest, greatest)
        unknown = _within(matrix, side, np.maximum(least, -far), np.minimum(most, far))
        given = np.concatenate([np.ones((1, samples)), unknown])
        walls = self._bounded(np.einsum("cks,ks->cs", response, given))
        seen = self.looked.dew - now.dew + pull * walls[first, columns]
        given[1] = np.clip(np.where(np.abs(seen) < np.abs(given[1]), seen, given[1]), np.maximum(least, -far)[0], np.minimum(most, far)[0])
        whole = np.einsum("cks,ks->cs", response, given)
        now.last = given[1 : 2 + arms]
        return _Move(self._bounded(whole), np.max(np.abs(whole), axis=0), whole, given[1], given[2 : 2 + arms], balance.slopes.bores)

    def _bounded(self, step: Array) -> Array:
        """A step of the walls, no farther than is good for what lands on them."""
        taken, walls = step.copy(), self.now.temperature
        for each in self.landings:
            bounded = each.bounded(walls[each.cells], step[each.cells], _FARTHEST)
            taken[each.cells] = np.where(np.abs(bounded) < np.abs(taken[each.cells]), bounded, taken[each.cells])
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


def _sum(values: Array) -> Array:
    """Over the cells, added in order however many samples there are."""
    return np.asarray(np.cumsum(values, axis=0)[-1])
