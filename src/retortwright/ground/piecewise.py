# SPDX-License-Identifier: MIT
"""Curves that run straight between points, looked up for many values at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array

__all__ = ["Piecewise"]

_MOST = 200_000  # shelves


class Piecewise:
    """Several curves over the same points, straight between them and held beyond the ends.

    A value finds its piece on a shelf: the axis is cut into shelves about as wide as the closest two
    points are apart, so that a comparison with the points on the shelf (mostly one) settles the piece.

    >>> curve = Piecewise(np.array([0.0, 1.0, 3.0]), np.array([[0.0, 2.0, 0.0]]))
    >>> [float(each) for each in curve.at(np.array([-1.0, 0.5, 2.0]))]
    [0.0, 1.0, 1.0]
    """

    def __init__(self, points: Array, values: Array) -> None:
        steep = np.diff(values, axis=1) / np.diff(points)
        level = np.zeros((len(values), 1))
        steep = np.concatenate([level, steep, level], axis=1)
        start = np.concatenate(
            [values[:, :1], values[:, :-1] - steep[:, 1:-1] * points[:-1], values[:, -1:]], axis=1
        )
        self._pieces = len(points) + 1
        self._start, self._steep = np.ravel(start), np.ravel(steep)
        self._ends = np.append(points, np.inf)  # of each piece
        self._lowest = float(points[0])
        width = max(float(np.min(np.diff(points))), (float(points[-1]) - self._lowest) / _MOST)
        self._per_unit = 1.0 / width
        shelf = np.ceil((points - self._lowest) * self._per_unit).astype(np.intp)
        held = np.bincount(shelf, minlength=2)
        self._most = int(np.max(held))
        self._shelves: NDArray[np.intp] = np.cumsum(held)
        self._shelves[0] = 0  # the first shelf also serves what lies below it

    def at(self, values: Array, which: NDArray[np.intp] | int = 0) -> Array:
        """The curves at some values; `which` says which curve, and goes along with the values."""
        return self.sloped(values, which)[0]

    def sloped(self, values: Array, which: NDArray[np.intp] | int = 0) -> tuple[Array, Array]:
        """The curves at some values and their slopes there; nan where a value is."""
        place = self._place(values, which)
        steep = self._steep.take(place)
        found = steep * values
        found += self._start.take(place)
        return found, steep

    def blended(self, values: Array, which: NDArray[np.intp], share: Array) -> tuple[Array, Array]:
        """The same between the curve that `which` says and the next one, by a share of the next."""
        place = self._place(values, which)
        steep, start = self._steep.take(place), self._start.take(place)
        place += self._pieces
        steep += share * (self._steep.take(place) - steep)
        start += share * (self._start.take(place) - start)
        start += steep * values
        return start, steep

    def _place(self, values: Array, which: NDArray[np.intp] | int) -> NDArray[np.intp]:
        """Where the piece of each value stands."""
        with np.errstate(invalid="ignore"):
            shelf = ((values - self._lowest) * self._per_unit).astype(np.intp)
        place = self._shelves.take(shelf, mode="clip")
        for _ in range(self._most):
            place += values >= self._ends.take(place)
        place += np.multiply(which, self._pieces)
        return place
