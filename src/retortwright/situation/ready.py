# SPDX-License-Identifier: MIT
"""What of a wall does not change from step to step, worked out once: conduction, and how bores steer."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.ground.piecewise import Piecewise
from retortwright.physics.bore_radiation import diffusive_bore_conductance
from retortwright.reference.datum import Curve
from retortwright.situation.bore import Bore
from retortwright.situation.mesh import Mesh

__all__ = ["Conduction", "Steer", "conduction_of", "steer_of"]

_STEER = 0.5  # share of the diffusive conductance that steers best: between long and short waves
_Cells = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Conduction:
    """Conduction from each cell but the first to its parent."""

    scale: Array  # (cells, samples) of the resistance of half a cell, by the conductivity of the table
    table: Piecewise
    which: _Cells  # (cells, 1)
    contact: Array  # (cells but the first, samples) K/W
    through: (
        Array  # (cells but the first, 1): none of the half cell of the parent counts for an arm on its side
    )
    layers: list[tuple[_Cells, _Cells]]  # places of children and their parents, no parent twice in a layer

    def picked(self, keep: NDArray[np.bool_]) -> Conduction:
        """The same for some of the samples."""
        return replace(self, scale=self.scale[:, keep], contact=self.contact[:, keep])

    def to_parents(self, found: Array, flow: Array, sign: float) -> None:
        """Add a flow of each cell but the first to what is found of its parent."""
        for places, parents in self.layers:
            found[parents] += sign * flow[places]

    def half(self, temperature: Array) -> tuple[Array, Array]:
        """Resistance of half of each cell [K/W] and the relative slope of its conductivity [1/K]."""
        value, steep = self.table.sloped(temperature, self.which)
        steep /= value
        np.divide(self.scale, value, out=value)
        return value, steep


def conduction_of(
    mesh: Mesh, width: Array, section: Array, contact: Array, curves: list[tuple[_Cells, Curve, Array]]
) -> Conduction:
    """The conduction of a wall."""
    count = len(mesh.start)
    which, factor = np.full((count, 1), len(curves), dtype=np.intp), np.ones_like(contact)
    points = np.unique(
        np.concatenate([np.array([4.0, 3000.0]), *(curve.temperature for _, curve, _ in curves)])
    )
    for number, (cells, _, drawn) in enumerate(curves):
        which[cells] = number
        factor[cells] = drawn
    values = [curve.held(points) for _, curve, _ in curves]
    table = Piecewise(points, np.array([*values, np.full(len(points), np.nan)]))
    scale = 0.5 * width / (section * factor)
    through = np.where(mesh.side[1:, None], 0.0, 1.0)
    return Conduction(scale, table, which, contact[1:], through, _layers(mesh.parent[1:]))


def _layers(parent: _Cells) -> list[tuple[_Cells, _Cells]]:
    left = np.arange(len(parent))
    layers = []
    while len(left):
        parents, first = np.unique(parent[left], return_index=True)
        layers.append((left[first], parents))
        left = np.delete(left, first)
    return layers


@dataclass(frozen=True, slots=True)
class Steer:
    """Bores that carry little: half their diffusive conductance along the wall, their ends on the diagonal."""

    lower: _Cells
    upper: _Cells  # the cell before each of these
    shares: tuple[Array, Array]  # (pairs, 1) of the cubes of both temperatures [W/K^4]
    ends: list[tuple[_Cells, Array]]  # cells beyond, and their own areas in each bore (cells, 1) m^2

    def along(self, cube: Array) -> Array:
        """Conductance of each pair [W/K] from the cubes of the temperatures of all cells."""
        return np.asarray(self.shares[0] * cube[self.lower] + self.shares[1] * cube[self.upper])


def steer_of(mesh: Mesh, bores: list[Bore]) -> Steer:
    """How the bores that are not kept in full steer."""
    lower, upper = [np.zeros(0, dtype=np.intp)], [np.zeros(0, dtype=np.intp)]
    ends = []
    for bore in bores:
        if bore.dense:
            continue
        own = bore.cells[: bore.own]
        lower.append(own[1:])
        upper.append(own[:-1])
        others = np.arange(bore.own, len(bore.cells))
        mean = bore.areas[len(bore.areas) // 2][others, others]
        ends.append((bore.cells[others], mean[:, None]))
    below, above = np.concatenate(lower), np.concatenate(upper)
    conductance = np.asarray(diffusive_bore_conductance(1.0, mesh.outside - 2 * mesh.wall))
    apart = mesh.width[below] + mesh.width[above]
    shares = tuple((_STEER * conductance[cells] / apart)[:, None] for cells in (below, above))
    return Steer(below, above, (shares[0], shares[1]), ends)
