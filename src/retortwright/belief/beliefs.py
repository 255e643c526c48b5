# SPDX-License-Identifier: MIT
"""What is uncertain: one belief per table row or figure of the user's, by name.

Every piece that uses the same row shares the one belief: independent draws per piece would
average out. A belief's samples depend on its name, the number of samples and the seed, and
on nothing else, so that adding an input or trying a remedy leaves all other draws alone.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL, Band

__all__ = ["Belief", "Draws", "column", "quantile"]


@dataclass(frozen=True, slots=True)
class Belief:
    """One uncertain input: its band, where it comes from, and what it may never leave."""

    name: str
    band: Band
    unit: str
    basis: str  # measured, file, table, common practice, default
    address: str  # file:line, or the row
    source: str  # key of sources.toml, or empty for the user's own figures
    locator: str = ""
    seen: bool = True
    lowest: float = -np.inf
    highest: float = np.inf


@lru_cache(maxsize=4096)
def column(name: str, samples: int, seed: int) -> Array:
    """Stratified uniform draws between 0 and 1, one in each of `samples` equal strata."""
    digest = hashlib.sha256(f"{seed}:{name}".encode()).digest()
    generator = np.random.default_rng(int.from_bytes(digest[:16], "big"))
    drawn: Array = (generator.permutation(samples) + generator.random(samples)) / samples
    drawn.flags.writeable = False
    return drawn


def quantile(band: Band, share: Array) -> Array:
    """The values of a band at shares of its distribution.

    The band's ends are its 5 and 95 % points and its best the middle; between and a little
    beyond them the value runs straight in the share (in the logarithm for a wide band).
    """
    low, best, high = band.low, band.best, band.high
    if band.geometric:
        low, best, high = (float(np.log(end)) for end in (low, best, high))
    reach = 0.5 - TAIL
    below = best + (low - best) * (0.5 - share) / reach
    above = best + (high - best) * (share - 0.5) / reach
    value: Array = np.where(share < 0.5, below, above)
    return np.exp(value) if band.geometric else value


@dataclass(frozen=True, slots=True)
class Draws:
    """How beliefs become samples: number, seed, and widths changed for a what-if.

    `widths` multiplies the spread of single beliefs, `width` that of all; `pick` keeps only
    some of the samples, with unchanged values.
    """

    samples: int = 256
    seed: int = 1
    width: float = 1.0
    widths: Mapping[str, float] = field(default_factory=dict)
    pick: tuple[int, ...] | None = None

    @property
    def size(self) -> int:
        """How many samples are computed."""
        return self.samples if self.pick is None else len(self.pick)

    def shares(self, name: str) -> Array:
        """The draws of one belief, (size,)."""
        drawn = column(name, self.samples, self.seed)
        return drawn if self.pick is None else drawn[np.array(self.pick, dtype=np.intp)]

    def values(self, belief: Belief) -> Array:
        """The samples of one belief, (size,)."""
        return np.clip(
            quantile(self.band_of(belief), self.shares(belief.name)), belief.lowest, belief.highest
        )

    def band_of(self, belief: Belief) -> Band:
        """The band that is drawn from, after widening."""
        factor = self.width * self.widths.get(belief.name, 1.0)
        band = belief.band
        if factor == 1.0:
            return band
        if band.geometric:
            return Band(
                band.best * (band.low / band.best) ** factor,
                band.best,
                band.best * (band.high / band.best) ** factor,
            )
        low, high = (band.best + (end - band.best) * factor for end in (band.low, band.high))
        return Band(low, band.best, high)

    def narrowed(self, name: str, left: float) -> Draws:
        """A copy in which one belief keeps only a share of its spread."""
        return replace(self, widths={**self.widths, name: self.widths.get(name, 1.0) * left})

    def picked(self, indices: NDArray[np.intp]) -> Draws:
        """A copy that computes only some samples."""
        return replace(self, pick=tuple(int(index) for index in indices))
