# SPDX-License-Identifier: MIT
"""The heat balance of every cell at some temperatures, and its slope: what steady and transient share."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.physics.fins import half_cell_resistance, solve_tree_with_loops
from retortwright.situation.bore import bore_heat
from retortwright.situation.exchange import Exchange
from retortwright.situation.wall import Wall

__all__ = ["Balance", "heat_balance", "solved"]


@dataclass(frozen=True, slots=True)
class Balance:
    """Heat into each cell [W] and the matrix of its slopes [W/K], all (cells, samples)."""

    residual: Array
    leaving: Array  # heat to the surroundings alone
    diagonal: Array
    upward: Array
    downward: Array
    links: Array  # (loops, samples)
    parent: NDArray[np.intp]
    loops: list[tuple[int, int]]


def heat_balance(wall: Wall, temperature: Array) -> Balance:
    """The balance of a wall: conduction and contact, bores, surroundings, loops."""
    leaving, diagonal = _exchanged(wall.exchanges, temperature)
    residual = -leaving
    mesh = wall.mesh
    up = mesh.parent[1:]
    conductivity, steepness = wall.conductivity(temperature)
    half = np.asarray(half_cell_resistance(wall.width, conductivity, wall.section))
    above = np.where(mesh.side[1:, None], 0.0, half[up])
    conductance = 1.0 / (half[1:] + above + wall.contact[1:])
    flow = conductance * (temperature[up] - temperature[1:])
    residual[1:] += flow
    np.subtract.at(residual, up, flow)
    turn = conductance * flow
    d_self = -conductance + turn * half[1:] * steepness[1:]
    d_up = conductance + turn * above * steepness[up]
    diagonal[1:] -= d_self
    np.add.at(diagonal, up, d_up)
    upward, downward = np.zeros_like(temperature), np.zeros_like(temperature)
    upward[1:], downward[1:] = -d_up, d_self
    for bore, weights in zip(wall.bores, wall.bore_weights, strict=True):
        heat, along = bore_heat(bore, temperature, weights)
        residual[bore.cells[0]] -= heat[0]
        residual[bore.rings] -= heat[1:-1]
        residual[bore.cells[-1]] -= heat[-1]
        lower = slice(bore.rings.start + 1, bore.rings.stop)
        upper = slice(bore.rings.start, bore.rings.stop - 1)
        diagonal[lower] += along
        diagonal[upper] += along
        upward[lower] -= along
        downward[lower] -= along
    links = _linked(wall, temperature, half, residual)
    loops = [loop.cells for loop in wall.loops]
    return Balance(residual, leaving, diagonal, upward, downward, links, mesh.parent, loops)


def solved(balance: Balance, load: Array, capacity: Array | float = 0.0, scale: float = 1.0) -> Array:
    """The solution of (capacity + scale * slopes) x = load."""
    return solve_tree_with_loops(
        balance.parent,
        capacity + scale * balance.diagonal,
        scale * balance.upward,
        scale * balance.downward,
        load,
        balance.loops,
        scale * balance.links,
    )


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
