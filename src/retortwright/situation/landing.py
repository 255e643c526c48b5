# SPDX-License-Identifier: MIT
"""Where the vapour of the product lands along its ways, at given wall temperatures, and what drives it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.physics.gas import most_probable_speed, rarefaction
from retortwright.physics.transition import poiseuille_coefficient
from retortwright.physics.viscosity import hard_sphere_viscosity
from retortwright.situation.mesh import Mesh
from retortwright.situation.saturated import Saturation
from retortwright.situation.vapour_path import entrance_potential, passing_flow
from retortwright.situation.vapour_ways import Way

__all__ = ["Landing", "VapourGas", "landing_on"]

_DRY = 30.0  # times the pressure over the charge: a wall whose saturation is higher never gets wet
_COLD = 1e-9  # of the pressure over the charge: beyond a wall so cold nothing passes
_MOST = 90  # places along a way that are told apart


@dataclass(frozen=True, slots=True)
class VapourGas:
    """The product as a gas: molar mass [kg/mol], diameter of a collision (samples,) [m]."""

    molar_mass: float
    diameter: Array


@dataclass(frozen=True, slots=True)
class Landing:
    """What lands where along one way, all (..., samples)."""

    cells: NDArray[np.intp]
    landed: Array  # mol/s on each of the cells
    passing: Array  # mol/s beyond each of the cells
    entering: Array  # mol/s
    pressure: Array  # Pa at the start of the way
    most: Array  # mol/s that the way could take from the pressure over the charge


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
) -> Landing:
    """The landing along a way.

    `bore` (cells of the way,) [m]; `shares` (cells of the way,): the part of all the vapour that goes
    through each, where the way has split; `temperature` (cells of the way, samples) [K]; `supply`
    [mol/s] and the pressure `over_charge` [Pa] over the samples.
    """
    width = mesh.width[way.cells]
    conductance, thin = _tube(bore, width, temperature, gas)
    half = 0.5 * shares[:, None] / conductance
    pressure = np.minimum(saturation.pressure(temperature), _DRY * over_charge)
    potential = _potential(thin, pressure)
    first = _potential(thin[:1], over_charge[None, :])
    resistance = np.cumsum(np.concatenate([half[:1], half[1:] + half[:-1]]), axis=0)
    places = np.concatenate([np.zeros((1, temperature.shape[1])), resistance])
    potentials = np.concatenate([first, potential])
    kept = _kept(pressure[way.crest :], over_charge) + way.crest
    chosen = np.concatenate([[0], kept + 1])
    most = passing_flow(places[chosen], potentials[chosen], np.full(temperature.shape[1], np.inf))[0]
    entering = np.minimum(supply, most)
    flow = passing_flow(places[chosen], potentials[chosen], entering)
    entrance = entrance_potential(places[chosen], potentials[chosen], entering)
    after = np.concatenate([flow[1:], np.zeros((1, flow.shape[1]))])
    return Landing(way.cells[kept], flow - after, after, entering, _pressure_of(thin[0], entrance), most)


def _kept(pressure: Array, over_charge: Array) -> NDArray[np.intp]:
    """The places that matter: from the first wall that may get wet to the first beyond which nothing passes."""
    share = pressure / over_charge
    wet = np.flatnonzero(np.any(share < _DRY * 0.999, axis=1))
    cold = np.flatnonzero(np.all(share < _COLD, axis=1))
    start = int(wet[0]) if len(wet) else len(share) - 1
    stop = int(cold[cold >= start][0]) + 1 if np.any(cold >= start) else len(share)
    every = max(1, -(-(stop - start) // _MOST))
    return np.unique(np.append(np.arange(start, stop, every), stop - 1))


def _tube(bore: Array, width: Array, temperature: Array, gas: VapourGas) -> tuple[Array, Array]:
    """Molar conductance of each cell over its flow coefficient [mol/s/Pa], rarefaction over pressure [1/Pa]."""
    radius = bore[:, None] / 2
    speed = most_probable_speed(temperature, gas.molar_mass)
    conductance = np.pi * radius**3 * speed / (2 * width[:, None]) / (GAS_CONSTANT * temperature)
    viscosity = hard_sphere_viscosity(temperature, gas.molar_mass, gas.diameter)
    thin = rarefaction(radius, 1.0, viscosity, temperature, gas.molar_mass)
    return np.asarray(conductance), np.asarray(thin)


@cache
def _integral() -> tuple[Array, Array, Array]:
    """Logarithm of the rarefaction, flow coefficient, and its integral over the rarefaction."""
    thin = np.geomspace(1e-7, 1e7, 1400)
    coefficient = np.asarray(poiseuille_coefficient(thin, 1.0))
    steps = np.diff(thin) * (coefficient[1:] + coefficient[:-1]) / 2
    whole = np.concatenate([[0.0], np.cumsum(steps)]) + thin[0] * coefficient[0]
    return np.log(thin), coefficient, np.log(whole)


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
