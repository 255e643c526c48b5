# SPDX-License-Identifier: MIT
"""How long the programme pumps, heats, and holds hot metal."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.rig.parts import Rig
from retortwright.situation.regime import regime_of

__all__ = [
    "Stage",
    "heated_time",
    "hold_of",
    "hottest_state",
    "is_after_heat",
    "is_hot",
    "pumped_time",
    "stretches",
    "time_with_hot_metal",
]

_START = 293.15  # K, set-point before the first step
_AFTER = 3600.0  # s of pumping or heating, where the programme does not say how long
_SHORTEST = 60.0  # s


@dataclass(frozen=True, slots=True)
class Stage:
    """One step of the programme: from one set-point to another, and a hold [K, s]."""

    state: str
    before: float
    after: float
    ramp: float | None  # time it takes, None where the programme does not say
    hold: float


def stretches(rig: Rig) -> Iterator[Stage]:
    """The steps of the programme in their order."""
    before = _START
    for step in rig.steps:
        left_alone = _START if not is_hot(rig, step.state) else before
        after = left_alone if step.to is None else step.to
        ramp = abs(after - before) / step.ramp if step.ramp else (0.0 if after >= before else None)
        yield Stage(step.state, before, after, ramp, step.hold or 0.0)
        before = after


def is_hot(rig: Rig, state: str) -> bool:
    """Whether a heating that the programme leads runs in a state."""
    led = {heat.name for heat in rig.heat if heat.holds is None}
    return any(name in led for name, _ in regime_of(rig, state).hot)


def hottest_state(rig: Rig) -> str | None:
    """The state with the hottest set-point, the last one of several; None where nothing is heated."""
    hot = [step for step in rig.steps if step.to is not None and is_hot(rig, step.state)]
    if not hot:
        return None
    most = max(step.to or 0.0 for step in hot)
    return [step.state for step in hot if step.to == most][-1]


def hold_of(rig: Rig, state: str) -> float | None:
    """How long the programme stays in a state in all [s]; None where it does not say."""
    times = [one.hold + (one.ramp or 0.0) for one in stretches(rig) if one.state == state]
    return sum(times) or None


def is_after_heat(rig: Rig, state: str) -> bool:
    """Whether a state is hot, or follows one that was."""
    return is_hot(rig, state) or any(is_hot(rig, one.state) for one in _until(rig, state))


def _until(rig: Rig, state: str) -> list[Stage]:
    """The programme up to the end of a state."""
    found = list(stretches(rig))
    places = [number for number, one in enumerate(found) if one.state == state]
    return found[: places[-1] + 1] if places else []


def pumped_time(rig: Rig, state: str) -> float:
    """Time of pumping up to the end of a state [s]."""
    pumped = {each.name for each in rig.states if "pump" in each.running}
    total = sum(one.hold + (one.ramp or 0.0) for one in _until(rig, state) if one.state in pumped)
    return max(total, _SHORTEST) if total else _AFTER


def heated_time(rig: Rig, state: str) -> float:
    """Time of heating up to the end of a state [s]."""
    total = sum(one.hold + (one.ramp or 0.0) for one in _until(rig, state) if is_hot(rig, one.state))
    return max(total, _SHORTEST) if total else _AFTER


def time_with_hot_metal(rig: Rig, ledger: Ledger) -> Array:
    """Time during which there is hot metal that air can spoil [s], (samples,).

    It counts while the set-point is above the one from which on there is metal, and while the
    furnace cools back to it. Where the programme gives no times, or the user knows better, the
    assumption `hot-metal.time` rules.
    """
    steps = list(stretches(rig))
    hottest = max((one.after for one in steps if is_hot(rig, one.state)), default=_START)
    told = any(one.hold or one.ramp for one in steps if is_hot(rig, one.state))
    if "hot-metal.time" in rig.assume or not told:
        return ledger.default("hot-metal.time", _SHORTEST, 1e7)
    first = np.minimum(ledger.default("metal.from", 300.0, 2000.0), hottest)
    room = ledger.default("room.temperature", 200.0, 400.0)
    decay = ledger.default("furnace.decay", 60.0, 1e6)
    total = np.zeros(ledger.draws.size)
    for one in steps:
        high, low = max(one.before, one.after), min(one.before, one.after)
        if one.ramp is None:
            end = np.clip(np.maximum(first, one.after), room + 1.0, high)
            cooled = decay * np.log((high - room) / (end - room))
            total = total + np.where(first < high, cooled, 0.0)
        elif high > low:
            total = total + one.ramp * np.clip((high - first) / (high - low), 0.0, 1.0)
        total = total + np.where(one.after >= first, one.hold, 0.0)
    return np.maximum(total, _SHORTEST)
