# SPDX-License-Identifier: MIT
"""A metal distilled once more: heads, heart and tails by Rayleigh's law, stage after stage.

Each impurity has one volatility: its own saturated pressure times an activity, over that of the product.
Metals that mix with the product are near ideal. Of the others nobody knows whether they lie dissolved or
beside it: their activity lies between their share and one. Salts lie beside it. Pot and vapour are well
mixed: of a metal that distils from the solid the tails come out cleaner and the heads dirtier than here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.physics.carry_over import simple_distillate
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.melting import mix_as_metals
from retortwright.situation.purity_walls import saturated
from retortwright.situation.takers import molar

__all__ = ["HEADS", "LASTS", "Stage", "best_cuts", "distilled", "volatility_of"]

HEADS = np.array([0.0, 0.02, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4])  # shares of the product thrown away first
LASTS = np.array([0.99, 0.97, 0.95, 0.9, 0.85, 0.8, 0.7, 0.6, 0.5])  # shares at which the heart ends


@dataclass(frozen=True, slots=True)
class Stage:
    """One distillation: where its heart begins and ends, what is in the heart, what is lost."""

    heads: float  # share of the product that comes before the heart
    last: float  # share that has come when the heart ends
    shares: Mapping[str, Array]  # mass over that of the product in the heart, (samples,)

    @property
    def kept(self) -> float:
        """The share of the product that is in the heart."""
        return self.last - self.heads


def volatility_of(ledger: Ledger, metal: str, formula: str, share: Array, temperature: Array) -> Array:
    """An impurity over the product in the vapour, over the same in the pot, (samples,).

    `share` is its mass over that of the product at the start. nan, with the reason, without data.
    """
    chemistry = Chemistry(ledger)
    own, product = (saturated(chemistry, name, temperature) for name in (formula, metal))
    moles = np.clip(share * molar(ledger, metal) / molar(ledger, formula), 1e-12, 1.0)
    if mix_as_metals(ledger.tables, metal, formula):
        activity = ledger.default("alkali.activity", 1e-3, 1e3)
    elif len(elements_of(formula)) > 1:
        activity = 1.0 / moles
    else:
        activity = moles ** -ledger.default("impurity.apart", 0.0, 1.0)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(activity * own / product)


def distilled(
    shares: Mapping[str, Array], volatility: Mapping[str, Array], cuts: tuple[tuple[float, float], ...]
) -> tuple[Stage, ...]:
    """Stage after stage: what is in each heart, from the shares at the start and where each is cut."""
    found = []
    for heads, last in cuts:
        shares = {
            name: np.asarray(share * simple_distillate(heads, last, volatility[name]))
            for name, share in shares.items()
        }
        found.append(Stage(heads, last, shares))
    return tuple(found)


def best_cuts(
    shares: Mapping[str, Array], volatility: Mapping[str, Array], limits: Mapping[str, Array]
) -> tuple[Array, Array, Array]:
    """The largest heart that is clean enough, and where it begins and ends, (samples,); none where no heart is.

    Limits go by the name of what they hold for, each with its own.
    """
    size = max((len(each) for each in shares.values()), default=1)
    kept, begins, ends = np.zeros(size), np.zeros(size), np.zeros(size)
    for heads in HEADS:
        for last in LASTS:
            clean = np.ones(size, dtype=bool)
            for name, share in shares.items():
                clean &= share * simple_distillate(heads, last, volatility[name]) <= limits[name]
            better = clean & (last - heads > kept)
            kept = np.where(better, last - heads, kept)
            begins, ends = np.where(better, heads, begins), np.where(better, last, ends)
    return kept, begins, ends
