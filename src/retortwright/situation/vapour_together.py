# SPDX-License-Identifier: MIT
"""Walls and vapour on their way to each other, and what vapour does and gives at the walls as they are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.situation.exchange import Exchange
from retortwright.situation.vapour import Vapour, VapourWork
from retortwright.situation.vapour_arms import Mouth, fall_of

__all__ = ["DEW_STEP", "NEXT_TO_NOTHING", "STEEP_STEP", "Seen", "Together", "added", "finished", "hotter", "started"]

DEW_STEP, STEEP_STEP = (
    25.0,
    1.5,
)  # K and 1: the most at once of the dew point, of how steeply pressure falls off
NEXT_TO_NOTHING = 1e-3  # W
_AT_ONCE = 8  # steps, in which rounds through an arm follow at once
_LAGS = 0.3  # of the way, that rounds through an arm go in a step then
_LITTLE, _NEARLY = 0.03, 0.002  # of them, that they go at once even so, and what may be left of it


@dataclass(slots=True)
class Together:
    """Walls and vapour on their way: (..., samples)."""

    temperature: Array  # (cells, samples) K
    dew: Array  # K in the retort
    steep: Array  # (arms, samples) ln(1 + fall * length)
    rounds: Array  # (arms, samples) how often what comes past goes through each arm at most
    wet: NDArray[np.bool_]  # whether what condenses is liquid and runs back
    condensed: Array  # (covered cells, samples) mol/s that run back
    far: Array  # (1 + arms, samples) how far the dew point [K] and the steepness of each arm may go in a step
    last: Array  # (1 + arms, samples) how far they went
    known: NDArray[np.bool_]  # whether there is a start at all
    rested: NDArray[np.bool_]
    steps: NDArray[np.intp]

    def part(self, some: NDArray[np.intp] | slice | list[int]) -> Together:
        """That of some samples."""
        return Together(*(getattr(self, name)[..., some] for name in self.__slots__))

    def put(self, some: NDArray[np.intp], other: Together) -> None:
        """Take over what has become of some samples."""
        for name in self.__slots__:
            getattr(self, name)[..., some] = getattr(other, name)


def started(work: VapourWork, temperature: Array, like: Together | None = None) -> Together:
    """A start at some walls, (cells, samples), with vapour as in what is much like it; liquid runs back."""
    samples, count = temperature.shape[1], len(work.arms)
    known = np.all(np.isfinite(temperature), axis=0)
    filled = np.where(known, temperature, work.stream.room)
    wet = np.ones(samples, dtype=bool)
    condensed = np.zeros((len(work.covered), samples))
    dew = work.look(filled, wet, condensed).dew if like is None else like.dew
    alike = like is not None and like.steep.shape == (count, samples)
    steep = like.steep.copy() if like is not None and alike else np.zeros((count, samples))
    rounds = np.ones((count, samples))
    far = np.full((1 + count, samples), STEEP_STEP)
    far[0] = DEW_STEP
    return Together(
        filled, dew.copy(), steep, rounds, wet, condensed, far, np.zeros_like(far), known,
        np.zeros(samples, dtype=bool), np.zeros(samples, dtype=np.intp),
    )  # fmt: skip


def hotter(work: VapourWork, together: Together) -> Together:
    """Another start: every wall that vapour can reach as hot as it can make it."""
    walls, hot = together.temperature.copy(), work.stream.saturation.dew(work.stream.over_charge)
    reached = np.unique(np.concatenate([work.covered, *(way.cells for way in work.ways.ways)]))
    walls[reached] = np.fmax(walls[reached], hot)
    return started(work, walls)


def finished(work: VapourWork, together: Together) -> tuple[Vapour, list[Exchange]]:
    """The picture of what the steps came to, and what the vapour gives to the walls in it."""
    seen = Seen(work, together)
    looked, names = seen.looked, [arm.arm.name for arm in work.arms]
    stream, dew = work.stream, together.dew
    pressure = np.minimum(stream.saturation.pressure(dew), stream.over_charge)
    reaches = [
        arm.reach(mouth, fall) for arm, mouth, fall in zip(work.arms, seen.mouths, seen.falls, strict=True)
    ]
    vapour = Vapour(
        stream, work.ways, looked.landings, looked.same, looked.entering, work.most(looked), pressure, dew,
        stream.saturation.latent_heat(dew),
        dict(zip(names, reaches, strict=True)),
        dict(zip(names, seen.falls, strict=True)),
        {name: mouth.dew for name, mouth in zip(names, seen.mouths, strict=True)},
        dict(zip(names, seen.taken, strict=True)),
        dict(zip(names, seen.able, strict=True)),
        together.rested, together.steps, (), frozenset(), (),
    )  # fmt: skip
    return vapour, seen.exchanges


class Seen:
    """What vapour does at some walls and gives to them."""

    def __init__(self, work: VapourWork, now: Together) -> None:
        self.work, self.now = work, now
        self.looked = work.look(now.temperature, now.wet, now.condensed)
        mouths = work.mouths(self.looked, now.dew, now.rounds)
        rounds = work.rounds(mouths, now.temperature, now.wet)
        early = np.array([arm.arm.early for arm in work.arms], dtype=bool)[:, None] | (now.steps < _AT_ONCE)
        little = np.abs(rounds - now.rounds) < _LITTLE * now.rounds
        lags = np.where(early | little, 1.0, _LAGS)
        self.rounds = now.rounds + lags * (rounds - now.rounds)
        self.mouths = work.mouths(self.looked, now.dew, self.rounds)
        self.falls = [fall_of(steep, arm.arm.length) for steep, arm in zip(now.steep, work.arms, strict=True)]
        self.highest = work.stream.saturation.dew(work.stream.over_charge)
        self.hot = work.hot(self.mouths, self.falls, now.dew, now.wet)
        self.landings = work.landing(self.looked, now.dew)
        self.exchanges: list[Exchange] = [*self.landings, self.hot]
        leaving, self.slope = self.hot.heat(now.temperature[work.covered])
        self.heat = -leaving
        self.condensed = self.heat / work.stream.saturation.latent_heat(now.dew)
        self.places = [work.place[arm.arm.cells] for arm in work.arms]
        self.taken = np.array([added(self.heat[each]) for each in self.places]).reshape(now.steep.shape)
        self.able = self.able_at(self.mouths, self.falls)
        strays = (np.abs(rounds - self.rounds) > _NEARLY * self.rounds) & (self.taken > NEXT_TO_NOTHING)
        self.strays = np.any(strays, axis=0)
        self.off = np.log(np.maximum(self.taken, 1e-9) / np.maximum(self.able, 1e-9))

    def able_at(self, mouths: Sequence[Mouth], falls: Sequence[Array]) -> Array:
        able = [arm.able(mouth, fall) for arm, mouth, fall in zip(self.work.arms, mouths, falls, strict=True)]
        return np.array(able).reshape(len(able), len(self.now.dew))

    def fits(self, close: float) -> NDArray[np.bool_]:
        """Whether each arm takes what can come, or less with vapour up to its end, and pressures are known."""
        whole = (self.now.steep == 0.0) & (self.off <= close)
        few = np.abs(self.taken - self.able) < NEXT_TO_NOTHING
        fit = np.all(whole | (np.abs(self.off) < close) | few, axis=0)
        return np.asarray(fit & ~self.strays & (self.looked.moved < close))


def added(values: Array) -> Array:
    """The sum over the cells, added in order however many samples there are."""
    return np.asarray(np.cumsum(values, axis=0)[-1])
