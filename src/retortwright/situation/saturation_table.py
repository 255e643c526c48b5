# SPDX-License-Identifier: MIT
"""The vapour pressure of the product over the samples, as a table that is quick both ways."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.saturation import pure_metal

__all__ = ["Saturation", "saturation_of"]

_COLDEST, _HOTTEST, _PLACES = 250.0, 2500.0, 320


@dataclass(frozen=True, slots=True, eq=False)
class Saturation:
    """ln of the saturated pressure [Pa] over equal steps of 1/T from that of the hottest: (places, samples)."""

    hottest: float  # K
    step: float  # 1/K
    logarithm: Array  # falling along the first axis

    def pressure(self, temperature: Array) -> Array:
        """At temperatures whose last axis is the samples [Pa]; the ends are carried on."""
        return np.asarray(np.exp(self._interpolated(1.0 / temperature)))

    def _interpolated(self, inverse: Array) -> Array:
        place = np.clip((inverse - 1.0 / self.hottest) / self.step, 0.0, len(self.logarithm) - 1.000001)
        low = np.nan_to_num(place).astype(np.intp)
        columns = np.broadcast_to(np.arange(self.logarithm.shape[1]), np.shape(inverse))
        share = place - low
        return np.asarray(
            (1 - share) * self.logarithm[low, columns] + share * self.logarithm[low + 1, columns]
        )

    def dew(self, pressure: Array) -> Array:
        """The temperature at which a pressure is saturated, (samples,) [K]; nan beyond the table."""
        wanted = np.log(pressure)
        under = self.logarithm < wanted  # false, then true along the first axis
        upper = np.argmax(under, axis=0)
        columns = np.arange(self.logarithm.shape[1])
        known = (upper > 0) & np.any(under, axis=0)
        upper = np.maximum(upper, 1)
        high, low = self.logarithm[upper - 1, columns], self.logarithm[upper, columns]
        share = (high - wanted) / (high - low)
        found = 1.0 / (1.0 / self.hottest + (upper - 1 + share) * self.step)
        return np.where(known, found, np.nan)

    @property
    def faintest(self) -> Array:
        """The least pressure of the table, (samples,) [Pa]."""
        return np.asarray(np.exp(self.logarithm[-2]))

    def latent_heat(self, temperature: Array) -> Array:
        """Heat that a mole of vapour gives when it condenses, by Clausius and Clapeyron [J/mol].

        Molecules of two atoms are not told apart: counted by atoms it is 1.5 % less for rubidium.
        """
        inverse = 1.0 / temperature
        falls = self._interpolated(inverse - self.step) - self._interpolated(inverse + self.step)
        return np.asarray(GAS_CONSTANT * falls / (2 * self.step))


def saturation_of(chemistry: Chemistry, metal: str) -> Saturation | None:
    """The table of a metal; None with what is missing."""
    pure = pure_metal(chemistry, metal)
    if pure is None or chemistry.ledger.missing:
        return None
    hottest = min(_HOTTEST, pure.reach[1])
    inverse = np.linspace(1 / hottest, 1 / _COLDEST, _PLACES)
    temperature = (1 / inverse)[:, None] + np.zeros(chemistry.ledger.draws.size)
    pressure = np.nan_to_num(pure.pressure(temperature))
    return Saturation(hottest, float(inverse[1] - inverse[0]), np.log(np.maximum(pressure, 1e-300)))
