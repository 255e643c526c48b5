# SPDX-License-Identifier: MIT
"""What does not land on the way of the metal but goes on towards the pump.

The way to the pump is followed as if all the vapour went along it, with the walls as they are:
what passes the place where it leaves the way of the metal is lost. Where several ways part there
this is the most that can pass.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.situation.connected import Passage, connected, place_in
from retortwright.situation.crossing import Crossing
from retortwright.situation.landing import Landing, landing_on
from retortwright.situation.vapour_ways import Way, way_along

__all__ = ["Outlet", "landing_place", "outlet_of", "positions", "way_to_pump"]


@dataclass(frozen=True, slots=True)
class Outlet:
    """The way to the pump, and what passes the last place of the metal's way."""

    way: Way
    parts: int  # how many of its cells belong to the way of the metal
    place: float  # m along the way from the charge to where they part
    landing: Landing
    passed: Array  # mol/s, (samples,)
    single: int  # piece on which they part


def way_to_pump(crossing: Crossing) -> tuple[Passage, ...]:
    """The passages from the charge to the pump; none where it does not run or is shut off."""
    rig, tree = crossing.rig, crossing.tree
    pump = rig.plant.pump
    state = next(each for each in rig.states if each.name == crossing.state)
    if pump is None or "pump" not in state.running:
        return ()
    spaces = connected(rig, tree, crossing.state)
    first = crossing.vapour.ways.ways[0].cells[0]
    level = float(crossing.mesh.middle[first])
    start = spaces.node(0, level)
    for number, place in place_in(tree, pump["on"], None):
        return spaces.path(start, level, spaces.node(number, place), place)
    return ()


def outlet_of(crossing: Crossing) -> Outlet | None:
    """What goes on towards the pump; None where no open way leads to a pump that runs."""
    return crossing.situation.once(f"outlet {crossing.state}", lambda: _outlet(crossing))


def _outlet(crossing: Crossing) -> Outlet | None:
    passages = way_to_pump(crossing)
    if not passages:
        return None
    ways, mesh = crossing.vapour.ways.ways, crossing.mesh
    way = way_along(crossing.tree, mesh, -1, passages)
    parts = max(_shared(way.cells, each.cells) for each in ways)
    crest = min(way.crest, *(each.crest for each in ways), parts, len(way.cells) - 1)
    way = replace(way, crest=crest)
    landing = _landing(crossing, way)
    last = max(parts, crest) - 1
    return Outlet(
        way,
        parts,
        float(np.sum(mesh.width[way.cells[: last + 1]])),
        landing,
        _passing(way, landing, last),
        int(mesh.instance[way.cells[max(last, 0)]]),
    )


def _shared(one: NDArray[np.intp], other: NDArray[np.intp]) -> int:
    """How many cells two ways have in common from the start on."""
    length = min(len(one), len(other))
    apart = np.flatnonzero(one[:length] != other[:length])
    return int(apart[0]) if len(apart) else length


def _landing(crossing: Crossing, way: Way) -> Landing:
    stream, temperature = crossing.vapour.stream, crossing.heat.temperature
    bore = (crossing.mesh.outside - 2 * crossing.mesh.wall)[way.cells]
    return landing_on(
        way,
        crossing.mesh,
        bore,
        np.ones(len(way.cells)),
        temperature[way.cells],
        stream.gas,
        stream.saturation,
        crossing.vapour.entering,
        stream.over_charge,
        wet=crossing.wet,
    )


def positions(way: Way, cells: Sequence[int] | NDArray[np.intp]) -> NDArray[np.intp]:
    """Where some cells stand in the order of a way."""
    order = {int(cell): number for number, cell in enumerate(way.cells)}
    return np.array([order[int(cell)] for cell in cells], dtype=np.intp)


def _passing(way: Way, landing: Landing, last: int) -> Array:
    """Flow beyond a cell of the way [mol/s]."""
    inside = np.flatnonzero(positions(way, landing.cells) <= last)
    return np.asarray(landing.passing[inside[-1]] if len(inside) else landing.entering)


def landing_place(crossing: Crossing, way: Way, landing: Landing, share: float) -> Array:
    """How far along the way from the charge a share of what enters has landed [m], (samples,); nan where none has."""
    width = crossing.mesh.width[way.cells]
    ends = np.cumsum(width)[positions(way, landing.cells)]
    landed = (landing.passing <= (1.0 - share + 1e-12) * landing.entering) & (landing.entering > 0.0)
    return np.where(np.any(landed, axis=0), ends[np.argmax(landed, axis=0)], np.nan)
