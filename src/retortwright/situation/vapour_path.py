# SPDX-License-Identifier: MIT
"""How a stream of vapour goes along a cooled path: how much passes each place, the rest lands.

Along the path the potential of the vapour (the integral of its conductance over pressure) can
nowhere be higher than saturation at the wall, and nothing that has landed comes back: the flow
never grows along the path. The highest such potential is the greatest convex function of the
resistance passed that stays below saturation. Where even that would carry more than the supply,
the flow is the supply and the potential lies below saturation: nothing lands there. This is the
exact solution of steady flow with condensation in one direction (an obstacle problem); the
greatest convex minorant is found place by place: a place that lies above the line from the one
before it to the next one is none of its corners. Corners that are nearly known are mended instead:
a place below the line through them becomes one, one above the line between its neighbours does not
stay; either way the line only sinks, down to the minorant.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array

__all__ = ["corners_of", "entrance_potential", "flow_along", "passing_flow"]

_ROUNDS = 6  # of mending corners that are nearly known, before they are sought anew
_ROUNDED = 1e-12  # relative: below the line by no more than this is on it


def passing_flow(resistance: Array, saturation: Array, supply: Array) -> Array:
    """Flow between each place of a path and the next: (places - 1, samples), never growing.

    `resistance` is that passed up to each place, rising along the first axis; `saturation` the
    potential of vapour that is saturated at the wall there; `supply` the most that enters. The far
    end is closed: what is left lands at the coldest place.

    >>> places = np.array([[0.0], [1.0], [2.0], [3.0]])
    >>> passing_flow(places, np.array([[100.0], [9.0], [1.0], [0.0]]), np.array([5.0])).T
    array([[5., 5., 1.]])
    """
    resistance, saturation = np.broadcast_arrays(resistance, saturation)
    return flow_along(resistance, saturation, supply, np.zeros(resistance.shape, dtype=bool))


def flow_along(resistance: Array, saturation: Array, supply: Array, corners: NDArray[np.bool_]) -> Array:
    """The same where the corners of the minorant are nearly known, (places, samples); they are put right in place.

    A sample without any has them sought from the beginning.
    """
    flow = np.empty((len(resistance) - 1, resistance.shape[1]))
    some = np.flatnonzero(corners[-1])
    unknown = np.flatnonzero(~corners[-1])
    for _ in range(_ROUNDS):
        if not len(some):
            break
        every = len(some) == resistance.shape[1]
        own, height = (resistance, saturation) if every else (resistance[:, some], saturation[:, some])
        kept = corners if every else corners[:, some]
        falls, wrong = _checked(own, height, kept)
        flow[:, some] = falls
        amiss = np.any(wrong, axis=0)
        corners[:, some[amiss]] ^= wrong[:, amiss]
        some = some[amiss]
    for columns in (some, unknown):
        if len(columns):
            found, falls = corners_of(resistance[:, columns], saturation[:, columns])
            found[0] = True
            corners[:, columns] = found
            flow[:, columns] = _spread(found, falls)
    return np.clip(flow, 0.0, supply)


def _checked(
    resistance: Array, saturation: Array, kept: NDArray[np.bool_]
) -> tuple[Array, NDArray[np.bool_]]:
    """Falls per resistance of the line through some places, and which places are wrongly in or out of it."""
    places, samples = resistance.shape
    number = np.arange(places)[:, None]
    left = np.maximum.accumulate(np.where(kept, number, 0), axis=0)[:-1]
    right = np.minimum.accumulate(np.where(kept, number, places - 1)[::-1], axis=0)[::-1][1:]
    columns = np.arange(samples)
    left, right = left * samples + columns, right * samples + columns
    height, passed = saturation.ravel(), resistance.ravel()
    top, before = height.take(left), passed.take(left)
    falls = (top - height.take(right)) / (passed.take(right) - before)
    line = top[1:] - falls[1:] * (resistance[1:-1] - before[1:])
    inner = kept[1:-1]
    wrong = np.zeros(kept.shape, dtype=bool)
    above = falls[1:] >= falls[:-1]
    wrong[1:-1] = np.where(inner, above, line - saturation[1:-1] > _ROUNDED * top[1:])
    return falls, wrong


def _spread(corners: NDArray[np.bool_], falls: Array) -> Array:
    """The fall up to each corner for all places before it: (places - 1, samples)."""
    flow = np.empty((len(falls) - 1, falls.shape[1]))
    beyond = falls[-1]  # the last place is always a corner
    for place in range(len(falls) - 1, 0, -1):
        beyond = np.where(corners[place], falls[place], beyond)
        flow[place - 1] = beyond
    return flow


def corners_of(resistance: Array, saturation: Array) -> tuple[NDArray[np.bool_], Array]:
    """Which places are corners of the minorant, and its fall per resistance up to each: (places, samples).

    >>> places = np.array([[0.0], [1.0], [2.0], [3.0]])
    >>> corners_of(places, np.array([[100.0], [9.0], [8.0], [0.0]]))[0].T
    array([[False,  True, False,  True]])
    """
    columns = np.arange(resistance.shape[1])
    kept = np.zeros(resistance.shape, dtype=np.intp)  # corners so far, the last one on top
    steep = np.full(resistance.shape, np.inf)  # fall up to each of them
    top = np.zeros(len(columns), dtype=np.intp)
    for place in range(1, len(resistance)):
        waiting = columns
        while len(waiting):
            last = kept[top[waiting], waiting]
            fall = (saturation[last, waiting] - saturation[place, waiting]) / (
                resistance[place, waiting] - resistance[last, waiting]
            )
            bent = fall >= steep[top[waiting], waiting]
            done = waiting[~bent]
            top[done] += 1
            kept[top[done], done] = place
            steep[top[done], done] = fall[~bent]
            waiting = waiting[bent]
            top[waiting] -= 1
    corners, falls = np.zeros(resistance.shape, dtype=bool), np.zeros(resistance.shape)
    for height in range(1, int(np.max(top)) + 1):
        here = columns[top >= height]
        corners[kept[height, here], here] = True
        falls[kept[height, here], here] = steep[height, here]
    return corners, falls


def entrance_potential(resistance: Array, saturation: Array, supply: Array) -> Array:
    """Potential at the first place when a supply enters there: (samples,).

    >>> places = np.array([[0.0], [1.0], [2.0], [3.0]])
    >>> entrance_potential(places, np.array([[100.0], [9.0], [1.0], [0.0]]), np.array([5.0]))
    array([11.])
    """
    return np.asarray(np.min(saturation + supply * (resistance - resistance[0]), axis=0))
