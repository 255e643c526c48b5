# SPDX-License-Identifier: MIT
"""Metal that lands solid: how thick its crust grows where most of it lands, and when that closes the bore.

The landing is that of the bare wall, spread over no less than one bore of length: a crust that
grows is warmer on its face and lets the vapour farther on, so that it comes out thinner and longer
than here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.physics.crusts import closing_mass, crust_thickness
from retortwright.situation.crossing import Crossing
from retortwright.situation.figure import Figure
from retortwright.situation.landing import Landing
from retortwright.situation.outlet import positions
from retortwright.situation.vapour_ways import Way

__all__ = ["Crust", "crusts_of"]

_SOLID = 0.005  # share of the metal that lands solid on a piece from which on it counts
_THIRD = 1 / 3
_NEVER = 50.0  # times what closes a bore that is counted at most


@dataclass(frozen=True, slots=True)
class Crust:
    """The crust on one piece: its place at the middle, thickness and time to a bore of a third."""

    row: str
    place: float  # m along the piece, where it is thickest
    bore: float  # m there
    thickness: Figure  # m
    closes: Figure  # s


def crusts_of(crossing: Crossing) -> tuple[Crust, ...]:
    """The crusts of a state, one for each piece on which metal lands solid."""
    return crossing.situation.once(f"crusts {crossing.state}", lambda: tuple(_crusts(crossing)))


def _crusts(crossing: Crossing) -> Iterator[Crust]:
    vapour, known = crossing.vapour, set()
    melting = crossing.melting(crossing.plain_ledger())
    for twin, landing in enumerate(vapour.landings):
        way = vapour.ways.ways[vapour.same.index(twin)]
        names = [crossing.tree.instances[n].row.name for n in crossing.mesh.instance[landing.cells]]
        solid = np.where(crossing.heat.temperature[landing.cells] < melting, landing.landed, 0.0)
        for name in dict.fromkeys(names):
            own = np.array([each == name for each in names])
            share = np.sum(solid[own], axis=0) / landing.entering
            if name not in known and np.median(share) > _SOLID:
                known.add(name)
                yield _crust(crossing, way, landing, solid, own)


def _crust(crossing: Crossing, way: Way, landing: Landing, solid: Array, own: Array) -> Crust:
    """The crust on the cells of one piece."""
    mesh, ledger = crossing.mesh, crossing.ledger()
    bores = (mesh.outside - 2 * mesh.wall)[landing.cells]
    run = crossing.came(ledger)
    time = ledger.default("reaction.time", 60.0, 1e6)
    porosity = ledger.default("crust.porosity", 0.0, 0.95)
    density = ledger.sampled(f"density.{crossing.metal}", "charges", crossing.metal, "density", 10.0, 3e4)
    by_length = _by_length(crossing, way, landing, solid) / landing.entering * run  # kg/m
    third = np.asarray(_mass_to_third(bores[:, None], density, porosity))  # kg/m
    filled = np.where(own[:, None], by_length / third, 0.0)
    place = int(np.argmax(np.median(filled, axis=1)))
    columns = np.arange(filled.shape[1])
    worst = np.argmax(filled, axis=0)
    radius = bores[worst] / 2
    thick = np.asarray(crust_thickness(by_length[worst, columns], radius, 1.0, density, porosity))
    full = by_length[worst, columns] >= np.asarray(closing_mass(radius, 1.0, density, porosity))
    thick = np.where(full, radius, thick)
    with np.errstate(divide="ignore"):
        ratio = np.minimum(1.0 / filled[worst, columns], _NEVER)
    run_time = np.where(ratio < 1.0, time, np.maximum(time, crossing.hold or 0.0))
    cell = int(landing.cells[place])
    said = {"mass": run, "fullest": filled[worst, columns], "radius": radius}
    thickness = crossing.figure(ledger, thick / bores[worst] * bores[place], said)
    closes = crossing.figure(ledger, ratio * run_time, said)
    row = crossing.tree.instances[mesh.instance[cell]].row.name
    return Crust(row, float(mesh.middle[cell]), float(bores[place]), thickness, closes)


def _mass_to_third(bore: Array, density: Array, porosity: Array) -> Array:
    """Crust on a metre that leaves a third of the bore [kg/m]."""
    return np.asarray(closing_mass(bore / 2, 1.0, density, porosity)) * (1.0 - _THIRD**2)


def _by_length(crossing: Crossing, way: Way, landing: Landing, solid: Array) -> Array:
    """What lands solid around each cell per length, spread over no less than a bore [mol/s/m]."""
    mesh = crossing.mesh
    ends = np.cumsum(mesh.width[way.cells])
    at = ends[positions(way, landing.cells)] - mesh.width[landing.cells] / 2
    edges = np.concatenate([at[:1] - mesh.width[landing.cells[:1]] / 2, (at[1:] + at[:-1]) / 2, at[-1:]])
    edges[-1] = max(edges[-1], edges[-2]) + mesh.width[landing.cells[-1]] / 2
    before = np.concatenate([np.zeros((1, solid.shape[1])), np.cumsum(solid, axis=0)])
    bore = (mesh.outside - 2 * mesh.wall)[landing.cells]
    low, high = at - bore / 2, at + bore / 2
    spread = np.maximum(bore, np.diff(edges))
    low, high = np.minimum(low, edges[:-1]), np.maximum(high, edges[1:])
    within = np.stack(
        [
            np.interp(high, edges, before[:, sample]) - np.interp(low, edges, before[:, sample])
            for sample in range(solid.shape[1])
        ],
        axis=1,
    )
    return np.asarray(within / np.maximum(spread, high - low)[:, None])
