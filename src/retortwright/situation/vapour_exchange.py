# SPDX-License-Identifier: MIT
"""What hot vapour gives to a wall from inside: where it condenses and runs back, and where it lands."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.situation.landing import Path

__all__ = ["Bridge", "HotVapour", "LandingHeat", "StayedHeat"]

_SOFT = 0.5  # K, over which condensation sets in
_FAINT = 1e-4  # of the supply
_BELOW = 0.02  # K, by which a step goes past the wall on which something would land


@dataclass(frozen=True, slots=True)
class HotVapour:
    """Vapour that is always there: it warms every colder wall to its dew point, and never cools one."""

    name: str
    cells: NDArray[np.intp]
    conductance: Array  # (cells, samples) W/K of the condensing film
    dew: Array  # (cells, samples) K

    def heat(self, temperature: Array) -> tuple[Array, Array]:
        """Heat leaving the wall: negative, none where the wall is hotter than the dew point."""
        colder = (self.dew - temperature) / _SOFT
        grown = np.exp(np.clip(colder, -60.0, 60.0))
        below = np.where(colder > 60.0, colder, np.log1p(grown)) * _SOFT
        return -self.conductance * below, self.conductance * (grown / (1.0 + grown))


@dataclass(frozen=True, slots=True)
class Bridge:
    """A link between two cells on which vapour lands, none on those between: (samples,) all."""

    near: NDArray[np.intp]
    far: NDArray[np.intp]
    near_heat: Array  # W/K that goes to the far cell for the temperature of the near one
    far_heat: Array  # W/K that stays away for that of the far one


@dataclass(frozen=True, slots=True)
class _Links:
    """How what lands on a cell depends on temperatures: (cells, samples)."""

    flow: Array  # mol/s up to each cell
    steep: Array  # W that the potential of a cell gives for each kelvin, per conductance
    before: Array  # conductance to the last cell before it on which something lands, or to the start
    after: Array  # and to the next one
    beside: Array  # to the one before it, where that is its neighbour
    apart: Array  # to the one before it, where others are between
    previous: NDArray[np.intp]  # which that is
    corner: NDArray[np.bool_]
    bends: Array  # by how much the saturated potential rises with temperature, over itself [1/K]
    own: Array  # saturated potential
    line: Array  # potential
    following: NDArray[np.intp]  # the next cell on which something lands
    starts: NDArray[np.bool_]  # whether there is none before
    weight: Array  # how far between these two


def _links_of(path: Path, flow: Array, steep: Array, supply: Array, heights: Array, rise: Array) -> _Links:
    """Where the potential bends it is that of saturation; between such cells it is a straight line."""
    corner = path.corners[1:]
    wet = (flow < supply) & (flow > 0.0)
    place = np.arange(len(flow) + 1)[:, None]
    last = np.maximum.accumulate(np.where(path.corners, place, 0), axis=0)[:-1]  # corner before each cell
    columns = np.arange(flow.shape[1])
    before = np.where(corner & wet, 1.0 / (path.resistance[1:] - path.resistance[last, columns]), 0.0)
    after = np.zeros_like(before)
    beyond = np.zeros(flow.shape[1])
    for cell in range(len(flow) - 1, -1, -1):
        after[cell] = beyond
        beyond = np.where(corner[cell], before[cell], beyond)
    after = np.where(corner, after, 0.0)
    beside = np.where(last == place[:-1], before, 0.0)
    beside[0] = 0.0
    apart = np.where((last < place[:-1]) & (last > 0), before, 0.0)
    beyond_wet = np.concatenate([wet[1:], np.zeros((1, wet.shape[1]), dtype=bool)])
    beyond_wet[:-1] |= flow[:-1] > flow[1:]  # the first on which something lands, all of it maybe
    beyond_wet[-1] = flow[-1] > 0.0
    own = np.maximum(heights[1:] - path.lost, 1e-30)
    drop = flow * np.diff(path.resistance, axis=0)
    line = np.concatenate([np.cumsum(drop[:0:-1], axis=0)[::-1], np.zeros((1, flow.shape[1]))])
    line += np.min(heights[1:] - line, axis=0)  # as high as it can be under saturation
    far = len(flow)
    ahead = np.minimum.accumulate(np.where(path.corners, place, far)[::-1], axis=0)[::-1][1:]
    whole = path.resistance[ahead, columns] - path.resistance[last, columns]
    weight = (path.resistance[1:] - path.resistance[last, columns]) / whole
    return _Links(
        flow, steep, before, after, beside, apart, np.maximum(last - 1, 0), corner & (wet | beyond_wet),
        rise / own, own, line - path.lost, ahead - 1, last == 0, weight,
    )  # fmt: skip


def _steered(path: Path, found: _Links, supply: Array) -> _Links:
    """The same as if something landed on every cell that vapour passes."""
    wet = (found.flow < supply) & (found.flow > 0.0)
    before = np.where(wet, 1.0 / np.diff(path.resistance, axis=0), 0.0)
    after = np.concatenate([before[1:], np.zeros((1, before.shape[1]))])
    beside = before.copy()
    beside[0] = 0.0
    return replace(found, before=before, after=after, beside=beside, apart=np.zeros_like(before), corner=wet)


@dataclass(frozen=True, slots=True)
class LandingHeat:
    """The heat of the vapour that lands along a way: it moves with the temperatures of the walls."""

    name: str
    path: Path
    supply: Array  # (samples,) mol/s
    weight: float  # the part of all the vapour that goes this way
    latent: Array  # (samples,) J/mol
    dew: Array  # (samples,) K
    charge: Array  # (samples,) K of the charge that gives so much
    steered: bool = False  # slopes as if something landed on all cells between: they never lead too far
    last: list[tuple[Path, Array, _Links]] = field(
        default_factory=list
    )  # the last flow found, for which walls

    @property
    def cells(self) -> NDArray[np.intp]:
        """The cells of the way on which something can land."""
        return self.path.cells

    def heat(self, temperature: Array) -> tuple[Array, Array]:
        """Heat leaving the wall: negative."""
        found = self._links(temperature)
        landed = found.flow.copy()
        landed[:-1] -= found.flow[1:]
        landed *= -self.weight * self.latent
        return landed, found.steep * (found.before + found.after)

    def _links(self, temperature: Array) -> _Links:
        for path, walls, found in self.last:
            if path is self.path and np.array_equal(walls, temperature):
                return found
        heights, rise = self.path.heights(temperature)
        flow = self.path.flow(heights, self.supply)
        found = _links_of(self.path, flow, self.weight * self.latent * rise, self.supply, heights, rise)
        if self.steered:
            found = _steered(self.path, found, self.supply)
        self.last[:] = [(self.path, temperature, found)]
        return found

    def couple(self, temperature: Array, parent: NDArray[np.intp], upward: Array, downward: Array) -> None:
        """Add what a cell feels of its neighbours on the way to the slopes of a balance."""
        found, cells = self._links(temperature), self.path.cells
        towards, back = -found.beside[1:] * found.steep[:-1], -found.beside[1:] * found.steep[1:]
        forward = parent[cells[1:]] == cells[:-1]
        upward[cells[1:][forward]] += towards[forward]
        downward[cells[1:][forward]] += back[forward]
        reverse = parent[cells[:-1]] == cells[1:]
        upward[cells[:-1][reverse]] += back[reverse]
        downward[cells[:-1][reverse]] += towards[reverse]

    def bounded(self, temperature: Array, step: Array, farthest: float) -> Array:
        """A step of the walls that goes not too far: where something lands by how the potential would change with
        it, where nothing does not past the wall on which something would."""
        found = self._links(temperature)
        bends = np.maximum(found.bends, 1e-9)
        up = np.where(step > 0.0, np.log1p(np.maximum(bends * step, 0.0)) / bends, step)
        corner = np.clip(np.where(found.bends > 0.0, up, step), -farthest, farthest)
        raised = found.own * bends * corner  # potential of those on which something lands
        columns = np.arange(temperature.shape[1])
        line = (1.0 - found.weight) * np.where(found.starts, 0.0, raised[found.previous, columns])
        line += found.weight * raised[found.following, columns]
        above = np.log(np.clip((found.line + line) / found.own, 1e-12, 1e12))
        level = temperature / (1.0 - above / (bends * temperature)) - temperature
        level = np.minimum(level, 0.0)
        level = np.where(np.abs(above) < 3.0, level, np.sign(above) * farthest)
        held = (found.bends > 0.0) & (
            found.flow > _FAINT * self.supply
        )  # else nothing would land on it either
        down = np.where(held, np.maximum(step, level - _BELOW), step)
        return np.where(found.corner, corner, np.clip(np.where(step > 0.0, step, down), -farthest, farthest))

    def bridges(self, temperature: Array, most: int) -> list[Bridge]:
        """The strongest links over cells on which nothing stays, (samples,) each."""
        found, cells = self._links(temperature), self.path.cells
        columns = np.arange(temperature.shape[1])
        strength = found.apart * found.steep[found.previous, columns]
        bridges = []
        for _ in range(min(most, len(cells))):
            far = np.argmax(strength, axis=0)
            near, link = found.previous[far, columns], found.apart[far, columns]
            if not np.any(strength[far, columns] > 0.0):
                break
            strength[far, columns] = 0.0
            near_heat, far_heat = link * found.steep[near, columns], link * found.steep[far, columns]
            bridges.append(Bridge(cells[near], cells[far], near_heat, far_heat))
        return bridges

    def stayed(self, temperature: Array) -> StayedHeat:
        """The same heat, staying where it lands at some temperatures of all cells."""
        heat, _ = self.heat(temperature[self.cells])
        return StayedHeat(self.name, self.cells, -heat, self.dew, self.charge)


@dataclass(frozen=True, slots=True)
class StayedHeat:
    """The heat of vapour that lands at fixed places."""

    name: str
    cells: NDArray[np.intp]
    power: Array  # (cells, samples) W
    dew: Array  # (samples,) K
    charge: Array  # (samples,) K of the charge that gives so much

    def heat(self, temperature: Array) -> tuple[Array, Array]:
        """Heat leaving the wall: negative."""
        return -self.power, np.zeros_like(temperature)

    def cooled(self, charge: Array) -> StayedHeat:
        """Of a charge that has cooled: less in proportion, none where it is no hotter than the dew point."""
        left = np.clip((charge - self.dew) / (self.charge - self.dew), 0.0, 1.0)
        return replace(self, power=self.power * left)
