# SPDX-License-Identifier: MIT
"""The inside of a rig in slivers: the cells of the wall, cut wherever a valve or a plug may part the gas."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.rig.tree import Tree
from retortwright.situation.isolated import Inner, Place
from retortwright.situation.mesh import Mesh

__all__ = ["Slivers", "slivers_of"]


@dataclass(frozen=True, slots=True)
class Slivers:
    """Slivers of all pieces; arrays are (slivers,)."""

    instance: NDArray[np.intp]
    middle: Array  # along the piece [m]
    cell: NDArray[np.intp]
    volume: Array  # m^3

    def inside(self, inner: Inner) -> NDArray[np.intp]:
        """The slivers of a volume."""
        found = np.zeros(len(self.cell), dtype=bool)
        for number, start, end in inner.parts:
            found |= (self.instance == number) & (self.middle > start) & (self.middle < end)
        return np.flatnonzero(found)

    def at(self, place: Place) -> int:
        """The sliver at a place."""
        own = np.flatnonzero(self.instance == place[0])
        return int(own[np.argmin(np.abs(self.middle[own] - place[1]))])

    def temperature(self, cells: Array) -> Array:
        """The wall of each sliver, from that of each cell [K]."""
        return np.asarray(cells[self.cell])

    def room(self, cells: Array) -> Array:
        """Volume over temperature of each sliver, from the temperatures of the cells [m^3/K]."""
        return np.asarray(self.volume[:, None] / cells[self.cell])


def slivers_of(tree: Tree, mesh: Mesh, cuts: Iterable[Place]) -> Slivers:
    """The slivers of a mesh cut at some places; a piece's slivers share its volume by bore and length."""
    by_piece: dict[int, list[float]] = {}
    for number, place in cuts:
        by_piece.setdefault(number, []).append(place)
    instance, middle, cell, volume = [], [], [], []
    for number, single in enumerate(tree.instances):
        cells = range(mesh.first[number], mesh.last[number] + 1)
        inner = by_piece.get(number, [])
        edges = np.unique([0.0, single.length, *inner, *(mesh.end[each] for each in cells)])
        edges = edges[(edges >= 0.0) & (edges <= single.length)]
        middles, widths = (edges[1:] + edges[:-1]) / 2, np.diff(edges)
        weights = np.array([single.tube_at(float(place)).bore ** 2 for place in middles]) * widths
        instance.append(np.full(len(middles), number))
        middle.append(middles)
        cell.append(np.array([mesh.cell_at(number, float(place)) for place in middles], dtype=np.intp))
        volume.append(single.volume * weights / np.sum(weights))
    return Slivers(
        np.concatenate(instance), np.concatenate(middle), np.concatenate(cell), np.concatenate(volume)
    )
