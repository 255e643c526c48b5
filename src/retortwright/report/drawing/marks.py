# SPDX-License-Identifier: MIT
"""Marks along the pieces, and the places along a way at which the wall crosses a temperature."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL
from retortwright.situation.mesh import Mesh

__all__ = ["Course", "Crossing", "Mark", "Spot", "course_of", "crossings"]

Spot = tuple[int, float]  # which single piece, and where on it [m]


@dataclass(frozen=True, slots=True)
class Mark:
    """Something marked at one or more places alike: of what kind, in what words."""

    kind: str  # dew, melting, front, landed
    words: tuple[str, ...]
    spots: tuple[Spot, ...]


@dataclass(frozen=True, slots=True)
class Course:
    """Cells in the order in which vapour comes through them, by how far each is [m]."""

    cells: NDArray[np.intp]
    ends: Array  # where each cell ends, along the course
    middles: Array
    forward: NDArray[np.bool_]  # whether a piece is passed from its near to its far end
    mesh: Mesh

    def spot(self, distance: float) -> Spot:
        """The place at a distance along the course."""
        which = min(int(np.searchsorted(self.ends, distance)), len(self.cells) - 1)
        cell, left = self.cells[which], float(self.ends[which]) - distance
        place = self.mesh.end[cell] - left if self.forward[which] else self.mesh.start[cell] + left
        return int(self.mesh.instance[cell]), float(place)


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where the wall passes a temperature: for the middle, and of all samples the nearest and farthest [m]."""

    distance: float
    falling: bool
    near: float
    far: float


def course_of(mesh: Mesh, cells: Sequence[int] | NDArray[np.intp]) -> Course:
    """The course along some cells."""
    order = np.asarray(cells, dtype=np.intp)
    width = mesh.width[order]
    ends = np.cumsum(width)
    forward = np.ones(len(order), dtype=bool)
    for number in range(len(order)):
        other = number + 1 if number + 1 < len(order) else number - 1
        if other >= 0 and mesh.instance[order[other]] == mesh.instance[order[number]]:
            forward[number] = bool((order[other] > order[number]) == (other > number))
        elif number and mesh.instance[order[number - 1]] == mesh.instance[order[number]]:
            forward[number] = forward[number - 1]
    return Course(order, ends, ends - width / 2, forward, mesh)


def crossings(
    course: Course, wall: Array, level: Array | float, walls: Array, levels: Array | float
) -> list[Crossing]:
    """All crossings of the middle (cells,), with how far apart they are over the samples (cells, samples).

    Where some samples do not cross in the same direction near it, the band is not known.
    """
    found = []
    over = wall - level
    for number in np.flatnonzero((over[:-1] >= 0) != (over[1:] >= 0)):
        falling = bool(over[number] >= 0)
        distance = _between(course.middles, over, int(number))
        near, far = _spread(course, np.asarray(walls - levels), falling, distance)
        found.append(Crossing(distance, falling, near, far))
    return found


def _between(middles: Array, over: Array, number: int) -> float:
    """Where a straight line from one cell to the next is nought."""
    share = over[number] / (over[number] - over[number + 1])
    return float(middles[number] + share * (middles[number + 1] - middles[number]))


def _spread(course: Course, over: Array, falling: bool, distance: float) -> tuple[float, float]:
    """The 5 and 95 % points of the crossing nearest to a distance, of each sample; nan if one has none."""
    nearest = np.full(over.shape[1], np.nan)
    for sample in range(over.shape[1]):
        signs = over[:, sample] >= 0
        changes = np.flatnonzero((signs[:-1] != signs[1:]) & (signs[:-1] == falling))
        places = [_between(course.middles, over[:, sample], int(each)) for each in changes]
        if places:
            nearest[sample] = min(places, key=lambda place: abs(place - distance))
    if np.any(np.isnan(nearest)):
        return np.nan, np.nan
    low, high = np.quantile(nearest, [TAIL, 1 - TAIL])
    return float(low), float(high)
