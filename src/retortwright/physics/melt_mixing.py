# SPDX-License-Identifier: MIT
"""A melt of several species with an excess Gibbs energy: the composition that suits given potentials.

The excess Gibbs energy of a mole of melt is the sum over pairs of x1 x2 (w + v (1 + x2 - x1) / 2),
which is x1 x2 (w + v x2) in a melt of the two alone [sangster-pelton-1987], eq. (2), and carries
each pair into a melt of many in the way that is even-handed between its species. All energies are
over R T.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.ground.matrices import solved
from retortwright.ground.ranges import Mask

__all__ = ["Mixing"]

_LEAST = -690.0  # logarithm of the smallest share that is told from nothing
_STRIDE = 1.5  # most that the logarithm of a share of weight changes in one turn
_HEAVY = 0.01  # share that has weight
_RISES_TO = -1.2  # most that the logarithm of a share without weight rises to in one turn
_HALVINGS, _DOWN = 4, 1e-12
_NEARLY, _FAR = 0.1, 1.0  # nearly even, and so far below zero that its h does not matter
_BESIDE = 0.02  # of other species beside a nearly pure one
_LOOKS = 8  # turns from there
_HIGHER = 1e-6
_PARTS_ABOVE = 1.9  # a regular melt of two parts above 2
_EVEN = 1e-12  # h of no species is farther from the mean where nothing is left to do


@dataclass(frozen=True, slots=True)
class Mixing:
    """Interactions of the species of one melt at each point, (points, species, species)."""

    even: Array  # symmetric: w + v / 2 of each pair
    odd: Array  # v / 2 of the pair (i, j), -v / 2 of (j, i)

    @classmethod
    def of_pairs(
        cls, species: int, pairs: Sequence[tuple[int, int]], constant: Array, slope: Array
    ) -> Mixing:
        """From w and v over R T of pairs of species, (points, pairs)."""
        even = np.zeros((len(constant), species, species))
        odd = np.zeros_like(even)
        for number, (one, other) in enumerate(pairs):
            even[:, one, other] = even[:, other, one] = constant[:, number] + slope[:, number] / 2
            odd[:, one, other], odd[:, other, one] = slope[:, number] / 2, -slope[:, number] / 2
        return cls(even, odd)

    def kept(self, which: Mask | NDArray[np.intp]) -> Mixing:
        """The same for some of the points."""
        return Mixing(self.even[which], self.odd[which])

    def log_activity(self, share: Array) -> Array:
        """Logarithm of the activity coefficient of each species."""
        second, third = self._energies(share)
        slopes = _times(self.even, share) + _times(self.odd, share**2) - 2 * share * _times(self.odd, share)
        return np.asarray(slopes - (second + 2 * third)[:, None])

    def _energies(self, share: Array) -> tuple[Array, Array]:
        """The parts of the excess Gibbs energy of second and of third order."""
        second = 0.5 * (share * _times(self.even, share)).sum(1)
        return second, (share * _times(self.odd, share**2)).sum(1)

    def bending(self, share: Array) -> Array:
        """Change of the logarithms of the activity coefficients with moles in one mole of melt."""
        second, third = self._energies(share)
        crossed = _times(self.odd, share)
        bent = self.even + 2 * self.odd * (share[:, None, :] - share[:, :, None])
        slope = _times(self.even, share) + 2 * (_times(self.odd, share**2) - 2 * share * crossed)
        bent = bent - slope[:, :, None] - slope[:, None, :] + (2 * second + 6 * third)[:, None, None]
        diagonal = np.arange(share.shape[1])
        bent[:, diagonal, diagonal] -= 2 * crossed
        return np.asarray(bent)

    def settled(self, levels: Array, logs: Array, turns: int) -> tuple[Array, Array, Array]:
        """Composition by some turns of Newton's method: its logarithms, h, and how uneven it still is.

        `levels` are what the potentials of the elements make of each species, less its own.
        """
        if turns:
            ideal = np.clip(levels - _log_sum(levels), _LEAST, 0.0)
            better = self._left(levels, ideal)[2] > self._left(levels, logs)[2]
            logs = np.where(better[:, None], ideal, logs)
        share, left, excess = self._left(levels, logs)
        uneven = _worst(share, left, excess)
        for _ in range(turns):
            rough = np.flatnonzero(~(uneven < _EVEN))
            if not len(rough):
                break
            some, level, old = self.kept(rough), levels[rough], excess[rough]
            turned = some._turned(share[rough], left[rough], logs[rough])
            found = some._left(level, turned)
            for _ in range(_HALVINGS):  # h is sought at its highest: back half way where it has come down
                down = ~(found[2] > old - _DOWN)
                if not down.any():
                    break
                half = (turned + logs[rough]) / 2
                turned = np.where(down[:, None], half - _log_sum(half), turned)
                found = some._left(level, turned)
            logs[rough] = turned
            share[rough], left[rough], excess[rough] = found
            uneven[rough] = _worst(share[rough], left[rough], excess[rough])
        return logs, excess, uneven

    def _turned(self, share: Array, left: Array, logs: Array) -> Array:
        """Logarithms of the shares after one turn: what there is much of changes little at a time."""
        bent = self.bending(share)
        change = np.sqrt(share) * solved(self._scaled(share, bent), np.sqrt(share) * left)
        step = left - _times(bent, change)
        heavy = share > _HEAVY
        reach = np.where(heavy, np.abs(step), 0.0).max(1, keepdims=True)
        step = step * np.minimum(1.0, _STRIDE / np.maximum(reach, 1e-9))
        most = np.where(heavy, np.inf, np.maximum(_RISES_TO - logs, 0.0))
        logs = logs + np.clip(step, -40.0, most)
        return np.asarray(np.clip(logs - _log_sum(logs), _LEAST, 0.0))

    def _scaled(self, share: Array, bent: Array) -> Array:
        """Bending of the whole Gibbs energy, each species by the root of its share."""
        root = np.sqrt(share)
        matrix = root[:, :, None] * bent * root[:, None, :]
        diagonal = np.arange(share.shape[1])
        matrix[:, diagonal, diagonal] += 1
        return np.asarray(matrix)

    def _left(self, levels: Array, logs: Array) -> tuple[Array, Array, Array]:
        """Shares, by how much each species is off the mean, and the mean, which is h."""
        share = np.exp(logs)
        off = levels - logs - self.log_activity(share)
        excess = (share * off).sum(1)
        return share, off - excess[:, None], excess

    def response(self, share: Array, atoms: Array) -> Array:
        """How the elements in a mole shift with the potentials, and the square of what it holds on top."""
        root = np.sqrt(share)
        matrix = self._scaled(share, self.bending(share))
        sides = root[:, :, None] * atoms
        return np.asarray(np.matmul(sides.transpose(0, 2, 1), solved(matrix, sides)))

    def rises_elsewhere(self, levels: Array, excess: Array) -> Mask:
        """Whether h is higher than `excess` at another composition than the one it was found at.

        Looked for from next to each pure species; not where interactions are too even for two melts.
        """
        rises = np.zeros(len(levels), dtype=bool)
        spread = np.maximum(self.even.max((1, 2)), 0) - np.minimum(self.even.min((1, 2)), 0)
        uneven = np.flatnonzero(spread + np.abs(self.odd).max((1, 2)) > _PARTS_ABOVE)
        some, level = self.kept(uneven), levels[uneven]
        for species in range(levels.shape[1]):
            logs = np.full(level.shape, np.log(_BESIDE / levels.shape[1]))
            logs[:, species] = np.log1p(-_BESIDE)
            logs = logs - _log_sum(logs)
            for _ in range(_LOOKS):
                share, left, _ = some._left(level, logs)
                logs = some._turned(share, left, logs)
            with np.errstate(invalid="ignore"):
                rises[uneven] |= some._left(level, logs)[2] > excess[uneven] + _HIGHER
        return rises

    def stays_one(self, share: Array) -> Mask:
        """Whether the melt of this composition does not part into two of its own accord."""
        matrix = self._scaled(share, self.bending(share))
        fine = np.asarray(np.isfinite(matrix).all((1, 2)))
        lowest = np.linalg.eigvalsh(np.where(fine[:, None, None], matrix, 0.0))[:, 0]
        return np.asarray(lowest > 0, dtype=bool)


def _worst(share: Array, left: Array, excess: Array) -> Array:
    """How uneven a melt is; a nearly even one that is far from being there counts as even."""
    worst = np.abs(np.where(share > 1e-200, left, 0.0)).max(1)
    return np.where((worst < _NEARLY) & (excess < -_FAR), 0.0, worst)


def _times(matrix: Array, vector: Array) -> Array:
    return np.asarray(np.matmul(matrix, vector[:, :, None])[:, :, 0])


def _log_sum(logs: Array) -> Array:
    top = logs.max(1, keepdims=True)
    return np.asarray(top + np.log(np.exp(logs - top).sum(1, keepdims=True)))
