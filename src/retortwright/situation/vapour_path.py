# SPDX-License-Identifier: MIT
"""How a stream of vapour goes along a cooled path: how much passes each place, the rest lands.

Along the path the potential of the vapour (the integral of its conductance over pressure) can
nowhere be higher than saturation at the wall, and nothing that has landed comes back: the flow
never grows along the path. The highest such potential is the greatest convex function of the
resistance passed that stays below saturation. Where even that would carry more than the supply,
the flow is the supply and the potential lies below saturation: nothing lands there. This is the
exact solution of steady flow with condensation in one direction (an obstacle problem); the
greatest convex minorant is found place by place: a place that lies above the line from the one
before it to the next one is none of its corners.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array

__all__ = ["corners_of", "entrance_potential", "passing_flow"]


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
    touched = np.argmin(
        saturation + supply * resistance, axis=0
    )  # where the line of the supply first lies on
    start, end = int(np.min(touched)), int(np.max(np.argmin(saturation, axis=0))) + 1
    flow = np.zeros((len(resistance) - 1, resistance.shape[1]))
    flow[:start] = supply
    if end - start > 1:
        corners, falls = corners_of(resistance[start:end], saturation[start:end])
        beyond = falls[-1]  # the last place is always a corner
        for place in range(end - start - 1, 0, -1):
            beyond = np.where(corners[place], falls[place], beyond)
            flow[start + place - 1] = beyond
    return np.clip(flow, 0.0, supply)


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
