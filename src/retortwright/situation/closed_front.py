# SPDX-License-Identifier: MIT
"""Gas and vapour that share a volume of uneven walls, the vapour of each stretch saturated at its own wall."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.physics.constants import GAS_CONSTANT

__all__ = ["Front", "front_of", "gas_pressure"]


def gas_pressure(moles: Array, room: Array) -> Array:
    """Pressure of a gas in walls of uneven temperature; `room` is the sum of volume over temperature [m^3/K]."""
    return np.asarray(moles * GAS_CONSTANT / room)


@dataclass(frozen=True, slots=True)
class Front:
    """The stretches of a volume from the one that vapour enters last; arrays are (samples, stretches)."""

    saturated: Array  # vapour pressure at the wall of each, rising [Pa]
    following: Array  # that of the next one [Pa]
    room: Array  # volume over temperature of all up to each [m^3/K]
    vapour: Array  # that times the vapour pressure of each, of all up to each [Pa m^3/K]

    def pressure(self, moles: Array, low: Array, high: Array) -> Array:
        """Pressure at which gas and saturated vapour fill all walls that are too cold for vapour alone [Pa].

        Where the vapour of a wall would come to more than the whole pressure there is nothing but vapour, and the
        gas is pushed out of it. It lies between `low` and `high`, and is the end that it would lie beyond.
        """
        found = (moles[:, None] * GAS_CONSTANT + self.vapour) / self.room
        first = np.argmax(found <= self.following, axis=1)
        pressure = found[np.arange(len(first)), first]
        pressure = np.where(np.isfinite(self.saturated[:, -1]), pressure, np.nan)
        return np.asarray(np.clip(pressure, low, high))


def front_of(room: Array, saturated: Array) -> Front:
    """The stretches in order; `room` is volume over temperature of each, `saturated` the vapour pressure at its wall.

    Both are (stretches, samples).
    """
    each, at = np.ascontiguousarray(room.T), np.ascontiguousarray(saturated.T)
    order = np.argsort(at, axis=1)
    rows = np.arange(len(order))[:, None]
    rising, each = at[rows, order], each[rows, order]
    following = np.concatenate([rising[:, 1:], np.full((len(rising), 1), np.inf)], axis=1)
    return Front(rising, following, np.cumsum(each, axis=1), np.cumsum(each * rising, axis=1))
