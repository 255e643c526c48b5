# SPDX-License-Identifier: MIT
"""The way of the liquid from where it lands to the necks of the receivers: warm, sloped, wide, without dips.

Heights are those of the axis of the pieces; a step between two bores counts as no dip.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.physics.draining import least_draining_radius
from retortwright.physics.segment import segment_area
from retortwright.reference.datum import Missing
from retortwright.rig.tree import Instance
from retortwright.situation.crossing import Crossing
from retortwright.situation.figure import Figure
from retortwright.situation.landing import Landing
from retortwright.situation.outlet import positions
from retortwright.situation.vapour_ways import Way

__all__ = [
    "Drain",
    "coldest",
    "dip",
    "draining_bore",
    "drains_of",
    "liquid_in_dips",
    "melted_share",
    "narrowest",
    "steepness",
]

_LANDS = 0.01  # share of the stream from which on metal counts as landed
_NEAR = 1e-4  # m, over which a slope is taken
_DEEP = 1e-5  # m


@dataclass(frozen=True, slots=True)
class Drain:
    """The cells that liquid runs along on one way, in its order."""

    receiver: int
    cells: NDArray[np.intp]
    height: Array  # m of the axis in the middle of each
    fall: Array  # rad by which each falls in the direction of the flow


def melted_share(crossing: Crossing, melting: float) -> Array:
    """The share of what lands that lands on walls above the melting point, (samples,)."""
    parts = []
    for landing in crossing.vapour.landings:
        warm = crossing.heat.temperature[landing.cells] >= melting
        whole = np.sum(landing.landed, axis=0)
        parts.append(np.sum(np.where(warm, landing.landed, 0.0), axis=0) / whole)
    return np.asarray(np.mean(parts, axis=0))


def drains_of(crossing: Crossing) -> tuple[Drain, ...]:
    """The way of the liquid to each receiver; none where it lands inside."""
    return crossing.situation.once(f"drains {crossing.state}", lambda: tuple(_drains(crossing)))


def _drains(crossing: Crossing) -> Iterator[Drain]:
    vapour = crossing.vapour
    for way, twin in zip(vapour.ways.ways, vapour.same, strict=True):
        owner = vapour.ways.ways[vapour.same.index(twin)]  # the same up to where the ways part
        first = _first(owner, vapour.landings[twin])
        cells = way.cells[first : _last(crossing, way)]
        if len(cells):
            forward = np.where(np.diff(way.cells) < 0, -1.0, 1.0)
            sense = np.append(forward, forward[-1:] if len(forward) else 1.0)[first : first + len(cells)]
            same = np.diff(crossing.mesh.instance[cells]) == 0
            for place in range(
                len(cells) - 1
            ):  # the last cell of a piece takes its sense from the one before
                if not same[place] and place and same[place - 1]:
                    sense[place] = sense[place - 1]
            spots = [_spot(crossing, int(cell)) for cell in cells]
            height = np.array([spot[0] for spot in spots])
            rise = np.array([spot[1] for spot in spots])
            yield Drain(way.receiver, cells, height, -rise * sense)


def _first(way: Way, landing: Landing) -> int:
    """The first cell of a way by which metal has landed in some sample."""
    some = np.any(landing.passing < (1.0 - _LANDS) * landing.entering, axis=1)
    places = positions(way, landing.cells)
    return int(places[np.argmax(some)]) if np.any(some) else int(places[-1])


def _last(crossing: Crossing, way: Way) -> int:
    """How many cells of a way liquid has to pass warm: up to where the receiver is closed off."""
    receiver = crossing.tree.instances[way.receiver]
    neck = receiver.row.receives.at if receiver.row.receives is not None else None
    own = crossing.mesh.instance[way.cells] == way.receiver
    beyond = own & (crossing.mesh.middle[way.cells] > (neck or 0.0))
    return int(np.argmax(beyond)) if np.any(beyond) else len(way.cells)


def _spot(crossing: Crossing, cell: int) -> tuple[float, float]:
    """Height of the axis at a cell [m], and its slope away from the near end of the piece [rad]."""
    single = crossing.tree.instances[crossing.mesh.instance[cell]]
    middle = float(crossing.mesh.middle[cell])
    low, high = max(middle - _NEAR, 0.0), min(middle + _NEAR, single.length)
    rise = (_height(single, high) - _height(single, low)) / (high - low)
    return _height(single, middle), float(np.arcsin(np.clip(rise, -1.0, 1.0)))


def _height(single: Instance, place: float) -> float:
    """Height of the axis at a place along a piece [m]."""
    shares = np.linspace(0.0, 1.0, len(single.course))
    return float(np.interp(place / single.length, shares, [point[2] for point in single.course]))


def _rows(crossing: Crossing, drains: tuple[Drain, ...]) -> dict[str, list[tuple[Drain, int]]]:
    """The places of the drains by the name of the piece, in the order of the flow."""
    found: dict[str, list[tuple[Drain, int]]] = {}
    for drain in drains:
        for place, cell in enumerate(drain.cells):
            name = crossing.tree.instances[crossing.mesh.instance[cell]].row.name
            found.setdefault(name, []).append((drain, place))
    return found


def coldest(crossing: Crossing) -> dict[str, tuple[Figure, int]]:
    """For each piece on the way of the liquid its coldest wall [K], and the cell where that is at its middle."""
    found = {}
    for name, places in _rows(crossing, drains_of(crossing)).items():
        cells = np.unique([drain.cells[place] for drain, place in places])
        walls = crossing.heat.temperature[cells]
        least = int(cells[np.argmin(np.median(walls, axis=1))])
        found[name] = crossing.figure(crossing.ledger(), np.min(walls, axis=0)), least
    return found


def steepness(crossing: Crossing) -> dict[str, Figure]:
    """For each piece on the way of the liquid the least by which it falls [rad]."""
    size = crossing.situation.draws.size
    found = {}
    for name, places in _rows(crossing, drains_of(crossing)).items():
        least = min(float(drain.fall[place]) for drain, place in places)
        found[name] = crossing.figure(crossing.plain_ledger(), np.full(size, least))
    return found


def dip(crossing: Crossing) -> tuple[Figure, str | None]:
    """The most liquid that stays in dips of one way [kg], and the piece that holds most of it."""
    ledger, mesh = crossing.plain_ledger(), crossing.mesh
    most, where = 0.0, None
    for drain in drains_of(crossing):
        bores = (mesh.outside - 2 * mesh.wall)[drain.cells]
        volumes = liquid_in_dips(drain.height, bores, mesh.width[drain.cells])
        volume = float(np.sum(volumes))
        if volume > most:
            deepest = drain.cells[int(np.argmax(volumes))]
            most, where = volume, crossing.tree.instances[mesh.instance[deepest]].row.name
    density = crossing.liquid_density(ledger, np.full(ledger.draws.size, crossing.melting(ledger)))
    return crossing.figure(ledger, most * density), where


def liquid_in_dips(height: Array, bore: Array, width: Array) -> Array:
    """What stays in the stretches of a way when it has run out [m^3]: up to the lower crest beside each.

    Heights of the axis [m] in the order of the flow, bores and lengths of the stretches [m].
    """
    before = np.maximum.accumulate(height)
    behind = np.maximum.accumulate(height[::-1])[::-1]
    depth = np.minimum(before, behind) - height
    area = np.asarray(segment_area(bore / 2, np.clip(depth, 0.0, bore)))
    return np.asarray(np.where(depth > _DEEP, area, 0.0) * width)


def narrowest(crossing: Crossing) -> tuple[float, str] | None:
    """The smallest bore on the way of the liquid [m], and the piece; None where there is no way."""
    mesh = crossing.mesh
    found = [
        (float((mesh.outside - 2 * mesh.wall)[cell]), crossing.tree.instances[mesh.instance[cell]].row.name)
        for drain in drains_of(crossing)
        for cell in drain.cells
    ]
    return min(found) if found else None


def draining_bore(crossing: Crossing) -> Figure:
    """The bore above which the liquid runs out of a tube by itself [m], just above its melting point."""
    ledger = crossing.plain_ledger()
    melting = crossing.melting(ledger)
    found = ledger.curve(crossing.metal, "surface-tension", "metals")
    density = crossing.liquid_density(ledger, np.full(ledger.draws.size, melting))
    if found is None:
        return crossing.figure(ledger, np.full(ledger.draws.size, np.nan))
    curve, factor = found
    asked = max(melting, float(curve.temperature[0]))
    if not curve.covers(asked):
        ledger.missing.append(Missing(curve.row.address, curve.missing_at(asked).says))
    radius = np.asarray(least_draining_radius(density, curve.at(asked) * factor))
    return crossing.figure(ledger, 2 * radius)
