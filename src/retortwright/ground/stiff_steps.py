# SPDX-License-Identifier: MIT
"""Stiff equations in time for many samples at once, each with steps of its own.

Linearly implicit steps of third order with an embedded second-order result for the error: four
stages, stable at any stiffness (L-stable), the last stage ends on the step (the method Rodas3 of
Sandu and others, Atmos. Environ. 31 (1997) 3459). The slopes are differences, only for those states
on which the rates depend; the others (sums of what flowed) go along and take no part in the solve.
What a linear sum of the states keeps, the steps keep as well.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.ground.matrices import solved

__all__ = ["Course", "Rates", "course_of"]

Rates = Callable[[Array, Array, NDArray[np.intp]], Array]  # of time, state and which samples these are

_GAMMA = 0.5
_BEFORE = ((), (0.0,), (2.0, 0.0), (2.0, 0.0, 1.0))  # stages before that move the state of each stage
_CARRIED = ((), (4.0,), (1.0, -1.0), (1.0, -1.0, -8.0 / 3.0))  # and its right side, over the step
_AT = (0.0, 0.0, 1.0, 1.0)  # of the step
_TIMED = (0.5, 1.5, 0.0, 0.0)  # weight of the slope in time
_ENDS = (2.0, 0.0, 1.0, 1.0)
_ORDER = 3
_SAFE, _SHRINKS, _GROWS = 0.9, 0.2, 4.0
_NUDGE, _LATER = 1e-7, 1e-4  # relative, for differences in a state and in time
_MOST = 20_000  # steps


@dataclass(frozen=True, slots=True)
class Course:
    """States at the times asked for, and how the steps went."""

    state: Array  # (times, states, samples)
    steps: NDArray[np.intp]  # taken by each sample
    refused: NDArray[np.intp]  # steps that each sample had to repeat


def course_of(
    rates: Rates,
    start: Array,
    times: Array,
    scale: Array,
    tolerance: float,
    driving: Sequence[int],
    first: float,
    timed: bool = True,
) -> Course:
    """The course from a start (states, samples) at the first of rising times to all of them.

    `scale` (states, samples) is the size against which the error of each state is judged, together with its
    own size; `tolerance` what it may be of that in one step; `driving` the states on which the rates depend;
    `first` the first step; `timed` whether the rates depend on time itself. Rates may jump at the times, not
    between. A sample that cannot go on is nan from there on.

    >>> def cooling(time, state, which):
    ...     return -state
    >>> found = course_of(cooling, np.ones((1, 1)), np.array([0.0, 1.0]), np.ones((1, 1)), 1e-6, (0,), 0.1)
    >>> round(float(found.state[-1, 0, 0]), 5)
    0.36788
    """
    run = _Run(rates, start, times, scale, tolerance, np.asarray(driving, dtype=np.intp), first, timed)
    for _ in range(_MOST):
        if not len(run.active):
            break
        run.step()
    return Course(run.out, run.steps, run.refused)


class _Run:
    """The samples on their way."""

    def __init__(
        self,
        rates: Rates,
        start: Array,
        times: Array,
        scale: Array,
        tolerance: float,
        driving: NDArray[np.intp],
        first: float,
        timed: bool,
    ) -> None:
        samples = start.shape[1]
        self.timed = timed
        self.rates, self.times, self.scale, self.tolerance = rates, times, scale, tolerance
        self.driving = driving
        self.rest = np.setdiff1d(np.arange(len(start)), driving)
        self.out = np.full((len(times), *start.shape), np.nan)
        self.out[0] = start
        self.state = start.copy()
        self.time = np.full(samples, times[0])
        self.next = np.ones(samples, dtype=np.intp)
        self.size = np.full(samples, first)
        self.steps, self.refused = np.zeros(samples, dtype=np.intp), np.zeros(samples, dtype=np.intp)
        fine = np.all(np.isfinite(start), axis=0) & (len(times) > 1)
        self.active = np.flatnonzero(fine)

    def step(self) -> None:
        """One trial step of every sample that is still on its way."""
        own = self.active
        time, state, goal = self.time[own], self.state[:, own], self.times[self.next[own]]
        left = goal - time
        ends = self.size[own] >= left * (1.0 - 1e-9)
        step = np.where(ends, left, np.minimum(self.size[own], left / 2))
        new, off = self._tried(time, state, step, own)
        size = self.scale[:, own] + np.maximum(np.abs(state), np.abs(new))
        with np.errstate(invalid="ignore"):
            error = np.max(np.abs(off) / (self.tolerance * size), axis=0)
        error = np.where(np.isfinite(error), error, 1e9)
        good = error <= 1.0
        change = np.clip(_SAFE * np.maximum(error, 1e-9) ** (-1.0 / _ORDER), _SHRINKS, _GROWS)
        wanted = step * change
        kept = (
            ends & good & (self.size[own] > step)
        )  # cut short by a goal: that says nothing against the size
        self.size[own] = np.where(kept, np.maximum(self.size[own], wanted), wanted)
        self.steps[own[good]] += 1
        self.refused[own[~good]] += 1
        self._taken(own[good], new[:, good], (time + step)[good], (ends & good)[good], goal[good])
        lost = self.size[own] < 1e-12 * np.maximum(np.abs(time), 1.0)
        if np.any(lost) or np.any(self.next[own] >= len(self.times)):
            self.active = own[(self.next[own] < len(self.times)) & ~lost]

    def _taken(
        self, own: NDArray[np.intp], state: Array, time: Array, there: NDArray[np.bool_], goal: Array
    ) -> None:
        """Steps that were good, written down where they reached a time asked for."""
        self.state[:, own] = state
        self.time[own] = np.where(there, goal, time)
        arrived = own[there]
        self.out[self.next[arrived], :, arrived] = state[:, there].T
        self.next[arrived] += 1

    def _tried(self, time: Array, state: Array, step: Array, own: NDArray[np.intp]) -> tuple[Array, Array]:
        """The state after a step, and by how much its second-order companion differs."""
        now, slope, timed = self._slopes(time, state, step, own)
        drive, rest = self.driving, self.rest
        matrix = -np.moveaxis(slope[drive], -1, 0)
        matrix = matrix + np.eye(len(drive)) / (_GAMMA * step)[:, None, None]
        inverse = solved(matrix, np.broadcast_to(np.eye(len(drive)), matrix.shape))
        stages: list[Array] = []
        rates = now
        for number in range(len(_AT)):
            if number and any(_BEFORE[number]):
                at = state + sum(a * k for a, k in zip(_BEFORE[number], stages, strict=True) if a)
                rates = self.rates(time + _AT[number] * step, at, own)
            right = rates + _TIMED[number] * step * timed
            if number:
                right = right + sum(c * k for c, k in zip(_CARRIED[number], stages, strict=True)) / step
            stage = np.empty_like(state)
            stage[drive] = np.einsum("sij,js->is", inverse, right[drive])
            stage[rest] = _GAMMA * step * (right[rest] + np.einsum("ijs,js->is", slope[rest], stage[drive]))
            stages.append(stage)
        new = state + sum(weight * k for weight, k in zip(_ENDS, stages, strict=True) if weight)
        return new, stages[-1]

    def _slopes(
        self, time: Array, state: Array, step: Array, own: NDArray[np.intp]
    ) -> tuple[Array, Array, Array]:
        """Rates now, their slopes (states, driving, samples), and their slope in time: in one call."""
        drive, count = self.driving, len(own)
        nudge = _NUDGE * (self.scale[drive][:, own] + np.abs(state[drive]))
        copies = len(drive) + 1 + self.timed
        many, when = np.tile(state, copies), np.tile(time, copies)
        for number, which in enumerate(drive):
            many[which, (number + 1) * count : (number + 2) * count] += nudge[number]
        later = _LATER * step
        if self.timed:
            when[-count:] += later
        found = self.rates(when, many, np.tile(own, copies)).reshape(len(state), copies, count)
        now = found[:, 0]
        timed = (found[:, -1] - now) / later if self.timed else np.zeros_like(now)
        return now, (found[:, 1 : len(drive) + 1] - now[:, None]) / nudge, timed
