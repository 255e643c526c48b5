# SPDX-License-Identifier: MIT
"""Straight flights between rings of diffuse surface about one axis.

A ring is a narrow band of a surface of revolution: of tube wall, of the flat face of a step, of an
open end. What two rings exchange is known in closed form up to the turn about the axis over which
they see each other, and that turn is cut by three things: the way each ring faces, the gates (round
openings between pieces) that lie between them, and a core on the axis. Exchange areas are
symmetric, so that whatever is built from them keeps reciprocity.

A gate is a row (height, radius). Lengths are in any one unit; nothing here knows metres.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array

__all__ = ["Panels", "Rings"]

_SAME = 1e-12


@dataclass(frozen=True, slots=True)
class Panels:
    """How a line is cut into panels: width at its ends, growth from there, largest width."""

    first: float
    growth: float
    largest: float

    def edges(self, length: float) -> Array:
        """Edges of panels that grow from both ends of a line towards its middle."""
        half, step = [0.0], min(self.first, length / 2)
        while half[-1] < length / 2 * (1 - 1e-9):
            half.append(half[-1] + step)
            step = min(step * self.growth, self.largest)
        edges = np.array(half) * (length / 2 / half[-1])
        return np.concatenate([edges, length - edges[-2::-1]])

    def half_edges(self, length: float) -> Array:
        """Edges of panels that grow from the start of a line to its end."""
        edges = self.edges(2 * length)
        return edges[: len(edges) // 2 + 1]


@dataclass(frozen=True, slots=True)
class Rings:
    """Rings by radius, height on the axis, normal into the gas (outward, upward), and width."""

    radius: Array
    height: Array
    outward: Array
    upward: Array
    width: Array

    @classmethod
    def along(cls, start: tuple[float, float], end: tuple[float, float], edges: Array, order: int) -> Rings:
        """Rings at the Gauss places of panels on a straight line from one (radius, height) to another.

        The gas lies to the left of the way from start to end, the axis being drawn upward.
        """
        nodes, weights = np.polynomial.legendre.leggauss(order)
        along, up = end[0] - start[0], end[1] - start[1]
        length = float(np.hypot(along, up))
        half = np.diff(edges)[:, None] / 2
        place = (edges[:-1, None] + half * (1 + nodes)).ravel() / length
        return cls(
            radius=start[0] + along * place,
            height=start[1] + up * place,
            outward=np.full_like(place, -up / length),
            upward=np.full_like(place, along / length),
            width=(half * weights).ravel(),
        )

    @property
    def area(self) -> Array:
        """Surface of each ring."""
        return 2 * np.pi * self.radius * self.width

    def and_those(self, others: Rings) -> Rings:
        """These rings followed by others."""
        names = ("radius", "height", "outward", "upward", "width")
        return Rings(*(np.concatenate([getattr(self, name), getattr(others, name)]) for name in names))

    def exchange(self, other: Rings, gates: Array, core: float) -> Array:
        """Exchange area of each of these rings with each of those; zero of a ring with itself."""
        r, s = self.radius[:, None], other.radius[None, :]
        rise = other.height[None, :] - self.height[:, None]
        closest, farthest = (r - s) ** 2 + rise**2, (r + s) ** 2 + rise**2
        apart = closest > _SAME**2 * farthest
        closest = np.where(apart, closest, farthest)
        facing = _facing(self, other, rise)
        least, most = _seen_turn(facing, _gated(self, other, rise, gates), _core_turn(r, s, core))
        upper = _integrals(most, r, s, closest, farthest)
        lower = _integrals(least, r, s, closest, farthest)
        middle, swing = (closest + farthest) / 2, 2 * r * s
        (a, b), (c, d) = facing
        a, c = a + b * middle / swing, c + d * middle / swing
        b, d = -b / swing, -d / swing
        parts = (b * d, a * d + b * c, a * c)
        total = sum(part * (high - low) for part, high, low in zip(parts, upper, lower, strict=True))
        areas = 4 * r * s * self.width[:, None] * other.width[None, :] * total
        return np.where(apart & (most > least), areas, 0.0)

    def exchange_with_disc(self, radius: float, height: float, upward: float) -> Array:
        """Exchange area with a full disc across the axis that each ring faces or does not see at all."""
        way = (self.height - height) * upward
        sum_squares = way**2 + self.radius**2 + radius**2
        root = np.sqrt(((self.radius - radius) ** 2 + way**2) * ((self.radius + radius) ** 2 + way**2))
        along = 0.5 * (1 - (sum_squares - 2 * radius**2) / root)
        across = way / (2 * self.radius) * (sum_squares / root - 1)
        return np.asarray(self.area * (-self.outward * across - self.upward * upward * along))


def _facing(one: Rings, other: Rings, rise: Array) -> tuple[tuple[Array, Array], tuple[Array, Array]]:
    """Cosines at either ring times the distance, as a + b cos(turn)."""
    r, s = one.radius[:, None], other.radius[None, :]
    out, up = one.outward[:, None], one.upward[:, None]
    other_out, other_up = other.outward[None, :], other.upward[None, :]
    return (-out * r + up * rise, out * s), (-other_out * s - other_up * rise, other_out * r)


def _gated(one: Rings, other: Rings, rise: Array, gates: Array) -> Array:
    """Largest cosine of the turn at which a flight passes all gates between two rings."""
    most = np.ones_like(rise)
    r, s = one.radius[:, None], other.radius[None, :]
    for height, radius in gates:
        with np.errstate(divide="ignore", invalid="ignore"):
            share = (height - one.height[:, None]) / rise
            rest = 1 - share
            cosine = (radius**2 - (rest * r) ** 2 - (share * s) ** 2) / (2 * share * rest * r * s)
        between = (share > _SAME) & (share < 1 - _SAME)
        most = np.where(between, np.minimum(most, cosine), most)
    return most


def _core_turn(r: Array, s: Array, core: float) -> Array:
    """Smallest cosine of the turn at which a flight misses the core."""
    if core <= 0:
        return np.full(np.broadcast_shapes(r.shape, s.shape), -1.0)
    return np.asarray(np.cos(np.arccos(np.minimum(core / r, 1)) + np.arccos(np.minimum(core / s, 1))))


def _seen_turn(
    facing: tuple[tuple[Array, Array], tuple[Array, Array]], highest: Array, lowest: Array
) -> tuple[Array, Array]:
    """Turns between which two rings see each other; the second is not the larger if they do not."""
    for level, swing in facing:
        with np.errstate(divide="ignore", invalid="ignore"):
            limit = -level / swing
        highest = np.where(swing < 0, np.minimum(highest, limit), highest)
        lowest = np.where(swing > 0, np.maximum(lowest, limit), lowest)
        highest = np.where((swing == 0) & (level <= 0), -1.0, highest)
    return np.arccos(np.clip(highest, -1, 1)), np.arccos(np.clip(lowest, -1, 1))


def _integrals(
    turn: Array, r: Array, s: Array, closest: Array, farthest: Array
) -> tuple[Array, Array, Array]:
    """Integrals over the turn from zero on of 1, 1/d^2 and 1/d^4, with d the distance of two points."""
    product = closest * farthest
    half = turn / 2
    reach = np.arctan2(np.sqrt(farthest) * np.sin(half), np.sqrt(closest) * np.cos(half))
    first = 2 * reach / np.sqrt(product)
    distance = closest + 4 * r * s * np.sin(half) ** 2
    swing = 2 * r * s * np.sin(turn) / distance
    return turn, first, ((closest + farthest) / 2 * first + swing) / product
