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

__all__ = ["ArmFill", "ArmWall", "Mouth", "sonic_flow"]

_MONATOMIC = 5 / 3
_CLOSE = 0.01  # of the heat that can come
_NEXT_TO_NOTHING = 1e-3  # W
_GENTLEST, _STEEPEST = 1e-2, 1e3  # 1/m: vapour that comes a hundred metres, or a millimetre
_HALVINGS = 20
_FAR = 2.0  # off by more than that in the logarithm says no more than that it is far off
_SHEDS = 1.2  # power of the excess temperature with which a wall gives heat away, to guess with
_LEFT = 0.05  # of the pressure at the mouth, at the place that is called the reach


@dataclass(frozen=True, slots=True)
class Mouth:
    """Vapour before an arm: (samples,) all."""

    pressure: Array  # Pa
    dew: Array  # K
    latent: Array  # J/mol
    bounded: Array  # W that it can take at most for another reason than flow

    def part(self, some: NDArray[np.intp]) -> Mouth:
        """That of some samples."""
        return Mouth(self.pressure[some], self.dew[some], self.latent[some], self.bounded[some])


def sonic_flow(pressure: Array, temperature: Array, gas: VapourGas, area: float) -> Array:
    """The most that a passage takes from gas at rest [mol/s]."""
    flux = np.asarray(choked_mass_flux(pressure, temperature, gas.molar_mass, _MONATOMIC))
    return flux * area / gas.molar_mass


@dataclass(frozen=True, slots=True)
class ArmWall:
    """An arm as the vapour in it sees it; a fall of pressure is its share that goes in a metre [1/m]."""

    arm: Arm
    area: Array  # (cells,) m^2
    width: Array  # (cells,) m
    gas: VapourGas
    rest: Array  # (samples,) Pa of gas before the vapour comes
    room: Array  # (samples,) K
    film: Array  # (samples,) W/m^2/K
    loss: (
        Array  # (cells, samples) W that each cell gives away at the dew point, nothing where it is not known
    )

    def part(self, some: NDArray[np.intp]) -> ArmWall:
        """The same for some samples."""
        gas = VapourGas(self.gas.molar_mass, self.gas.diameter[some])
        cut = (self.rest[some], self.room[some], self.film[some], self.loss[:, some])
        return ArmWall(self.arm, self.area, self.width, gas, *cut)

    def share(self, fall: Array) -> Array:
        """Pressure in each cell over that at the mouth."""
        return np.asarray(np.clip(1.0 - fall * self.arm.outward[:, None], 0.0, None))

    def temperature(self, mouth: Mouth, fall: Array) -> Array:
        """Of vapour in each cell [K]."""
        logarithm = np.log(np.maximum(self.share(fall), 1e-9))
        return np.asarray(1.0 / (1.0 / mouth.dew - GAS_CONSTANT / mouth.latent * logarithm))

    def open_to(self, mouth: Mouth) -> Array:
        """How far in the gas at the end begins [m]."""
        plug = self.rest / np.maximum(mouth.pressure, 1e-30)
        return np.asarray(self.arm.length * (1.0 - np.clip(plug, 0.0, 1.0)))

    def cover(self, mouth: Mouth, fall: Array) -> Array:
        """How much of the film on a wall at the mouth there is in each cell: none in the gas at the end."""
        width = self.width[:, None]
        inside = (self.open_to(mouth) - (self.arm.outward[:, None] - width / 2)) / width
        return np.asarray(np.clip(inside, 0.0, 1.0) * self.share(fall))

    def able(self, mouth: Mouth, fall: Array) -> Array:
        """Heat that vapour can bring when it falls off like that [W]."""
        sound = sonic_flow(mouth.pressure, mouth.dew, self.gas, np.pi / 4 * self.arm.entrance**2)
        far = np.minimum(self.arm.length, 1.0 / np.maximum(fall, 1e-9))
        friction = 2.0 * viscous_passage(self.arm.entrance, mouth.dew, self.gas, mouth.pressure) / far
        return np.asarray(np.minimum(np.minimum(sound, friction) * mouth.latent, mouth.bounded))

    def guessed(self, mouth: Mouth, fall: Array) -> Array:
        """Logarithm of the heat that the wall would take over what can come, conduction left out."""
        excess = (self.temperature(mouth, fall) - self.room) / (mouth.dew - self.room)
        lost = np.maximum(self.loss, 0.0) * np.clip(excess, 0.0, None) ** _SHEDS
        film = self.film * self.area[:, None] * self.cover(mouth, fall) * (mouth.dew - self.room)
        each = film * lost / np.maximum(film + lost, 1e-12)
        taken = np.cumsum(each, axis=0)[-1]  # added in order, however many samples there are
        return np.asarray(np.log(np.maximum(taken, 1e-9) / np.maximum(self.able(mouth, fall), 1e-12)))


