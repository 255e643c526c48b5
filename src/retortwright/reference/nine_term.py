# SPDX-License-Identifier: MIT
"""Enthalpy, Gibbs energy and heat capacity of a species from the nine-term form of its heat capacity.

In each piece of the temperature range the heat capacity over R is a1/T^2 + a2/T + a3 + a4 T + a5 T^2
+ a6 T^3 + a7 T^4, and b1 and b2 carry the integration constants: the form in which the coefficients
are published [nasa-tp-2002-211556]. Enthalpies are formation based: zero is the elements in their
reference states at 298.15 K. They may be added and subtracted with one another, never with a
sensible heat. Outside the pieces there is no number.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array, Real
from retortwright.ground.ranges import quietly
from retortwright.physics.constants import GAS_CONSTANT

__all__ = ["NineTerm", "held_below"]


@dataclass(frozen=True, slots=True)
class NineTerm:
    """The pieces of one species: their ends [K], rising, and nine coefficients each."""

    low: Array
    high: Array
    coefficients: Array  # (pieces, 9): a1 to a7, b1, b2

    @quietly
    def heat_capacity(self, temperature: Real) -> Array:
        """At constant pressure [J/mol/K]; nan outside the pieces."""
        t, a = self._chosen(temperature)
        powers = a[0] / t**2 + a[1] / t + a[2] + t * (a[3] + t * (a[4] + t * (a[5] + t * a[6])))
        return np.asarray(GAS_CONSTANT * powers)

    @quietly
    def formation_based_enthalpy(self, temperature: Real) -> Array:
        """Over the elements at 298.15 K [J/mol]; nan outside the pieces."""
        t, a = self._chosen(temperature)
        return np.asarray(GAS_CONSTANT * t * _enthalpy_over_rt(t, a))

    @quietly
    def gibbs_energy(self, temperature: Real) -> Array:
        """Formation based enthalpy less T times the absolute entropy, a gas at 1 bar [J/mol]."""
        t, a = self._chosen(temperature)
        entropy = -a[0] / (2 * t**2) - a[1] / t + a[2] * np.log(t) + a[8]
        entropy = entropy + t * (a[3] + t * (a[4] / 2 + t * (a[5] / 3 + t * a[6] / 4)))
        return np.asarray(GAS_CONSTANT * t * (_enthalpy_over_rt(t, a) - entropy))

    def _chosen(self, temperature: Real) -> tuple[Array, Array]:
        """Temperatures and, along the first axis, the coefficients that hold at each of them."""
        t = np.asarray(temperature, dtype=float)
        piece = np.clip(np.searchsorted(self.high, t), 0, len(self.high) - 1)
        inside = (t >= self.low[piece]) & (t <= self.high[piece])
        return np.where(inside, t, np.nan), np.moveaxis(self.coefficients[piece], -1, 0)


def held_below(pieces: NineTerm, lowest: float) -> NineTerm:
    """The pieces with one more at the cold end, down to `lowest`, in which the heat capacity is held.

    Enthalpy and entropy join at the old end: the supercooled liquid as reference of a melt.
    """
    end = float(pieces.low[0])
    capacity = float(pieces.heat_capacity(end)) / GAS_CONSTANT
    enthalpy = float(pieces.formation_based_enthalpy(end)) / GAS_CONSTANT
    entropy = (enthalpy - float(pieces.gibbs_energy(end)) / GAS_CONSTANT) / end
    more = np.zeros(9)
    more[2], more[7], more[8] = capacity, enthalpy - capacity * end, entropy - capacity * np.log(end)
    return NineTerm(
        np.concatenate([[lowest], pieces.low]),
        np.concatenate([[end], pieces.high]),
        np.vstack([more, pieces.coefficients]),
    )


def _enthalpy_over_rt(t: Array, a: Array) -> Array:
    powers = a[2] + t * (a[3] / 2 + t * (a[4] / 3 + t * (a[5] / 4 + t * a[6] / 5)))
    return np.asarray(-a[0] / t**2 + a[1] * np.log(t) / t + powers + a[7] / t)
