# SPDX-License-Identifier: MIT
"""What the way to the receivers passes from a pressure over the charge: found once, looked up in time.

The walls are those of the steady picture of wall and vapour in the state in which the charge gives its
metal. With argon in the rig the vapour diffuses from the charge to where the way leaves the retort and
along it to the first wall that is cold, and the argon carries it; where its pressure passes the whole
one it boils, and pushes the argon before it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.physics.carrying import carried_flux
from retortwright.physics.vaporisation import hard_sphere_diffusivity, stefan_flux
from retortwright.situation.landing import landing_on
from retortwright.situation.mesh import Mesh
from retortwright.situation.vapour import Stream
from retortwright.situation.vapour_arms import sonic_flow
from retortwright.situation.vapour_ways import Ways

__all__ = ["Passing", "Sweeping", "passing_of", "swept_by"]

_LEAST, _MOST, _PLACES = 0.01, 1e6, 11  # Pa
_NOTHING = 1e-30  # mol/s
_PLENTY = 1e6  # mol/s
_HALVINGS = 32
_ALMOST = 1.0 - 1e-6  # of the whole pressure, up to which vapour diffuses


@dataclass(frozen=True, slots=True)
class Passing:
    """ln of the flow [mol/s] over equal steps of ln of the pressure over the charge [Pa]: (places, samples)."""

    first: float
    step: float
    logarithm: Array

    def at(self, pressure: Array, which: NDArray[np.intp]) -> Array:
        """ln of the flow at ln of a pressure; the ends are carried on."""
        place = (pressure - self.first) / self.step
        low = np.fmin(np.fmax(place, 0.0), len(self.logarithm) - 1.000001).astype(np.intp)
        above, below = self.logarithm[low, which], self.logarithm[low + 1, which]
        return np.asarray(above + (place - low) * (below - above))

    def pressure(self, flow: Array) -> Array:
        """The pressure that drives a flow, (..., samples) [Pa]; none without flow."""
        places = self.first + self.step * np.arange(len(self.logarithm))
        rising = np.maximum.accumulate(self.logarithm, axis=0) + 1e-9 * np.arange(len(places))[:, None]
        wanted = np.log(np.maximum(flow, _NOTHING))
        found = np.stack(
            [np.interp(wanted[..., one], rising[:, one], places) for one in range(rising.shape[1])], axis=-1
        )
        found = found + np.minimum(wanted - rising[0], 0.0)  # in proportion below the table
        return np.where(flow > 10 * _NOTHING, np.exp(found), 0.0)


def passing_of(
    ways: Ways, told: Sequence[int], mesh: Mesh, bores: Array, walls: Array, stream: Stream, wet: Array
) -> Passing:
    """The table of a rig whose walls have temperatures (cells, samples).

    `told` are the ways that are told apart, `bores` the bore of each cell [m], `wet` is as in a landing.
    """
    grid = np.geomspace(_LEAST, _MOST, _PLACES)
    found = [_through(ways, told, mesh, bores, walls, stream, wet, float(pressure)) for pressure in grid]
    logarithm = np.log(np.maximum(np.stack(found), _NOTHING))
    return Passing(float(np.log(_LEAST)), float(np.log(grid[1] / grid[0])), logarithm)


def _through(
    ways: Ways,
    told: Sequence[int],
    mesh: Mesh,
    bores: Array,
    walls: Array,
    stream: Stream,
    wet: Array,
    pressure: float,
) -> Array:
    """The most that the ways take from a pressure [mol/s], each with its part, no faster than sound."""
    over = np.full(len(stream.supply), pressure)
    count = np.zeros(len(mesh.start))
    for way in ways.ways:
        count[way.cells] += 1.0 / len(ways.ways)
    most = np.full(len(over), np.inf)
    for way in (ways.ways[number] for number in told):
        found = landing_on(
            way, mesh, bores[way.cells], count[way.cells], walls[way.cells], stream.gas, stream.saturation,
            np.full(len(over), _PLENTY), over, wet=wet,
        )  # fmt: skip
        area = float(np.min(np.pi / 4 * bores[way.cells] ** 2 / count[way.cells]))
        most = np.minimum(
            most, np.minimum(found.most, sonic_flow(over, stream.temperature, stream.gas, area))
        )
    return most


@dataclass(frozen=True, slots=True)
class Sweeping:
    """Argon that stands or flows in the rig while the charge is hot: (samples,) but the lengths and areas."""

    pressure: Array  # Pa of gas and vapour
    flow: Array  # mol/s of argon along the way
    temperature: Array  # K of the gas over the charge
    diameter: Array  # m, of a collision of vapour and argon
    molar_mass: float  # kg/mol of argon
    headspace: tuple[float, float]  # m from the charge to where the way leaves, m^2
    line: tuple[float, float]  # m from there to the first cold wall, m^2


def swept_by(passing: Passing, stream: Stream, argon: Sweeping) -> Passing:
    """The table with argon in the way: diffusion and carrying below boiling, the way's own flow above."""
    samples = len(argon.pressure)
    which = np.arange(samples)
    table = np.empty_like(passing.logarithm)
    floor = np.exp(passing.at(np.log(argon.pressure), which))
    spread = hard_sphere_diffusivity(
        argon.pressure, argon.temperature, stream.gas.molar_mass, argon.molar_mass, argon.diameter
    )
    for place in range(len(table)):
        over = np.full(samples, np.exp(passing.first + passing.step * place))
        slow = _diffusing(np.minimum(over, _ALMOST * argon.pressure), np.asarray(spread), argon)
        boiling = np.maximum(np.exp(passing.logarithm[place]) - floor, 0.0)
        table[place] = np.log(np.maximum(slow + np.where(over > argon.pressure, boiling, 0.0), _NOTHING))
    return Passing(passing.first, passing.step, table)


def _diffusing(over: Array, spread: Array, argon: Sweeping) -> Array:
    """Flow through still argon up to the way, then along it with what flows there [mol/s]."""
    (rise, wide), (length, bore) = argon.headspace, argon.line
    low, high = np.zeros_like(over), over.copy()
    whole, common, blown = argon.pressure, (spread, argon.temperature), argon.flow / bore
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        comes = wide * stefan_flux(whole, over, middle, *common, rise)
        more = comes > bore * carried_flux(whole, middle, 0.0 * over, *common, length, blown)
        low, high = np.where(more, middle, low), np.where(more, high, middle)
    return np.asarray(wide * stefan_flux(whole, over, (low + high) / 2, *common, rise))
