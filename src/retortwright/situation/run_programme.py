# SPDX-License-Identifier: MIT
"""The programme as a course of the furnace's set-point in time."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing
from retortwright.rig.parts import Rig
from retortwright.situation.timing import is_hot

__all__ = ["UNSAID", "Programme", "Stretch", "programme_of"]

UNSAID = 600.0  # s, of a step of which the programme does not say how long it takes
_COOLED = 30.0  # K over the room that count as cooled down
_JUMP = 1.0  # s, of a rise whose ramp is not said


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of the programme in one state, over which the set-point runs straight."""

    state: str
    step: int  # its place in the programme
    start: float  # s
    end: float  # s
    before: float  # K, set-point at its start
    after: float  # K, and at its end
    hot: bool  # whether the furnace runs


@dataclass(frozen=True, slots=True)
class Programme:
    """The stretches in order."""

    stretches: tuple[Stretch, ...]
    unsaid: tuple[str, ...]  # states of which it does not say how long they take

    @property
    def end(self) -> float:
        """When it is over [s]."""
        return self.stretches[-1].end

    @property
    def marks(self) -> Array:
        """The times at which something changes at once [s]."""
        return np.unique([0.0, *(each.end for each in self.stretches)])

    def until(self, state: str) -> Programme:
        """The programme up to the end of the last step in a state."""
        last = max(place for place, each in enumerate(self.stretches) if each.state == state)
        return Programme(self.stretches[: last + 1], self.unsaid)

    def at(self, time: float) -> Stretch:
        """The stretch at a time; at a mark the one that ends there."""
        return next((each for each in self.stretches if time <= each.end + 1e-6), self.stretches[-1])


def programme_of(rig: Rig, room: float, decay: float) -> Programme | Missing:
    """The programme of a rig; `room` [K] and the time constant `decay` [s] with which its furnace cools are nominal."""
    if not rig.steps:
        return Missing("programme.steps", "the rig has no programme: nothing says what is done when")
    stretches: list[Stretch] = []
    unsaid: list[str] = []
    time, before = 0.0, room
    for number, step in enumerate(rig.steps):
        began, hot = len(stretches), is_hot(rig, step.state)
        after = (before if hot else room) if step.to is None else step.to
        for length, first, last in _parts(step.ramp, step.hold, before, after, hot, (room, decay)):
            stretches.append(Stretch(step.state, number, time, time + length, first, last, hot))
            time += length
        if len(stretches) == began:
            unsaid.append(step.state)
            stretches.append(Stretch(step.state, number, time, time + UNSAID, after, after, hot))
            time += UNSAID
        before = after if hot or step.to is not None else before
    return Programme(tuple(stretches), tuple(unsaid))


def _parts(
    ramp: float | None, hold: float | None, before: float, after: float, hot: bool, cools: tuple[float, float]
) -> Iterator[tuple[float, float, float]]:
    """The ramp and the hold of a step: how long [s], from and to which set-point [K]."""
    room, decay = cools
    if ramp and after != before:
        yield abs(after - before) / ramp, before, after
    elif hot and after > before:
        yield _JUMP, before, after
    elif after < before and not (hot and hold):
        end = max(after, room + _COOLED)
        if before > end and not hold:
            yield decay * math.log((before - room) / (end - room)), after, after
    if hold:
        yield hold, after, after
