# SPDX-License-Identifier: MIT
"""Which phases two salts with a common anion form together at one temperature, and their potentials.

The Gibbs energy of the pair over composition is the lower envelope of the melt curve, the two
pure solids and the double salts. Every line that touches two of these is a candidate: the melt
alone, the melt beside one solid, two solids. Of the candidates that can make up the composition
asked, the one with the lowest Gibbs energy is the equilibrium. All of it at once for any number
of temperatures and samples. Nothing is said where a melt of the two would part into two layers, or
where a double salt, or the liquid of either salt, is not known.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from retortwright.ground.arrays import Array, Real
from retortwright.ground.ranges import Mask, quietly
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.physics.melts import first_potential, second_potential

__all__ = ["Line", "PairState", "SaltPair", "Solid"]

_STEPS = 46  # halvings of the interval of ln(x2 / x1)
_FAR = 30.0  # ln(x2 / x1) of all but pure melts
_BESIDE = 1e-9  # how far beyond a composition the lines are weighed: all of a solid's meet in it


@dataclass(frozen=True, slots=True)
class Solid:
    """A solid of the pair: moles of either salt in a formula of it, and its Gibbs energy [J/mol]."""

    name: str
    first: float
    second: float
    gibbs: Array

    @property
    def share(self) -> float:
        """Moles of the second salt over those of both."""
        return self.second / (self.first + self.second)


@dataclass(frozen=True, slots=True)
class PairState:
    """Potentials of both salts [J/mol], the share of the moles that is molten, and which line it is.

    The first three are nan where nothing is known.
    """

    first: Array
    second: Array
    molten: Array
    line: Array  # number of the line in `SaltPair.lines`, -1 for the melt alone or nothing known


@dataclass(frozen=True, slots=True)
class Line:
    """A line that touches two phases: where it does, and the potentials it stands for."""

    phases: tuple[str, str]
    low: Array  # share of the second salt in the phase that is poorer in it
    high: Array
    first: Array
    second: Array
    melt: int  # 0: the poorer phase is the melt; 1: the richer one; -1: neither


@dataclass(frozen=True, slots=True)
class SaltPair:
    """Two salts at given temperatures [K]: Gibbs energies of the pure liquids and the solids [J/mol]."""

    temperature: Array
    liquids: tuple[Array, Array] | None  # None: the pair does not melt
    interaction: tuple[Array, Array]  # w and v of the excess Gibbs energy x1 x2 (w + v x2)
    solids: tuple[Solid, ...]
    lines: tuple[Line, ...] = field(init=False)  # all that touch two phases; nan where there is none
    known: Mask = field(init=False)  # whether the melt is one phase and every double salt is known

    def __post_init__(self) -> None:
        """Draw the lines at all temperatures."""
        object.__setattr__(self, "lines", (*self._beside_melt(), *self._two_solids()))
        object.__setattr__(self, "known", self._is_known())

    def at(self, share: Real) -> PairState:
        """The equilibrium at a share of the second salt between 0 and 1, both excluded.

        At the composition of a double salt itself, where the potentials jump, those beyond it.
        """
        whole = np.asarray(share, dtype=float)
        beside = whole + _BESIDE * whole * (1 - whole)
        shape = np.broadcast_shapes(whole.shape, self.temperature.shape)
        first, second = (np.full(shape, np.nan) for _ in range(2))
        least, molten, line = np.full(shape, np.inf), np.ones(shape), np.full(shape, -1)
        if self.liquids is not None:
            first, second = (np.array(np.broadcast_to(each, shape)) for each in self._melt(whole))
            least = (1 - beside) * first + beside * second
        for number, each in enumerate(self.lines):
            energy = (1 - beside) * each.first + beside * each.second
            with np.errstate(invalid="ignore"):
                better = (beside >= each.low) & (beside <= each.high) & (energy < least)
            first, second = np.where(better, each.first, first), np.where(better, each.second, second)
            least, line = np.where(better, energy, least), np.where(better, number, line)
            molten = np.where(better, _molten(each, beside), molten)
        known = self.known & np.isfinite(first) & np.isfinite(second)
        first, second, molten = (np.where(known, each, np.nan) for each in (first, second, molten))
        return PairState(first, second, molten, np.where(known, line, -1))

    def _is_known(self) -> Mask:
        doubles = [np.isfinite(solid.gibbs) for solid in self.solids if 0 < solid.share < 1]
        mixes = np.asarray(True) if self.liquids is None else self._mixes()
        return np.asarray(np.all(np.broadcast_arrays(mixes, *doubles), axis=0), dtype=bool)

    def _two_solids(self) -> Iterator[Line]:
        ordered = sorted(self.solids, key=lambda solid: solid.share)
        pairs = ((one, other) for place, one in enumerate(ordered) for other in ordered[place + 1 :])
        for one, other in pairs:
            if one.share == other.share:
                continue
            determinant = one.first * other.second - one.second * other.first
            first = (one.gibbs * other.second - other.gibbs * one.second) / determinant
            second = (one.first * other.gibbs - other.first * one.gibbs) / determinant
            low, high = (np.full(np.shape(first), each.share) for each in (one, other))
            yield Line((one.name, other.name), low, high, first, second, -1)

    def _beside_melt(self) -> Iterator[Line]:
        if self.liquids is None:
            return
        for solid in self.solids:
            for side in (0, 1):
                if solid.share == side:
                    continue
                melt = self._liquidus(solid, side)
                first, second = self._melt(melt)
                own = np.full(np.shape(melt), solid.share)
                if side == 0:
                    yield Line(("melt", solid.name), melt, own, first, second, 0)
                else:
                    yield Line((solid.name, "melt"), own, melt, first, second, 1)

    def _melt(self, share: Array) -> tuple[Array, Array]:
        liquids = self.liquids or (np.array(np.nan), np.array(np.nan))
        return (
            np.asarray(first_potential(self.temperature, share, liquids[0], *self.interaction)),
            np.asarray(second_potential(self.temperature, share, liquids[1], *self.interaction)),
        )

    @quietly
    def _liquidus(self, solid: Solid, side: int) -> Array:
        """Share of the second salt in the melt beside a solid: poorer in it (0) or richer (1)."""
        middle = (
            np.log(solid.share / (1 - solid.share)) if 0 < solid.share < 1 else _FAR * (2 * side - 1) * -1
        )
        shape = np.broadcast_shapes(self.temperature.shape, np.shape(solid.gibbs))
        stable, other = np.full(shape, float(middle)), np.full(shape, _FAR * (2 * side - 1))
        exists = np.asarray(self._over(solid, stable) > 0, dtype=bool)
        for _ in range(_STEPS):
            half = (stable + other) / 2
            above = self._over(solid, half) > 0
            stable, other = np.where(above, half, stable), np.where(above, other, half)
        share = 1 / (1 + np.exp(-(stable + other) / 2))
        return np.where(exists, share, np.nan)

    def _over(self, solid: Solid, logit: Array) -> Array:
        """By how much the melt lies above a solid, per formula of the solid [J/mol]."""
        first, second = self._melt(1 / (1 + np.exp(-logit)))
        return np.asarray(solid.first * first + solid.second * second - solid.gibbs)

    def _mixes(self) -> Mask:
        """Whether the melt is one phase at every composition (its Gibbs energy bends upward everywhere)."""
        share = np.linspace(0.02, 0.98, 25).reshape(-1, *(1 for _ in self.temperature.shape))
        constant, slope = self.interaction
        bent = (
            GAS_CONSTANT * self.temperature / (share * (1 - share))
            - 2 * (constant - slope)
            - 6 * slope * share
        )
        return np.asarray(np.all(bent > 0, axis=0), dtype=bool)


def _molten(line: Line, share: Array) -> Array:
    """The share of all moles that is melt where a line holds."""
    if line.melt < 0:
        return np.zeros(np.shape(share))
    with np.errstate(invalid="ignore", divide="ignore"):
        richer = (share - line.low) / (line.high - line.low)
    return richer if line.melt == 1 else 1 - richer
