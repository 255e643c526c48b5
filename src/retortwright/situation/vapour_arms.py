# SPDX-License-Identifier: MIT
"""How far vapour comes into an arm, and how hot it is there.

An arm takes the heat that its wall gives away. Where that is less than vapour can bring through
its mouth, all of it is held at the dew point, up to the gas pushed to its end. Else the pressure
falls on the way in: evenly, to nothing at the place from which on none is left. So it is where
what flows beyond each place goes at the speed of sound or is held back by friction, and the wall
takes much the same everywhere. The fall is sought at which the arm takes what can come.
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

__all__ = ["ArmFill", "Mouth", "sonic_flow"]

_MONATOMIC = 5 / 3
_CLOSE = 0.01  # of the heat that can come
_NEXT_TO_NOTHING = 1e-3  # W
_STEEPEST = 1e3  # 1/m: vapour that comes a millimetre
_GENTLEST = 1e-2
_HALVINGS = 26
_SHEDS = 1.2  # power of the excess temperature with which a wall gives heat away, to guess with
_LEFT = 0.05  # of the pressure at the mouth, at the place that is called the reach


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


class ArmFill:
    """The vapour in one arm, sought from turn to turn; a sample that is settled is left alone."""

    def __init__(self, arm: Arm, bore: Array, width: Array, gas: VapourGas, rest: Array, room: Array) -> None:
        self.arm, self.gas, self.rest, self.room = arm, gas, rest, room
        self.area = np.pi * bore * width  # m^2 of each cell
        self.width = width
        samples = len(rest)
        self.fall = np.zeros(samples)  # 1/m
        self.gentle, self.steep = np.zeros(samples), np.full(samples, _STEEPEST)
        self.over, self.under = np.full(samples, np.nan), np.full(samples, np.nan)  # off at either
        self.much = np.zeros(samples, dtype=bool)
        self.most = np.full(samples, np.inf)
        self.heat = np.zeros(samples)
        self.off = np.full(samples, np.inf)  # logarithm of what it takes over what can come
        self.loss: Array | None = None  # W that each cell gives away at the dew point

    def share(self, fall: Array) -> Array:
        """Pressure in each cell over that at the mouth."""
        return np.asarray(np.clip(1.0 - fall * self.arm.outward[:, None], 0.0, None))

    def temperature(self, mouth: Mouth, fall: Array) -> Array:
        """Of vapour in each cell [K]."""
        logarithm = np.log(np.maximum(self.share(fall), 1e-9))
        return np.asarray(1.0 / (1.0 / mouth.dew - GAS_CONSTANT / mouth.latent * logarithm))

    def cover(self, mouth: Mouth, fall: Array) -> Array:
        """How much of the film on a wall at the mouth there is in each cell: none in the gas at the end."""
        with np.errstate(divide="ignore", invalid="ignore"):
            plug = np.clip(np.nan_to_num(self.rest / mouth.pressure, nan=1.0, posinf=1.0), 0.0, 1.0)
        open_to = self.arm.length * (1.0 - plug)
        width = self.width[:, None]
        inside = np.clip((open_to - (self.arm.outward[:, None] - width / 2)) / width, 0.0, 1.0)
        return np.asarray(inside * self.share(fall))

    def able(self, mouth: Mouth, fall: Array) -> Array:
        """Heat that vapour can bring when it falls off like that [W]."""
        sound = sonic_flow(mouth.pressure, mouth.dew, self.gas, np.pi / 4 * self.arm.entrance**2)
        far = np.minimum(self.arm.length, 1.0 / np.maximum(fall, 1e-9))
        friction = 2.0 * viscous_passage(self.arm.entrance, mouth.dew, self.gas, mouth.pressure) / far
        return np.asarray(np.minimum(np.minimum(sound, friction) * mouth.latent, mouth.bounded))

    def guessed(self, mouth: Mouth, fall: Array) -> Array:
        """Logarithm of the heat that the wall would take over what can come, conduction left out."""
        if self.loss is None:
            return np.full(len(fall), -np.inf)
        excess = (self.temperature(mouth, fall) - self.room) / (mouth.dew - self.room)
        covered = np.minimum(self.cover(mouth, fall) * 1e3, 1.0)
        each = np.maximum(self.loss, 0.0) * np.clip(excess, 0.0, None) ** _SHEDS * covered
        taken = np.cumsum(each, axis=0)[-1]  # added in order, however many samples there are
        with np.errstate(divide="ignore"):
            return np.asarray(np.log(np.maximum(taken, 1e-9) / np.maximum(self.able(mouth, fall), 1e-12)))

    def seen(self, heat: Array, mouth: Mouth) -> None:
        """What the wall has taken with the vapour as it is."""
        self.heat, self.most = heat, self.able(mouth, self.fall)
        self.off = np.log(np.maximum(heat, 1e-9) / np.maximum(self.most, 1e-12))
        too_much = self.off > 0
        again = np.where(too_much == self.much, 0.5, 1.0)  # the end that stays put counts half
        self.over = np.where(too_much, self.off, self.over * again)
        self.under = np.where(too_much, self.under * again, self.off)
        self.gentle = np.where(too_much, self.fall, self.gentle)
        self.steep = np.where(too_much, self.steep, self.fall)
        self.much = too_much

    @property
    def fits(self) -> NDArray[np.bool_]:
        """Whether the arm takes what can come, or less with vapour up to its end."""
        whole = (self.fall == 0.0) & (self.off <= 0.0)
        return np.asarray((np.abs(self.off) < _CLOSE) | whole | (self.most < _NEXT_TO_NOTHING))

    def sought(self, mouth: Mouth, active: NDArray[np.bool_]) -> None:
        """The next fall: where the guess, shifted to what was seen, says that it fits."""
        known = np.isfinite(self.off)
        with np.errstate(invalid="ignore"):
            shift = np.where(known, self.off - self.guessed(mouth, self.fall), 0.0)
        shift = np.nan_to_num(shift, nan=0.0, posinf=0.0, neginf=0.0)
        low, high = np.full(len(shift), np.log(_GENTLEST)), np.full(len(shift), np.log(_STEEPEST))
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            over = self.guessed(mouth, np.exp(middle)) + shift > 0
            low, high = np.where(over, middle, low), np.where(over, high, middle)
        whole = self.guessed(mouth, np.zeros(len(shift))) + shift <= 0
        wanted = np.where(whole, 0.0, np.exp((low + high) / 2))
        wanted = np.where(known, self._between(wanted), wanted)
        self.fall = np.where(active & ~self.fits, wanted, self.fall)

    def _between(self, wanted: Array) -> Array:
        """A fall between one that took too much and one that took less."""
        stale = self.steep < 1.0001 * self.gentle  # the mouth has changed since
        self.over, self.under = (np.where(stale, np.nan, each) for each in (self.over, self.under))
        self.gentle = np.where(stale, 0.0, self.gentle)
        self.steep = np.where(stale, _STEEPEST, self.steep)
        low, high = (np.log(np.maximum(each, _GENTLEST)) for each in (self.gentle, self.steep))
        between = np.exp(low + (high - low) * self.over / (self.over - self.under))
        wanted = np.where(np.isfinite(between), between, wanted)
        outside = (wanted < self.gentle) | (wanted > self.steep)
        return np.where(outside, np.exp((low + high) / 2), wanted)

    def reach(self, mouth: Mouth) -> Array:
        """How far vapour comes [m]: to where a twentieth of the pressure is left, or to the gas."""
        with np.errstate(divide="ignore", invalid="ignore"):
            plug = np.clip(np.nan_to_num(self.rest / mouth.pressure, nan=1.0, posinf=1.0), 0.0, 1.0)
        return np.asarray(
            np.minimum(self.arm.length * (1.0 - plug), (1.0 - _LEFT) / np.maximum(self.fall, 1e-9))
        )
