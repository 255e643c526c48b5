# SPDX-License-Identifier: MIT
"""The product as vapour in the rig: its pressure, where it lands, how far it fills the arms, what it heats.

The stream that leaves the charge is the freed metal over the reaction time at its fastest, or what
the line can take from the pressure over the charge if that is less. It lands along the cooled way;
the heat of landing warms the wall there. On walls that rise from the charge, and in arms, what
condenses runs back and boils off again: these are held at the dew point as far as vapour comes.
Wall and vapour are solved together, every sample for itself; here is what the vapour does at given walls.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retortwright.belief.beliefs import Belief
from retortwright.ground.arrays import Array
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.reference.datum import Missing
from retortwright.rig.tree import Tree
from retortwright.situation.landing import Course, Landing, VapourGas, landing_on
from retortwright.situation.mesh import Mesh
from retortwright.situation.saturation_table import Saturation
from retortwright.situation.vapour_arms import ArmWall, Mouth, sonic_flow
from retortwright.situation.vapour_exchange import HotVapour, LandingHeat
from retortwright.situation.vapour_ways import Arm, Way, Ways

__all__ = ["Looked", "Stream", "Vapour", "VapourWork"]

_NEXT_TO_NOTHING = 1e-3
_FAINT = 1e-3  # of the pressure in the retort: an arm with less before it gets no vapour
_HOTTER = 20.0  # K over the dew point, from which a wall boils off all that runs onto it
_NO_END = 1e9
_ROUNDS = 10.0  # times that what comes past a mouth goes through an arm before it, at most


@dataclass(frozen=True, slots=True)
class Stream:
    """What enters the rig as vapour: (samples,) all, but the melting point."""

    metal: str
    supply: Array  # mol/s that the reaction would give
    over_charge: Array  # Pa
    temperature: Array  # K of the charge
    film: Array  # W/m^2/K of condensing vapour
    rest_gas: Array  # Pa of other gas in dead arms before the vapour comes
    room: Array  # K
    melts: float  # K
    gas: VapourGas
    saturation: Saturation

    def part(self, columns: slice | list[int] | NDArray[np.intp]) -> Stream:
        """That of some samples."""
        return replace(
            self,
            supply=self.supply[columns],
            over_charge=self.over_charge[columns],
            temperature=self.temperature[columns],
            film=self.film[columns],
            rest_gas=self.rest_gas[columns],
            room=self.room[columns],
            gas=VapourGas(self.gas.molar_mass, self.gas.diameter[columns]),
            saturation=replace(self.saturation, logarithm=self.saturation.logarithm[:, columns]),
        )


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
    falls: Mapping[str, Array]  # how fast its pressure falls off there [1/m]
    mouths: Mapping[str, Array]  # dew point of the vapour before each arm [K]
    arm_heat: Mapping[str, Array]  # W that goes into each arm
    arm_most: Mapping[str, Array]  # W that vapour could bring through its entrance
    settled: NDArray[np.bool_]
    turns: NDArray[np.intp]  # steps of wall and vapour
    inputs: tuple[Belief, ...]
    cites: frozenset[str]
    missing: tuple[Missing, ...]


@dataclass(frozen=True, slots=True)
class Looked:
    """What vapour does along the ways at some walls: (samples,) unless said."""

    landings: tuple[Landing, ...]
    same: tuple[int, ...]  # for each way, which landing is its own
    entering: Array  # mol/s
    pressure: Array  # Pa in the retort
    dew: Array  # K
    highest: NDArray[np.intp]  # the landing that sets the dew point
    pull: Array  # by how much the dew point rises with the potential at its start [K/Pa]
    moved: Array  # by what part pressures moved only because they had not been known


class VapourWork:
    """The vapour of one state at any walls; it remembers only what makes the next look quick."""

    def __init__(self, tree: Tree, mesh: Mesh, ways: Ways, stream: Stream) -> None:
        self.mesh, self.ways, self.stream = mesh, ways, stream
        self.bore = np.array(
            [tree.instances[n].tube_at(x).bore for n, x in zip(mesh.instance, mesh.middle, strict=True)]
        )
        self.shared = self._shared()
        samples = len(stream.supply)
        self.courses = {way.receiver: Course.unknown(len(way.cells), samples) for way in ways.ways}
        self.covered = np.unique(np.concatenate([ways.back, *(arm.cells for arm in ways.arms)]))
        self.place = np.full(len(mesh.start), -1)  # of each covered cell among them
        self.place[self.covered] = np.arange(len(self.covered))
        self.apart = False  # whether ways have to be told apart
        self.arms = [self._arm(arm) for arm in ways.arms]

    def _arm(self, arm: Arm) -> ArmWall:
        stream, width = self.stream, self.mesh.width[arm.cells]
        area = np.pi * self.bore[arm.cells] * width
        return ArmWall(arm, area, width, stream.gas, stream.rest_gas, stream.film)

    def part(self, some: NDArray[np.intp]) -> VapourWork:
        """The same for some of the samples."""
        made = copy(self)
        made.stream = self.stream.part(some)
        made.courses = {key: known.part(some) for key, known in self.courses.items()}
        made.arms = [arm.part(some) for arm in self.arms]
        return made

    def keep(self, some: NDArray[np.intp], part: VapourWork) -> None:
        """Remember what was learnt with some of the samples."""
        for key, known in part.courses.items():
            self.courses[key].put(some, known)
        self.apart |= part.apart

    def remember(self, courses: Mapping[int, Course]) -> None:
        """Begin with what is known from a picture much like it."""
        for key, known in courses.items():
            if key in self.courses and self.courses[key].along.shape == known.along.shape:
                self.courses[key] = known.part(slice(None))

    def _shared(self) -> Array:
        """The part of all the vapour that goes through each cell, where it is shared evenly."""
        count = np.zeros(len(self.mesh.start))
        for way in self.ways.ways:
            count[way.cells] += 1.0 / len(self.ways.ways)
        return count

    def look(self, temperature: Array, wet: NDArray[np.bool_], condensed: Array) -> Looked:
        """The vapour along the ways at some wall temperatures; so much condenses on each covered cell and runs
        back [mol/s], (covered cells, samples)."""
        stream = self.stream
        landings, same = self._landings(temperature, wet, condensed)
        entering = np.min([landing.entering for landing in landings], axis=0)
        pressures = np.array([landing.pressure for landing in landings])
        highest, columns = np.argmax(pressures, axis=0), np.arange(pressures.shape[1])
        pressure = pressures[highest, columns]
        pull = np.array([landing.pull for landing in landings])[highest, columns]
        moved = np.max([landing.moved for landing in landings], axis=0)
        sonic = self._sonic(entering, condensed)
        pull = np.where((sonic > pressure) | (pressure >= stream.over_charge), 0.0, pull)
        pressure = np.minimum(np.maximum(pressure, sonic), stream.over_charge)
        dew = stream.saturation.dew(pressure)
        pull = pull * GAS_CONSTANT * dew**2 / stream.saturation.latent_heat(dew)
        return Looked(tuple(landings), tuple(same), entering, pressure, dew, highest, pull, moved)

    def _landings(
        self, temperature: Array, wet: NDArray[np.bool_], condensed: Array
    ) -> tuple[list[Landing], list[int]]:
        """Landings at some wall temperatures; ways that differ only beyond the last landing share one."""
        ways = self.ways.ways
        first = self._landing(ways[0], temperature, wet, condensed)
        if not self.apart and self._ends_before_the_split(first):
            return [first], [0] * len(ways)
        self.apart = True
        rest = [self._landing(way, temperature, wet, condensed) for way in ways[1:]]
        return [first, *rest], list(range(len(ways)))

    def _ends_before_the_split(self, landing: Landing) -> bool:
        """Whether next to nothing goes beyond the cells that all ways share."""
        split = np.flatnonzero(self.shared[landing.cells] < 1.0 - 1e-9)
        if not len(split):
            return True
        beyond = landing.passing[split[0] - 1] if split[0] else landing.entering
        return bool(np.all(beyond < _NEXT_TO_NOTHING * landing.entering))

    def _landing(self, way: Way, temperature: Array, wet: NDArray[np.bool_], condensed: Array) -> Landing:
        stream = self.stream
        return landing_on(
            way,
            self.mesh,
            self.bore[way.cells],
            self.shared[way.cells],
            temperature[way.cells],
            stream.gas,
            stream.saturation,
            stream.supply,
            stream.over_charge,
            self._beside(way, condensed),
            wet,
            self.courses[way.receiver],
        )

    def _beside(self, way: Way, condensed: Array) -> Array:
        """What passes each cell of a way only to condense and run back [mol/s]."""
        passing = np.zeros((len(way.cells), condensed.shape[1]))
        if not way.crest:
            return passing
        rising = way.cells[: way.crest]
        own = condensed[self.place[rising]]
        place = {int(cell): number for number, cell in enumerate(rising)}
        for arm in self.ways.arms:
            if arm.mouth in place:
                own[place[arm.mouth]] += np.cumsum(condensed[self.place[arm.cells]], axis=0)[-1]
        passing[: way.crest] = np.cumsum(own[::-1], axis=0)[::-1]
        return passing

    def mouths(self, looked: Looked, dew: Array, rounds: Array) -> list[Mouth]:
        """The vapour before each arm at a dew point in the retort: that, or what is left of it along the way."""
        stream = self.stream
        retort, found = stream.saturation.pressure(dew), []
        for arm, often in zip(self.ways.arms, rounds, strict=True):
            pressure, at = retort, dew
            if not arm.early:
                along = [each.along[each.cells == arm.mouth] for each in looked.landings]
                some = [np.max(each, axis=0) for each in along if len(each)]
                pressure = np.minimum(np.max(some, axis=0), retort) if some else np.zeros_like(retort)
                at = stream.saturation.dew(np.maximum(pressure, stream.saturation.faintest))
            latent = stream.saturation.latent_heat(at)
            found.append(Mouth(pressure, at, latent, looked.entering * latent * often))
        return found

    def rounds(self, mouths: Sequence[Mouth], temperature: Array, wet: NDArray[np.bool_]) -> Array:
        """How often what comes past can go through each arm, (arms, samples): what runs out of it boils off again
        where it is hot before it."""
        found = np.ones((len(mouths), len(wet)))
        for number, (arm, mouth) in enumerate(zip(self.ways.arms, mouths, strict=True)):
            if arm.returns and arm.early:
                found[number] = np.where(wet, _NO_END, 1.0)
            elif arm.returns:
                hotter = np.clip((temperature[arm.mouth] - mouth.dew) / _HOTTER, 0.0, 1.0)
                found[number] = 1.0 + (_ROUNDS - 1.0) * wet * hotter
        return found

    def hot(
        self, mouths: Sequence[Mouth], falls: Sequence[Array], dew: Array, wet: NDArray[np.bool_]
    ) -> HotVapour:
        """What warms walls to the dew point, where what condenses runs back and in the arms."""
        shape = (len(self.covered), len(dew))
        film, at = np.zeros(shape), np.empty(shape)
        at[:] = dew
        back = self.ways.back
        area = np.pi * self.bore[back] * self.mesh.width[back]
        film[self.place[back]] = self.stream.film * area[:, None] * wet
        retort = self.stream.saturation.pressure(dew)
        for arm, mouth, fall in zip(self.arms, mouths, falls, strict=True):
            film[self.place[arm.arm.cells]], at[self.place[arm.arm.cells]] = self.film(
                arm, mouth, fall, retort
            )
        return HotVapour("vapour", self.covered, film, at)

    @staticmethod
    def film(arm: ArmWall, mouth: Mouth, fall: Array, retort: Array) -> tuple[Array, Array]:
        """Conductance of the film in each cell of an arm [W/K] and the dew point there; `retort` [Pa] is before it."""
        cover, at = arm.filled(mouth, fall)
        share = np.maximum(mouth.pressure / retort - _FAINT, 0.0) / (1.0 - _FAINT)
        return arm.film * arm.area[:, None] * cover * share, at

    def most(self, looked: Looked) -> Array:
        """What the ways could take from the pressure over the charge [mol/s]."""
        most = np.min([landing.most for landing in looked.landings], axis=0)
        return np.asarray(np.minimum(most, self._choked()))

    def landing(self, looked: Looked, dew: Array) -> list[LandingHeat]:
        """The heat of what lands along the ways."""
        parts = np.bincount(looked.same) / len(looked.same)
        stream, latent = self.stream, self.stream.saturation.latent_heat(dew)
        return [
            LandingHeat.of(each, stream.supply, float(part), latent, dew, stream.temperature)
            for each, part in zip(looked.landings, parts, strict=True)
        ]

    def _choked(self) -> Array:
        """The most that the narrowest place of the ways passes from the pressure over the charge [mol/s]."""
        stream = self.stream
        areas = [
            np.min(np.pi / 4 * self.bore[way.cells] ** 2 / self.shared[way.cells]) for way in self.ways.ways
        ]
        return sonic_flow(stream.over_charge, stream.temperature, stream.gas, min(areas))

    def _sonic(self, entering: Array, condensed: Array) -> Array:
        """The least pressure that drives the stream, and what runs back, through every place of the ways [Pa]."""
        stream = self.stream
        least = np.zeros_like(entering)
        through = sonic_flow(stream.over_charge, stream.temperature, stream.gas, 1.0)
        for way in self.ways.ways:
            flow = entering * self.shared[way.cells][:, None] + self._beside(way, condensed)
            area = np.pi / 4 * self.bore[way.cells] ** 2
            least = np.maximum(least, stream.over_charge * np.max(flow / area[:, None], axis=0) / through)
        return least
