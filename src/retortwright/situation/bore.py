# SPDX-License-Identifier: MIT
"""Radiation inside the bores: every ring of wall sees every other ring of its piece and both ends.

The ends are black openings at the temperature of the wall they lead to: the cell of the piece
it sits on, the first cell of the piece that continues it, or its own closure. A valve blocks
its bore. The exchange is that of grey walls of one emissivity on rings no wider than a
quarter of the radius; between a few emissivities it is interpolated. The emission of a
ring is interpolated between the cells, so that cells may be wider than rings and no heat is lost.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.bore_radiation import diffusive_bore_conductance, tube_exchange_matrix
from retortwright.physics.constants import STEFAN_BOLTZMANN
from retortwright.reference.datum import number_of
from retortwright.rig.tree import Instance, Tree
from retortwright.situation.mesh import Mesh

__all__ = ["Bore", "bore_heat", "bores_of"]

_Cells = NDArray[np.intp]
_MOST_RINGS = 600  # of one bore
_SOFT = 550.0  # K; walls that serve only below this carry no bore radiation worth counting
_NODES = 5  # emissivities between which the exchange is interpolated, within 0.3 %
_STEER = 0.5  # share of the diffusive conductance that steers best: between long and short waves


@dataclass(frozen=True, slots=True)
class Bore:
    """The bore of one piece: its surfaces as cells, and exchange areas at some emissivities."""

    cells: _Cells  # near end, rings, far end: (rings + 2,)
    rings: slice
    areas: Array  # (emissivities, surfaces, surfaces) m^2: heat leaving = areas @ emissive power
    weights: Array  # (emissivities, samples)
    diameter: Array  # (rings, 1)
    spacing: Array  # (rings - 1, 1), between centres


def bores_of(tree: Tree, mesh: Mesh, ledger: Ledger) -> list[Bore]:
    """The bores of all pieces that are open."""
    found: list[Bore] = []
    for number, single in enumerate(tree.instances):
        if single.row.valve is not None or _soft(single, ledger):
            continue
        samples, *ends = _inside_emissivity(single, ledger)
        if not np.all(np.isfinite(samples)):
            continue
        found.append(_bore(tree, mesh, number, samples, *ends))
    return found


def _soft(single: Instance, ledger: Ledger) -> bool:
    """Whether the wall is a hose: cold, and its bore radiation of no account."""
    limit = ledger.tables.rows.get(("materials", single.row.of, "service-limit"))
    return limit is not None and number_of(limit).best < _SOFT


def _inside_emissivity(single: Instance, ledger: Ledger) -> tuple[Array, float, float]:
    """Samples of the emissivity of a bore and the ends of all that could be drawn."""
    if ("materials", single.row.of, "emissivity-unstated") in ledger.tables.rows:
        samples, name = ledger.default("bore.emissivity", 0.05, 0.98), "bore.emissivity"
    else:
        samples, name = ledger.emissivity(single.row.of, "plain"), f"emissivity.{single.row.of}-plain"
    lowest, highest = ledger.ends(name)
    return samples, max(lowest, 0.03), min(highest, 0.99)


def _bore(tree: Tree, mesh: Mesh, number: int, samples: Array, lowest: float, highest: float) -> Bore:
    first, last = mesh.first[number], mesh.last[number]
    own = np.arange(first, last + 1)
    bores = mesh.outside[own] - 2 * mesh.wall[own]
    radius = float(np.mean(bores)) / 2
    edges = np.append(mesh.start[own], mesh.end[last])
    nodes, weights = _interpolated(samples, lowest, highest)
    areas = _areas(tuple(edges.tolist()), radius, tuple(nodes.tolist()))
    near = int(mesh.parent[first]) if mesh.parent[first] >= 0 else int(first)
    far = _beyond(tree, mesh, number)
    middle = mesh.middle[own]
    return Bore(
        np.concatenate([[near], own, [far]]).astype(np.intp),
        slice(first, last + 1),
        areas,
        weights,
        bores[:, None],
        np.diff(middle)[:, None],
    )


@lru_cache(maxsize=256)
def _areas(marks: tuple[float, ...], radius: float, emissivities: tuple[float, ...]) -> Array:
    """Heat leaving each cell and end per emissive power of each, (emissivities, cells + 2, cells + 2) m^2."""
    edges = np.array(marks)
    parts = np.maximum(np.ceil(np.diff(edges) / (radius / 4)), 1).astype(int)
    parts = np.minimum(parts, max(1, _MOST_RINGS // len(parts)))
    fine = np.concatenate(
        [
            [edges[0]],
            *(np.linspace(a, b, n + 1)[1:] for a, b, n in zip(edges[:-1], edges[1:], parts, strict=True)),
        ]
    )
    exchange = np.asarray(tube_exchange_matrix(fine, radius, np.array(emissivities)))
    leaving = -exchange
    diagonal = np.arange(exchange.shape[1])
    leaving[:, diagonal, diagonal] += exchange.sum(axis=2)
    between = _interpolation((fine[1:] + fine[:-1]) / 2, (edges[1:] + edges[:-1]) / 2)
    reduced: Array = between.T @ leaving @ between
    return reduced


def _interpolation(rings: Array, cells: Array) -> Array:
    """Weights of the cells (and the two ends) in the emission of each ring (and the two ends)."""
    weights = np.zeros((len(rings) + 2, len(cells) + 2))
    weights[0, 0] = weights[-1, -1] = 1.0
    for cell in range(len(cells)):
        hat = np.zeros(len(cells))
        hat[cell] = 1.0
        weights[1:-1, cell + 1] = np.interp(rings, cells, hat)
    return weights


def _beyond(tree: Tree, mesh: Mesh, number: int) -> int:
    """The cell that the far end looks at."""
    single = tree.instances[number]
    if single.row.meets is not None:
        joint = next(j for j in tree.joints if j.instance == number and j.key.endswith("meets.joined"))
        return mesh.cell_at(joint.onto, joint.onto_place)
    onward = [child for child in tree.children(number) if tree.instances[child].at_end]
    if single.row.closed is None and onward:
        return mesh.first[onward[0]]
    return mesh.last[number]


def _interpolated(samples: Array, lowest: float, highest: float) -> tuple[Array, Array]:
    """Emissivities at which the exchange is computed, and the weight of each for each sample.

    In s = ln(1/emissivity - 1) every part of the exchange is a smooth step, so that a polynomial
    through Chebyshev points of s converges fast.
    """
    ends = np.log(1.0 / np.array([min(highest, 0.995), lowest]) - 1.0)
    angle = (2 * np.arange(_NODES) + 1) * np.pi / (2 * _NODES)
    nodes = ends.mean() + max(np.ptp(ends) / 2, 1e-3) * np.cos(angle)
    at = np.log(1.0 / np.clip(samples, 0.005, 0.995) - 1.0)
    weights = np.ones((_NODES, len(samples)))
    for own, node in enumerate(nodes):
        for other in np.delete(nodes, own):
            weights[own] *= (at - other) / (node - other)
    return 1.0 / (1.0 + np.exp(nodes)), weights


def bore_heat(bore: Bore, temperature: Array, weights: Array) -> tuple[Array, Array]:
    """Heat leaving the surfaces of a bore [W], and a conductance between rings that steers [W/K]."""
    emitted = STEFAN_BOLTZMANN * temperature[bore.cells] ** 4
    leaving = np.zeros_like(emitted)
    for areas, weight in zip(bore.areas, weights, strict=True):
        leaving += weight * (areas @ emitted)
    rings = temperature[bore.rings]
    along = np.asarray(diffusive_bore_conductance(rings, bore.diameter))
    return leaving, _STEER * (along[1:] + along[:-1]) / 2 / bore.spacing
