# SPDX-License-Identifier: MIT
"""The pressure of the product over the charge as it is spent and as its temperature moves: a table, quick to look up.

Over the share of what comes that has left, in equal steps, and over 1/T, in equal steps about the
temperature of the charge at the hottest set-point; between them the logarithm runs straight, beyond them
it goes on as it ends. Where nothing more of the metal comes the pressure is next to none.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array

__all__ = ["OverCharge", "over_charge"]

_SHARES = 24
_HOTTER, _COLDER, _PLACES = 100.0, 140.0, 4  # K about the top, temperatures between
_NONE = 1e-8  # Pa


@dataclass(frozen=True, slots=True)
class OverCharge:
    """ln of the pressure [Pa]: (shares, temperatures, samples)."""

    logarithm: Array
    hottest: Array  # 1/K of the first temperature, (samples,)
    step: Array  # 1/K, (samples,)
    top: Array  # K of the charge at the hottest set-point, (samples,)

    def at(self, gone: Array, temperature: Array, which: NDArray[np.intp]) -> Array:
        """ln of the pressure when a share of what comes has gone, at a temperature of the charge."""
        shares, places = self.logarithm.shape[:2]
        row = np.clip(gone * (shares - 1), 0.0, shares - 1.000001)
        upper = np.nan_to_num(row).astype(np.intp)
        weight = row - upper
        column = (1.0 / temperature - self.hottest[which]) / self.step[which]
        left = np.clip(np.nan_to_num(column), 0.0, places - 1.000001).astype(np.intp)
        far = column - left
        table = self.logarithm
        above = table[upper, left, which] * (1 - far) + table[upper, left + 1, which] * far
        below = table[upper + 1, left, which] * (1 - far) + table[upper + 1, left + 1, which] * far
        return np.asarray(above + weight * (below - above))


def over_charge(pressure: Callable[[Array, Array], Array], comes: Array, top: Array) -> OverCharge:
    """The table of a charge.

    `pressure` gives the product's pressure [Pa] at shares of the metal in the charge that have left and
    temperatures, both (..., samples); `comes` is the share that comes over in all, `top` the temperature [K] of the
    charge at the hottest set-point, both (samples,).
    """
    own = np.linspace(1.0 / (top + _HOTTER), 1.0 / (top - _COLDER), _PLACES)
    shares = np.linspace(0.0, 1.0, _SHARES)[:, None] * comes
    found = np.stack([pressure(shares, 1.0 / row) for row in own], axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        logarithm = np.log(np.where(found > _NONE, found, _NONE))
    fresh_unknown = ~np.isfinite(found[0])
    logarithm[0] = np.where(fresh_unknown, np.nan, logarithm[0])
    return OverCharge(logarithm, own[0], np.asarray(own[1] - own[0]), np.asarray(top))
