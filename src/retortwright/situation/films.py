# SPDX-License-Identifier: MIT
"""Films of air on the outside of walls: free convection, and a fan across it, from tables made beforehand.

A film answers a wall's and the room's temperature with its coefficient, and `sloped` with the slope too.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.ground.piecewise import Piecewise
from retortwright.physics.convection import forced_film_coefficient, free_film_coefficient

__all__ = ["FannedAir", "StillAir", "fanned_air", "still_air"]

_PRESSURE = 101325.0
_FIRST, _STEP, _COUNT = 60.0, 20.0, 131  # K, wall temperatures at which the film of a fan is known

_Which = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class StillAir:
    """The film of free convection on tubes, tabulated over the wall temperature (within 0.1 %)."""

    which: _Which  # (cells, 1) which size and slope
    table: Piecewise  # of each size, in the coldest room and then in the warmest
    rooms: tuple[float, float]
    factor: Array  # (samples,) on the published correlation

    def __call__(self, wall: Array, room: Array) -> Array:
        """Film coefficient [W/m^2/K]."""
        return self.sloped(wall, room)[0]

    def sloped(self, wall: Array, room: Array) -> tuple[Array, Array]:
        """Film coefficient [W/m^2/K] and its slope [W/m^2/K^2]."""
        warm = (room - self.rooms[0]) / (self.rooms[1] - self.rooms[0])
        film, steep = self.table.blended(wall, 2 * self.which, warm)
        film *= self.factor
        steep *= self.factor
        return film, steep


def still_air(sizes: Array, rooms: tuple[float, float], factor: Array) -> StillAir:
    """The film of some cells from their (diameter, length, slope), one row a cell."""
    kinds, which = np.unique(sizes, axis=0, return_inverse=True)
    which = which.reshape(-1, 1).astype(np.intp)
    if not all(np.isfinite(rooms)):
        unknown = Piecewise(np.array([0.0, 1.0]), np.full((2 * len(kinds), 2), np.nan))
        return StillAir(which, unknown, (0.0, 1.0), factor * np.nan)
    rooms = (rooms[0] - 0.5, rooms[1] + 0.5)
    return StillAir(which, _still(tuple(map(tuple, kinds.tolist())), rooms), rooms, factor)


@lru_cache(maxsize=64)
def _still(kinds: tuple[tuple[float, ...], ...], rooms: tuple[float, float]) -> Piecewise:
    away = np.concatenate([[0.0], 0.3 * 1.15 ** np.arange(65)])
    nodes = np.unique(np.concatenate([sum(rooms) / 2 + away, sum(rooms) / 2 - away]))
    nodes = nodes[(nodes > 60.0) & (nodes < 2650.0)]
    films = [
        free_film_coefficient(nodes, room, diameter, length, slope, _PRESSURE)
        for diameter, length, slope in kinds
        for room in rooms
    ]
    return Piecewise(nodes, np.array(films))


@dataclass(frozen=True, slots=True)
class FannedAir:
    """The film of a stream across the tubes, tabulated likewise and blended with free convection."""

    still: StillAir
    which: _Which  # (cells, 1) which diameter
    forced: Array  # (diameters * wall temperatures, samples)

    def __call__(self, wall: Array, room: Array) -> Array:
        """Film coefficient [W/m^2/K]."""
        return self.sloped(wall, room)[0]

    def sloped(self, wall: Array, room: Array) -> tuple[Array, Array]:
        """Film coefficient [W/m^2/K] and its slope [W/m^2/K^2]."""
        still, still_steep = self.still.sloped(wall, room)
        place = np.clip((wall - _FIRST) / _STEP, 0.0, _COUNT - 1.001)
        with np.errstate(invalid="ignore"):
            piece = place.astype(np.intp)
        piece.clip(0, _COUNT - 2, out=piece)
        samples = self.forced.shape[1]
        index = (piece + self.which * _COUNT) * samples + np.arange(samples)
        low = self.forced.take(index)
        steep = self.forced.take(index + samples) - low
        forced = low + (place - piece) * steep
        still_square, forced_square = still * still, forced * forced
        whole = still_square * still_square + forced_square * forced_square
        both = np.sqrt(np.sqrt(whole))
        slope = (still_square * still * still_steep + forced_square * forced * (steep / _STEP)) * (
            both / whole
        )
        return both, slope


def fanned_air(still: StillAir, diameter: Array, room: Array, speed: Array, factor: Array) -> FannedAir:
    """The film of some cells of a diameter [m] in a stream of some speed [m/s]."""
    sizes, which = np.unique(diameter, return_inverse=True)
    forced = _forced(tuple(sizes.tolist()), tuple(room.tolist()), tuple(speed.tolist()))
    return FannedAir(still, which.reshape(-1, 1).astype(np.intp), factor * forced)


@lru_cache(maxsize=16)
def _forced(sizes: tuple[float, ...], room: tuple[float, ...], speed: tuple[float, ...]) -> Array:
    wall = np.tile(_FIRST + _STEP * np.arange(_COUNT), len(sizes))[:, None]
    size = np.repeat(np.array(sizes), _COUNT)[:, None]
    film = forced_film_coefficient(wall, np.array(room), size, np.array(speed), _PRESSURE)
    return np.asarray(film)
