# SPDX-License-Identifier: MIT
"""Colours for temperatures: even steps for the eye from pale blue (cold) to dark red (hot).

The ramp is a smooth line through the CIE 1976 L*a*b* space, walked at an even pace. It only gets
darker towards hot, so that it survives a copier, and goes from blue over yellow to red, so that
it survives most colour-blind eyes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.rig.parts import Rig

__all__ = ["STEPS", "UNKNOWN", "TemperatureScale", "ramp", "scale_of", "scale_of_rig"]

STEPS = 96  # colours of the ramp
UNKNOWN = "url(#unknown)"
_KNOTS = np.array(  # L*, a*, b* from cold to hot
    [
        [89.0, -8.0, -15.0],
        [76.0, -4.0, 15.0],
        [67.0, 14.0, 50.0],
        [50.0, 44.0, 45.0],
        [33.0, 50.0, 34.0],
        [17.0, 30.0, 12.0],
    ]
)
_WHITE = np.array([0.95047, 1.0, 1.08883])  # D65
_TO_SCREEN = np.array(
    [
        [3.2404542, -1.5371385, -0.4985314],
        [-0.9692660, 1.8760108, 0.0415560],
        [0.0556434, -0.2040259, 1.0572252],
    ]
)
_ROOM = 293.15
_LEAST = 50.0  # K that the scale spans at least


@dataclass(frozen=True, slots=True)
class TemperatureScale:
    """A ramp between two temperatures [degC]."""

    low: float
    high: float

    def colour(self, temperature: float) -> str:
        """The colour of a temperature [K]; hatched where there is none."""
        if not math.isfinite(temperature):
            return UNKNOWN
        share = (temperature - 273.15 - self.low) / (self.high - self.low)
        return ramp()[round(min(max(share, 0.0), 1.0) * (STEPS - 1))]

    def ticks(self) -> list[float]:
        """Round temperatures along the scale [degC]."""
        step = next(each for each in (10, 20, 50, 100, 200, 500) if (self.high - self.low) / each <= 10)
        first = math.ceil(self.low / step - 1e-9) * step
        return [first + number * step for number in range(int((self.high - first) / step + 1e-9) + 1)]


_COLD = {"dry ice": 194.7, "liquid nitrogen": 77.4}  # K, to size the scale


def scale_of_rig(rig: Rig, temperatures: Array) -> TemperatureScale:
    """A scale that is the same for every state of a rig: it holds all set-points, baths and some temperatures [K]."""
    ends = [_ROOM, *(_COLD[cool.by] for cool in rig.cool if cool.by in _COLD)]
    ends += [target for state in rig.states if (target := rig.set_point(state.name)) is not None]
    ends += [heat.holds for heat in rig.heat if heat.holds is not None]
    return scale_of(np.concatenate([np.array(ends), np.ravel(temperatures)]))


def scale_of(temperatures: Array) -> TemperatureScale:
    """A scale with round ends that holds some temperatures [K]."""
    good = temperatures[np.isfinite(temperatures)] - 273.15
    if not len(good):
        return TemperatureScale(0.0, 100.0)
    low, high = float(good.min()), float(good.max())
    step = 10.0 if high - low < 100.0 else 50.0
    low = math.floor(low / step) * step
    return TemperatureScale(low, max(math.ceil(high / step) * step, low + _LEAST))


@cache
def ramp() -> tuple[str, ...]:
    """The colours from cold to hot."""
    fine = _smooth(np.linspace(0.0, len(_KNOTS) - 1.0, 2000))
    gone = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(fine, axis=0), axis=1))])
    even = np.linspace(0.0, gone[-1], STEPS)
    walked = np.stack([np.interp(even, gone, fine[:, axis]) for axis in range(3)], axis=1)
    return tuple("#" + "".join(f"{round(255 * part):02x}" for part in _screen(row)) for row in walked)


def _smooth(places: Array) -> Array:
    """A curve through the knots whose slope at each is that between its neighbours."""
    part = np.clip(places.astype(int), 0, len(_KNOTS) - 2)
    t = (places - part)[:, None]
    ends = np.concatenate([[2 * _KNOTS[0] - _KNOTS[1]], _KNOTS, [2 * _KNOTS[-1] - _KNOTS[-2]]])
    before, low, high, after = (ends[part + shift] for shift in range(4))
    first, last = (high - before) / 2, (after - low) / 2
    return np.asarray(
        low * (1 + 2 * t) * (1 - t) ** 2
        + first * t * (1 - t) ** 2
        + high * t * t * (3 - 2 * t)
        + last * t * t * (t - 1)
    )


def _screen(lab: Array) -> Array:
    """Red, green and blue of a colour in L*a*b*, each 0 to 1."""
    middle = (lab[0] + 16) / 116
    roots = np.array([middle + lab[1] / 500, middle, middle - lab[2] / 200])
    whole = np.where(roots > 6 / 29, roots**3, 3 * (6 / 29) ** 2 * (roots - 4 / 29)) * _WHITE
    light = np.clip(_TO_SCREEN @ whole, 0.0, 1.0)
    return np.asarray(np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055))
