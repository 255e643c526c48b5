# SPDX-License-Identifier: MIT
"""Question 2, the run in time: does the programme last long enough, and can the furnace follow it?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from retortwright.assess.check import Check, Limit, limit_from_rule, plain_limit, sense_of_rule
from retortwright.assess.makes_charge_words import grams
from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL
from retortwright.reference.datum import Missing
from retortwright.situation.charge_heat import furnace_power
from retortwright.situation.crossing import Crossing, blank
from retortwright.situation.figure import Figure
from retortwright.situation.holdup import held_back
from retortwright.situation.run_in_time import RunInTime, run_in_time
from retortwright.situation.run_parts import main_state

__all__ = ["run_checks"]

_FINEST, _TOLERANCE = 1800.0, 1e-3  # enough for a verdict; the command forecast follows it more closely
_NEVER = 3.0  # times the length of the step, where it is not enough for all that wants to come
_LONG = 7200.0  # s, from which on hours are easier to read than minutes
_PRACTICE = "the pace is that of common practice: see `minutes`"


def run_checks(crossing: Crossing) -> Iterator[Check]:
    """Both checks, in the hottest of the states that give metal; none while changes are only tried."""
    situation = crossing.situation
    if situation.rough or crossing.state != main_state(situation):
        return
    run = run_in_time(situation, _FINEST, _TOLERANCE, whole=False)
    yield _ends(crossing, run)
    yield _power(crossing, run)


@dataclass(frozen=True, slots=True)
class _Step:
    """The steps of the programme in one state: from when to when [s]."""

    start: float
    end: float

    @property
    def length(self) -> float:
        """How long they take [s]."""
        return self.end - self.start


def _step(run: RunInTime) -> _Step:
    own = [each for each in run.programme.stretches if each.state == run.state]
    return _Step(own[0].start, own[-1].end)


def _ends(crossing: Crossing, run: RunInTime | Missing) -> Check:
    """From the beginning of the step until the amount wanted is in the receivers."""
    if isinstance(run, Missing):
        limit = plain_limit(crossing.plain_ledger(), np.nan, "length of the step")
        return _check(
            crossing, "run-ends", blank(crossing.situation, run), "how long it takes cannot be said.", limit
        )
    ledger, step = crossing.ledger(), _step(run)
    ledger.used |= run.ledger.used
    ledger.cites |= run.ledger.cites
    mass = crossing.molar_mass(ledger)
    held, _ = held_back(crossing.tree, ledger, crossing.metal)
    wanted = np.minimum(crossing.wanted(ledger), 0.9 * run.parts.comes * mass - held) + held
    if crossing.rig.aim.amount is not None:
        wanted = crossing.rig.aim.amount + held
    taken = _when(run.times, run.of("gone") * mass, np.asarray(wanted)) - step.start
    values = np.where(np.isfinite(taken), np.maximum(taken, 0.0), _NEVER * step.length)
    figure = crossing.figure(ledger, values, {"often": np.mean(np.isfinite(taken)) + 0.0 * values})
    words = _ends_words(crossing, run, values, step)
    limit = plain_limit(crossing.plain_ledger(), step.length, "length of the step, with its ramp")
    notes = () if "reaction.time" in crossing.rig.assume or crossing.charge.redistils else (_PRACTICE,)
    return _check(crossing, "run-ends", figure, words, limit, notes)


def _when(times: Array, rising: Array, level: Array) -> Array:
    """When a rising figure comes to a level, (samples,); nan where it never does."""
    above = rising >= level
    upper = np.maximum(np.argmax(above, axis=0), 1)
    columns = np.arange(rising.shape[1])
    low, high = rising[upper - 1, columns], rising[upper, columns]
    with np.errstate(divide="ignore", invalid="ignore"):
        part = np.clip(np.nan_to_num((level - low) / (high - low)), 0.0, 1.0)
    return np.where(
        np.any(above, axis=0), times[upper - 1] + part * (times[upper] - times[upper - 1]), np.nan
    )


def _ends_words(crossing: Crossing, run: RunInTime, values: Array, step: _Step) -> str:
    mass = crossing.molar_mass(crossing.plain_ledger())
    come = run.of("gone")[-1] * mass
    low, best = (float(np.quantile(come, share)) for share in (TAIL, 0.5))
    words = (
        f"by the end of the step, {_lasting(step.length)} with its ramp, {grams(best)} have come "
        f"({grams(low)} at the worse end)"
    )
    ended = values[values < _NEVER * step.length]  # the others never bring it
    if len(ended) and np.quantile(values, 1 - TAIL) >= _LONG:
        first, last = (float(np.quantile(ended, share)) for share in (TAIL, 1 - TAIL))
        words += f"; the amount wanted takes {_lasting(first)} to {_lasting(last)} where it comes at all"
    short = float(np.mean(values >= _NEVER * step.length))
    if short >= TAIL:
        words += (
            f"; in {short:.0%} of the samples that is not enough for what is wanted, and counts as "
            f"{_NEVER:.0f} times the step"
        )
    top = run.parts.time / 60
    paces = tuple(float(np.quantile(top, share)) for share in (TAIL, 1 - TAIL))
    if crossing.charge.redistils:
        return f"{words}; the charge is the metal itself, bound by its face, the line and the heat."
    return (
        f"{words}; at the hottest set-point the charge is taken to need {paces[0]:.0f} to {paces[1]:.0f} min."
    )


def _lasting(time: float) -> str:
    """A time in minutes, or in hours and minutes where it is long."""
    hours, minutes = divmod(round(time / 60), 60)
    if time < _LONG:
        return f"{time / 60:.0f} min"
    return f"{hours} h {minutes} min" if minutes else f"{hours} h"


def _power(crossing: Crossing, run: RunInTime | Missing) -> Check:
    """How far the furnace is behind its set-point where a ramp or a hold ends."""
    limit = limit_from_rule(crossing.plain_ledger(), "furnace-power")
    stated = furnace_power(crossing.charge, crossing.state)
    if isinstance(run, Missing) or stated is None:
        first = next((each.name for each in crossing.rig.heat if each.holds is None), "furnace")
        says = f"how much power the furnace has is not said: heat.{first}.power"
        lacks = run if isinstance(run, Missing) else Missing(f"heat.{first}.power", says)
        says = "whether the furnace can follow its programme cannot be said."
        return _check(crossing, "furnace-power", blank(crossing.situation, lacks), says, limit)
    ledger = crossing.ledger()
    ledger.used |= run.ledger.used
    ledger.cites |= run.ledger.cites
    behind, most = _behind(run)
    figure = crossing.figure(ledger, behind)
    words = (
        f"of {stated:.0f} W some {float(np.median(run.parts.heat.power)):.0f} W get inside, and following the "
        f"programme takes up to {float(np.median(most)):.0f} W with walls, reaction and vapour."
    )
    return _check(crossing, "furnace-power", figure, words, limit)


def _behind(run: RunInTime) -> tuple[Array, Array]:
    """The most that the furnace is behind [K] and gives [W], over the samples."""
    which = np.arange(len(run.parts.comes))
    behind, most = np.zeros(len(which)), np.zeros(len(which))
    ends = {each.end: each for each in run.programme.stretches if each.hot and each.end - each.start > 60.0}
    for time, state in zip(run.times.tolist(), run.course, strict=True):
        stretch = ends.get(time)
        if stretch is None:
            continue
        rates = run.rates_at(time)
        look = rates.look(state, which)
        target = run.parts.heat.aimed(np.full(len(which), stretch.after), which)
        behind = np.maximum(behind, target - look.mass)
        most = np.maximum(most, rates.power(np.full(len(which), time), look, which)[0])
    return behind, most


def _check(
    crossing: Crossing, name: str, figure: Figure, because: str, limit: Limit, notes: tuple[str, ...] = ()
) -> Check:
    led = [each.name for each in crossing.rig.heat if each.holds is None]
    ends = name == "run-ends"
    return Check(
        name,
        crossing.state,
        "charge" if ends else (led[0] if led else "furnace"),
        f"time until the {crossing.metal} wanted is in the receivers" if ends else "set-point less furnace",
        "programme.steps" if ends else (f"heat.{led[0]}" if led else "heat"),
        "time" if ends else "temperature_difference",
        figure,
        limit,
        because,
        sense_of_rule(crossing.tables, name),
        notes,
    )
