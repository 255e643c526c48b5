# SPDX-License-Identifier: MIT
"""The tree of pieces cut into cells, finer where something begins, ends or branches off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.rig.parts import Rig
from retortwright.rig.tree import Instance, Tree
from retortwright.situation.grading import Mark, marks_of

__all__ = ["Mesh", "cells_over", "mesh_of"]

_LARGEST = 0.05  # m
_SLIVER = 2e-5  # m, half a cell that is no more than a place


@dataclass(frozen=True, slots=True)
class Mesh:
    """Cells of all pieces, parents before children. All arrays are (cells,), lengths in m."""

    instance: np.ndarray[tuple[int], np.dtype[np.intp]]  # which piece
    parent: np.ndarray[tuple[int], np.dtype[np.intp]]  # the cell each one conducts to, -1 for the first
    side: np.ndarray[tuple[int], np.dtype[np.bool_]]  # whether it branches off the side of that cell
    start: Array
    end: Array
    outside: Array
    wall: Array
    first: tuple[int, ...]  # first cell of each piece
    last: tuple[int, ...]  # last cell of each piece

    @property
    def middle(self) -> Array:
        """Centre of each cell along its piece [m]."""
        return (self.start + self.end) / 2

    @property
    def width(self) -> Array:
        """Length of each cell [m]."""
        return self.end - self.start

    def cell_at(self, instance: int, place: float) -> int:
        """The cell of a piece that holds a place."""
        first, last = self.first[instance], self.last[instance]
        inside = int(np.searchsorted(self.end[first : last + 1], place * (1 - 1e-12), side="left"))
        return min(first + inside, last)


def mesh_of(rig: Rig, tree: Tree, conductivity: Mapping[str, float], split: int = 1) -> Mesh:
    """The mesh of a rig; every cell is cut into `split` equal parts (to study the error)."""
    marks = marks_of(rig, tree, conductivity)
    instance, parent, side = [], [], []
    start: list[float] = []
    end: list[float] = []
    outside, wall = [], []
    first: list[int] = []
    last: list[int] = []
    for number, single in enumerate(tree.instances):
        edges = _edges(marks[number], single.length, split)
        first.append(len(start))
        for index, (low, high) in enumerate(pairwise(edges)):
            if index == 0:
                parent.append(_attached(single, first, last, start, end))
                side.append(single.parent >= 0 and not single.at_end)
            else:
                parent.append(len(start) - 1)
                side.append(False)
            tube = single.tube_at((low + high) / 2)
            instance.append(number)
            start.append(low)
            end.append(high)
            outside.append(tube.outside)
            wall.append(tube.wall)
        last.append(len(start) - 1)
    return Mesh(
        np.array(instance),
        np.array(parent),
        np.array(side),
        np.array(start),
        np.array(end),
        np.array(outside),
        np.array(wall),
        tuple(first),
        tuple(last),
    )


def cells_over(mesh: Mesh, tree: Tree, row: str, start: float, end: float | None) -> Array:
    """The share of each cell that a stretch of a row covers, (cells,)."""
    share = np.zeros(len(mesh.start))
    for number, single in enumerate(tree.instances):
        if single.row.name != row:
            continue
        cells = slice(mesh.first[number], mesh.last[number] + 1)
        stop = single.length if end is None else end
        inside = np.minimum(mesh.end[cells], stop) - np.maximum(mesh.start[cells], start)
        share[cells] = np.clip(inside / mesh.width[cells], 0.0, 1.0)
    return share


def _attached(
    single: Instance, first: list[int], last: list[int], start: list[float], end: list[float]
) -> int:
    if single.parent < 0:
        return -1
    if single.at_end:
        return last[single.parent]
    cells = range(first[single.parent], last[single.parent] + 1)
    return next((cell for cell in cells if start[cell] <= single.at < end[cell]), last[single.parent])


def _edges(marks: list[Mark], length: float, split: int) -> list[float]:
    """Cell edges of one piece, from the places where something changes."""
    held = _held([mark for mark in marks if mark.point], length)
    beside = {edge: mark for mark, (low, high) in held for edge in (low, high)}
    for mark in marks:
        if mark.place in (0.0, length) or not any(low < mark.place < high for _, (low, high) in held):
            beside.setdefault(mark.place, mark)
    edges = [0.0]
    places = _cleaned(sorted(beside), length)
    for low, high in pairwise(places):
        if any(low >= near - 1e-9 and high <= far + 1e-9 for _, (near, far) in held):
            parts = split + 1 - split % 2  # odd, so that the branch stays on the middle of a cell
            edges += [low + (high - low) * (part + 1) / parts for part in range(parts - 1)] + [high]
        else:
            edges += _graded(low, high, (beside[low], beside[high]), split)
    return edges


def _held(branches: list[Mark], length: float) -> list[tuple[Mark, tuple[float, float]]]:
    """The cells that hold a branch in their middle, whatever begins or ends there; at an end a sliver."""
    cells = []
    for mark in branches:
        others = [abs(other.place - mark.place) / 2 for other in branches if other is not mark]
        reach = min([mark.size / 2, mark.place, length - mark.place, *others])
        if reach < _SLIVER:
            cells.append((mark, (max(mark.place - _SLIVER, 0.0), min(mark.place + _SLIVER, length))))
        else:
            cells.append((mark, (mark.place - reach, mark.place + reach)))
    return cells


def _cleaned(marks: list[float], length: float) -> list[float]:
    """The marks without those that lie closer than a hundredth of a millimetre."""
    kept = [0.0]
    for mark in marks[1:]:
        if mark - kept[-1] > 1e-5:
            kept.append(mark)
    if length - kept[-1] < 1e-5 and len(kept) > 1:
        kept.pop()
    if kept[-1] != length:
        kept.append(length)
    return kept


def _graded(low: float, high: float, ends: tuple[Mark, Mark], split: int) -> list[float]:
    """Edges after `low` up to `high`: small cells at both ends, growing toward the middle."""
    left: list[float] = []
    right: list[float] = []
    sizes = [mark.size for mark in ends]
    room = high - low
    while room > 1e-9:
        side = 0 if sizes[0] <= sizes[1] else 1
        (left if side == 0 else right).append(sizes[side])
        room -= sizes[side]
        sizes[side] = min(sizes[side] * ends[side].growth, _LARGEST)
    widths = np.array([*left, *reversed(right)])
    widths *= (high - low) / widths.sum()
    edges: list[float] = []
    at = low
    for width in widths:
        edges += [at + width * (part + 1) / split for part in range(split)]
        at += width
    edges[-1] = high
    return edges
