# SPDX-License-Identifier: MIT
"""Which uncertain input explains most of a band."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from retortwright.assess.finding import Driver
from retortwright.belief.beliefs import Belief, Draws
from retortwright.ground.arrays import Array

__all__ = ["driver_of", "shares_of"]


def shares_of(values: Array, beliefs: Sequence[Belief], draws: Draws) -> dict[str, float]:
    """The share of the spread of some samples that each belief explains, by linear regression.

    Shares are squared standardised coefficients over their sum: first-order effects only.
    """
    good = np.isfinite(values)
    widths = tuple(sorted(draws.widths.items()))
    names, inverse = _regression(
        tuple(beliefs), draws.samples, draws.seed, draws.width, widths, draws.pick, good.tobytes()
    )
    if not names or np.ptp(values[good]) <= 1e-9 * np.max(np.abs(values[good])):
        return {}
    power = (inverse @ (values[good] - values[good].mean())) ** 2
    return {name: float(part) for name, part in zip(names, power / power.sum(), strict=True)}


@lru_cache(maxsize=64)
def _regression(
    beliefs: tuple[Belief, ...],
    samples: int,
    seed: int,
    width: float,
    widths: tuple[tuple[str, float], ...],
    pick: tuple[int, ...] | None,
    good: bytes,
) -> tuple[tuple[str, ...], Array]:
    """The beliefs that spread, and what turns samples of an answer into standardised coefficients."""
    draws = Draws(samples, seed, width, dict(widths), pick)
    kept = np.frombuffer(good, dtype=bool)
    spread = [belief for belief in beliefs if np.ptp(draws.values(belief)) > 0]
    if not spread or np.count_nonzero(kept) <= len(spread) + 2:
        return (), np.zeros((0, 0))
    columns = np.array([draws.values(belief)[kept] for belief in spread])
    deviation = columns.std(axis=1, keepdims=True)
    scaled = (columns - columns.mean(axis=1, keepdims=True)) / np.where(deviation > 0, deviation, 1.0)
    return tuple(belief.name for belief in spread), np.linalg.pinv(scaled.T)


def driver_of(values: Array, beliefs: Sequence[Belief], draws: Draws) -> Driver | None:
    """The belief with the largest share; None where nothing spreads."""
    shares = shares_of(values, beliefs, draws)
    if not shares:
        return None
    name = max(shares, key=lambda key: shares[key])
    return Driver(name, shares[name])
