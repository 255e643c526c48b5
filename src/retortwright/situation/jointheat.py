# SPDX-License-Identifier: MIT
"""The temperatures of the joints, read off those of the walls."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.rig.tree import Joint, Tree
from retortwright.situation.wall import Wall

__all__ = ["joint_temperatures"]


def joint_temperatures(
    wall: Wall, tree: Tree, temperature: Array
) -> tuple[dict[str, Array], dict[str, Array], dict[str, int]]:
    """The hotter and the colder side of each joint; of several alike the worst in each sample."""
    if not np.any(np.isfinite(temperature)):
        nothing = {joint.key: temperature[0] for joint in tree.joints}
        return nothing, nothing, {joint.key: joint.instance for joint in tree.joints}
    half, _ = wall.ready()[0].half(temperature)
    hot: dict[str, Array] = {}
    cold: dict[str, Array] = {}
    hottest: dict[str, int] = {}
    highest: dict[str, float] = {}  # mean over the samples, of the hottest single joint so far
    for joint in tree.joints:
        sides = _at_joint(wall, joint, half, temperature)
        above, below = np.maximum(*sides), np.minimum(*sides)
        mean = float(np.nanmean(above))
        if joint.key not in hot or mean > highest[joint.key]:
            hottest[joint.key], highest[joint.key] = joint.instance, mean
        hot[joint.key] = np.maximum(hot[joint.key], above) if joint.key in hot else above
        cold[joint.key] = np.minimum(cold[joint.key], below) if joint.key in cold else below
    return hot, cold, hottest


def _at_joint(wall: Wall, joint: Joint, half: Array, temperature: Array) -> tuple[Array, Array]:
    mesh = wall.mesh
    own = mesh.cell_at(joint.instance, joint.place)
    if joint.onto < 0:
        here = _at(wall, joint.instance, joint.place, temperature)
        return here, here
    if joint.key.endswith("meets.joined"):
        loop = next(loop for loop in wall.loops if loop.cells[0] == own)
        onto = temperature[loop.cells[1]]
        drop = (onto - temperature[own]) * half[own] / (half[own] + loop.contact)
        return temperature[own] + drop, onto
    other = int(mesh.parent[own])
    above = np.zeros_like(half[other]) if mesh.side[own] else half[other]
    whole = half[own] + above + wall.contact[own]
    drop = temperature[other] - temperature[own]
    return temperature[own] + drop * half[own] / whole, temperature[other] - drop * above / whole


def _at(wall: Wall, instance: int, place: float, temperature: Array) -> Array:
    """The temperature at a place, on the line between the centres of the cells on either side of it.

    An end that leads nowhere passes no heat, so that it has the temperature of the last centre.
    """
    cells = slice(wall.mesh.first[instance], wall.mesh.last[instance] + 1)
    middle, inside = wall.mesh.middle[cells], temperature[cells]
    upper = int(np.clip(np.searchsorted(middle, place), 1, max(len(middle) - 1, 1)))
    if len(middle) == 1:
        return np.asarray(inside[0])
    share = float(np.clip((place - middle[upper - 1]) / (middle[upper] - middle[upper - 1]), 0.0, 1.0))
    return np.asarray((1 - share) * inside[upper - 1] + share * inside[upper])
