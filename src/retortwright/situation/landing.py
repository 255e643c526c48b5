# SPDX-License-Identifier: MIT
"""Where the vapour of the product lands along its ways, at given wall temperatures, and what drives it.

The potential of the vapour is the integral of its flow coefficient over pressure in a tube of one
bore and temperature, the same for the whole way; what a cell's own bore and temperature make
different at the pressure there goes into its resistance. That pressure is found in a few turns.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.physics.gas import most_probable_speed, rarefaction
from retortwright.physics.transition import poiseuille_coefficient
from retortwright.physics.viscosity import hard_sphere_viscosity
from retortwright.situation.mesh import Mesh
from retortwright.situation.saturation_table import Saturation
from retortwright.situation.vapour_path import entrance_potential, flow_along
from retortwright.situation.vapour_ways import Way

__all__ = ["Landing", "Obstacle", "Path", "VapourGas", "landing_on", "viscous_passage"]

_DRY = 30.0  # times the pressure over the charge: a wall whose saturation is higher never gets wet
_COLD = 1e-9  # of the pressure over the charge: beyond a wall so cold nothing passes
_LEAST = 1e-9  # of the supply: what enters at least, so that shares of it have a meaning
_NOTHING = 1e-12  # Pa
_TURNS = 2  # of the pressure along the way
_REFERENCE = 600.0  # K


@dataclass(frozen=True, slots=True, eq=False)
class VapourGas:
    """The product as a gas: molar mass [kg/mol], diameter of a collision (samples,) [m]."""

    molar_mass: float
    diameter: Array


@dataclass(frozen=True, slots=True)
class Obstacle:
    """The most that the potential of the vapour can be over a wall: ln of it over equal steps of 1/T."""

    hottest: float  # K
    step: float  # 1/K
    logarithm: Array  # (places, samples)
    first: Array  # (samples,) at the pressure over the charge
    most: Array  # (samples,) over a wall that never gets wet
    least: Array  # (samples,) over a wall beyond which nothing passes

    def over(self, temperature: Array, dry: NDArray[np.bool_]) -> tuple[Array, Array]:
        """In each cell, and how it rises with the temperature [1/K times that]: both (cells, samples)."""
        inverse = 1.0 / temperature
        place = np.clip((inverse - 1.0 / self.hottest) / self.step, 0.0, len(self.logarithm) - 1.000001)
        low = np.fmax(place, 0.0).astype(np.intp)
        place -= low
        samples = self.logarithm.shape[1]
        low *= samples
        low += np.arange(samples)
        flat = self.logarithm.ravel()
        upper = flat.take(low)
        low += samples
        fall = upper - flat.take(low)
        place *= fall
        upper -= place
        found = np.minimum(np.exp(upper, out=upper), self.most)
        wet = np.logical_not(dry) & (found < self.most)
        found = np.where(dry, self.most, found)
        found = np.where(np.logical_or.accumulate(found < self.least, axis=0), 0.0, found)
        inverse *= inverse
        inverse *= fall
        inverse *= found
        inverse *= 1.0 / self.step
        return found, np.where(wet, inverse, 0.0)


@dataclass(frozen=True, slots=True)
class Path:
    """The stretch of a way that matters, with its resistances as they are at some temperatures."""

    cells: NDArray[np.intp]
    resistance: Array  # (cells + 1, samples) passed from the start of the way to the middle of each cell
    lost: Array  # (cells, samples) potential lost to what condenses and runs back
    dry: NDArray[np.bool_]  # (cells, samples): nothing stays there
    obstacle: Obstacle
    corners: NDArray[np.bool_]  # (cells + 1, samples) where the potential bends; kept up to date

    def heights(self, temperature: Array) -> tuple[Array, Array]:
        """The most that the potential can be at the start and in each cell, (cells + 1, samples), and how
        that of each cell rises with its temperature [Pa/K]."""
        over, rise = self.obstacle.over(temperature, self.dry)
        over += self.lost
        return np.concatenate([self.obstacle.first[None, :], over]), rise

    def flow(self, heights: Array, supply: Array) -> Array:
        """Flow up to each cell, (cells, samples) [mol/s]."""
        return flow_along(self.resistance, heights, supply, self.corners)


@dataclass(frozen=True, slots=True)
class Landing:
    """What lands where along one way, all (..., samples)."""

    cells: NDArray[np.intp]
    landed: Array  # mol/s on each of the cells
    passing: Array  # mol/s beyond each of the cells
    along: Array  # Pa at each of the cells
    entering: Array  # mol/s
    pressure: Array  # Pa at the start of the way
    most: Array  # mol/s that the way could take from the pressure over the charge
    path: Path


def landing_on(
    way: Way,
    mesh: Mesh,
    bore: Array,
    shares: Array,
    temperature: Array,
    gas: VapourGas,
    saturation: Saturation,
    supply: Array,
    over_charge: Array,
    beside: Array | float = 0.0,
    wet: Array | bool = True,
    bends: NDArray[np.bool_] | None = None,
) -> Landing:
    """The landing along a way.

    `bore` (cells of the way,) [m]; `shares` (cells of the way,): the part of all the vapour that goes
    through each, where the way has split; `temperature` (cells of the way, samples) [K]; `supply`
    [mol/s] and the pressure `over_charge` [Pa] over the samples; `beside` (cells, samples) [mol/s]
    passes each cell besides the stream, only to condense and run back. Where the metal is `wet`, nothing
    stays up to the crest. `bends` (cells of the way + 1, samples) says where the potential bent in a landing
    much like this one; it is kept up to date.
    """
    dry = np.zeros(temperature.shape, dtype=bool)
    dry[: way.crest] = wet
    over = _saturated(saturation, temperature, dry, over_charge)
    near, far = _stretch(over / over_charge)
    samples = over.shape[1]
    along = np.clip(over[:far], _NOTHING, over_charge)
    conductance, thin = _tube(bore[:far], mesh.width[way.cells[:far]], temperature[:far], gas)
    middle, obstacle = _obstacle(saturation, gas, float(np.max(bore)), over_charge)
    corners = (np.zeros((len(over) + 1, samples), dtype=bool) if bends is None else bends)[near : far + 1]
    corners[-1] |= np.any(corners, axis=0)
    half, start = 0.5 * shares[:far, None] / conductance, np.zeros((1, samples))
    beside = np.broadcast_to(beside, over.shape)[:far]
    for _ in range(_TURNS):
        own = half * _coefficient(middle * along) / _coefficient(thin * along)
        passed = np.cumsum(np.concatenate([own[:1], own[1:] + own[:-1]]), axis=0)
        lost = np.cumsum(2 * own * beside, axis=0)
        own = np.concatenate([start, passed[near:]])
        path = Path(way.cells[near:far], own, lost[near:], dry[near:far], obstacle, corners)
        found = _passing(path, temperature[near:far], supply)
        flow = np.concatenate([np.broadcast_to(found.entering, (near, samples)), found.flow])
        falls = np.cumsum(flow * np.diff(np.concatenate([start, passed]), axis=0), axis=0)
        left = np.maximum(found.entrance - falls - lost, 0.0)
        along = np.clip(_pressure_of(middle, left), _NOTHING, over_charge)
    after, pressure = np.concatenate([flow[1:], start]), _pressure_of(middle, found.entrance)
    return Landing(way.cells[:far], flow - after, after, along, found.entering, pressure, found.most, path)


@dataclass(frozen=True, slots=True)
class _Passing:
    """The flow along a path: (samples,) but the first."""

    flow: Array  # (cells, samples) mol/s up to each cell
    entering: Array  # mol/s
    most: Array  # mol/s
    entrance: Array  # potential at the start


def _passing(path: Path, temperature: Array, supply: Array) -> _Passing:
    heights, _ = path.heights(temperature)
    most = np.max((heights[0] - heights[1:]) / path.resistance[1:], axis=0)
    entering = np.maximum(np.minimum(supply, most), _LEAST * supply)
    flow = path.flow(heights, entering)
    flow = np.where(most < _LEAST * supply, entering, flow)
    entrance = np.minimum(entrance_potential(path.resistance, heights, entering), heights[0])
    return _Passing(flow, entering, most, entrance)


def _saturated(
    saturation: Saturation, temperature: Array, dry: NDArray[np.bool_], over_charge: Array
) -> Array:
    """Pressure of saturation in each cell of a way [Pa]; far above that over the charge where nothing stays,
    and none at and beyond the first wall so cold that nothing passes it."""
    over = np.minimum(saturation.pressure(temperature), _DRY * over_charge)
    over = np.where(dry, _DRY * over_charge, over)
    cold = np.logical_or.accumulate(over < _COLD * over_charge, axis=0)
    return np.where(cold, 0.0, over)


def _stretch(share: Array) -> tuple[int, int]:
    """The places that matter: from the first wall that may get wet to the first beyond which nothing passes."""
    wet = np.flatnonzero(np.any(share < _DRY * 0.999, axis=1))
    near = int(wet[0]) if len(wet) else len(share) - 1
    cold = np.flatnonzero(np.all(share == 0.0, axis=1))
    return near, int(cold[0]) + 1 if len(cold) else len(share)


def _tube(bore: Array, width: Array, temperature: Array, gas: VapourGas) -> tuple[Array, Array]:
    """Molar conductance of each cell over its flow coefficient [mol/s/Pa], rarefaction over pressure [1/Pa]."""
    radius = bore[:, None] / 2
    speed = most_probable_speed(temperature, gas.molar_mass)
    conductance = np.pi * radius**3 * speed / (2 * width[:, None]) / (GAS_CONSTANT * temperature)
    viscosity = hard_sphere_viscosity(temperature, gas.molar_mass, gas.diameter)
    thin = rarefaction(radius, 1.0, viscosity, temperature, gas.molar_mass)
    return np.asarray(conductance), np.asarray(thin)


@lru_cache(maxsize=8)
def _reference(saturation: Saturation, gas: VapourGas, bore: float) -> tuple[Array, Array]:
    """Rarefaction over pressure that potentials are told in [1/Pa], and ln of that of saturated vapour."""
    middle = _tube(np.full(1, bore), np.ones(1), np.full((1, 1), _REFERENCE), gas)[1][0]
    return middle, np.log(np.maximum(_potential(middle, np.exp(saturation.logarithm)), 1e-300))


def _obstacle(
    saturation: Saturation, gas: VapourGas, bore: float, over_charge: Array
) -> tuple[Array, Obstacle]:
    """Rarefaction over pressure that potentials are told in [1/Pa], and the most that they can be."""
    middle, table = _reference(saturation, gas, bore)
    first, most, least = (_potential(middle, share * over_charge) for share in (1.0, _DRY, _COLD))
    return middle, Obstacle(saturation.hottest, saturation.step, table, first, most, least)


def viscous_passage(bore: float, temperature: Array, gas: VapourGas, pressure: Array) -> Array:
    """Flow times length through a long tube from a pressure into nothing [mol m/s], (samples,)."""
    conductance, thin = _tube(np.full(1, bore), np.ones(1), temperature[None, :], gas)
    return np.asarray(conductance[0] * _potential(thin[0], pressure))


@cache
def _integral() -> tuple[Array, Array, Array]:
    """Logarithm of the rarefaction, flow coefficient, and its integral over the rarefaction."""
    thin = np.geomspace(1e-7, 1e7, 1400)
    coefficient = np.asarray(poiseuille_coefficient(thin, 1.0))
    steps = np.diff(thin) * (coefficient[1:] + coefficient[:-1]) / 2
    whole = np.concatenate([[0.0], np.cumsum(steps)]) + thin[0] * coefficient[0]
    return np.log(thin), coefficient, np.log(whole)


def _coefficient(thin: Array) -> Array:
    """The flow coefficient at a rarefaction."""
    places, coefficient, _ = _integral()
    return np.asarray(np.interp(np.log(np.maximum(thin, 1e-300)), places, coefficient))


def _potential(thin: Array, pressure: Array) -> Array:
    """Integral of the flow coefficient over pressure [Pa]."""
    places, _, whole = _integral()
    reduced = np.log(np.maximum(thin * pressure, 1e-300))
    inside = np.interp(reduced, places, whole)
    below = np.minimum(reduced - places[0], 0.0)  # proportional to the pressure where the gas is thin
    return np.asarray(np.exp(inside + below) / thin)


def _pressure_of(thin: Array, potential: Array) -> Array:
    """The pressure that a potential stands for [Pa]."""
    places, _, whole = _integral()
    wanted = np.log(np.maximum(potential * thin, 1e-300))
    below = np.minimum(wanted - whole[0], 0.0)
    return np.asarray(np.exp(np.interp(wanted, whole, places) + below) / thin)
