# SPDX-License-Identifier: MIT
"""The way along the wall from the nearest heating to a joint."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.rig.parts import Rig
from retortwright.rig.tree import Joint, Tree
from retortwright.situation.mesh import Mesh, cells_over
from retortwright.situation.regime import Regime

__all__ = ["HotSource", "hot_source", "spread"]


@dataclass(frozen=True, slots=True)
class HotSource:
    """A heating, how far it is along the wall [m], and of what the wall is."""

    name: str
    distance: float
    walls: tuple[str, ...]


def hot_source(rig: Rig, tree: Tree, mesh: Mesh, regime: Regime, joint: Joint) -> HotSource | None:
    """The hottest heating that runs, seen from a joint along the wall."""
    running = [heat for heat in rig.heat if regime.set_point(heat.name) is not None]
    if not running:
        return None
    heat = max(running, key=lambda each: regime.set_point(each.name) or 0.0)
    covered = np.zeros(len(mesh.start), dtype=bool)
    for row, stretch in heat.over.items():
        covered |= cells_over(mesh, tree, row, stretch.start, stretch.end) > 0.5
    start = mesh.cell_at(joint.instance, joint.place)
    others = {start} if joint.onto < 0 else {start, mesh.cell_at(joint.onto, joint.onto_place)}
    distance, came = spread(mesh, others)
    reached = np.flatnonzero(covered)
    if not len(reached):
        return None
    nearest = int(reached[np.argmin(distance[reached])])
    walls: list[str] = []
    cell = nearest
    while cell >= 0:
        walls.append(tree.instances[mesh.instance[cell]].row.of)
        cell = int(came[cell])
    far = 0.0 if nearest in others else float(distance[nearest])
    return HotSource(heat.name, far, tuple(dict.fromkeys(walls)))


def spread(mesh: Mesh, starts: set[int]) -> tuple[np.ndarray[tuple[int], np.dtype[np.float64]], list[int]]:
    """Distance along the wall from some cells to every cell, and the cell each was reached from."""
    links: list[list[int]] = [[] for _ in mesh.start]
    for cell, up in enumerate(mesh.parent.tolist()):
        if up >= 0:
            links[cell].append(up)
            links[up].append(cell)
    width = mesh.width.tolist()
    distance = np.full(len(links), np.inf)
    came = [-1] * len(links)
    waiting = list(starts)
    distance[waiting] = 0.0
    while waiting:
        cell = waiting.pop(0)
        for other in links[cell]:
            lower = cell if mesh.parent[cell] == other else other
            upper = other if lower == cell else cell
            step = width[lower] / 2 + (0.0 if mesh.side[lower] else width[upper] / 2)
            if distance[cell] + step < distance[other] - 1e-12:
                distance[other] = distance[cell] + step
                came[other] = cell
                waiting.append(other)
    return distance, came
