# SPDX-License-Identifier: MIT
"""How high a volume stands in the retort, upright, lying or aslant, and how high its openings are.

The bore is cut into discs across its axis; a level cuts each disc in a segment. Heights are above
the lowest place inside. The ends count as flat, a liner takes no room.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.physics.segment import segment_area
from retortwright.rig.tree import Instance, Tree

__all__ = ["Opening", "Vessel", "vessel_of"]

_DISCS, _LEVELS = 400, 400
_ALONG = 1e-6  # rad, nearer to it a piece counts as upright or level
_Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Opening:
    """Where another piece leads off: its name and the height of its lower lip [m]."""

    piece: str
    lip: float


@dataclass(frozen=True, slots=True)
class Vessel:
    """The inside of a retort: volume below each level [m^3], inner height [m], openings, lowest first."""

    levels: Array
    below: Array
    bore: float
    upright: float  # sine of the angle of its axis with the horizon
    openings: tuple[Opening, ...]

    @property
    def height(self) -> float:
        """From the lowest to the highest place inside [m]."""
        return float(self.levels[-1])

    @property
    def volume(self) -> float:
        """Inner volume [m^3]."""
        return float(self.below[-1])

    def depth(self, volume: Array) -> Array:
        """How high a volume stands [m]; one that the retort does not hold in proportion above its height."""
        inside = np.interp(volume, self.below, self.levels)
        return np.asarray(np.where(volume > self.volume, self.height * volume / self.volume, inside))


def vessel_of(tree: Tree) -> Vessel:
    """The inside of the retort of a rig."""
    retort = tree.instances[0]
    slope = retort.row.slope
    edges = np.linspace(*_ends(retort), _DISCS + 1)
    middle, width = (edges[1:] + edges[:-1]) / 2, np.diff(edges)
    radius = np.array([_bore(retort, float(place)) / 2 for place in middle])
    ends = np.array([_bore(retort, float(place)) / 2 for place in edges])
    level = abs(math.cos(slope))
    lowest = float(np.min(edges * math.sin(slope) - ends * level))
    highest = float(np.max(edges * math.sin(slope) + ends * level))
    levels = np.linspace(0.0, highest - lowest, _LEVELS + 1)
    if level < _ALONG:
        heights = np.abs(edges[0 if slope > 0 else -1] - edges)
        area = np.pi * radius**2 * width
        order = slice(None) if slope > 0 else slice(None, None, -1)
        whole = np.concatenate([[0.0], np.cumsum(area[order])])
        below = np.interp(levels, heights[order], whole)
    else:
        over = (levels[:, None] + lowest - middle * math.sin(slope)) / level + radius
        below = np.sum(np.asarray(segment_area(radius, np.clip(over, 0.0, 2 * radius))) * width, axis=1)
    openings = sorted(_openings(tree, lowest), key=lambda each: each.lip)
    return Vessel(levels, below, retort.row.tube.bore, abs(math.sin(slope)), tuple(openings))


def _ends(single: Instance) -> tuple[float, float]:
    """From where to where a piece is hollow along its axis [m]: the wall of a flask is taken off."""
    wall = (single.length - single.row.tube.bore) / 2 if single.row.shape == "flask" else 0.0
    return wall, single.length - wall


def _bore(single: Instance, place: float) -> float:
    """Inside diameter at a place along a piece [m]."""
    if single.row.shape == "flask":
        off = place - single.length / 2
        return 2 * math.sqrt(max(single.row.tube.bore**2 / 4 - off**2, 0.0))
    return single.tube_at(place).bore


def _openings(tree: Tree, lowest: float) -> list[Opening]:
    """Where pieces that sit on the retort, or meet it, lead off."""
    retort = tree.instances[0]
    found = []
    for number in tree.children(0):
        single = tree.instances[number]
        lip = _lip(retort, single.at, _direction(single), single.row.tube.bore)
        found.append(Opening(single.row.name, lip - lowest))
    for joint in tree.joints:
        if joint.onto == 0 and joint.key.endswith(".meets.joined"):
            single = tree.instances[joint.instance]
            back = _direction(single)
            lip = _lip(
                retort, joint.onto_place, (-back[0], -back[1], -back[2]), single.tube_at(single.length).bore
            )
            found.append(Opening(single.row.name, lip - lowest))
    return found


def _direction(single: Instance) -> _Vector:
    flat = math.cos(single.row.slope)
    return flat * math.cos(single.heading), flat * math.sin(single.heading), math.sin(single.row.slope)


def _lip(retort: Instance, at: float, towards: _Vector, bore: float) -> float:
    """Height of the lower lip of an opening over the near end of the retort [m]."""
    axis = _direction(retort)
    along = sum(one * other for one, other in zip(axis, towards, strict=True))
    across = [one - along * other for one, other in zip(towards, axis, strict=True)]
    size = math.sqrt(sum(part * part for part in across))
    centre = retort.near[2] + at * axis[2]
    on_end = at >= retort.length * (1 - 1e-9) or at <= 0.0
    if on_end or size < _ALONG:
        return centre - bore / 2 * math.sqrt(max(1 - axis[2] ** 2, 0.0))
    up = across[2] / size
    return centre + _bore(retort, at) / 2 * up - bore / 2 * math.sqrt(max(1 - up**2, 0.0))
