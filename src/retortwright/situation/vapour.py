# SPDX-License-Identifier: MIT
"""The product as vapour in the rig: its pressure, where it lands, how far it fills the arms, what it heats.

The stream that leaves the charge is the freed metal over the reaction time, or what the line can
take from the pressure over the charge if that is less. It lands along the cooled way; the heat of
landing warms the wall there. On walls that rise from the charge, and in the arms on them, what
condenses runs back and boils off again: these are held at the dew point of the pressure in the
retort as far as the gas at their ends lets the vapour come. Wall and vapour are solved in turns
until they agree.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.belief.beliefs import Belief
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.choked import choked_mass_flux
from retortwright.reference.datum import Missing
from retortwright.rig.tree import Tree
from retortwright.situation.exchange import Exchange
from retortwright.situation.landing import Landing, VapourGas, landing_on
from retortwright.situation.mesh import Mesh
from retortwright.situation.saturated import Saturation
from retortwright.situation.vapour_exchange import HotVapour, LandingHeat
from retortwright.situation.vapour_ways import Arm, Way, Ways

__all__ = ["Stream", "Vapour", "VapourWork", "vapour_in"]

_TURNS = 12
_CLOSE = 1.0  # K, between two turns
_NEAR = 4e-3  # m, in the reach of vapour into an arm that it cannot fill
_MONATOMIC = 5 / 3
_NEXT_TO_NOTHING = 1e-3


@dataclass(frozen=True, slots=True)
class Stream:
    """What enters the rig as vapour: (samples,) all."""

    metal: str
    supply: Array  # mol/s that the reaction would give
    over_charge: Array  # Pa
    temperature: Array  # K of the charge
    film: Array  # W/m^2/K of condensing vapour
    rest_gas: Array  # Pa of other gas in dead arms before the vapour comes
    gas: VapourGas
    saturation: Saturation


@dataclass(frozen=True, slots=True)
class Vapour:
    """The agreed picture of one state: (samples,) unless said."""

    stream: Stream
    ways: Ways
    landings: tuple[Landing, ...]  # one a way that is told apart
    same: tuple[int, ...]  # for each way, which landing is its own
    entering: Array  # mol/s
    most: Array  # mol/s that the line could take from the pressure over the charge
    pressure: Array  # Pa in the retort
    dew: Array  # K
    latent: Array  # J/mol
    reaches: Mapping[str, Array]  # how far vapour comes into each arm [m]
    arm_heat: Mapping[str, Array]  # W that goes into each arm
    arm_most: Mapping[str, Array]  # W that vapour could bring through its entrance
    settled: NDArray[np.bool_]
    inputs: tuple[Belief, ...]
    cites: frozenset[str]
    missing: tuple[Missing, ...]


class VapourWork:
    """Turns of wall and vapour for one state."""

    def __init__(self, tree: Tree, mesh: Mesh, ways: Ways, stream: Stream) -> None:
        self.tree, self.mesh, self.ways, self.stream = tree, mesh, ways, stream
        self.bore = np.array(
            [tree.instances[n].tube_at(x).bore for n, x in zip(mesh.instance, mesh.middle, strict=True)]
        )
        self.part = self._part()
        self.power: Array | None = None
        self.searches = {arm.name: _Search(arm.length, len(stream.supply)) for arm in ways.arms}
        self.reach = {arm.name: np.full(len(stream.supply), arm.length) for arm in ways.arms}

    def _part(self) -> Array:
        """The part of all the vapour that goes through each cell, where it is shared evenly."""
        count = np.zeros(len(self.mesh.start))
        for way in self.ways.ways:
            count[way.cells] += 1.0 / len(self.ways.ways)
        return count

    def landings(self, temperature: Array) -> tuple[list[Landing], list[int]]:
        """Landings at some wall temperatures; ways that differ only beyond the last landing share one."""
        first = self._landing(self.ways.ways[0], temperature)
        if self._ends_before_the_split(first):
            return [first], [0] * len(self.ways.ways)
        rest = [self._landing(way, temperature) for way in self.ways.ways[1:]]
        return [first, *rest], list(range(len(self.ways.ways)))

    def _ends_before_the_split(self, landing: Landing) -> bool:
        """Whether next to nothing goes beyond the cells that all ways share."""
        split = np.flatnonzero(self.part[landing.cells] < 1.0 - 1e-9)
        if not len(split):
            return True
        beyond = landing.passing[split[0] - 1] if split[0] else landing.entering
        return bool(np.all(beyond < _NEXT_TO_NOTHING * landing.entering))

    def _landing(self, way: Way, temperature: Array) -> Landing:
        stream = self.stream
        return landing_on(
            way,
            self.mesh,
            self.bore[way.cells],
            self.part[way.cells],
            temperature[way.cells],
            stream.gas,
            stream.saturation,
            stream.supply,
            stream.over_charge,
        )

    def turn(self, temperature: Array) -> tuple[Vapour, list[Exchange]]:
        """The vapour at some wall temperatures, and what it gives to the walls."""
        stream = self.stream
        landings, same = self.landings(temperature)
        entering = np.min([landing.entering for landing in landings], axis=0)
        most = np.minimum(np.min([landing.most for landing in landings], axis=0), self._choked())
        pressure = np.minimum(np.max([landing.pressure for landing in landings], axis=0), stream.over_charge)
        pressure = np.clip(pressure, self._sonic(entering), stream.over_charge)
        dew = stream.saturation.dew(pressure)
        latent = stream.saturation.latent_heat(dew)
        heats, tops = self._arms(temperature, dew, latent, pressure)
        picture = Vapour(
            stream, self.ways, tuple(landings), tuple(same), entering, most, pressure, dew, latent,
            dict(self.reach), heats, tops, np.ones(len(dew), dtype=bool), (), frozenset(), (),
        )  # fmt: skip
        return picture, [self._landing_heat(landings, same, latent), self._hot_vapour(dew)]

    def _sonic(self, entering: Array) -> Array:
        """The least pressure that drives a stream through the narrowest place of the ways [Pa]."""
        return np.asarray(self.stream.over_charge * entering / self._choked())

    def _choked(self) -> Array:
        """The most that the narrowest place of the ways passes from the pressure over the charge [mol/s]."""
        stream = self.stream
        flux = choked_mass_flux(stream.over_charge, stream.temperature, stream.gas.molar_mass, _MONATOMIC)
        areas = [
            np.min(np.pi / 4 * self.bore[way.cells] ** 2 / self.part[way.cells]) for way in self.ways.ways
        ]
        return np.asarray(flux) * min(areas) / stream.gas.molar_mass

    def _landing_heat(self, landings: Sequence[Landing], same: Sequence[int], latent: Array) -> LandingHeat:
        power = np.zeros((len(self.mesh.start), len(latent)))
        for twin in same:
            power[landings[twin].cells] += landings[twin].landed * latent / len(same)
        if self.power is not None:
            power = (power + self.power) / 2  # so that a stream does not swing between two places
        self.power = power
        cells = np.flatnonzero(np.any(power > 0, axis=1))
        return LandingHeat("landing", cells, power[cells])

    def _hot_vapour(self, dew: Array) -> HotVapour:
        cover = np.zeros((len(self.mesh.start), len(dew)))
        cover[self.ways.back] = 1.0
        for arm in self.ways.arms:
            place = arm.length - arm.ahead
            width = self.mesh.width[arm.cells]
            inside = (self.reach[arm.name] - (place - width / 2)[:, None]) / width[:, None]
            cover[arm.cells] = np.clip(inside, 0.0, 1.0)
        cells = np.flatnonzero(np.any(cover > 0, axis=1))
        area = np.pi * self.bore[cells] * self.mesh.width[cells]
        return HotVapour("vapour", cells, self.stream.film * area[:, None] * cover[cells], dew)

    def _arms(
        self, temperature: Array, dew: Array, latent: Array, pressure: Array
    ) -> tuple[dict[str, Array], dict[str, Array]]:
        """Heat that each arm takes and the most that vapour can bring; the reach drawn in where it is more."""
        heats, tops = {}, {}
        whole = self._hot_vapour(dew)
        leaving, _ = whole.heat(temperature[whole.cells])
        for arm in self.ways.arms:
            inside = np.isin(whole.cells, arm.cells)
            heats[arm.name] = -np.sum(leaving[inside], axis=0)
            flux = choked_mass_flux(pressure, dew, self.stream.gas.molar_mass, _MONATOMIC)
            area = np.pi / 4 * arm.entrance**2
            tops[arm.name] = np.asarray(flux) * area * latent / self.stream.gas.molar_mass
            self._draw_in(arm, heats[arm.name], tops[arm.name], pressure)
        return heats, tops

    def _draw_in(self, arm: Arm, heat: Array, most: Array, pressure: Array) -> None:
        """How far vapour comes: to the gas pushed to the end, or as far as it can feed the wall.

        The reach is sought between one that takes too little and one that takes too much heat.
        """
        plug = np.clip(arm.length * self.stream.rest_gas / pressure, 0.0, arm.length)
        search = self.searches[arm.name]
        if search.turns:
            search.seen(self.reach[arm.name], heat / most - 1.0)
        search.turns += 1
        self.reach[arm.name] = np.minimum(search.next(), arm.length - plug)

    @property
    def searching(self) -> Array:
        """How far the reach may still move in any arm [m], (samples,)."""
        spans = [search.span(self.reach[name]) for name, search in self.searches.items()]
        return np.asarray(np.max(spans, axis=0)) if spans else np.zeros(len(self.stream.supply))


class _Search:
    """A reach between bounds, by halving."""

    def __init__(self, longest: float, samples: int) -> None:
        self.turns = 0
        self.low, self.high = np.zeros(samples), np.full(samples, longest)
        self.open = np.zeros(samples, dtype=bool)  # whether some reach has taken more heat than can come
        self.longest = longest

    def seen(self, reach: Array, excess: Array) -> None:
        """What came of a reach: more heat than can come (above zero), or less."""
        self.open |= excess > 0
        self.high = np.where(excess > 0, reach, self.high)
        self.low = np.where(excess > 0, self.low, np.maximum(self.low, reach))

    def next(self) -> Array:
        """The reach to try."""
        return np.where(self.open, (self.low + self.high) / 2, self.longest)

    def span(self, reach: Array) -> Array:
        """How far the reach may still move; none where vapour comes to the end."""
        return np.where(self.open, np.maximum(self.high - reach, reach - self.low), 0.0)


def vapour_in(
    work: VapourWork, start: Array, solve: Callable[[list[Exchange], Array], Array], ledger: Ledger
) -> tuple[Vapour, list[Exchange], Array]:
    """Turns until wall and vapour agree: the picture, what it gives to the walls, the wall temperatures.

    `solve` gives the wall temperatures for some exchanges from a first guess. Samples that do not
    settle are said as missing.
    """
    temperature = start
    moved = np.full(start.shape[1], np.inf)
    for _ in range(_TURNS):
        picture, exchanges = work.turn(temperature)
        new = solve(exchanges, temperature)
        if not np.all(np.isfinite(new)):
            ledger.missing.append(
                Missing("vapour", "the walls with vapour inside were not found in some samples")
            )
            return picture, exchanges, new
        moved = np.max(np.abs(new - temperature), axis=0)
        temperature = new
        searching = work.searching
        if np.all(np.where(searching > 0, searching < _NEAR, moved < _CLOSE)):
            break
    settled = np.where(work.searching > 0, work.searching < 3 * _NEAR, moved < 5 * _CLOSE)
    if not np.all(settled):
        ledger.missing.append(Missing("vapour", "wall and vapour do not settle together in some samples"))
    return picture, exchanges, temperature
