# SPDX-License-Identifier: MIT
"""A run in time: the whole programme followed with all samples at once.

Each stretch of the programme is followed from where the one before it ended. What lands where, what is
carried along and what the gauges show follows from the states afterwards (see forecast).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.stiff_steps import course_of
from retortwright.reference.datum import Missing
from retortwright.situation.crossing import Crossing
from retortwright.situation.run_line import Passing
from retortwright.situation.run_parts import main_state, parts_of, swept_passing
from retortwright.situation.run_programme import Programme, programme_of
from retortwright.situation.run_rates import DRIVING, STATES, RunParts, StretchRates
from retortwright.situation.situation import Situation

__all__ = ["RunInTime", "followed", "run_in_time", "start_of"]

_TOLERANCE = 1e-4  # of the size of a state, in one step
_FIRST = 1.0  # s
_FINEST = 300.0  # s between two moments that are kept, at most


@dataclass(frozen=True, slots=True)
class RunInTime:
    """The course of a run: states (times, states, samples) at times (times,)."""

    state: str  # in which the charge gives its metal
    programme: Programme
    times: Array
    course: Array
    parts: RunParts
    passing: Mapping[str, Passing]  # with argon in the way, by state
    crossing: Crossing
    steps: int  # of the sample that needed most
    ledger: Ledger

    def of(self, name: str) -> Array:
        """One state by name, (times, samples)."""
        return self.course[:, STATES.index(name)]

    def rates_at(self, time: float) -> StretchRates:
        """The rates that rule at a time."""
        stretch = self.programme.at(time)
        return StretchRates(self.parts, stretch, self.passing.get(stretch.state))


def run_in_time(
    situation: Situation, finest: float = _FINEST, tolerance: float = _TOLERANCE, whole: bool = True
) -> RunInTime | Missing:
    """The run of a rig, moments no farther than `finest` [s] apart; or what stops it from being known.

    Not followed as a `whole` it ends with the last step in which the charge is as hot as it gets.
    """
    name = f"run in time {finest} {tolerance} {whole}"
    return situation.once(name, lambda: _run(situation, finest, tolerance, whole))


def _run(situation: Situation, finest: float, tolerance: float, whole: bool) -> RunInTime | Missing:
    middle = Ledger(situation.rig, situation.tables, Draws(situation.draws.samples, width=0.0, pick=(0,)))
    nominal = [middle.default(name) for name in ("room.temperature", "furnace.decay")]
    programme = programme_of(situation.rig, float(nominal[0][0]), float(nominal[1][0]))
    if isinstance(programme, Missing):
        return programme
    state = main_state(situation)
    if isinstance(state, Missing):
        return state
    programme = programme if whole else programme.until(state)
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    crossing = _crossing(situation, state)
    if isinstance(crossing, Missing):
        return crossing
    parts = parts_of(crossing, ledger)
    if isinstance(parts, Missing):
        return parts
    passing = swept_passing(crossing, parts, ledger)
    start = start_of(parts, crossing.charge.redistils)
    times, course, steps = followed(parts, programme, passing, start, finest, tolerance)
    return RunInTime(state, programme, times, course, parts, passing, crossing, steps, ledger)


def _crossing(situation: Situation, state: str) -> Crossing | Missing:
    """The pictures of the state, those with argon too."""
    together = situation.vapour(state)
    if together is None:
        return Missing(f"state.{state}", f"the charge gives no metal in {state}")
    if isinstance(together, Missing):
        return together
    return Crossing(situation, state, together) if not together.vapour.missing else together.vapour.missing[0]


def start_of(parts: RunParts, redistils: bool) -> Array:
    """All states before the programme begins, at the temperature of the room."""
    start = np.zeros((len(STATES), len(parts.comes)))
    start[0] = parts.heat.content(parts.heat.room)
    start[2 if redistils else 1] = parts.comes
    return start


def followed(
    parts: RunParts,
    programme: Programme,
    passing: Mapping[str, Passing],
    start: Array,
    finest: float,
    tolerance: float = _TOLERANCE,
) -> tuple[Array, Array, int]:
    """Times, states (times, states, samples), and the most steps that a sample needed."""
    times, course, most, state = [np.zeros(1)], [start[None]], 0, start
    scale = _scale(parts)
    for stretch in programme.stretches:
        rates = StretchRates(parts, stretch, passing.get(stretch.state))
        count = int(np.ceil((stretch.end - stretch.start) / finest)) + 1
        own = np.linspace(stretch.start, stretch.end, max(count, 2))
        first, ramps = min(_FIRST, (own[1] - own[0]) / 2), stretch.hot and stretch.before != stretch.after
        found = course_of(rates, state, own, scale, tolerance, DRIVING, first, ramps)
        times.append(own[1:])
        course.append(found.state[1:])
        most += int(np.max(found.steps, initial=0))
        state = found.state[-1]
    return np.concatenate(times), np.concatenate(course), most


def _scale(parts: RunParts) -> Array:
    """The size of each state against which its error is judged."""
    whole = parts.heat.content(parts.heat.top)
    sizes = [
        0.3 * whole,
        0.1 * parts.comes,
        0.1 * parts.comes,
        parts.comes,
        whole,
        whole,
        whole,
        1e5 + 0 * whole,
    ]
    return np.stack([np.asarray(size) for size in sizes])
