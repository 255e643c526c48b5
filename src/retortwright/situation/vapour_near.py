# SPDX-License-Identifier: MIT
"""How near vapour of the product comes to a joint, along the wall."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.middles import known_middle
from retortwright.rig.tree import Joint
from retortwright.situation.mesh import Mesh
from retortwright.situation.path import spread
from retortwright.situation.vapour_state import VapourState

__all__ = ["NearVapour", "near_vapour"]

_SOME = 1e-3  # of all heat that vapour gives: a cell with less is not reached
_FAR = 0.3  # m: vapour farther off is not told


@dataclass(frozen=True, slots=True)
class NearVapour:
    """Vapour near a joint, by the middle of the samples: along the wall [m], its dew point [K], its heat [W]."""

    distance: float
    dew: float
    heat: float


def near_vapour(together: VapourState, mesh: Mesh, joint: Joint) -> NearVapour | None:
    """The nearest wall that takes heat from vapour; None where it is far off."""
    walls = together.heat.temperature
    taken = np.zeros(walls.shape)
    for exchange in together.exchanges:
        leaving, _ = exchange.heat(walls[exchange.cells])
        taken[exchange.cells] -= leaving
    middle = np.array([known_middle(each) for each in taken])
    reached = np.flatnonzero(middle > _SOME * np.sum(middle))
    starts = {mesh.cell_at(joint.instance, joint.place)}
    if joint.onto >= 0:
        starts.add(mesh.cell_at(joint.onto, joint.onto_place))
    distance, _ = spread(mesh, starts)
    if not len(reached) or np.min(distance[reached]) > _FAR:
        return None
    nearest = float(np.min(distance[reached]))
    return NearVapour(nearest, known_middle(together.vapour.dew), float(np.sum(middle)))
