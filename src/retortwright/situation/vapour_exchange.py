# SPDX-License-Identifier: MIT
"""What hot vapour gives to a wall from inside: where it condenses and runs back, and where it lands."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.situation.landing import Path

__all__ = ["HotVapour", "LandingHeat", "StayedHeat"]

_SOFT = 0.5  # K, over which condensation sets in


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
class LandingHeat:
    """The heat of the vapour that lands along a way: it moves with the temperatures of the walls."""

    name: str
    path: Path
    supply: Array  # (samples,) mol/s
    weight: float  # the part of all the vapour that goes this way
    latent: Array  # (samples,) J/mol
    dew: Array  # (samples,) K
    charge: Array  # (samples,) K of the charge that gives so much
    last: list[tuple[Path, Array, Array, Array]] = field(
        default_factory=list
    )  # the last flow found, for which walls

    @property
    def cells(self) -> NDArray[np.intp]:
        """The cells of the way on which something can land."""
        return self.path.cells

    def heat(self, temperature: Array) -> tuple[Array, Array]:
        """Heat leaving the wall: negative."""
        flow, steep = self._flow(temperature)
        landed = flow.copy()
        landed[:-1] -= flow[1:]
        landed *= -self.weight * self.latent
        before, after = self._links(flow)
        return landed, steep * (before + after)

    def _flow(self, temperature: Array) -> tuple[Array, Array]:
        """Flow up to each cell [mol/s], and the heat that its potential gives for each kelvin."""
        for path, walls, flow, steep in self.last:
            if path is self.path and np.array_equal(walls, temperature):
                return flow, steep
        heights, rise = self.path.heights(temperature)
        flow, steep = self.path.flow(heights, self.supply), self.weight * self.latent * rise
        self.last[:] = [(self.path, temperature, flow, steep)]
        return flow, steep

    def _links(self, flow: Array) -> tuple[Array, Array]:
        """Conductance of each cell to the one before and after it, from where landing begins to its end.

        A cell between wet ones that is dry counts as wet: that steers to the same end, and never too far.
        """
        link = 1.0 / np.diff(self.path.resistance, axis=0)
        wet = (flow < self.supply) & (flow > 0.0)  # on the way to each cell
        before = np.where(wet, link, 0.0)
        return before, np.concatenate([before[1:], np.zeros((1, flow.shape[1]))])

    def couple(self, temperature: Array, parent: NDArray[np.intp], upward: Array, downward: Array) -> None:
        """Add what a cell feels of its neighbours on the way to the slopes of a balance."""
        flow, steep = self._flow(temperature)
        before, _ = self._links(flow)
        cells = self.path.cells
        towards, back = -before[1:] * steep[:-1], -before[1:] * steep[1:]
        forward = parent[cells[1:]] == cells[:-1]
        upward[cells[1:][forward]] += towards[forward]
        downward[cells[1:][forward]] += back[forward]
        reverse = parent[cells[:-1]] == cells[1:]
        upward[cells[:-1][reverse]] += back[reverse]
        downward[cells[:-1][reverse]] += towards[reverse]

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
