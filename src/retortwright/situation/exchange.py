# SPDX-License-Identifier: MIT
"""The ways in which a stretch of wall gives heat to what is around it.

Each exchange belongs to some cells and answers, for their temperatures (cells, samples), the
heat leaving them [W] and its slope [W/K]. The slope only steers the solution; the heat is exact.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any, ClassVar, Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.physics.constants import STEFAN_BOLTZMANN
from retortwright.physics.wet import WATER_HEAT_CAPACITY, evaporative_flux, latent_heat_of_water
from retortwright.reference.datum import Curve

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

__all__ = [
    "Bath",
    "Coil",
    "Exchange",
    "FullPower",
    "Furnace",
    "Lagging",
    "OpenAir",
    "Tape",
    "WetWrap",
    "picked",
]

_Cells = NDArray[np.intp]
_Film = Callable[[Array, Array], Array]  # wall and room temperature -> W/m^2/K
_COLDEST_WET, _HOTTEST_WET = 273.7, 370.0  # K, for a wet cloth in air
_BOILING = 373.15  # K
_HOTTEST_WATER = 363.15  # K, that leaves a coil: above it vapour bubbles at the wall
_FREEZING = 273.15  # K
_ABOVE_A_COLD_BATH = 100.0  # K: beyond it the bath boils away in a film of its own gas
_PRESSURE = 101325.0


class Exchange(Protocol):
    """One way of giving heat away: a frozen dataclass with these."""

    __dataclass_fields__: ClassVar[dict[str, Any]]

    @property
    def name(self) -> str:
        """The key in the rig file, or room."""
        ...

    @property
    def cells(self) -> _Cells:
        """The cells it belongs to."""
        ...

    def heat(self, temperature: Array) -> tuple[Array, Array]:
        """Heat leaving the cells [W] and its slope [W/K]."""
        ...


@dataclass(frozen=True, slots=True)
class OpenAir:
    """Radiation to the room and convection to still or moving air."""

    name: str
    cells: _Cells
    area: Array  # (cells, samples or 1) m^2
    emissivity: Array  # (cells, samples or 1)
    room: Array  # (samples,) K
    film: _Film

    def heat(self, temperature: Array) -> tuple[Array, Array]:
        """Heat to the room."""
        film, steep = _sloped(self.film, temperature, self.room)
        above = temperature - self.room
        cube, radiated = temperature * temperature * temperature, STEFAN_BOLTZMANN * self.emissivity
        flux = radiated * (cube * temperature - self.room**4)
        flux += film * above
        steep *= above  # of a film that grows with a power between 0 and 1/2 of the difference
        np.clip(steep, 0.0, 0.5 * film, out=steep)
        steep += film
        steep += 4 * radiated * cube
        return self.area * flux, self.area * steep


def _sloped(film: _Film, wall: Array, room: Array) -> tuple[Array, Array]:
    """The coefficient of a film and its slope; of one that has no slope as that of free convection."""
    own = getattr(film, "sloped", None)
    if own is not None:
        found: tuple[Array, Array] = own(wall, room)
        return found
    value = film(wall, room)
    above = wall - room
    return value, 0.25 * value / np.where(above == 0, 1.0, above)


@dataclass(frozen=True, slots=True)
class Furnace:
    """Radiation and convection from the walls of a furnace chamber."""

    name: str
    cells: _Cells
    area: Array
    emissivity: Array  # effective, of wall and chamber together
    film: Array  # (samples,)
    chamber: Array  # (samples,) K

    def heat(self, temperature: Array) -> tuple[Array, Array]:
        """Heat to the chamber; negative when the chamber heats."""
        cube, radiated = temperature * temperature * temperature, STEFAN_BOLTZMANN * self.emissivity
        flux = self.film * (temperature - self.chamber) + radiated * (cube * temperature - self.chamber**4)
        return self.area * flux, self.area * (self.film + 4 * radiated * cube)


@dataclass(frozen=True, slots=True)
class Lagging:
    """A layer of insulation, then the room."""

    name: str
    cells: _Cells
    shape: Array  # (cells, 1): ln(outer/inner radius) / (2 pi width)
    outer_area: Array  # (cells, 1) m^2
    conductivity: Curve  # against the mean temperature, before the factor
    factor: Array
    surface: Array  # W/m^2/K
    room: Array

    def heat(self, temperature: Array) -> tuple[Array, Array]:
        """Heat through the layer."""
        conductivity = self.factor * self.conductivity.held((temperature + self.room) / 2)
        conductance = 1.0 / (self.shape / conductivity + 1.0 / (self.surface * self.outer_area))
        return conductance * (temperature - self.room), conductance

    def beyond(self, temperature: Array) -> tuple[NDArray[np.bool_], str] | None:
        """The samples in which the layer is colder or hotter than its conductivity is known, and why."""
        mean = (temperature + self.room) / 2
        out = np.logical_not(self.conductivity.covers(mean)) & np.isfinite(mean)
        if not np.any(out):
            return None
        low, high = self.conductivity.temperature[0], self.conductivity.temperature[-1]
        worst = mean[out][np.argmax(np.maximum(low - mean, mean - high)[out])]
        return np.any(out, axis=0), self.conductivity.missing_at(float(worst)).says


@dataclass(frozen=True, slots=True)
class Tape:
    """A heating tape on its own thermostat: it heats walls that are colder than its setting."""

    name: str
    cells: _Cells
    area: Array
    contact: Array
    holds: Array

    def heat(self, temperature: Array) -> tuple[Array, Array]:
        """Heat taken from the tape counts negative."""
        strength = self.area * self.contact
        colder = temperature < self.holds
        zero = np.zeros_like(temperature)
        return np.where(colder, strength * (temperature - self.holds), zero), np.where(colder, strength, zero)


@dataclass(frozen=True, slots=True)
class FullPower:
    """A heating without a thermostat."""

    name: str
    cells: _Cells
    power: Array  # (cells, 1) W

    def heat(self, temperature: Array) -> tuple[Array, Array]:
        """Heat taken from the heating counts negative."""
        return -self.power + 0 * temperature, 0 * temperature


@dataclass(frozen=True, slots=True)
class Bath:
    """A bath of fixed temperature."""

    name: str
    cells: _Cells
    area: Array
    contact: Array
    bath: float

    def heat(self, temperature: Array) -> tuple[Array, Array]:
        """Heat to the bath."""
        strength = self.area * self.contact
        return strength * (temperature - self.bath), strength + 0 * temperature

    def beyond(self, temperature: Array) -> tuple[NDArray[np.bool_], str] | None:
        """The samples in which the wall is too hot for the contact figure to hold, and why."""
        if self.bath > _BOILING:
            return None  # a bath of something else, given by its temperature alone
        water = self.bath >= _FREEZING
        most = _BOILING if water else self.bath + _ABOVE_A_COLD_BATH
        bad = np.any(temperature > most, axis=0)
        if not np.any(bad):
            return None
        kept = "boils" if water else f"boils away when the wall is {_ABOVE_A_COLD_BATH:.0f} K above it"
        return bad, (
            f"the contact of wall and bath is known up to {most:.0f} K, the wall under {self.name} reaches "
            f"{np.nanmax(temperature):.0f} K: the bath {kept}"
        )


@dataclass(frozen=True, slots=True)
class Coil:
    """Water in a coil: it warms on its way, by half the whole rise on average."""

    name: str
    cells: _Cells
    area: Array
    contact: Array
    flow: Array  # m^3/s
    inlet: Array

    def heat(self, temperature: Array) -> tuple[Array, Array]:
        """Heat to the water."""
        strength = self.area * self.contact + 0 * temperature
        water = self.inlet + self._rise(temperature) / 2.0
        return strength * (temperature - water), strength

    def beyond(self, temperature: Array) -> tuple[NDArray[np.bool_], str] | None:
        """The samples in which the water leaves too hot to stay water everywhere, and why."""
        outlet = self.inlet + self._rise(temperature)
        bad = outlet > _HOTTEST_WATER
        if not np.any(bad):
            return None
        return bad, (
            f"water in a coil is known to cool up to {_HOTTEST_WATER:.0f} K at its outlet, in {self.name} it reaches "
            f"{np.nanmax(outlet):.0f} K: it boils"
        )

    def _rise(self, temperature: Array) -> Array:
        """By how much the water warms from inlet to outlet [K]."""
        strength = self.area * self.contact + 0 * temperature
        taken = np.sum(strength * (temperature - self.inlet), axis=0)
        through = WATER_HEAT_CAPACITY * self.flow
        return np.asarray(taken / (1.0 + np.sum(strength, axis=0) / (2.0 * through)) / through)


@dataclass(frozen=True, slots=True)
class WetWrap:
    """A wet cloth: evaporation as far as the water that reaches it goes."""

    name: str
    cells: _Cells
    area: Array
    contact: Array  # share that is wet and touches
    room: Array
    humidity: Array
    feed: Array  # m^3/s of water
    film: _Film

    def heat(self, temperature: Array) -> tuple[Array, Array]:
        """Heat to air and vapour."""
        film = self.film(temperature, self.room)
        capped = np.clip(temperature, _COLDEST_WET, _HOTTEST_WET)
        flux, above = (self._evaporated(at, film) for at in (capped, capped - 0.5))
        slope = np.maximum((flux - above) / 0.5, 0.0)
        wet = np.maximum(self.contact * self.area * (flux + slope * (temperature - capped)), 0.0)
        whole = np.sum(wet, axis=0)
        most = self.feed * 1000.0 * latent_heat_of_water(self.room)
        share = np.where(whole > most, most / np.maximum(whole, 1e-30), 1.0)
        heat = share * wet + self.area * film * (temperature - self.room)
        return heat, share * self.contact * self.area * slope + self.area * film

    def beyond(self, temperature: Array) -> tuple[NDArray[np.bool_], str] | None:
        """The samples in which the law of evaporation does not hold, and why."""
        bad = np.any((temperature < _COLDEST_WET) | (temperature > _HOTTEST_WET), axis=0)
        if not np.any(bad):
            return None
        return bad, (
            f"evaporation from a wet cloth is known from {_COLDEST_WET:.0f} to {_HOTTEST_WET:.0f} K, the wall under "
            f"{self.name} reaches {np.nanmax(temperature):.0f} K: it boils or runs dry"
        )

    def _evaporated(self, temperature: Array, film: Array) -> Array:
        flux = evaporative_flux(temperature, self.room, self.humidity, film, _PRESSURE)
        return np.asarray(flux)


_Sampled = TypeVar("_Sampled", bound="DataclassInstance")


def picked(whole: _Sampled, keep: NDArray[np.bool_]) -> _Sampled:
    """A copy for some of the samples: every array whose last axis is the samples is cut."""
    changes: dict[str, Any] = {}
    for field in fields(whole):
        value = getattr(whole, field.name)
        if isinstance(value, Curve):
            continue
        if is_dataclass(value) and not isinstance(value, type):
            changes[field.name] = picked(value, keep)
        elif isinstance(value, np.ndarray) and field.name != "cells" and value.shape[-1] == keep.size:
            changes[field.name] = value[..., keep]
    return replace(whole, **changes)