class ArmFill:
    """The vapour in one arm, sought from turn to turn; a sample that is settled is left alone."""

    def __init__(self, wall: ArmWall, fall: Array | None) -> None:
        samples = len(wall.rest)
        self.wall = wall
        self.fall = np.zeros(samples) if fall is None else fall.copy()
        self.off = np.full(samples, np.inf)  # logarithm of the heat that it takes over what can come
        self.heat, self.most = np.zeros(samples), np.full(samples, np.inf)
        self._gentle, self._steep = np.zeros(samples), np.full(samples, _STEEPEST)
        self._over, self._under = np.full(samples, np.nan), np.full(samples, np.nan)  # how far off at these
        self._much = np.zeros(samples, dtype=bool)

    def seen(self, heat: Array, mouth: Mouth, rested: NDArray[np.bool_], active: NDArray[np.bool_]) -> None:
        """What the wall has taken with the vapour as it is; it counts where the wall is at rest with it."""
        rested = rested & active
        self.heat = np.where(active, heat, self.heat)
        self.most = np.where(active, self.wall.able(mouth, self.fall), self.most)
        off = np.clip(np.log(np.maximum(heat, 1e-9) / np.maximum(self.most, 1e-12)), -_FAR, _FAR)
        self.off = np.where(rested, off, self.off)
        too_much, too_little = rested & (off > 0), rested & ~(off > 0)
        again = np.where(too_much & self._much | too_little & ~self._much, 0.5, 1.0)
        self._over = np.where(too_much, off, self._over * again)  # the end that stays put counts half
        self._under = np.where(too_little, off, self._under * again)
        self._gentle = np.where(too_much, self.fall, self._gentle)
        self._steep = np.where(too_little, self.fall, self._steep)
        self._much = np.where(rested, too_much, self._much)

    @property
    def fits(self) -> NDArray[np.bool_]:
        """Whether the arm takes what can come, or less with vapour up to its end."""
        whole = (self.fall == 0.0) & (self.off <= 0.0)
        return np.asarray((np.abs(self.off) < _CLOSE) | whole | (self.most < _NEXT_TO_NOTHING))

    def sought(self, mouth: Mouth, active: NDArray[np.bool_]) -> None:
        """The next fall: between two that are known, else where the guess, shifted to what was seen, fits."""
        some = np.flatnonzero(active & ~self.fits)
        if len(some):
            guess = self._guess(self.wall.part(some), mouth.part(some), self.off[some], self.fall[some])
            self.fall[some] = np.where(np.isfinite(self.off[some]), self._between(guess, some), guess)

    @staticmethod
    def _guess(wall: ArmWall, mouth: Mouth, off: Array, fall: Array) -> Array:
        known = np.isfinite(off)
        shift = np.where(known, np.where(known, off, 0.0) - wall.guessed(mouth, fall), 0.0)
        low, high = np.full(len(off), np.log(_GENTLEST)), np.full(len(off), np.log(_STEEPEST))
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            over = wall.guessed(mouth, np.exp(middle)) + shift > 0
            low, high = np.where(over, middle, low), np.where(over, high, middle)
        whole = wall.guessed(mouth, np.zeros(len(off))) + shift <= 0
        return np.where(whole, 0.0, np.exp((low + high) / 2))

    def _between(self, guess: Array, some: NDArray[np.intp]) -> Array:
        """A fall between one that took too much and one that took less."""
        gentle, steep = self._gentle[some], self._steep[some]
        stale = steep < 1.005 * gentle  # the mouth has changed since
        self._gentle[some], self._steep[some] = np.where(stale, [[0.0], [_STEEPEST]], [gentle, steep])
        self._over[some[stale]] = self._under[some[stale]] = np.nan
        low, high = (np.log(np.maximum(each[some], _GENTLEST)) for each in (self._gentle, self._steep))
        over, under = self._over[some], self._under[some]
        between = np.exp(low + (high - low) * over / (over - under))
        found = np.where(np.isfinite(between), between, guess)
        outside = (found < self._gentle[some]) | (found > self._steep[some])
        return np.where(outside, np.exp((low + high) / 2), found)

    def reach(self, mouth: Mouth) -> Array:
        """How far vapour comes [m]: to where a twentieth of the pressure is left, or to the gas."""
        return np.asarray(np.minimum(self.wall.open_to(mouth), (1.0 - _LEFT) / np.maximum(self.fall, 1e-9)))
