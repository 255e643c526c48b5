# SPDX-License-Identifier: MIT
"""The temperatures of the joints, read off those of the walls."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.physics.fins import half_cell_resistance
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
    conductivity, _ = wall.conductivity(temperature)
    half = np.asarray(half_cell_resistance(wall.width, conductivity, wall.section))
    hot: dict[str, Array] = {}
    cold: dict[str, Array] = {}
    hottest: dict[str, int] = {}
    for joint in tree.joints:
        sides = _at_joint(wall, joint, half, temperature)
        above, below = np.maximum(*sides), np.minimum(*sides)
        if joint.key not in hot or np.nanmean(above) > np.nanmean(hot[joint.key]):
            hottest[joint.key] = joint.instance
        hot[joint.key] = np.maximum(hot[joint.key], above) if joint.key in hot else above
        cold[joint.key] = np.minimum(cold[joint.key], below) if joint.key in cold else below
    return hot, cold, hottest


def _at_joint(wall: Wall, joint: Joint, half: Array, temperature: Array) -> tuple[Array, Array]:
    mesh = wall.mesh
    own = mesh.cell_at(joint.instance, joint.place)
    if joint.onto < 0:
        return temperature[own], temperature[own]
    if joint.key.endswith("meets.joined"):
        return temperature[own], temperature[mesh.cell_at(joint.onto, joint.onto_place)]
    other = int(mesh.parent[own])
    above = np.zeros_like(half[other]) if mesh.side[own] else half[other]
    whole = half[own] + above + wall.contact[own]
    drop = temperature[other] - temperature[own]
    return temperature[own] + drop * half[own] / whole, temperature[other] - drop * above / whole
