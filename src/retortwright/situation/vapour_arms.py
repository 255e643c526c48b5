# SPDX-License-Identifier: MIT
"""How far vapour comes into an arm, and how hot it is there.

An arm takes the heat that its wall gives away. Where that is less than vapour can bring through
its mouth, all of it is held at the dew point, up to the gas pushed to its end. Else the pressure
falls on the way in: evenly, to nothing at the place from which on none is left. So it is where
what flows beyond each place goes at the speed of sound or is held back by friction, and the wall
takes much the same everywhere. The fall at which the arm takes what can come is found together
with the walls. The steeper the fall, the less an arm takes and the more can come, without any step,
so that there is one such fall.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.physics.choked import choked_mass_flux
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.situation.landing import VapourGas, viscous_passage
from retortwright.situation.vapour_ways import Arm

__all__ = ["ArmWall", "Mouth", "fall_of", "sonic_flow", "steepness_of"]

_MONATOMIC = 5 / 3
_LEFT = 0.05  # of the pressure at the mouth, at the place that is called the reach
_FAINTEST = 0.02  # of the pressure at the mouth, where its temperature is no longer followed


@dataclass(frozen=True, slots=True)
class Mouth:
    """Vapour before an arm: (samples,) all."""

    pressure: Array  # Pa
    dew: Array  # K
    latent: Array  # J/mol
    bounded: Array  # W that it can take at most for another reason than flow


def sonic_flow(pressure: Array, temperature: Array, gas: VapourGas, area: float) -> Array:
    """The most that a passage takes from gas at rest [mol/s]."""
    flux = np.asarray(choked_mass_flux(pressure, temperature, gas.molar_mass, _MONATOMIC))
    return flux * area / gas.molar_mass


def fall_of(steepness: Array, length: float) -> Array:
    """The fall of pressure [1/m] for ln(1 + fall * length): heat goes evenly with that."""
    return np.asarray(np.expm1(steepness) / length)


def steepness_of(fall: Array, length: float) -> Array:
    """The inverse."""
    return np.asarray(np.log1p(fall * length))


@dataclass(frozen=True, slots=True)
class ArmWall:
    """An arm as the vapour in it sees it; a fall of pressure is its share that goes in a metre [1/m]."""

    arm: Arm
    area: Array  # (cells,) m^2
    width: Array  # (cells,) m
    gas: VapourGas
    rest: Array  # (samples,) Pa of gas before the vapour comes
    film: Array  # (samples,) W/m^2/K

    def part(self, some: NDArray[np.intp]) -> ArmWall:
        """The same for some samples."""
        gas = VapourGas(self.gas.molar_mass, self.gas.diameter[some])
        return ArmWall(self.arm, self.area, self.width, gas, self.rest[some], self.film[some])

    def open_to(self, mouth: Mouth) -> Array:
        """How far in the gas at the end begins [m]."""
        plug = self.rest / np.maximum(mouth.pressure, 1e-30)
        return np.asarray(self.arm.length * (1.0 - np.clip(plug, 0.0, 1.0)))

    def filled(self, mouth: Mouth, fall: Array) -> tuple[Array, Array]:
        """How much of the film on a wall at the mouth there is in each cell, none in the gas at the end, and the
        temperature of vapour there [K]: of a cell that it fills in part, in the middle of that part."""
        width = self.width[:, None]
        begins = self.arm.outward[:, None] - width / 2
        ends = np.minimum(self.open_to(mouth), 1.0 / np.maximum(fall, 1e-9))
        inside = np.clip(ends - begins, 0.0, width)
        share = np.clip(1.0 - fall * (begins + inside / 2), 0.0, None)
        logarithm = np.log(np.maximum(share, _FAINTEST))
        temperature = 1.0 / (1.0 / mouth.dew - GAS_CONSTANT / mouth.latent * logarithm)
        return np.asarray(inside / width * share), np.asarray(temperature)

    def able(self, mouth: Mouth, fall: Array) -> Array:
        """Heat that vapour can bring when it falls off like that [W]."""
        sound = sonic_flow(mouth.pressure, mouth.dew, self.gas, np.pi / 4 * self.arm.entrance**2)
        far = np.minimum(self.arm.length, 1.0 / np.maximum(fall, 1e-9))
        friction = 2.0 * viscous_passage(self.arm.entrance, mouth.dew, self.gas, mouth.pressure) / far
        return np.asarray(np.minimum(np.minimum(sound, friction) * mouth.latent, mouth.bounded))

    def reach(self, mouth: Mouth, fall: Array) -> Array:
        """How far vapour comes [m]: to where a twentieth of the pressure is left, or to the gas."""
        return np.asarray(np.minimum(self.open_to(mouth), (1.0 - _LEFT) / np.maximum(fall, 1e-9)))
