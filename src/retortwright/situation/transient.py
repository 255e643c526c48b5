# SPDX-License-Identifier: MIT
"""From a running state through a loss: how hot each joint gets, and when.

A loss has one or two phases: the furnace stays on until somebody notices, then it is off and
its chamber cools by itself. The walls follow by linearly implicit steps of second order
(Verwer's two-stage Rosenbrock method, stable for stiff walls); the step is set by the
difference to its first-order companion.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from retortwright.belief.beliefs import Belief
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing
from retortwright.rig.parts import Rig
from retortwright.rig.tree import Tree
from retortwright.situation.balance import Balance, Factored, heat_balance, heat_into
from retortwright.situation.exchange import Exchange, Furnace
from retortwright.situation.jointheat import joint_temperatures
from retortwright.situation.loss import Loss, lasting, without_power
from retortwright.situation.mesh import Mesh
from retortwright.situation.regime import Regime, regime_of
from retortwright.situation.store import Store, store_of
from retortwright.situation.vapour_exchange import HotVapour, StayedHeat
from retortwright.situation.wall import Wall, wall_of

__all__ = ["LossPicture", "through_loss"]

_GAMMA = 1.0 - 1.0 / np.sqrt(2.0)
_AFTER = 5400.0  # s that are followed after the furnace is off, unless all joints fall before
_FIRST_STEP = 2.0  # s
_HALF_HOUR = 1800.0  # s
_AT_LEAST = 900.0  # s that are followed after the furnace is off: heat needs that to reach the seals
_INSIDE = 0.3  # weight of the error inside the furnace
_FALLING = 2.0  # K below its peak in every sample: a joint that falls


@dataclass(frozen=True, slots=True)
class LossPicture:
    """What a loss does to the joints; arrays (samples,) unless said."""

    loss: Loss
    times: Array  # (steps,) s after the loss
    courses: Mapping[str, Array]  # (steps, samples) temperature of each joint then [K]
    peak: Mapping[str, Array]  # hottest that each joint gets [K]
    peak_time: Mapping[str, Array]  # when [s after the loss]
    noticed: float  # when the furnace went off [s after the loss]
    followed: float  # how long it was followed [s]
    imbalance: Array  # heat stored less heat received, over the heat exchanged; nan without an audit
    steps: int
    inputs: tuple[Belief, ...]
    cites: frozenset[str]
    missing: tuple[Missing, ...]

    def passes(self, joint: str, limit: float) -> Array:
        """When each sample of a joint first gets hotter than a limit [s after the loss]; inf where it never does."""
        course = self.courses[joint]
        over = course > limit
        first = np.argmax(over, axis=0)
        found = np.where(np.any(over, axis=0), self.times[first], np.inf)
        sample = np.arange(course.shape[1])
        before = np.maximum(first - 1, 0)
        low, high = course[before, sample], course[first, sample]
        rises = np.isfinite(found) & (first > 0)
        share = (limit - low) / np.where(rises, high - low, 1.0)
        between = self.times[before] + share * (self.times[first] - self.times[before])
        return np.asarray(np.where(rises, between, found))


@dataclass(frozen=True, slots=True)
class _Phase:
    wall: Wall
    chamber: Callable[[float], Array] | None  # chamber temperature over time in the phase
    length: float
    ends_early: bool


def through_loss(
    rig: Rig,
    tree: Tree,
    mesh: Mesh,
    loss: Loss,
    ledger: Ledger,
    start: Array,
    tolerance: float,
    audit: bool = False,
    inside: Sequence[Exchange] = (),
) -> LossPicture:
    """The course of a loss from the steady temperatures `start` (cells, samples).

    `inside` is what vapour gives to the walls; once the furnace is off it falls with its chamber.
    """
    store = store_of(tree, mesh, ledger)
    at_once = loss.kind in ("power", "after")
    noticed = 0.0 if at_once else float(np.asarray(ledger.default("loss.noticed"))[0])
    phases = [_with(phase, inside) for phase in _phases(rig, tree, mesh, loss, ledger, noticed)]
    course = _Course(tree, start, tolerance, audit)
    if not ledger.missing and np.all(np.isfinite(start)):
        for phase in phases:
            phase = replace(phase, wall=phase.wall.sloped(start, in_time=True))
            course.weigh(phase)
            course.follow(phase, store)
        course.check(phases, ledger)
    inputs = tuple(ledger.used[name] for name in sorted(ledger.used))
    return LossPicture(
        loss, *course.seen(), course.peak, course.peak_time, noticed, course.time, course.imbalance(), course.steps,
        inputs, frozenset(ledger.cites), tuple(ledger.missing),
    )  # fmt: skip


def _phases(rig: Rig, tree: Tree, mesh: Mesh, loss: Loss, ledger: Ledger, noticed: float) -> list[_Phase]:
    running = regime_of(rig, loss.start)
    if loss.kind == "after":
        down = regime_of(rig, loss.state)
        return [_phase(rig, tree, mesh, down, ledger, _AFTER, _cooling_chamber(rig, running, ledger))]
    off = without_power(rig, running if loss.kind == "power" else lasting(rig, loss), loss.kind == "power")
    off = replace(off, stuck=None)
    if loss.kind == "stuck":
        off = replace(off, hot=tuple(pair for pair in off.hot if pair[0] != loss.name))
    cooling = _phase(rig, tree, mesh, off, ledger, _AFTER, _cooling_chamber(rig, running, ledger))
    if loss.kind == "power":
        return [cooling]
    first = _phase(rig, tree, mesh, lasting(rig, loss), ledger, noticed, None)
    return [first, cooling]


def _with(phase: _Phase, inside: Sequence[Exchange]) -> _Phase:
    """A phase in which vapour heats the walls too."""
    return replace(phase, wall=replace(phase.wall, exchanges=[*phase.wall.exchanges, *inside]))


def _cooled(exchange: Exchange, chamber: Array) -> Exchange:
    """An exchange with the furnace as cold as it has become: no vapour is hotter than that."""
    if isinstance(exchange, Furnace):
        return replace(exchange, chamber=chamber)
    if isinstance(exchange, HotVapour):
        return replace(exchange, dew=np.minimum(exchange.dew, chamber))
    return exchange.cooled(chamber) if isinstance(exchange, StayedHeat) else exchange


def _phase(
    rig: Rig,
    tree: Tree,
    mesh: Mesh,
    regime: Regime,
    ledger: Ledger,
    length: float,
    chamber: Callable[[float], Array] | None,
) -> _Phase:
    return _Phase(wall_of(rig, tree, mesh, regime, ledger), chamber, length, chamber is not None)


def _drift(now: Wall, after: Wall, temperature: Array) -> Array:
    """How much more heat comes into each cell for its surroundings alone being as they are after a step [W]."""
    more = np.zeros_like(temperature)
    for one, other in zip(now.exchanges, after.exchanges, strict=True):
        if one is not other:
            at = temperature[one.cells]
            more[one.cells] += one.heat(at)[0] - other.heat(at)[0]
    return more


def _cooling_chamber(rig: Rig, running: Regime, ledger: Ledger) -> Callable[[float], Array]:
    """The chamber of a furnace that has been switched off: its excess over the room dies away."""
    led = {heat.name for heat in rig.heat if heat.holds is None}
    target = max(target for name, target in running.hot if name in led)
    room = ledger.default("room.temperature")
    hot = target + ledger.default("furnace.offset")
    decay = ledger.default("furnace.decay")

    def chamber(time: float) -> Array:
        return np.asarray(room + (hot - room) * np.exp(-time / decay))

    return chamber


class _Course:
    """The temperatures on their way, with what has been seen of the joints."""

    def __init__(self, tree: Tree, start: Array, tolerance: float, audit: bool) -> None:
        self.tree = tree
        self.temperature = start.copy()
        self.tolerance = tolerance
        self.audit = audit  # account with the flow in the middle of each step too
        self.time = 0.0
        self.steps = 0
        self.now: dict[str, Array] = {}
        self.trail: list[tuple[float, dict[str, Array]]] = []  # times of a phase and the joints then
        self.whole: list[tuple[float, dict[str, Array]]] = []  # the same from the beginning on
        self.weight = np.ones((start.shape[0], 1))
        nothing = np.full(start.shape[1], np.nan)
        self.peak = {joint.key: nothing.copy() for joint in tree.joints}
        self.peak_time = {joint.key: nothing.copy() for joint in tree.joints}
        self.received = np.zeros(start.shape[1])
        self.stored = np.zeros(start.shape[1])
        self.exchanged = np.zeros(start.shape[1])

    def seen(self) -> tuple[Array, dict[str, Array]]:
        """Times, and the temperatures of each joint then; nothing known at the beginning where nothing was followed."""
        if not self.whole:
            return np.zeros(1), {key: value[None, :] for key, value in self.peak.items()}
        times = np.array([time for time, _ in self.whole])
        return times, {key: np.array([hot[key] for _, hot in self.whole]) for key in self.peak}

    def weigh(self, phase: _Phase) -> None:
        """Walls inside the furnace follow its chamber and carry no joint that cares for a few kelvin."""
        for exchange in phase.wall.exchanges:
            if isinstance(exchange, Furnace | HotVapour):
                self.weight[exchange.cells] = _INSIDE

    def follow(self, phase: _Phase, store: Store) -> None:
        """Steps to the end of a phase, or until all joints fall."""
        begin, step = self.time, min(_FIRST_STEP, phase.length)
        self.trail = []
        self._see(phase.wall)
        now = self._at(phase, 0.0)
        balance = heat_balance(now, self.temperature)
        while self.time < begin + phase.length * (1 - 1e-9):
            step = min(step, begin + phase.length - self.time)
            after = self._at(phase, self.time + step - begin)
            capacity = store.capacity(self.temperature)
            matrix = Factored(balance, capacity, _GAMMA * step)
            drift = _GAMMA * _drift(balance.wall, after, self.temperature)
            first = matrix.solved(balance.residual + drift)
            middle = self.temperature + step * first
            load = (
                heat_into(after, middle) * (capacity / store.capacity(middle))
                - 2.0 * capacity * first
                - drift
            )
            second = matrix.solved(load)
            error = float(np.max(np.abs(0.5 * step * (first + second)) * self.weight))
            if error > self.tolerance and step > 0.05:
                step *= max(0.2, 0.8 * np.sqrt(self.tolerance / error))
                continue
            new = self.temperature + step * (1.5 * first + 0.5 * second)
            following = heat_balance(after, new)
            if self.audit:
                halfway = self._at(phase, self.time + step / 2 - begin)
                self._account(balance, following, step, store, new, halfway)
            self.temperature, balance = new, following
            self.time += step
            self.steps += 1
            before = self.now
            self._see(phase.wall)
            if phase.ends_early and self.time > begin + _AT_LEAST and self._settled(before, step):
                return
            step *= min(3.0, 0.8 * np.sqrt(self.tolerance / max(error, 1e-9)))

    def _at(self, phase: _Phase, time: float) -> Wall:
        """The wall with the chamber as it is at a time of the phase."""
        if phase.chamber is None:
            return phase.wall
        chamber = phase.chamber(time)
        return replace(phase.wall, exchanges=[_cooled(each, chamber) for each in phase.wall.exchanges])

    def _account(
        self, before: Balance, after: Balance, step: float, store: Store, new: Array, halfway: Wall
    ) -> None:
        """Heat received and stored in a step, by its two ends and its middle."""
        rates = before.residual / store.capacity(self.temperature) - after.residual / store.capacity(new)
        middle = heat_into(halfway, (self.temperature + new) / 2 + step / 8 * rates)
        flow = (before.residual + after.residual + 4.0 * middle) / 6.0
        self.received += step * np.sum(flow, axis=0)
        self.exchanged += step * 0.5 * np.sum(np.abs(before.leaving) + np.abs(after.leaving), axis=0)
        self.stored += np.sum(store.content(new) - store.content(self.temperature), axis=0)

    def _see(self, wall: Wall) -> None:
        hot, _, _ = joint_temperatures(wall, self.tree, self.temperature)
        trail = self.trail[-2:]
        self.trail, self.now = [*trail, (self.time, hot)], hot
        self.whole.append((self.time, hot))
        if len(trail) == 2:
            self._between(trail, hot)
        for key, value in hot.items():
            higher = ~(value <= self.peak[key])
            self.peak[key] = np.where(higher, value, self.peak[key])
            self.peak_time[key] = np.where(higher, self.time, self.peak_time[key])

    def _between(self, trail: list[tuple[float, dict[str, Array]]], hot: dict[str, Array]) -> None:
        """A peak between two steps: the top of the parabola through the last three temperatures of a joint."""
        (first, lower), (second, upper) = trail
        for key, value in hot.items():
            rise = (upper[key] - lower[key]) / (second - first)
            fall = (value - upper[key]) / (self.time - second)
            bend = (fall - rise) / (self.time - first)
            turns = (rise > 0) & (fall < 0) & (upper[key] >= self.peak[key])
            top = (first + second) / 2 - rise / np.where(turns, 2 * bend, 1.0)
            peak = lower[key] + (rise + bend * (top - second)) * (top - first)
            self.peak[key] = np.where(turns, np.maximum(peak, self.peak[key]), self.peak[key])
            self.peak_time[key] = np.where(turns, top, self.peak_time[key])

    def _settled(self, before: Mapping[str, Array], step: float) -> bool:
        """Whether every joint is well past its peak, or can hardly rise any more in half an hour."""
        for key, value in self.now.items():
            rise = (value - before[key]) / step * _HALF_HOUR
            if bool(np.any((value > self.peak[key] - _FALLING) & (rise > _FALLING / 2))):
                return False
        return True

    def imbalance(self) -> Array:
        """Heat stored less heat received, over all heat exchanged."""
        if not self.audit:
            return np.full_like(self.stored, np.nan)
        return np.asarray(np.abs(self.stored - self.received) / np.maximum(self.exchanged, 1e-9))

    def check(self, phases: list[_Phase], ledger: Ledger) -> None:
        """Write down a datum that ran out at the temperatures met at the end or at a peak."""
        for cells, curve, _ in phases[0].wall.curves:
            values = self.temperature[cells]
            outside = np.logical_not(curve.covers(values))
            if np.any(outside):
                ledger.missing.append(curve.missing_at(float(values[outside][0])))
