# SPDX-License-Identifier: MIT
"""The pressure of the product over the charge as it is spent and as its temperature moves: a table, quick to look up.

Over the share of what comes that has left, in equal steps, and over 1/T, in equal steps about the
temperature of the charge at the hottest set-point; between them the logarithm runs straight, beyond them
it goes on as it ends. Where nothing more of the metal comes the pressure is next to none. Over a charge that
is known by its course they begin at that temperature, and hotter than the course reaches there is none.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.situation.charge_course import REACH

__all__ = ["OverCharge", "over_charge", "over_course", "places_of"]

_SHARES = 20
_HOTTER, _COLDER, _PLACES = 100.0, 140.0, 4  # K about the top, temperatures between
_NONE = 1e-8  # Pa


@dataclass(frozen=True, slots=True)
class OverCharge:
    """ln of pressures [Pa] over (shares, temperatures, samples)."""

    logarithm: Array  # of the product over the charge
    at_top: Array  # the same at the hottest set-point, (shares, samples)
    pure: Array  # over the metal itself, (temperatures, samples)
    hottest: Array  # 1/K of the first temperature, (samples,)
    step: Array  # 1/K, (samples,)
    top: Array  # K of the charge at the hottest set-point, (samples,)
    hotter: float = np.inf  # K over the top up to which there is a pressure

    def at(self, gone: Array, temperature: Array, which: NDArray[np.intp]) -> tuple[Array, Array, Array]:
        """ln of the pressures when a share of what comes has gone, at a temperature of the charge: over the
        charge, over it at the hottest set-point, and over the metal itself."""
        shares, places, samples = self.logarithm.shape
        row = np.fmin(np.fmax(gone * (shares - 1), 0.0), shares - 1.000001)
        upper = row.astype(np.intp)
        weight = row - upper
        column = (1.0 / temperature - self.hottest[which]) / self.step[which]
        left = np.fmin(np.fmax(column, 0.0), places - 1.000001).astype(np.intp)
        far = column - left
        flat, place = self.logarithm.ravel(), (upper * places + left) * samples + which
        above, beside = flat.take(place), flat.take(place + samples)
        above += far * (beside - above)
        place += places * samples
        below, beside = flat.take(place), flat.take(place + samples)
        below += far * (beside - below)
        above += weight * (below - above)
        if self.hotter < np.inf:
            above = np.where(temperature > self.top[which] + self.hotter, np.nan, above)
        top, place = self.at_top.ravel(), upper * samples + which
        first = top.take(place)
        first += weight * (top.take(place + samples) - first)
        pure, place = self.pure.ravel(), left * samples + which
        own = pure.take(place)
        own += far * (pure.take(place + samples) - own)
        return above, first, own


def places_of(comes: Array, top: Array) -> tuple[Array, Array]:
    """Where a table wants its pressures: shares of the metal in the charge that have left, (shares, samples), and
    temperatures [K], (temperatures, samples).

    `comes` is the share that comes over in all, `top` the temperature of the charge at the hottest set-point.
    """
    shares = np.linspace(0.0, 1.0, _SHARES)[:, None] * comes
    return shares, 1.0 / np.linspace(1.0 / (top + _HOTTER), 1.0 / (top - _COLDER), _PLACES)


def over_charge(found: Array, pure: Array, top: Array) -> OverCharge:
    """The table of pressures [Pa] over the charge, (shares, temperatures, samples), and over the metal itself,
    (temperatures, samples), at those places."""
    inverse = 1.0 / places_of(np.ones(1), top)[1]
    with np.errstate(invalid="ignore"):
        logarithm = np.log(np.where(found > _NONE, found, _NONE))  # next to none where nothing more comes
    logarithm = _carried_on(logarithm, np.isfinite(found[0]))
    step = np.asarray(inverse[1] - inverse[0])
    column = (1.0 / top - inverse[0]) / step
    left = column.astype(np.intp)
    far, samples = column - left, np.arange(len(top))
    at_top = logarithm[:, left, samples] * (1 - far) + logarithm[:, left + 1, samples] * far
    return OverCharge(logarithm, at_top, np.log(pure), inverse[0], step, np.asarray(top))


def _carried_on(logarithm: Array, known: NDArray[np.bool_]) -> Array:
    """The table with the temperatures at which a fresh charge is not known filled as its neighbours go on, as
    beyond the table; nan where two neighbours are not known either."""
    filled = np.where(known, logarithm, np.nan)
    places = logarithm.shape[1]
    for place in range(2, places):  # colder
        on = 2 * filled[:, place - 1] - filled[:, place - 2]
        filled[:, place] = np.where(np.isfinite(filled[:, place]), filled[:, place], on)
    for place in range(places - 3, -1, -1):  # hotter
        on = 2 * filled[:, place + 1] - filled[:, place + 2]
        filled[:, place] = np.where(np.isfinite(filled[:, place]), filled[:, place], on)
    return filled
def over_course(logarithm: Array, pure: Array, temperatures: Array) -> OverCharge:
    """The table from ln of pressures [Pa] over the charge, (temperatures, shares, samples), from its hottest down.

    Nan is where nothing comes any more. `pure` are the pressures over the metal itself [Pa], (temperatures, samples):
    the charge stands at most at those, and colder no nearer to them than hot.
    """
    metal, none = np.log(pure), np.log(_NONE)
    rows = [np.fmax(np.minimum(logarithm[0], metal[0]), none)]
    for place in range(1, len(metal)):
        falls = metal[place] - metal[place - 1]
        rows.append(np.fmin(logarithm[place], rows[-1] + falls))
    table, inverse = np.stack(rows, axis=1), 1.0 / temperatures
    step = (inverse[-1] - inverse[0]) / (len(inverse) - 1)
    return OverCharge(table, rows[0], metal, inverse[0], step, temperatures[0], REACH)
