# SPDX-License-Identifier: MIT
"""A run in time: the whole programme followed with all samples at once.

Each stretch of the programme is followed from where the one before it ended. What lands where, what is
carried along and what the gauges show follows from the states afterwards (see forecast).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.stiff_steps import course_of
from retortwright.physics.constants import ATMOSPHERE
from retortwright.reference.datum import Missing
from retortwright.situation.crossing import Crossing
from retortwright.situation.run_gas import RunGas, run_gas, water_of
from retortwright.situation.run_line import Passing
from retortwright.situation.run_parts import main_state, parts_of, swept_passing
from retortwright.situation.run_programme import Programme, programme_of
from retortwright.situation.run_rates import DRIVING, STATES, RunParts, StretchRates
from retortwright.situation.situation import Situation

__all__ = ["RunInTime", "followed", "run_in_time"]

_TOLERANCE = 3e-4  # of the size of a state, in one step
_FIRST = 1.0  # s
_FINEST = 120.0  # s between two moments that are kept, at most


@dataclass(frozen=True, slots=True)
class RunInTime:
    """The course of a run: states (times, states, samples) at times (times,)."""

    state: str  # in which the charge gives its metal
    programme: Programme
    times: Array
    course: Array
    parts: RunParts
    passing: Mapping[str, Passing]  # with argon in the way, by state
    gas: RunGas
    crossing: Crossing
    steps: int  # of the sample that needed most
    ledger: Ledger
    unsaid: tuple[Missing, ...]  # that leaves part of the figures without a number

    def of(self, name: str) -> Array:
        """One state by name, (times, samples)."""
        return self.course[:, STATES.index(name)]

    def rates_at(self, time: float) -> StretchRates:
        """The rates that rule at a time."""
        stretch = self.programme.at(time)
        gas = self.gas.states.get(stretch.state)
        return StretchRates(self.parts, stretch, gas, self.passing.get(stretch.state))


def run_in_time(situation: Situation, finest: float = _FINEST) -> RunInTime | Missing:
    """The run of a rig, moments no farther than `finest` [s] apart; or what stops it from being known."""
    return situation.once(f"run in time {finest}", lambda: _run(situation, finest))


def _run(situation: Situation, finest: float) -> RunInTime | Missing:
    middle = Ledger(situation.rig, situation.tables, Draws(situation.draws.samples, width=0.0, pick=(0,)))
    nominal = [middle.default(name) for name in ("room.temperature", "furnace.decay")]
    programme = programme_of(situation.rig, float(nominal[0][0]), float(nominal[1][0]))
    if isinstance(programme, Missing):
        return programme
    state = main_state(situation)
    if isinstance(state, Missing):
        return state
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    crossing = _crossing(situation, state)
    if isinstance(crossing, Missing):
        return crossing
    parts = parts_of(crossing, ledger)
    if isinstance(parts, Missing):
        return parts
    water, pace, dry = water_of(situation, ledger)
    parts = replace(parts, pace=pace)
    gas = run_gas(situation, ledger)
    passing = swept_passing(crossing, parts, ledger)
    start = _start(parts, crossing.charge.redistils, np.where(np.isfinite(water), water, 0.0))
    times, course, steps = followed(parts, programme, gas, passing, start, finest, _TOLERANCE)
    unsaid = (*(() if dry is None else (dry,)), *gas.missing)
    return RunInTime(state, programme, times, course, parts, passing, gas, crossing, steps, ledger, unsaid)


def _crossing(situation: Situation, state: str) -> Crossing | Missing:
    """The pictures of the state, those with argon too."""
    together = situation.vapour(state)
    if together is None:
        return Missing(f"state.{state}", f"the charge gives no metal in {state}")
    if isinstance(together, Missing):
        return together
    return Crossing(situation, state, together) if not together.vapour.missing else together.vapour.missing[0]


def _start(parts: RunParts, redistils: bool, water: Array) -> Array:
    """All states before the programme begins: at the temperature of the room, full of air."""
    start = np.zeros((len(STATES), len(parts.comes)))
    start[0] = parts.heat.content(parts.heat.room)
    start[2 if redistils else 1] = parts.comes
    start[3], start[4] = water, ATMOSPHERE
    return start


def followed(
    parts: RunParts,
    programme: Programme,
    gas: RunGas,
    passing: Mapping[str, Passing],
    start: Array,
    finest: float,
    tolerance: float,
) -> tuple[Array, Array, int]:
    """Times, states (times, states, samples), and the most steps that a sample needed."""
    times, course, most, state = [np.zeros(1)], [start[None]], 0, start
    scale = _scale(parts, start)
    for stretch in programme.stretches:
        rates = StretchRates(parts, stretch, gas.states.get(stretch.state), passing.get(stretch.state))
        count = int(np.ceil((stretch.end - stretch.start) / finest)) + 1
        own = np.linspace(stretch.start, stretch.end, max(count, 2))
        found = course_of(rates, state, own, scale, tolerance, DRIVING, min(_FIRST, (own[1] - own[0]) / 2))
        times.append(own[1:])
        course.append(found.state[1:])
        most += int(np.max(found.steps, initial=0))
        state = found.state[-1]
    return np.concatenate(times), np.concatenate(course), most


def _scale(parts: RunParts, start: Array) -> Array:
    """The size of each state against which its error is judged."""
    whole = parts.heat.content(parts.heat.top)
    sizes = [0.3 * whole, 0.1 * parts.comes, 0.1 * parts.comes, 0.1 * start[3] + 1e-9, 1.0 + 0 * whole]
    sizes += [1.0 + 0 * whole, parts.comes, whole, whole, whole, start[3] + 1e-9]
    return np.stack([np.asarray(size) for size in sizes])
