# SPDX-License-Identifier: MIT
"""The product as vapour in the rig: its pressure, where it lands, how far it fills the arms, what it heats.

The stream that leaves the charge is the freed metal over the reaction time at its fastest, or what
the line can take from the pressure over the charge if that is less. It lands along the cooled way;
the heat of landing warms the wall there. On walls that rise from the charge, and in arms, what
condenses runs back and boils off again: these are held at the dew point as far as vapour comes.
Wall and vapour are solved in turns until they agree, every sample for itself.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retortwright.belief.beliefs import Belief
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing
from retortwright.rig.tree import Tree
from retortwright.situation.exchange import Exchange
from retortwright.situation.landing import Landing, VapourGas, landing_on
from retortwright.situation.mesh import Mesh
from retortwright.situation.saturation_table import Saturation
from retortwright.situation.vapour_arms import ArmFill, ArmWall, Mouth, sonic_flow
from retortwright.situation.vapour_exchange import HotVapour, LandingHeat
from retortwright.situation.vapour_ways import Arm, Way, Ways

__all__ = ["Start", "Stream", "Vapour", "VapourWork", "vapour_in"]

_TURNS, _FEW_TURNS = 40, 15  # the latter in a trial: what has not settled by then is as good as not settled
_CLOSE = 0.5  # K, between two turns
_NEXT_TO_NOTHING = 1e-3
_FAINT = 1e-3  # of the pressure in the retort: an arm with less before it gets no vapour
_HOTTER = 10.0  # K over the dew point, from which a wall boils off what runs onto it

_Solve = Callable[[Sequence[Exchange], Array, NDArray[np.bool_]], tuple[Array, NDArray[np.bool_]]]


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

    def part(self, columns: slice | list[int]) -> Stream:
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
class Start:
    """Where the turns begin: walls, and what is known of the vapour from a picture much like it."""

    temperature: Array  # (cells, samples)
    falls: Mapping[str, Array] | None = None  # of pressure in the arms


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
    turns: NDArray[np.intp]  # how often the walls were solved
    inputs: tuple[Belief, ...]
    cites: frozenset[str]
    missing: tuple[Missing, ...]


class VapourWork:
    """Turns of wall and vapour for one state."""

    def __init__(self, tree: Tree, mesh: Mesh, ways: Ways, stream: Stream, start: Start) -> None:
        self.mesh, self.ways, self.stream = mesh, ways, stream
        self.bore = np.array(
            [tree.instances[n].tube_at(x).bore for n, x in zip(mesh.instance, mesh.middle, strict=True)]
        )
        self.part = self._part()
        samples = len(stream.supply)
        self.wet = np.zeros(samples, dtype=bool)  # whether what condenses is liquid and runs back
        self.moved = np.full(samples, np.inf)
        self.active = np.ones(samples, dtype=bool)  # those that are not settled
        self.told = start.falls is not None
        self.hot: HotVapour | None = None
        self.latent = np.full(samples, np.nan)
        self.mouths: dict[str, Mouth] = {}
        self.bends = {way.receiver: np.zeros((len(way.cells) + 1, samples), dtype=bool) for way in ways.ways}
        self.again = {arm.name: np.zeros(samples, dtype=bool) for arm in ways.arms}
        self.covered = np.unique(np.concatenate([ways.back, *(arm.cells for arm in ways.arms)]))
        self.fills = {
            arm.name: ArmFill(self._wall(arm), (start.falls or {}).get(arm.name)) for arm in ways.arms
        }

    def _wall(self, arm: Arm) -> ArmWall:
        """An arm whose losses are not known yet."""
        stream, width = self.stream, self.mesh.width[arm.cells]
        loss = np.zeros((len(arm.cells), len(stream.supply)))
        area = np.pi * self.bore[arm.cells] * width
        return ArmWall(arm, area, width, stream.gas, stream.rest_gas, stream.room, stream.film, loss)

    def _part(self) -> Array:
        """The part of all the vapour that goes through each cell, where it is shared evenly."""
        count = np.zeros(len(self.mesh.start))
        for way in self.ways.ways:
            count[way.cells] += 1.0 / len(self.ways.ways)
        return count

    def guess_losses(self, around: Sequence[Exchange], temperature: Array) -> None:
        """What each cell of the arms would give away at the dew point, by what is around it."""
        dew = self.look(temperature).dew
        hot, leaving = temperature.copy(), np.zeros_like(temperature)
        for arm in self.ways.arms:
            hot[arm.cells] = np.fmax(
                temperature[arm.cells], np.broadcast_to(dew, temperature[arm.cells].shape)
            )
        for exchange in around:
            heat, _ = exchange.heat(hot[exchange.cells])
            leaving[exchange.cells] += heat
        for arm in self.ways.arms:
            fill = self.fills[arm.name]
            cold = temperature[arm.cells] < dew  # what conduction keeps hotter than that takes nothing
            fill.wall = replace(fill.wall, loss=np.where(cold, leaving[arm.cells], 0.0))

    def landings(self, temperature: Array, taken: Array) -> tuple[list[Landing], list[int]]:
        """Landings at some wall temperatures; ways that differ only beyond the last landing share one."""
        first = self._landing(self.ways.ways[0], temperature, taken)
        if self._ends_before_the_split(first):
            return [first], [0] * len(self.ways.ways)
        rest = [self._landing(way, temperature, taken) for way in self.ways.ways[1:]]
        return [first, *rest], list(range(len(self.ways.ways)))

    def _ends_before_the_split(self, landing: Landing) -> bool:
        """Whether next to nothing goes beyond the cells that all ways share."""
        split = np.flatnonzero(self.part[landing.cells] < 1.0 - 1e-9)
        if not len(split):
            return True
        beyond = landing.passing[split[0] - 1] if split[0] else landing.entering
        return bool(np.all(beyond < _NEXT_TO_NOTHING * landing.entering))

    def _landing(self, way: Way, temperature: Array, taken: Array) -> Landing:
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
            self._beside(way, taken),
            self.wet,
            self.bends[way.receiver],
        )

    def _beside(self, way: Way, taken: Array) -> Array:
        """What passes each cell of a way only to condense and run back [mol/s], from the heat of each cell."""
        passing = np.zeros((len(way.cells), taken.shape[1]))
        if self.hot is None or not way.crest:
            return passing
        own = taken[way.cells[: way.crest]] / self.latent
        place = {int(cell): number for number, cell in enumerate(way.cells[: way.crest])}
        for arm in self.ways.arms:
            if arm.mouth in place:
                own[place[arm.mouth]] += np.cumsum(taken[arm.cells] / self.latent, axis=0)[-1]
        passing[: way.crest] = np.cumsum(own[::-1], axis=0)[::-1]
        return passing

    def _taken(self, temperature: Array) -> Array:
        """Heat that each cell takes from vapour that runs back [W]."""
        taken = np.zeros_like(temperature)
        if self.hot is not None:
            leaving, _ = self.hot.heat(temperature[self.hot.cells])
            taken[self.hot.cells] = -leaving
        return taken

    def look(self, temperature: Array) -> Vapour:
        """The vapour at some wall temperatures, before anything is changed."""
        stream = self.stream
        taken = self._taken(temperature)
        landings, same = self.landings(temperature, taken)
        entering = np.min([landing.entering for landing in landings], axis=0)
        most = np.minimum(np.min([landing.most for landing in landings], axis=0), self._choked())
        pressure = np.max([landing.pressure for landing in landings], axis=0)
        pressure = np.minimum(np.maximum(pressure, self._sonic(entering, taken)), stream.over_charge)
        dew = stream.saturation.dew(pressure)
        self.latent = stream.saturation.latent_heat(dew)
        self.wet |= ~(dew < stream.melts)
        mouths = {
            arm.name: self._mouth(arm, landings, temperature, pressure, entering) for arm in self.ways.arms
        }
        for arm in self.ways.arms:
            if self.hot is not None:
                heat = np.cumsum(taken[arm.cells], axis=0)[-1]
                self.fills[arm.name].seen(heat, mouths[arm.name], np.isfinite(self.moved), self.active)
        self.mouths = mouths
        fills = self.fills
        return Vapour(
            stream, self.ways, tuple(landings), tuple(same), entering, most, pressure, dew, self.latent,
            {name: fill.reach(mouths[name]) for name, fill in fills.items()},
            {name: fill.fall for name, fill in fills.items()},
            {name: mouth.dew for name, mouth in mouths.items()},
            {name: fill.heat for name, fill in fills.items()},
            {name: fill.most for name, fill in fills.items()},
            np.zeros(len(dew), dtype=bool), np.zeros(len(dew), dtype=np.intp), (), frozenset(), (),
        )  # fmt: skip

    def _mouth(
        self, arm: Arm, landings: Sequence[Landing], temperature: Array, pressure: Array, entering: Array
    ) -> Mouth:
        """The vapour before an arm: that in the retort, or what is left of it along the way."""
        stream = self.stream
        if not arm.early:
            along = [landing.along[landing.cells == arm.mouth] for landing in landings]
            found = [np.max(each, axis=0) for each in along if len(each)]
            pressure = np.max(found, axis=0) if found else np.zeros_like(pressure)
        dew = stream.saturation.dew(np.maximum(pressure, stream.saturation.faintest))
        latent = stream.saturation.latent_heat(dew)
        again = self.again[arm.name]  # whether what runs out of it boils off again
        again |= self.wet & arm.returns & (arm.early | (temperature[arm.mouth] > dew + _HOTTER))
        return Mouth(pressure, dew, latent, np.where(again, np.inf, entering * latent))

    def settled(self, picture: Vapour) -> NDArray[np.bool_]:
        """The samples in which wall and vapour agree."""
        fits = np.all([fill.fits for fill in self.fills.values()] or [self.moved < np.inf], axis=0)
        return np.asarray((self.moved < _CLOSE) & fits & np.isfinite(picture.dew))

    def sought(self) -> None:
        """How the pressure falls off in the arms next; samples that are settled are left alone."""
        for name, fill in self.fills.items():
            unknown = self.hot is None and not self.told
            fill.sought(self.mouths[name], self.active & (np.isfinite(self.moved) | unknown))

    def gives(self, picture: Vapour) -> list[Exchange]:
        """What the vapour gives to the walls; samples that are settled keep the vapour that they settled with."""
        hot = self._hot_vapour(picture)
        if self.hot is not None:
            film = np.where(self.active, hot.conductance, self.hot.conductance)
            hot = replace(hot, conductance=film, dew=np.where(self.active, hot.dew, self.hot.dew))
        self.hot = hot
        parts = np.bincount(picture.same) / len(picture.same)
        landing = [
            LandingHeat(
                "landing",
                each.path,
                self.stream.supply,
                float(part),
                picture.latent,
                picture.dew,
                self.stream.temperature,
            )
            for each, part in zip(picture.landings, parts, strict=True)
        ]
        return [*landing, self.hot]

    def _choked(self) -> Array:
        """The most that the narrowest place of the ways passes from the pressure over the charge [mol/s]."""
        stream = self.stream
        areas = [
            np.min(np.pi / 4 * self.bore[way.cells] ** 2 / self.part[way.cells]) for way in self.ways.ways
        ]
        return sonic_flow(stream.over_charge, stream.temperature, stream.gas, min(areas))

    def _sonic(self, entering: Array, taken: Array) -> Array:
        """The least pressure that drives the stream, and what runs back, through every place of the ways [Pa]."""
        stream = self.stream
        least = np.zeros_like(entering)
        for way in self.ways.ways:
            flow = entering * self.part[way.cells][:, None] + self._beside(way, taken)
            area = np.pi / 4 * self.bore[way.cells] ** 2
            through = sonic_flow(stream.over_charge, stream.temperature, stream.gas, 1.0)
            least = np.maximum(least, stream.over_charge * np.max(flow / area[:, None], axis=0) / through)
        return least

    def _hot_vapour(self, picture: Vapour) -> HotVapour:
        shape = (len(self.mesh.start), len(picture.dew))
        cover, dew = np.zeros(shape), np.zeros(shape)
        cover[self.ways.back], dew[self.ways.back] = self.wet, picture.dew
        for arm in self.ways.arms:
            fill, mouth = self.fills[arm.name], self.mouths[arm.name]
            share = mouth.pressure / picture.pressure
            inside = fill.wall.cover(mouth, fill.fall) * np.where(share > _FAINT, share, 0.0)
            more = inside >= cover[arm.cells]
            cover[arm.cells] = np.where(more, inside, cover[arm.cells])
            dew[arm.cells] = np.where(more, fill.wall.temperature(mouth, fill.fall), dew[arm.cells])
        cells = self.covered
        area = np.pi * self.bore[cells] * self.mesh.width[cells]
        return HotVapour("vapour", cells, self.stream.film * area[:, None] * cover[cells], dew[cells])


def vapour_in(
    work: VapourWork, start: Array, solve: _Solve, rough: bool = False
) -> tuple[Vapour, list[Exchange], Array]:
    """Turns until wall and vapour agree: the picture, what it gives to the walls, the wall temperatures.

    `solve` gives the wall temperatures of some samples for some exchanges from a first guess, or a
    step towards them, and says which it is. What a sample does never depends on the others. Those
    that do not settle have no temperatures.
    """
    temperature = start.copy()
    turns = np.zeros(start.shape[1], dtype=np.intp)
    work.active = np.all(np.isfinite(start), axis=0)
    most = _FEW_TURNS if rough else _TURNS
    for turn in range(most + 1):
        picture = work.look(temperature)
        if turn:
            work.active = work.active & ~work.settled(picture)
        active = work.active
        if not np.any(active) or turn == most:
            break
        work.sought()
        new, rested = solve(work.gives(picture), temperature, active)
        moved = np.max(np.abs(new - temperature[:, active]), axis=0)
        work.moved[active] = np.where(rested, moved, np.inf)
        temperature[:, active] = new
        turns += active
    lost = active | ~np.all(np.isfinite(start), axis=0)
    exchanges = work.gives(picture)
    temperature[:, lost] = np.nan
    return replace(picture, settled=~lost, turns=turns), exchanges, temperature
