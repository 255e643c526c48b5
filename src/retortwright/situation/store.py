# SPDX-License-Identifier: MIT
"""The heat that the walls store. Charge, liner, closures and lagging are left out: less mass
means that a wall follows faster, so that peaks come a little early and high."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.piecewise import Piecewise
from retortwright.reference.datum import Curve, curve_of, number_of
from retortwright.rig.tree import Tree
from retortwright.situation.mesh import Mesh

__all__ = ["Store", "store_of"]


@dataclass(frozen=True, slots=True)
class Store:
    """Mass of each cell and its specific heat over temperature."""

    mass: Array  # (cells, samples or 1) kg
    table: Piecewise  # specific heat of each material
    which: NDArray[np.intp]  # (cells, 1) which material
    curves: list[tuple[NDArray[np.intp], Curve, Array]]  # cells, c(T), its integral at the nodes

    def capacity(self, temperature: Array) -> Array:
        """Heat capacity of each cell [J/K]."""
        return self.mass * self.table.at(temperature, self.which)

    def content(self, temperature: Array) -> Array:
        """Heat content of each cell above the first node of its curve [J]."""
        value = np.empty_like(temperature)
        for cells, curve, whole in self.curves:
            at = temperature[cells]
            nodes = curve.temperature
            below = np.clip(np.searchsorted(nodes, at, side="right") - 1, 0, len(nodes) - 1)
            start = nodes[below]
            mean = (curve.value[below] + curve.held(at)) / 2
            mean = np.where(at < nodes[0], curve.value[0], mean)
            value[cells] = whole[below] + mean * (at - start)
        return self.mass * value


def store_of(tree: Tree, mesh: Mesh, ledger: Ledger) -> Store:
    """The store of a rig's walls."""
    materials = np.array([tree.instances[number].row.of for number in mesh.instance])
    factor = np.asarray(ledger.default("tolerance.wall"))
    thick = np.minimum(mesh.wall[:, None] * factor, 0.499 * mesh.outside[:, None])
    volume = np.pi * (mesh.outside[:, None] - thick) * thick * mesh.width[:, None]
    density = np.full(len(mesh.start), np.nan)
    curves = []
    for material in dict.fromkeys(materials.tolist()):
        cells = np.flatnonzero(materials == material)
        mass, heat = (
            ledger.row("materials", material, "density"),
            ledger.row("materials", material, "specific-heat"),
        )
        if mass is None or heat is None:
            continue
        density[cells] = number_of(mass).best
        curve = curve_of(heat)
        steps = np.diff(curve.temperature) * (curve.value[1:] + curve.value[:-1]) / 2
        curves.append((cells, curve, np.concatenate([[0.0], np.cumsum(steps)])))
    which = np.full((len(mesh.start), 1), len(curves), dtype=np.intp)
    points = np.unique(
        np.concatenate([np.array([4.0, 3000.0]), *(curve.temperature for _, curve, _ in curves)])
    )
    for number, (cells, _, _) in enumerate(curves):
        which[cells] = number
    values = [curve.held(points) for _, curve, _ in curves]
    table = Piecewise(points, np.array([*values, np.full(len(points), np.nan)]))
    return Store(density[:, None] * volume, table, which, curves)
