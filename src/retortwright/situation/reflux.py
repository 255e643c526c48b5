# SPDX-License-Identifier: MIT
"""What condenses on the walls that rise from the charge, and in the arms on them, and runs back to it.

What condenses in an arm farther on runs to the receivers: it is no reflux.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.situation.crossing import Crossing
from retortwright.situation.vapour_exchange import HotVapour

__all__ = ["Reflux", "reflux_of"]

_WET = 30.0  # W/m^2 from vapour, from which on a wall counts as wet


@dataclass(frozen=True, slots=True)
class Reflux:
    """What runs back to the charge from the rising walls and the arms on them: (samples,)."""

    heat: Array  # W that those walls take at the dew point
    rising: Array  # W of it on the way itself, up to its crest
    area: Array  # m^2 that are wet


def reflux_of(crossing: Crossing) -> Reflux:
    """The reflux of a state."""
    samples = crossing.situation.draws.size
    heat, rising, area = np.zeros(samples), np.zeros(samples), np.zeros(samples)
    temperature, mesh, ways = crossing.heat.temperature, crossing.mesh, crossing.vapour.ways
    early = np.unique(np.concatenate([ways.back, *(arm.cells for arm in ways.arms if arm.early)]))
    for exchange in crossing.exchanges:
        if not isinstance(exchange, HotVapour):
            continue
        leaving, _ = exchange.heat(temperature[exchange.cells])
        leaving = np.where(np.isin(exchange.cells, early)[:, None], leaving, 0.0)
        own = np.isin(exchange.cells, ways.back)
        heat = heat - np.sum(leaving, axis=0)
        rising = rising - np.sum(leaving[own], axis=0)
        inside = np.pi * (mesh.outside - 2 * mesh.wall)[exchange.cells] * mesh.width[exchange.cells]
        wet = -leaving > _WET * inside[:, None]
        area = area + np.sum(np.where(wet, inside[:, None], 0.0), axis=0)
    return Reflux(heat, rising, area)
