# SPDX-License-Identifier: MIT
"""Which uncertain input explains most of a band."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from retortwright.assess.finding import Driver
from retortwright.belief.beliefs import Belief, Draws
from retortwright.ground.arrays import Array

__all__ = ["driver_of", "shares_of"]


def shares_of(values: Array, beliefs: Sequence[Belief], draws: Draws) -> dict[str, float]:
    """The share of the spread of some samples that each belief explains, by linear regression.

    Shares are squared standardised coefficients over their sum: first-order effects only.
    """
    spread = [belief for belief in beliefs if np.ptp(draws.values(belief)) > 0]
    good = np.isfinite(values)
    if (
        not spread
        or np.count_nonzero(good) <= len(spread) + 2
        or np.ptp(values[good]) <= 1e-9 * np.max(np.abs(values[good]))
    ):
        return {}
    columns = np.array([draws.values(belief)[good] for belief in spread])
    scaled = (columns - columns.mean(axis=1, keepdims=True)) / columns.std(axis=1, keepdims=True)
    centred = values[good] - values[good].mean()
    weights, *_ = np.linalg.lstsq(scaled.T, centred, rcond=None)
    power = weights**2
    return {belief.name: float(part) for belief, part in zip(spread, power / power.sum(), strict=True)}


def driver_of(values: Array, beliefs: Sequence[Belief], draws: Draws) -> Driver | None:
    """The belief with the largest share; None where nothing spreads."""
    shares = shares_of(values, beliefs, draws)
    if not shares:
        return None
    name = max(shares, key=lambda key: shares[key])
    return Driver(name, shares[name])
