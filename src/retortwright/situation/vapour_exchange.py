# SPDX-License-Identifier: MIT
"""What hot vapour gives to a wall from inside: where it condenses and runs back, and where it lands."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.situation.landing import Landing, Path
from retortwright.situation.vapour_net import Spread

__all__ = ["HotVapour", "LandingHeat", "StayedHeat"]

_SOFT = 0.5  # K, over which condensation sets in
_FAINT = 1e-4  # of the supply
_ALL = slice(None)
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
class _Felt:
    """What lands, and how it depends on temperatures: (cells, samples)."""

    spread: Spread
    film: Array  # to the walls on which something lands
    over: Array  # saturated potential
    rise: Array  # how it rises with the temperature [Pa/K]
    own: Array  # by how much the potential of a cell rises with what is put in there


def _felt_by(path: Path, spread: Spread, heights: Array, rise: Array) -> _Felt:
    film = np.where(spread.wet, path.net.film, 0.0)
    return _Felt(spread, film, np.maximum(heights - path.lost, 1e-30), rise, spread.own(path.net))


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
    last: list[tuple[Path, Array, _Felt]] = field(default_factory=list)  # the last found, for which walls

    @classmethod
    def of(
        cls, landing: Landing, supply: Array, weight: float, latent: Array, dew: Array, charge: Array
    ) -> LandingHeat:
        """That of a landing, which is known already for its walls."""
        felt = _felt_by(landing.path, landing.spread, landing.heights, landing.rise)
        last = [(landing.path, landing.walls, felt)]
        return cls("landing", landing.path, supply, weight, latent, dew, charge, last)

    @property
    def cells(self) -> NDArray[np.intp]:
        """The cells of the way on which something can land."""
        return self.path.cells

    def heat(self, temperature: Array) -> tuple[Array, Array]:
        """Heat leaving the wall: negative."""
        felt = self._felt(temperature)
        landed = felt.spread.flow.copy()
        landed[:-1] -= felt.spread.flow[1:]
        landed *= -self.weight * self.latent
        return landed, self.strength(temperature) * np.maximum(1.0 - felt.own * felt.film, 0.0)

    def _felt(self, temperature: Array) -> _Felt:
        for path, walls, felt in self.last:
            if path is self.path and np.array_equal(walls, temperature):
                return felt
        heights, rise = self.path.heights(temperature)
        spread = self.path.spread(heights)
        felt = _felt_by(self.path, spread, heights, rise)
        self.last[:] = [(self.path, temperature, felt)]
        return felt

    def strength(self, temperature: Array) -> Array:
        """Heat that a kelvin keeps from landing on each cell at a given potential [W/K], (cells, samples)."""
        felt = self._felt(temperature)
        return np.asarray(self.weight * self.latent * felt.film * felt.rise)

    def coupled(self, temperature: Array, some: NDArray[np.intp], least: float) -> Array:
        """How heat leaving some places of the way depends on the temperatures of others of them [W/K],
        (samples, places, places), where that is more than the least; what depends on their own is left out."""
        felt, strength = self._felt(temperature), self.strength(temperature)[some]
        strong = strength > least
        far = np.cumsum(np.log(felt.spread.handed), axis=0)[some].T
        number = np.arange(len(some))
        between = np.exp(np.minimum(far[:, None, :] - far[:, :, None], 0.0)) * felt.own[some].T[:, :, None]
        between = np.triu(between, 1)
        between += between.transpose(0, 2, 1)
        between *= -(strong * felt.film[some]).T[:, :, None] * (strong * strength).T[:, None, :]
        between[:, number, number] = 0.0
        return np.asarray(between)

    def raises(self, temperature: Array, some: NDArray[np.intp], least: float) -> Array:
        """How the potential at the start rises with the temperatures of some places [Pa/K], (places, samples),
        where these matter by more than the least to what lands there [W/K]."""
        felt = self._felt(temperature)
        far = np.cumsum(np.log(felt.spread.handed[1:]), axis=0)
        far = np.exp(np.concatenate([np.zeros((1, far.shape[1])), far]))
        strong = self.strength(temperature) > least
        return np.asarray((strong * felt.spread.driven * felt.own[0] * far * felt.film * felt.rise)[some])

    def landing_step(
        self, temperature: Array, step: Array, farthest: float, some: NDArray[np.intp] | slice = _ALL
    ) -> Array:
        """A step of some places of the way that goes not too far where something lands: by how the potential of
        saturation would change with it."""
        felt = self._felt(temperature)
        rise = felt.rise[some]
        bends = np.maximum(rise / felt.over[some], 1e-9)
        up = np.where(step > 0.0, np.log1p(np.maximum(bends * step, 0.0)) / bends, step)
        return np.asarray(np.clip(np.where(rise > 0.0, up, step), -farthest, farthest))

    def bounded(self, temperature: Array, step: Array, farthest: float) -> Array:
        """A step of the walls that goes not too far: where something lands by how the potential would change with
        it, where nothing does not past the wall on which something would."""
        felt, path = self._felt(temperature), self.path
        bends = np.maximum(felt.rise / felt.over, 1e-9)
        landing = self.landing_step(temperature, step, farthest)
        line = felt.spread.potential - path.lost
        line += felt.spread.answer(path.net, np.where(felt.spread.wet, felt.rise * landing, 0.0))
        above = np.log(np.clip(line / felt.over, 1e-12, 1e12))
        level = temperature / (1.0 - above / (bends * temperature)) - temperature
        level = np.minimum(level, 0.0)
        level = np.where(np.abs(above) < 3.0, level, np.sign(above) * farthest)
        held = (felt.rise > 0.0) & (felt.spread.flow > _FAINT * self.supply)  # else next to nothing would land
        down = np.where(held, np.maximum(step, level - _BELOW), step)
        dry = np.clip(np.where(step > 0.0, step, down), -farthest, farthest)
        return np.where(felt.spread.wet & held, landing, dry)

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
