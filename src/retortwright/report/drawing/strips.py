# SPDX-License-Identifier: MIT
"""The walls of the pieces on paper: axis, direction and half widths at places along each piece."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from retortwright.report.drawing.flat import Flat
from retortwright.report.drawing.svg import Point
from retortwright.rig.tree import Instance

__all__ = ["NARROWEST", "THINNEST", "Frame", "Strip", "strip_of"]

NARROWEST = 4.0  # half the outside on paper, at least
THINNEST = 2.2  # wall on paper, at least
_ROUND = 24  # places along a flask


@dataclass(frozen=True, slots=True)
class Frame:
    """From metres in the plane to places on paper."""

    scale: float  # units of paper per metre
    left: float
    foot: float

    def to(self, point: Point) -> Point:
        """The place on paper."""
        return self.left + self.scale * point[0], self.foot - self.scale * point[1]


@dataclass(frozen=True, slots=True)
class Strip:
    """One piece on paper."""

    single: Instance
    flat: Flat
    frame: Frame
    places: tuple[float, ...]  # along the piece [m], where something changes

    def axis(self, place: float) -> tuple[Point, Point]:
        """The place on paper and the direction there."""
        where, along = self.flat.at(place)
        return self.frame.to(where), (along[0], -along[1])

    def halves(self, place: float) -> tuple[float, float]:
        """Half the outside and half the bore."""
        tube = self.single.tube_at(place)
        outer = max(tube.outside / 2 * self.frame.scale, NARROWEST)
        wall = max(tube.wall * self.frame.scale, THINNEST)
        if self.single.row.shape == "flask":
            radius = self.single.length / 2
            inner = (radius - tube.wall) ** 2 - (place - radius) ** 2
            return outer, max(math.sqrt(max(inner, 0.0)) * self.frame.scale, 0.0)
        return outer, max(outer - wall, 0.3 * outer)

    def edge(self, place: float, offset: float) -> Point:
        """The place at a distance from the axis; positive is to the right of the way along it."""
        (x, y), (along, down) = self.axis(place)
        return x - down * offset, y + along * offset

    def within(self, start: float, end: float) -> list[float]:
        """The places of a stretch, its ends among them."""
        return [start, *(place for place in self.places if start < place < end), end]

    def ribbon(self, start: float, end: float, near: float, far: float, side: int) -> list[Point]:
        """The outline of a band along a stretch, from `near` to `far` outside the wall, on one side."""
        places = self.within(start, end)
        inner = [self.edge(place, side * (self.halves(place)[0] + near)) for place in places]
        outer = [self.edge(place, side * (self.halves(place)[0] + far)) for place in places]
        return inner + outer[::-1]

    def wall(self, start: float, end: float, side: int) -> list[Point]:
        """The outline of the wall along a stretch, on one side."""
        places = self.within(start, end)
        inner = [self.edge(place, side * self.halves(place)[1]) for place in places]
        outer = [self.edge(place, side * self.halves(place)[0]) for place in places]
        return inner + outer[::-1]

    def bore(self) -> list[Point]:
        """The outline of the bore."""
        places = self.within(0.0, self.single.length)
        one = [self.edge(place, self.halves(place)[1]) for place in places]
        other = [self.edge(place, -self.halves(place)[1]) for place in places]
        return one + other[::-1]

    def side(self, side: int, inside: bool = False) -> list[Point]:
        """One edge of the wall from the near to the far end."""
        places = self.within(0.0, self.single.length)
        return [self.edge(place, side * self.halves(place)[1 if inside else 0]) for place in places]


def strip_of(single: Instance, flat: Flat, frame: Frame, edges: Sequence[float]) -> Strip:
    """The strip of a piece; `edges` are where its colours change."""
    places = set(edges)
    if single.row.shape == "flask":
        places |= {single.length * (1 - math.cos(math.pi * part / _ROUND)) / 2 for part in range(_ROUND + 1)}
    elif len(flat.points) > 2:
        parts = len(flat.points) - 1
        places |= {single.length * part / parts for part in range(parts + 1)}
    if flat.cut is not None:
        places |= {flat.cut.start, flat.cut.end}
    kept = [place for place in sorted(places) if 0 <= place <= single.length]
    return Strip(single, flat, frame, tuple(kept))
