# SPDX-License-Identifier: MIT
"""Where vapour from the charge can go: the ways to the receivers, and the arms that lead nowhere.

What condenses on a wall that rises from the charge without a dip runs back to it. Beyond the
first place from which it runs on, it has landed. Arms are filled with vapour as far as the gas in
them lets it come: from the retort and the rising part at its pressure there, from the rest of a way
at what is left where they hang. In an arm that falls away from its mouth what condenses stays.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.rig.parts import Rig
from retortwright.rig.tree import Tree
from retortwright.situation.connected import Connected, Node, Passage, connected
from retortwright.situation.holdup import receivers_of
from retortwright.situation.mesh import Mesh

__all__ = ["Arm", "Way", "Ways", "way_along", "ways_of"]

_LEVEL = 1e-6  # rad


@dataclass(frozen=True, slots=True)
class Way:
    """The way from the charge to one receiver: its cells in the order of the flow."""

    receiver: int
    cells: NDArray[np.intp]
    rise: NDArray[np.float64]  # slope of each cell in the direction of the flow [rad]
    crest: int  # how many cells from the start on rise without a dip: what lands there runs back
    leaves: float  # where along the retort it leaves it [m]


@dataclass(frozen=True, slots=True)
class Arm:
    """A side space that vapour fills: its cells, and how far out each lies [m]."""

    name: str
    cells: NDArray[np.intp]
    outward: NDArray[np.float64]
    length: float
    entrance: float  # bore [m]
    mouth: int  # the cell of the way that it hangs on
    early: bool  # whether it hangs where all that lands runs back to the charge
    returns: bool  # whether what condenses in it runs back to its mouth
    begins: float = 0.0  # where along its first piece its mouth is [m]


@dataclass(frozen=True, slots=True)
class Ways:
    """All ways and arms of a state."""

    ways: tuple[Way, ...]
    arms: tuple[Arm, ...]
    back: NDArray[np.intp]  # cells of the rising part shared by the ways, and of the retort itself


def ways_of(rig: Rig, tree: Tree, mesh: Mesh, state: str, level: float) -> Ways:
    """The ways in a state; `level` is how high the charge stands along the retort [m]."""
    spaces = connected(rig, tree, state)
    start = spaces.node(0, level)
    group = spaces.group(start)
    ways = []
    for number in receivers_of(tree):
        end = spaces.node(number, tree.instances[number].length)
        passages = spaces.path(start, level, end, tree.instances[number].length)
        if passages:
            ways.append(way_along(tree, mesh, number, passages))
    on_way = {int(mesh.instance[cell]) for way in ways for cell in way.cells}
    early = {int(mesh.instance[cell]) for way in ways for cell in way.cells[: way.crest]} | {0}
    back = [way.cells[: way.crest] for way in ways]
    leaves = max((way.leaves for way in ways), default=tree.instances[0].length)
    own = np.arange(mesh.first[0], mesh.last[0] + 1)
    back.append(own[(mesh.middle[own] > level) & (mesh.middle[own] <= leaves)])
    arms = [
        _arm(tree, mesh, number, spaces, group, single.parent in early)
        for number, single in enumerate(tree.instances)
        if (number, 0) in group and number not in on_way and single.parent in on_way | {0}
    ]
    beyond = own[mesh.middle[own] > leaves]
    if len(beyond):
        arms.insert(0, _end_of_retort(tree, mesh, beyond, leaves))
    return Ways(tuple(ways), tuple(arms), np.unique(np.concatenate(back)))


def way_along(tree: Tree, mesh: Mesh, receiver: int, passages: tuple[Passage, ...]) -> Way:
    """The way along some passages, up to the crest of which what lands runs back."""
    cells, rise = [], []
    for passage in passages:
        own = np.arange(mesh.first[passage.instance], mesh.last[passage.instance] + 1)
        low, high = sorted((passage.start, passage.end))
        own = own[(mesh.middle[own] >= low) & (mesh.middle[own] <= high)]
        forward = passage.end >= passage.start
        slope = tree.instances[passage.instance].row.slope * (1 if forward else -1)
        cells.append(own if forward else own[::-1])
        rise.append(np.full(len(own), slope))
    slopes = np.concatenate(rise)
    flat = np.flatnonzero(slopes <= _LEVEL)
    crest = int(flat[0]) if len(flat) else len(slopes)
    return Way(receiver, np.concatenate(cells), slopes, crest, passages[0].end)


def _end_of_retort(tree: Tree, mesh: Mesh, cells: NDArray[np.intp], leaves: float) -> Arm:
    """What is left of the retort beyond the place where the ways leave it."""
    retort = tree.instances[0]
    outward, bore = mesh.middle[cells] - leaves, retort.tube_at(leaves).bore
    mouth, returns = mesh.cell_at(0, leaves), retort.row.slope > -_LEVEL
    return Arm(retort.name, cells, outward, retort.length - leaves, bore, mouth, True, returns, leaves)


def _arm(tree: Tree, mesh: Mesh, first: int, spaces: Connected, group: frozenset[Node], early: bool) -> Arm:
    """An arm with everything that hangs on it; a shut valve ends it."""
    cells: list[NDArray[np.intp]] = []
    reach: list[NDArray[np.float64]] = []
    waiting = [(first, 0.0)]
    while waiting:
        number, before = waiting.pop(0)
        own = np.arange(mesh.first[number], mesh.last[number] + 1)
        own = own[[spaces.node(number, place) in group for place in mesh.middle[own].tolist()]]
        cells.append(own)
        reach.append(before + mesh.middle[own])
        for child in tree.children(number):
            at = tree.instances[child].at
            if spaces.node(number, at) in group and (child, 0) in group:
                waiting.append((child, before + at))
    single, outward = tree.instances[first], np.concatenate(reach)
    mouth = mesh.cell_at(single.parent, single.at)
    return Arm(
        single.name,
        np.concatenate(cells),
        outward,
        float(np.max(outward)),
        single.tube_at(0.0).bore,
        mouth,
        early,
        single.row.slope > -_LEVEL,
    )
