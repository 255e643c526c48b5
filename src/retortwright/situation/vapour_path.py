# SPDX-License-Identifier: MIT
"""How a stream of vapour goes along a cooled path: how much passes each place, the rest lands.

Along the path the potential of the vapour (the integral of its conductance over pressure) can
nowhere be higher than saturation at the wall, and nothing that has landed comes back: the flow
never grows along the path. The highest such potential is the greatest convex function of the
resistance passed that stays below saturation. Where even that would carry more than the supply,
the flow is the supply and the potential lies below saturation: nothing lands there. This is the
exact solution of steady flow with condensation in one direction (an obstacle problem); its
slopes come from the max-min formula of the greatest convex minorant.
"""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Array

__all__ = ["entrance_potential", "passing_flow"]


def passing_flow(resistance: Array, saturation: Array, supply: Array) -> Array:
    """Flow between each place of a path and the next: (places - 1, samples), never growing.

    `resistance` is that passed up to each place, rising along the first axis; `saturation` the
    potential of vapour that is saturated at the wall there; `supply` the most that enters. The far
    end is closed: what is left lands at the coldest place.

    >>> places = np.array([[0.0], [1.0], [2.0], [3.0]])
    >>> passing_flow(places, np.array([[100.0], [9.0], [1.0], [0.0]]), np.array([5.0])).T
    array([[5., 5., 1.]])
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        falls = (saturation[:, None] - saturation[None, :]) / (resistance[None, :] - resistance[:, None])
    ahead = np.arange(len(resistance))[None, :, None] > np.arange(len(resistance))[:, None, None]
    falls = np.where(ahead, falls, -np.inf)
    steepest = np.maximum.accumulate(falls[:, ::-1], axis=1)[:, ::-1]  # over ends at or beyond
    least = np.minimum.accumulate(steepest, axis=0)  # over starts at or before
    places = np.arange(len(resistance) - 1)
    flow = least[places, places + 1]
    return np.clip(np.minimum(flow, supply), 0.0, None)


def entrance_potential(resistance: Array, saturation: Array, supply: Array) -> Array:
    """Potential at the first place when a supply enters there: (samples,).

    >>> places = np.array([[0.0], [1.0], [2.0], [3.0]])
    >>> entrance_potential(places, np.array([[100.0], [9.0], [1.0], [0.0]]), np.array([5.0]))
    array([11.])
    """
    return np.asarray(np.min(saturation + supply * (resistance - resistance[0]), axis=0))
