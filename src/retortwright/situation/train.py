# SPDX-License-Identifier: MIT
"""The train of passages from the retort to the pump: its conductances, and the pressures along it.

Each passage resists as a long tube at its own pressure and temperature, and once more where
the bore narrows. Beside the exchange of whole trains the sum is within 10 % where the gas is
molecular, and exact for one tube out of a wide vessel. All gas flows as air.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.physics.clausing import tube_transmission
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.physics.gas import most_probable_speed, rarefaction
from retortwright.physics.pumping import effective_speed
from retortwright.physics.transition import poiseuille_coefficient
from retortwright.physics.tubeflow import orifice_conductance
from retortwright.physics.viscosity import lennard_jones_viscosity

__all__ = ["Gas", "Tube", "passage_conductance_at", "pressures_along", "speed_behind", "tubes_of"]

_TURNS = 5


@dataclass(frozen=True, slots=True)
class Gas:
    """A gas: molar mass [kg/mol], diameter of a collision [m], depth of its well [K]."""

    molar_mass: float
    diameter: Array
    well: float

    def viscosity(self, temperature: Array) -> Array:
        """Viscosity [Pa s]."""
        found = lennard_jones_viscosity(temperature, self.molar_mass, self.diameter, self.well)
        return np.asarray(found)


@dataclass(frozen=True, slots=True)
class Tube:
    """A passage: its resistances but for the pressure, so that they are computed once."""

    temperature: Array  # K
    bore: Array  # conductance of the long tube over its flow coefficient [m^3/s]
    thinness: Array  # rarefaction over pressure [1/Pa]
    ends: Array  # resistance of the entrance where the gas is molecular [s/m^3]


def tubes_of(
    radii: Sequence[float], lengths: Sequence[float], temperatures: Sequence[Array], gas: Gas
) -> list[Tube]:
    """The tubes of a train that begins in a wide vessel: radius [m], length [m], temperature [K]."""
    tubes = []
    before = np.inf
    for radius, length, temperature in zip(radii, lengths, temperatures, strict=True):
        slender = max(length / radius, 1e-4)
        speed = most_probable_speed(temperature, gas.molar_mass)
        narrows = max(1.0 - (radius / before) ** 2, 0.0)
        entrance = narrows * _end_resistance(round(slender, 9))
        hole = orifice_conductance(np.pi * radius**2, temperature, gas.molar_mass)
        tubes.append(
            Tube(
                temperature,
                np.asarray(np.pi * radius**2 * speed / (2 * slender)),
                np.asarray(rarefaction(radius, 1.0, gas.viscosity(temperature), temperature, gas.molar_mass)),
                np.asarray(entrance / hole),
            )
        )
        before = radius
    return tubes


@lru_cache(maxsize=4096)
def _end_resistance(slender: float) -> float:
    """What the ends of a tube resist where the gas is molecular, over a hole of its bore."""
    return float(1 / tube_transmission(slender) - 3 * slender / 8)


@cache
def _coefficients() -> tuple[Array, Array]:
    """Logarithm of the rarefaction and flow coefficient, close enough for straight lines between."""
    thin = np.linspace(np.log(1e-6), np.log(1e8), 1400)
    return thin, np.log(np.asarray(poiseuille_coefficient(np.exp(thin), 1.0)))


def passage_conductance_at(tube: Tube, pressure: Array | float) -> Array:
    """Conductance of one passage at a mean pressure [m^3/s]."""
    thin = tube.thinness * pressure
    logarithms, coefficients = _coefficients()
    flowing = np.exp(np.interp(np.log(np.maximum(thin, 1e-12)), logarithms, coefficients))
    return np.asarray(1 / (1 / (tube.bore * flowing) + tube.ends / (1 + thin)))


def pressures_along(
    tubes: Sequence[Tube], flows: Sequence[Array], last: Array
) -> tuple[list[Array], list[Array]]:
    """Pressure before each tube and behind the last one [Pa], and the conductances, by the molar flows."""
    found = [last]
    conductances: list[Array] = []
    for tube, flow in zip(reversed(tubes), reversed(flows), strict=True):
        throughput = flow * GAS_CONSTANT * tube.temperature
        behind = found[-1]
        before = behind
        conductance = passage_conductance_at(tube, behind)
        for _ in range(_TURNS):
            before = behind + throughput / conductance
            conductance = passage_conductance_at(tube, (before + behind) / 2)
        found.append(before)
        conductances.append(conductance)
    return found[::-1], conductances[::-1]


def speed_behind(tubes: Sequence[Tube], pressure: float, pump: Array) -> Array:
    """Speed of a pump at the near end of a train, at a pressure there [m^3/s]."""
    inlet = np.full_like(pump, pressure)
    total = pump
    for _ in range(_TURNS if tubes else 0):
        resistance = np.zeros_like(pump)
        drop = (pressure - inlet) / len(tubes)
        for number, tube in enumerate(tubes):
            middle = pressure - drop * (number + 0.5)
            resistance = resistance + 1 / passage_conductance_at(tube, middle)
        total = np.asarray(effective_speed(pump, 1 / resistance))
        inlet = pressure * total / pump
    return total
