# SPDX-License-Identifier: MIT
"""The heat balance of every cell at some temperatures, and its slope: what steady and transient share."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.physics.constants import STEFAN_BOLTZMANN
from retortwright.physics.fins import half_cell_resistance, series_conductance
from retortwright.situation.blocks import Slopes, solve_blocks
from retortwright.situation.bore import Bore, along_bore, bore_heat
from retortwright.situation.exchange import Exchange
from retortwright.situation.mesh import Mesh
from retortwright.situation.vapour_exchange import LandingHeat
from retortwright.situation.wall import Wall

__all__ = ["Balance", "heat_balance", "solved"]

_STEER = 0.5  # share of the diffusive conductance that steers best: between long and short waves


@dataclass(frozen=True, slots=True)
class Balance:
    """Heat into each cell [W] and its slopes [W/K], all (cells, samples)."""

    residual: Array
    leaving: Array  # heat to the surroundings alone
    slopes: Slopes
    links: Array  # (loops, samples)
    wall: Wall


def heat_balance(wall: Wall, temperature: Array, slopes: Slopes | None = None) -> Balance:
    """The balance of a wall: conduction and contact, bores, surroundings, loops; with slopes known or anew."""
    leaving, steep = _exchanged(wall.exchanges, temperature)
    residual = -leaving
    mesh = wall.mesh
    up = mesh.parent[1:]
    conductivity, steepness = wall.conductivity(temperature)
    half = np.asarray(half_cell_resistance(wall.width, conductivity, wall.section))
    above = np.where(mesh.side[1:, None], 0.0, half[up])
    conductance = np.asarray(series_conductance(half[1:], above, wall.contact[1:]))
    flow = conductance * (temperature[up] - temperature[1:])
    residual[1:] += flow
    np.subtract.at(residual, up, flow)
    for bore in wall.bores:
        residual[bore.cells] -= bore_heat(bore, temperature)
    links = _linked(wall, temperature, half, residual)
    if slopes is None:
        turn = conductance * flow
        d_self = -conductance + turn * half[1:] * steepness[1:]
        d_up = conductance + turn * above * steepness[up]
        slopes = _slopes(wall, temperature, steep, d_self, d_up)
    return Balance(residual, leaving, slopes, links, wall)


def _slopes(wall: Wall, temperature: Array, steep: Array, d_self: Array, d_up: Array) -> Slopes:
    """The matrix of a balance from the slopes of its parts."""
    mesh = wall.mesh
    diagonal = steep
    diagonal[1:] -= d_self
    np.add.at(diagonal, mesh.parent[1:], d_up)
    upward, downward = np.zeros_like(temperature), np.zeros_like(temperature)
    upward[1:], downward[1:] = -d_up, d_self
    for exchange in wall.exchanges:
        if isinstance(exchange, LandingHeat):
            exchange.couple(temperature[exchange.cells], mesh.parent, upward, downward)
    dense: dict[int, Array] = {}
    for number, bore in enumerate(wall.bores):
        slope = 4 * STEFAN_BOLTZMANN * temperature[bore.cells] ** 3
        if bore.dense:
            dense[number] = wall.between[number] * slope.T[:, None, :]
            others = np.arange(bore.own, len(bore.cells))
            diagonal[bore.cells[others]] += dense[number][:, others, others].T
        else:
            _steer(bore, mesh, temperature, slope, diagonal, upward, downward)
    return Slopes(diagonal, upward, downward, dense)


def _steer(
    bore: Bore, mesh: Mesh, temperature: Array, slope: Array, diagonal: Array, upward: Array, downward: Array
) -> None:
    """A bore that carries little: half its diffusive conductance along the wall, its ends on the diagonal."""
    along = _STEER * along_bore(bore, mesh, temperature)
    own = bore.cells[: bore.own]
    diagonal[own[1:]] += along
    diagonal[own[:-1]] += along
    upward[own[1:]] -= along
    downward[own[1:]] -= along
    others = np.arange(bore.own, len(bore.cells))
    mean = bore.areas[len(bore.areas) // 2][others, others]
    diagonal[bore.cells[others]] += mean[:, None] * slope[others]


def solved(
    balance: Balance,
    load: Array,
    capacity: Array | float = 0.0,
    scale: float = 1.0,
    inverses: dict[int, Array] | None = None,
) -> Array:
    """The solution of (capacity + scale * slopes) x = load; each loop is a change of rank one.

    `inverses` keeps those of the dense blocks from one call to the next with the same slopes.
    """
    wall, scaled = balance.wall, balance.slopes
    if scale != 1.0:
        scaled = Slopes(
            capacity + scale * scaled.diagonal,
            scale * scaled.upward,
            scale * scaled.downward,
            {number: scale * full for number, full in scaled.bores.items()},
        )
    loads = np.zeros((*load.shape, 1 + len(wall.loops)))
    loads[:, :, 0] = load
    for number, loop in enumerate(wall.loops):
        left, right = loop.cells
        loads[left, :, number + 1], loads[right, :, number + 1] = 1.0, -1.0
    found = solve_blocks(wall.blocks, wall.bores, wall.mesh.parent, scaled, loads, inverses)
    return _closed(found, [loop.cells for loop in wall.loops], scale * balance.links)


def _closed(found: Array, loops: list[tuple[int, int]], links: Array) -> Array:
    """The Sherman-Morrison formula, loop after loop."""
    solution = found[:, :, 0]
    done: list[tuple[int, int, Array, Array]] = []
    for number, (left, right) in enumerate(loops):
        response = found[:, :, number + 1]
        for one, two, strength, earlier in done:
            response = response - strength * (response[one] - response[two]) * earlier
        strength = links[number] / (1.0 + links[number] * (response[left] - response[right]))
        solution = solution - strength * (solution[left] - solution[right]) * response
        done.append((left, right, strength, response))
    return solution


def _linked(wall: Wall, temperature: Array, half: Array, residual: Array) -> Array:
    """Conductance of the links that close loops; their heat goes into the residual."""
    links = np.zeros((len(wall.loops), temperature.shape[1]))
    for number, loop in enumerate(wall.loops):
        left, right = loop.cells
        links[number] = 1.0 / (half[left] + loop.contact)
        flow = links[number] * (temperature[left] - temperature[right])
        residual[left] -= flow
        residual[right] += flow
    return links


def _exchanged(exchanges: list[Exchange], temperature: Array) -> tuple[Array, Array]:
    leaving, slope = np.zeros_like(temperature), np.zeros_like(temperature)
    for exchange in exchanges:
        heat, steep = exchange.heat(temperature[exchange.cells])
        leaving[exchange.cells] += heat
        slope[exchange.cells] += steep
    return leaving, slope
