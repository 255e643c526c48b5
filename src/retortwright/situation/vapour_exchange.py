# SPDX-License-Identifier: MIT
"""What hot vapour gives to a wall from inside: where it condenses and runs back, and where it lands."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array

__all__ = ["HotVapour", "LandingHeat"]

_SOFT = 2.0  # K, over which condensation sets in


@dataclass(frozen=True, slots=True)
class HotVapour:
    """Vapour that is always there: it warms every colder wall to its dew point, and never cools one."""

    name: str
    cells: NDArray[np.intp]
    conductance: Array  # (cells, samples) W/K of the condensing film
    dew: Array  # (samples,) K

    def heat(self, temperature: Array) -> tuple[Array, Array]:
        """Heat leaving the wall: negative, none where the wall is hotter than the dew point."""
        colder = np.clip((self.dew - temperature) / _SOFT, -60.0, None)
        share = 1.0 / (1.0 + np.exp(-np.minimum(colder, 60.0)))
        below = np.where(colder > 60.0, colder, np.log1p(np.exp(np.minimum(colder, 60.0)))) * _SOFT
        return -self.conductance * below, self.conductance * share


@dataclass(frozen=True, slots=True)
class LandingHeat:
    """The heat of the vapour that lands: known beforehand, whatever the wall's temperature."""

    name: str
    cells: NDArray[np.intp]
    power: Array  # (cells, samples) W

    def heat(self, temperature: Array) -> tuple[Array, Array]:
        """Heat leaving the wall: negative."""
        return -self.power, np.zeros_like(temperature)
