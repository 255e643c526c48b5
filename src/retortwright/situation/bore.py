# SPDX-License-Identifier: MIT
"""Radiation inside the bores: every ring of wall sees every other ring and both ends.

Pieces that continue each other are one bore, a small step between them left out on the hot side;
at a large one what leaves a bore through the plane enters the next, and an annulus of wall is left.
The ends of a bore are black openings at the temperature of the wall they lead to: the cell of the
piece it branches off, the wall of another material that continues it, or its own closure. A valve
blocks its bore. The exchange is that of grey walls of one emissivity on rings no wider than a
quarter of the radius; between a few emissivities it is interpolated. The emission of a ring is
interpolated between the cells, so that cells may be wider than rings and no heat is lost.
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
from retortwright.reference.tables import Tables
from retortwright.rig.tree import Instance, Tree
from retortwright.situation.joined import joined_areas
from retortwright.situation.mesh import Mesh

__all__ = ["Bore", "along_bore", "bore_heat", "bores_of", "chains_of"]

_Cells = NDArray[np.intp]
_MOST_RINGS = 600  # of one bore
_SAME_BORE = 1.3  # radii that differ by less are one bore of the wider radius: what beams through is not lost
_SOFT = 550.0  # K; walls that serve only below this carry no bore radiation worth counting
_NODES = 5  # emissivities between which the exchange is interpolated, within 0.3 %


@dataclass(frozen=True, slots=True)
class Bore:
    """A bore as cells, and exchange areas at some emissivities: heat leaving = areas @ emissive power."""

    cells: _Cells  # (surfaces,), own cells first, then a far end and a near end that are not its own
    own: int  # how many are its own
    near: int  # place of the near end in `cells`
    areas: Array  # (emissivities, surfaces, surfaces) m^2
    weights: Array  # (emissivities, samples)
    stepped: bool = False  # whether its radius jumps on the way
    dense: bool = True  # whether its slopes are kept in full
    beside: Array | None = None  # all areas as one matrix, (surfaces, emissivities * surfaces)

    def heat(self, emitted: Array) -> Array:
        """Heat leaving the surfaces [W] from their emissive powers [W/m^2], (surfaces, samples)."""
        shared = (self.weights[:, None, :] * emitted).reshape(-1, emitted.shape[1])
        return np.asarray((_side_by_side(self.areas) if self.beside is None else self.beside) @ shared)

    def between(self) -> Array:
        """The exchange areas of each sample, (samples, surfaces, surfaces)."""
        shape = self.areas.shape[1:]
        flat = self.weights.T @ self.areas.reshape(len(self.areas), -1)
        return flat.reshape(-1, *shape)


def bores_of(tree: Tree, mesh: Mesh, ledger: Ledger) -> list[Bore]:
    """The bores of all pieces that are open."""
    found: list[Bore] = []
    known: dict[str, tuple[Array, Array]] = {}  # nodes and weights of each kind of inside
    for chain in chains_of(tree, ledger.tables):
        first = tree.instances[chain[0]]
        if first.row.valve is not None or _soft(first, ledger.tables):
            continue
        samples, *ends = _inside_emissivity(first, ledger)
        if np.all(np.isfinite(samples)):
            inside = _inside(first, ledger.tables)
            if inside not in known:
                known[inside] = _interpolated(samples, *ends)
            found.append(_bore(tree, mesh, chain, *known[inside]))
    return found


def chains_of(tree: Tree, tables: Tables) -> list[list[int]]:
    """The pieces in runs that share one bore, each run from its near end."""
    taken: set[int] = set()
    chains = []
    for number in range(len(tree.instances)):
        if number in taken:
            continue
        chain = [number]
        while (onward := _continued(tree, tables, chain[-1])) is not None:
            chain.append(onward)
        taken |= set(chain)
        chains.append(chain)
    return chains


def _continued(tree: Tree, tables: Tables, number: int) -> int | None:
    """The piece that goes on with the bore of another: same kind of inside, no valve, no closure."""
    row = tree.instances[number].row
    onward = [child for child in tree.children(number) if tree.instances[child].at_end]
    if row.closed is not None or row.meets is not None or not onward:
        return None
    other = tree.instances[onward[0]]
    barred = row.valve is not None or other.row.valve is not None
    soft = _soft(tree.instances[number], tables) or _soft(other, tables)
    if barred or soft or _inside(tree.instances[number], tables) != _inside(other, tables):
        return None
    return onward[0]


def _inside(single: Instance, tables: Tables) -> str:
    """What a bore looks like inside: bare metal of any kind, or the material."""
    metal = ("materials", single.row.of, "emissivity-unstated") in tables.rows
    return "metal" if metal else single.row.of


def _soft(single: Instance, tables: Tables) -> bool:
    """Whether the wall is a hose: cold, and its bore radiation of no account."""
    limit = tables.rows.get(("materials", single.row.of, "service-limit"))
    return limit is not None and number_of(limit).best < _SOFT


def _inside_emissivity(single: Instance, ledger: Ledger) -> tuple[Array, float, float]:
    """Samples of the emissivity of a bore and the ends of all that could be drawn."""
    if ("materials", single.row.of, "emissivity-unstated") in ledger.tables.rows:
        samples, name = ledger.default("bore.emissivity"), "bore.emissivity"
    else:
        samples, name = ledger.emissivity(single.row.of, "plain"), f"emissivity.{single.row.of}-plain"
    lowest, highest = ledger.ends(name)
    return samples, max(lowest, 0.03), min(highest, 0.99)


def _bore(tree: Tree, mesh: Mesh, chain: list[int], nodes: Array, weights: Array) -> Bore:
    runs: list[tuple[float, list[float]]] = []  # radius and edges of each stretch of equal bore
    for number in chain:
        cells = np.arange(mesh.first[number], mesh.last[number] + 1)
        radius = float(np.mean(mesh.outside[cells] - 2 * mesh.wall[cells])) / 2
        widths = mesh.width[cells].tolist()
        if not runs or not 1.0 / _SAME_BORE <= radius / runs[-1][0] <= _SAME_BORE:
            runs.append((radius, [0.0]))
        runs[-1] = (max(radius, runs[-1][0]), runs[-1][1])
        for width in widths:
            runs[-1][1].append(runs[-1][1][-1] + width)
    own = np.concatenate([np.arange(mesh.first[number], mesh.last[number] + 1) for number in chain])
    near = int(mesh.parent[own[0]]) if mesh.parent[own[0]] >= 0 else int(own[0])
    far = _beyond(tree, mesh, chain[-1])
    first, last = tree.instances[chain[0]], tree.instances[chain[-1]]
    inlet = _share(runs[0][0], tree.instances[first.parent].row.tube.bore / 2) if first.at_end else 1.0
    outlet = 1.0
    if far not in own.tolist() and last.row.meets is None:
        outlet = _share(runs[-1][0], tree.instances[mesh.instance[far]].row.tube.bore / 2)
    cells = own.tolist()
    cells += [end for end in dict.fromkeys((far, near)) if end not in cells]
    areas, beside = _gathered(
        tuple((radius, tuple(edges)) for radius, edges in runs),
        tuple(nodes.tolist()),
        ((cells.index(near), inlet), (cells.index(far), outlet)),
    )
    stepped = len(runs) > 1 or inlet < 1.0 or outlet < 1.0
    return Bore(
        np.array(cells, dtype=np.intp), len(own), cells.index(near), areas, weights, stepped, True, beside
    )


def _share(radius: float, beyond: float) -> float:
    """How much of the end of a bore is open to a bore beyond; the rest is a wall of its own."""
    return min(1.0, (beyond / radius) ** 2)


_Run = tuple[float, tuple[float, ...]]  # radius and edges of a stretch of equal bore
_End = tuple[int, float]  # which cell of the bore is beyond an end, and in which share it is open


@lru_cache(maxsize=256)
def _gathered(
    runs: tuple[_Run, ...], emissivities: tuple[float, ...], ends: tuple[_End, _End]
) -> tuple[Array, Array]:
    """The exchange with each surface counted to its cell, and the same side by side.

    An end is a cell beyond in its open share.
    """
    sections = [(radius, _areas(edges, radius, emissivities)) for radius, edges in runs]
    areas = np.array(
        [joined_areas([(r, each[node]) for r, each in sections]) for node in range(len(emissivities))]
    )
    own = areas.shape[1] - 2
    gather = np.zeros((own + 2, max(own, *(place + 1 for place, _ in ends))))
    gather[np.arange(1, own + 1), np.arange(own)] = 1.0
    for surface, beside, (place, share) in ((0, 0, ends[0]), (-1, own - 1, ends[1])):
        gather[surface, place] += share
        gather[surface, beside] += 1.0 - share
    gathered = np.asarray(gather.T @ areas @ gather)
    return gathered, _side_by_side(gathered)


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
    if lowest == highest:
        return np.array([lowest]), np.ones((1, len(samples)))
    angle = (2 * np.arange(_NODES) + 1) * np.pi / (2 * _NODES)
    nodes = ends.mean() + max(np.ptp(ends) / 2, 1e-3) * np.cos(angle)
    at = np.log(1.0 / np.clip(samples, 0.005, 0.995) - 1.0)
    weights = np.ones((_NODES, len(samples)))
    for own, node in enumerate(nodes):
        for other in np.delete(nodes, own):
            weights[own] *= (at - other) / (node - other)
    return 1.0 / (1.0 + np.exp(nodes)), weights


def bore_heat(bore: Bore, temperature: Array) -> Array:
    """Heat leaving the surfaces of a bore [W], (surfaces, samples)."""
    square = temperature[bore.cells]
    square *= square
    return bore.heat(STEFAN_BOLTZMANN * square * square)


def _side_by_side(areas: Array) -> Array:
    """The areas of all emissivities as one matrix, (surfaces, emissivities * surfaces)."""
    return areas.transpose(1, 0, 2).reshape(areas.shape[1], -1)


def along_bore(bore: Bore, mesh: Mesh, temperature: Array) -> Array:
    """Diffusive conductance of a bore from each of its own cells but the first to the one before [W/K]."""
    own = bore.cells[: bore.own]
    bores = (mesh.outside - 2 * mesh.wall)[own, None]
    along = np.asarray(diffusive_bore_conductance(temperature[own], bores))
    half = mesh.width[own, None] / 2
    return np.asarray((along[1:] + along[:-1]) / 2 / (half[1:] + half[:-1]))
