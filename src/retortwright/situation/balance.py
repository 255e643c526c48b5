# SPDX-License-Identifier: MIT
"""The heat balance of every cell at some temperatures, and its slope: what steady and transient share."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.physics.constants import STEFAN_BOLTZMANN
from retortwright.situation.blocks import Eliminated, Slopes
from retortwright.situation.exchange import Exchange
from retortwright.situation.wall import Wall

__all__ = ["Balance", "Factored", "closed", "heat_balance", "heat_into", "solved"]


@dataclass(frozen=True, slots=True)
class Balance:
    """Heat into each cell [W] and its slopes [W/K], all (cells, samples)."""

    residual: Array
    leaving: Array  # heat to the surroundings alone
    slopes: Slopes
    links: Array  # (loops, samples)
    wall: Wall


@dataclass(frozen=True, slots=True)
class _Flows:
    """Heat into each cell and what it is made of; of conduction for all cells but the first."""

    residual: Array
    leaving: Array
    steep: Array  # slope of what leaves
    links: Array
    steepness: Array  # relative slope of the conductivity
    half: Array
    above: Array  # half a cell of the parent
    conductance: Array
    flow: Array
    cube: Array  # of the temperature


def _flows(wall: Wall, temperature: Array) -> _Flows:
    conduction, _ = wall.ready()
    leaving, steep = _exchanged(wall.exchanges, temperature)
    up = wall.mesh.parent[1:]
    half, steepness = conduction.half(temperature)
    above = conduction.through * half[up]
    conductance = half[1:] + above
    conductance += conduction.contact
    np.divide(1.0, conductance, out=conductance)
    flow = temperature[up]
    flow -= temperature[1:]
    flow *= conductance
    residual = -leaving
    residual[1:] += flow
    conduction.to_parents(residual, flow, -1.0)
    cube = temperature * temperature * temperature
    emitted = STEFAN_BOLTZMANN * cube * temperature
    for bore in wall.bores:
        residual[bore.cells] -= bore.heat(emitted[bore.cells])
    links = _linked(wall, temperature, half, residual)
    return _Flows(residual, leaving, steep, links, steepness, half, above, conductance, flow, cube)


def heat_into(wall: Wall, temperature: Array) -> Array:
    """Heat into each cell [W] at some temperatures: the balance without its slopes."""
    return _flows(wall, temperature).residual


def heat_balance(wall: Wall, temperature: Array, bores: dict[int, Array] | None = None) -> Balance:
    """The balance of a wall: conduction and contact, bores, surroundings, loops.

    `bores` are the slopes of dense bores from an earlier balance, to be kept.
    """
    found = _flows(wall, temperature)
    turn = found.flow * found.conductance
    above = found.above * found.steepness[wall.mesh.parent[1:]]
    above *= turn
    above += found.conductance  # slope of the flow by the temperature above
    own = found.steepness
    own[1:] *= found.half[1:]
    own[1:] *= turn
    own[1:] -= found.conductance  # and by the cell's own
    slopes = _slopes(wall, found.cube, found.steep, own, above, bores)
    for exchange in wall.exchanges:
        couple = getattr(exchange, "couple", None)  # of an exchange that also depends on neighbours
        if couple is not None:
            couple(temperature[exchange.cells], wall.mesh.parent, slopes.upward, slopes.downward)
    return Balance(found.residual, found.leaving, slopes, found.links, wall)


def _slopes(
    wall: Wall, cube: Array, steep: Array, own: Array, above: Array, bores: dict[int, Array] | None
) -> Slopes:
    """The matrix of a balance from the slopes of its parts; `own` and `above` are those of conduction."""
    conduction, steer = wall.ready()
    diagonal, downward, upward = steep, own, np.empty_like(own)
    downward[0] = upward[0] = 0.0
    np.negative(above, out=upward[1:])
    diagonal -= own
    conduction.to_parents(diagonal, above, 1.0)
    along = steer.along(cube)
    diagonal[steer.lower] += along
    diagonal[steer.upper] += along
    upward[steer.lower] -= along
    downward[steer.lower] -= along
    for cells, mean in steer.ends:
        diagonal[cells] += mean * (4 * STEFAN_BOLTZMANN * cube[cells])
    dense: dict[int, Array] = {} if bores is None else bores
    for number, bore in enumerate(wall.bores):
        if not bore.dense:
            continue
        if bores is None:
            slope = 4 * STEFAN_BOLTZMANN * cube[bore.cells]
            dense[number] = wall.between[number] * slope.T[:, None, :]
        others = np.arange(bore.own, len(bore.cells))
        diagonal[bore.cells[others]] += dense[number][:, others, others].T
    return Slopes(diagonal, upward, downward, dense)


class Factored:
    """The matrix capacity + scale * slopes of a balance, ready for any number of loads.

    `inverses` are those of the dense blocks, kept from one call to the next.
    """

    def __init__(
        self,
        balance: Balance,
        capacity: Array | None = None,
        scale: Array | float = 1.0,
        inverses: dict[int, Array] | None = None,
    ) -> None:
        wall, slopes = balance.wall, balance.slopes
        if capacity is not None:
            each = np.asarray(scale).reshape(-1, 1, 1)
            slopes = Slopes(
                capacity + scale * slopes.diagonal,
                scale * slopes.upward,
                scale * slopes.downward,
                {number: each * full for number, full in slopes.bores.items()},
            )
        self._loops = [loop.cells for loop in wall.loops]
        self._links = scale * balance.links
        self._eliminated = Eliminated(wall.blocks, wall.bores, wall.mesh.parent, slopes, inverses)

    def solved(self, load: Array) -> Array:
        """The solution for a load (cells, samples); each loop is a change of rank one."""
        if not self._loops:
            return self._eliminated.solved(load)
        loads = np.zeros((load.shape[0], 1 + len(self._loops), load.shape[1]))
        loads[:, 0] = load
        for number, (left, right) in enumerate(self._loops):
            loads[left, number + 1], loads[right, number + 1] = 1.0, -1.0
        return closed(self._eliminated.solved(loads), self._loops, self._links)


def solved(balance: Balance, load: Array) -> Array:
    """The solution of slopes x = load."""
    return Factored(balance).solved(load)


def closed(found: Array, loops: list[tuple[int, int]], links: Array) -> Array:
    """The solution with its loops, from those of the load and of each loop's unit, (cells, columns, samples).

    The Sherman-Morrison formula, loop after loop.
    """
    solution = found[:, 0]
    done: list[tuple[int, int, Array, Array]] = []
    for number, (left, right) in enumerate(loops):
        response = found[:, number + 1]
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
