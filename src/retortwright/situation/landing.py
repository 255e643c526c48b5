# SPDX-License-Identifier: MIT
"""Where the vapour of the product lands along its ways, at given wall temperatures, and what drives it.

The potential of the vapour is the integral of its flow coefficient over pressure in a tube of one
bore and temperature, the same for the whole way; what a cell's own bore and temperature make
different at the pressure there goes into its resistance. Where the pressure is above saturation at
the wall, as much lands as molecules of the difference meet the wall: the most that can (Hertz and
Knudsen), so that walls are no hotter than they must be to pass vapour on. The pressure is found in a
few turns, in one where it is nearly known.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
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
from retortwright.situation.vapour_net import Net, Spread, net_along
from retortwright.situation.vapour_ways import Way

__all__ = ["Landing", "Obstacle", "Path", "VapourGas", "landing_on", "viscous_passage"]

_DRY = 30.0  # times the pressure over the charge: a wall whose saturation is higher never gets wet
_COLD = 1e-9  # of the pressure over the charge: no more comes from a wall so cold, and next to nothing passes it
_BEYOND = 6.0  # bores: so far beyond it
_NOTHING = 1e-12  # Pa
_TURNS = 6  # of the pressure along the way
_NO_END = 1e6  # mol/s
_REFERENCE = 600.0  # K


@dataclass(frozen=True, slots=True, eq=False)
class VapourGas:
    """The product as a gas: molar mass [kg/mol], diameter of a collision (samples,) [m]."""

    molar_mass: float
    diameter: Array


@dataclass(frozen=True, slots=True)
class Obstacle:
    """The potential of vapour that is saturated at a wall: ln of it over equal steps of 1/T."""

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
    net: Net
    lost: Array  # (cells, samples) potential lost to what condenses and runs back
    dry: NDArray[np.bool_]  # (cells, samples): nothing stays there
    obstacle: Obstacle
    wet: NDArray[np.bool_]  # (cells, samples) a guess of where something lands

    def heights(self, temperature: Array) -> tuple[Array, Array]:
        """The potential in each cell above which something lands there, and how it rises with its
        temperature [Pa/K]: (cells, samples)."""
        over, rise = self.obstacle.over(temperature, self.dry)
        over += self.lost
        return over, rise

    def spread(self, heights: Array) -> Spread:
        """What passes and lands."""
        return net_along(self.net, heights, self.wet)

    def most(self, temperature: Array) -> Array:
        """What the way could take from the pressure over the charge [mol/s], (samples,)."""
        heights, _ = self.heights(temperature)
        net = replace(self.net, supply=np.full_like(self.net.supply, _NO_END))
        return np.asarray(net_along(net, heights, self.wet).flow[0])


@dataclass(slots=True)
class Course:
    """What is known of the vapour along a way from a landing much like the next: (cells of the way, samples)."""

    along: Array  # Pa
    wet: NDArray[np.bool_]
    known: NDArray[np.bool_]  # (samples,)

    @classmethod
    def unknown(cls, cells: int, samples: int) -> Course:
        """Nothing known yet."""
        return cls(
            np.zeros((cells, samples)), np.zeros((cells, samples), dtype=bool), np.zeros(samples, dtype=bool)
        )

    def part(self, some: NDArray[np.intp] | slice) -> Course:
        """That of some samples."""
        return Course(self.along[:, some].copy(), self.wet[:, some].copy(), self.known[some].copy())

    def keep(self, near: int, far: int, along: Array, wet: NDArray[np.bool_]) -> None:
        """Learn what a landing along some of the cells has found."""
        self.along[:far], self.along[far:] = along, _NOTHING
        self.wet[:], self.wet[near:far] = False, wet
        self.known[:] = True

    def put(self, some: NDArray[np.intp], other: Course) -> None:
        """Take over what was learnt with some samples."""
        self.along[:, some], self.wet[:, some], self.known[some] = other.along, other.wet, other.known


@dataclass(frozen=True, slots=True)
class Landing:
    """What lands where along one way, all (..., samples)."""

    cells: NDArray[np.intp]
    landed: Array  # mol/s on each of the cells
    passing: Array  # mol/s beyond each of the cells
    along: Array  # Pa at each of the cells
    beside: Array  # mol/s that pass each of the cells only to condense and run back
    entering: Array  # mol/s
    pressure: Array  # Pa at the start of the way
    path: Path
    walls: Array  # K, of the stretch that matters
    heights: Array  # potential there, above which something lands [Pa]
    rise: Array  # how it rises with the temperature [Pa/K]
    spread: Spread
    pull: Array  # how the pressure at the start rises with its potential, over itself [1/Pa]
    moved: Array  # by what part the pressure before the first of these walls moved in the last turn

    @property
    def most(self) -> Array:
        """What the way could take from the pressure over the charge [mol/s]."""
        return self.path.most(self.walls)


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
    wet: Array | NDArray[np.bool_] | bool = True,
    course: Course | None = None,
    eager: float = 1.0,
) -> Landing:
    """The landing along a way.

    `bore` (cells of the way,) [m]; `shares` (cells of the way,): the part of all the vapour that goes
    through each, where the way has split; `temperature` (cells of the way, samples) [K]; `supply`
    [mol/s] and the pressure `over_charge` [Pa] over the samples; `beside` (cells, samples) [mol/s]
    passes each cell besides the stream, only to condense and run back. Where the metal is `wet`, nothing
    stays up to the crest. `course` is what is known from a landing much like this one; it is kept up to date. Vapour
    lands `eager` times as fast as molecules meet the wall: far more than once is the limit in which the
    pressure is that of saturation wherever something lands.
    """
    dry = np.zeros(temperature.shape, dtype=bool)
    dry[: way.crest] = wet
    width = mesh.width[way.cells]
    over = _saturated(saturation, temperature, dry, over_charge, width / bore)
    near, far = _stretch(over / over_charge)
    known = Course.unknown(*over.shape) if course is None else course
    along = np.where(known.known, known.along[:far], np.clip(over[:far], _NOTHING, over_charge))
    guess = np.where(known.known, known.wet[:far], True)[near:]
    walls, over = temperature[:far], over[:far]
    conductance, thin = _tube(bore[:far], width[:far], walls, gas)
    speed = eager * _meeting(bore[:far], width[:far], walls, gas, shares[:far])
    speed[over == 0.0] = _NO_END
    speed[dry[:far]] = 0.0
    middle, obstacle = _obstacle(saturation, gas, float(np.max(bore)), over_charge)
    beside = np.broadcast_to(beside, temperature.shape)[:far]
    tube = _Tube(near, middle, thin, 0.5 * shares[:far, None] / conductance, speed, over, beside)
    for _ in range(1 if np.all(known.known) else _TURNS):
        net, steps, lost = tube.net(along, supply, obstacle.first)
        path = Path(way.cells[near:far], net, lost[near:], dry[near:far], obstacle, guess)
        heights, rise = path.heights(walls[near:])
        found, before = path.spread(heights), along[near]
        along, pressure = tube.pressures(found, steps, lost, over_charge)
        guess = found.wet
    if course is not None:
        course.keep(near, far, along, found.wet)
    flow = np.concatenate([np.broadcast_to(found.flow[0], (near, over.shape[1])), found.flow])
    after = np.concatenate([flow[1:], np.zeros((1, over.shape[1]))])
    pull = 1.0 / np.maximum(_coefficient(middle * pressure) * pressure, _NOTHING)
    return Landing(
        way.cells[:far], flow - after, after, along, beside, flow[0], pressure, replace(path, wet=found.wet),
        walls[near:], heights, rise, found, pull, np.abs(np.log(along[near] / before)),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Tube:
    """A way up to where nothing passes, at some temperatures: (cells, samples)."""

    near: int  # cells before the first on which something may land
    middle: Array  # (samples,) rarefaction over pressure that potentials are told in [1/Pa]
    thin: Array  # and of each cell
    half: Array  # resistance of half of each cell times its flow coefficient
    speed: Array  # how much lands for a pressure above saturation [mol/s/Pa]
    over: Array  # saturation [Pa]
    beside: Array  # mol/s

    def net(self, along: Array, supply: Array, first: Array) -> tuple[Net, Array, Array]:
        """As conductances where pressures are `along`; the resistance up to each cell from the one before it, and the
        potential lost to what runs back."""
        near = self.near
        own = self.half * _coefficient(self.middle * along) / _coefficient(self.thin * along)
        steps = np.concatenate([own[:1], own[1:] + own[:-1]])
        between = np.concatenate([np.sum(steps[: near + 1], axis=0)[None, :], steps[near + 1 :]])
        mean = 0.5 * (along[near:] + np.minimum(along[near:], self.over[near:]))
        film = self.speed[near:] / _coefficient(self.middle * mean)
        return Net(between, film, supply, first), steps, np.cumsum(2 * own * self.beside, axis=0)

    def pressures(self, found: Spread, steps: Array, lost: Array, over_charge: Array) -> tuple[Array, Array]:
        """In each cell, and at the start [Pa]."""
        passed = np.cumsum(steps[: self.near + 1], axis=0)
        entrance = found.potential[0] + found.flow[0] * passed[-1]
        left = np.concatenate([entrance - found.flow[0] * passed[:-1], found.potential])
        left -= lost
        along = np.clip(_pressure_of(self.middle, np.maximum(left, 0.0)), _NOTHING, over_charge)
        return along, np.minimum(_pressure_of(self.middle, entrance), over_charge)


def _meeting(bore: Array, width: Array, temperature: Array, gas: VapourGas, shares: Array) -> Array:
    """How much vapour meets the wall of each cell for its pressure [mol/s/Pa], of all if the way has split."""
    speed = most_probable_speed(temperature, gas.molar_mass)
    area = np.pi * bore * width / shares
    return np.asarray(area[:, None] * speed / (2 * np.sqrt(np.pi) * GAS_CONSTANT * temperature))


def _saturated(
    saturation: Saturation, temperature: Array, dry: NDArray[np.bool_], over_charge: Array, bores: Array
) -> Array:
    """Pressure of saturation in each cell of a way [Pa]; far above that over the charge where nothing stays,
    and none some way beyond the first wall that is very cold; `bores` (cells,) how many each is long."""
    over = np.minimum(saturation.pressure(temperature), _DRY * over_charge)
    over = np.where(dry, _DRY * over_charge, over)
    cold = np.logical_or.accumulate(over < _COLD * over_charge, axis=0)
    return np.where(np.cumsum(cold * bores[:, None], axis=0) > _BEYOND, 0.0, over)


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
