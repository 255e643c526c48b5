# SPDX-License-Identifier: MIT
"""The tree of pieces cut into cells, finer where something begins, ends or branches off."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.rig.compound import Stretch
from retortwright.rig.parts import Rig
from retortwright.rig.tree import Instance, Tree

__all__ = ["Mesh", "cells_over", "mesh_of"]

_FIRST = 0.18  # first cell at an edge, as a share of the decay length of temperature there
_LARGEST = 0.05  # m
_GROWTH = 1.4
_BARE_FILM, _COVERED_FILM = 25.0, 250.0  # W/m^2/K, only to size the cells


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
    instance, parent, side = [], [], []
    start: list[float] = []
    end: list[float] = []
    outside, wall = [], []
    first: list[int] = []
    last: list[int] = []
    for number, single in enumerate(tree.instances):
        edges = _edges(rig, tree, number, conductivity, split)
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


def _edges(rig: Rig, tree: Tree, number: int, conductivity: Mapping[str, float], split: int) -> list[float]:
    """Cell edges of one piece, from the places where something changes."""
    single = tree.instances[number]
    length = single.length
    soft = {edge for stretch in _stretches(rig, single) for edge in stretch}
    hard = {0.0, length} | soft
    bare = math.sqrt(conductivity[single.row.of] * single.row.tube.wall / _BARE_FILM)
    covered = math.sqrt(conductivity[single.row.of] * single.row.tube.wall / _COVERED_FILM)
    for place in _branches(tree, number):
        half = _FIRST * bare / 2
        hard |= {max(place - half, 0.0), min(place + half, length)}
    marks = _cleaned(sorted(hard), length)
    edges = [0.0]
    for low, high in pairwise(marks):
        firsts = [_FIRST * (covered if end in soft else bare) for end in (low, high)]
        edges += _graded(low, high, firsts, split)
    return edges


def _stretches(rig: Rig, single: Instance) -> list[tuple[float, float]]:
    found = []
    covers: list[Mapping[str, Stretch]] = [
        *(heat.over for heat in rig.heat),
        *(lag.over for lag in rig.lag),
        *(cool.over for cool in rig.cool),
    ]
    for over in covers:
        stretch = over.get(single.row.name)
        if stretch is not None:
            found.append((stretch.start, single.length if stretch.end is None else stretch.end))
    return found


def _branches(tree: Tree, number: int) -> list[float]:
    places = [tree.instances[child].at for child in tree.children(number) if not tree.instances[child].at_end]
    places += [
        joint.onto_place
        for joint in tree.joints
        if joint.onto == number and joint.key.endswith("meets.joined")
    ]
    return places


def _cleaned(marks: list[float], length: float) -> list[float]:
    """The marks without those that lie closer than a tenth of a millimetre."""
    kept = [0.0]
    for mark in marks[1:]:
        if mark - kept[-1] > 1e-4:
            kept.append(mark)
    if length - kept[-1] < 1e-4 and len(kept) > 1:
        kept.pop()
    if kept[-1] != length:
        kept.append(length)
    return kept


def _graded(low: float, high: float, firsts: list[float], split: int) -> list[float]:
    """Edges after `low` up to `high`: small cells at both ends, growing toward the middle."""
    left: list[float] = []
    right: list[float] = []
    sizes = list(firsts)
    room = high - low
    while room > 1e-12:
        side = 0 if sizes[0] <= sizes[1] else 1
        size = sizes[side]
        if room < 2 * size:
            left.append(room)
            break
        (left if side == 0 else right).append(size)
        room -= size
        sizes[side] = min(size * _GROWTH, _LARGEST)
    widths = [*left, *reversed(right)]
    if len(widths) == 1 and widths[0] > 1.5 * min(firsts):
        widths = [widths[0] / 2] * 2
    edges: list[float] = []
    at = low
    for width in widths:
        edges += [at + width * (part + 1) / split for part in range(split)]
        at += width
    edges[-1] = high
    return edges
