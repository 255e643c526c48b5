# SPDX-License-Identifier: MIT
"""Where the axis of every piece runs in space: straight, round a bend, or back to meet another piece.

A piece on the side of another begins on the outside of that one's wall, a piece at its end on its
axis. x is east, y north, z up; the near end of the retort is the origin.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from retortwright.rig.parts import Piece
from retortwright.rig.vocabulary import compass

__all__ = ["Course", "Single", "Vector", "courses_of", "place_on", "way_home"]

Vector = tuple[float, float, float]
_ARC, _CURVE = 24, 32  # parts of a bend and of the way of a by-pass
_ALONG = 1e-6  # sine of an angle, below which two directions are one
_ROUNDS = 3  # by-passes that hang on by-passes are placed again
_DOWN = (0.0, 0.0, -1.0)


@dataclass(frozen=True, slots=True)
class Single:
    """One piece before it has a place: what it sits on and where."""

    name: str
    row: Piece
    parent: int
    at: float
    at_end: bool


@dataclass(frozen=True, slots=True)
class Course:
    """The axis of a piece by points at equal shares of its length, and its compass headings at both ends [rad]."""

    points: tuple[Vector, ...]
    heading: float
    leaves: float  # the heading that what sits on it takes over


def courses_of(singles: Sequence[Single], index: Mapping[str, int]) -> list[Course]:
    """The axes of all pieces, parents before children. By-passes take the shape that brings them home."""
    found: list[Course] = []
    for number in range(len(singles)):
        found.append(_course(singles, number, found))
    meeting = [number for number, one in enumerate(singles) if one.row.meets is not None]
    for _ in range(_ROUNDS if meeting else 0):
        for number, one in enumerate(singles):
            found[number] = _course(singles, number, found)
            goal = _goal(singles, number, index, found)
            if goal is not None:
                length, flat = one.row.length.best, found[number].heading
                points = way_home(found[number].points, goal, length)
                found[number] = Course(points, flat, flat)
    return found


def place_on(points: Sequence[Vector], share: float) -> tuple[Vector, Vector]:
    """The place at a share of a course, and the direction there."""
    parts = len(points) - 1
    part = min(int(share * parts), parts - 1)
    low, high = points[part], points[part + 1]
    return _between(low, high, share * parts - part), _unit(_minus(high, low), _DOWN)


def _course(singles: Sequence[Single], number: int, found: Sequence[Course]) -> Course:
    one = singles[number]
    row, length = one.row, one.row.length.best
    near, heading, goes_on = (0.0, 0.0, 0.0), 0.0, _DOWN
    if one.parent >= 0:
        on, heading = singles[one.parent], found[one.parent].leaves
        near, goes_on = place_on(found[one.parent].points, one.at / on.row.length.best)
    if row.towards is not None:
        heading = compass().index(row.towards) * math.pi / 4
    stated = _pointing(row.slope, heading)
    if one.parent >= 0 and not one.at_end:
        near = _plus(near, _times(_aside(stated, goes_on), _half_width(singles[one.parent], one.at)))
    if row.bend is not None:
        begins = goes_on if one.parent >= 0 and one.at_end else stated
        return _bent(singles, number, near, begins, heading)
    return Course((near, _plus(near, _times(stated, length))), heading, heading)


def _bent(singles: Sequence[Single], number: int, near: Vector, begins: Vector, heading: float) -> Course:
    """An arc from a direction towards another: the one it says itself, that of what goes on from it, or down."""
    row = singles[number].row
    turns, radius = (row.bend.turns, row.bend.radius) if row.bend is not None else (0.0, 0.0)
    onward = [each.row for each in singles if each.parent == number and each.at_end]
    wanted = [_DOWN, _pointing(0.0, heading), (1.0, 0.0, 0.0)]
    if onward:
        wanted.insert(0, _pointing(onward[0].slope, _heading_of(onward[0], heading)))
    if singles[number].at_end and (row.slope or row.towards is not None):
        wanted.insert(0, _pointing(row.slope, heading))
    aside = next(side for side in (_aside(each, begins) for each in wanted) if _size(side) > 0.5)
    points = []
    for part in range(_ARC + 1):
        angle = turns * part / _ARC
        along, across = radius * math.sin(angle), radius * (1 - math.cos(angle))
        points.append(_plus(near, _plus(_times(begins, along), _times(aside, across))))
    ends = _plus(_times(begins, math.cos(turns)), _times(aside, math.sin(turns)))
    upright = math.hypot(ends[0], ends[1]) < _ALONG
    return Course(tuple(points), heading, heading if upright else math.atan2(ends[1], ends[0]))


def _heading_of(row: Piece, heading: float) -> float:
    return heading if row.towards is None else compass().index(row.towards) * math.pi / 4


def _pointing(slope: float, heading: float) -> Vector:
    flat = math.cos(slope)
    return flat * math.cos(heading), flat * math.sin(heading), math.sin(slope)


def _half_width(single: Single, place: float) -> float:
    """Half the outside of a piece at a place [m]."""
    row = single.row
    share = place / row.length.best
    if row.shape == "flask":
        return row.tube.outside * math.sqrt(max(share * (1 - share), 0.0))
    end = row.tube if row.tapers_to is None else row.tapers_to
    return (row.tube.outside + share * (end.outside - row.tube.outside)) / 2


def _goal(
    singles: Sequence[Single], number: int, index: Mapping[str, int], found: Sequence[Course]
) -> tuple[Vector, Vector] | None:
    """Where a by-pass meets the wall of another piece, and the way in; None where that piece hangs on it."""
    meets = singles[number].row.meets
    if meets is None:
        return None
    onto = above = index[meets.piece]
    while above > number:
        above = singles[above].parent
    if above == number:
        return None
    length = singles[onto].row.length.best
    place = length if meets.at is None else min(meets.at, length)
    middle, along = place_on(found[onto].points, place / length)
    near = found[number].points[0]
    if meets.at is None:
        return middle, _times(along, -1.0)
    aside = _aside(_minus(near, middle), along)
    return _plus(middle, _times(aside, _half_width(singles[onto], place))), _times(aside, -1.0)


@lru_cache(maxsize=256)
def way_home(points: tuple[Vector, ...], goal: tuple[Vector, Vector], length: float) -> tuple[Vector, ...]:
    """A curve that leaves as a piece says and comes in as `goal` says (place, direction), as long as it can be."""
    near, end = points[0], goal[0]
    out = _unit(_minus(points[1], near), _DOWN)
    apart = _size(_minus(end, near))
    low, high = 0.0, 2 * length
    reach = apart / 3
    for _ in range(30 if length > apart else 0):
        reach = (low + high) / 2
        if _long(_curve(near, out, end, goal[1], reach)) > length:
            high = reach
        else:
            low = reach
    return _curve(near, out, end, goal[1], reach)


def _curve(near: Vector, out: Vector, end: Vector, into: Vector, reach: float) -> tuple[Vector, ...]:
    """A smooth way between two places, by points at equal shares of its length."""
    first, last = _plus(near, _times(out, reach)), _minus(end, _times(into, reach))
    fine = []
    for part in range(4 * _CURVE + 1):
        t = part / (4 * _CURVE)
        weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
        parts = [_times(each, weight) for each, weight in zip((near, first, last, end), weights, strict=True)]
        fine.append(_plus(_plus(parts[0], parts[1]), _plus(parts[2], parts[3])))
    return _even(fine)


def _even(fine: Sequence[Vector]) -> tuple[Vector, ...]:
    """Points at equal shares of the length of a fine line."""
    whole = _long(fine)
    points, gone, part = [fine[0]], 0.0, 0
    for number in range(1, _CURVE):
        goal = whole * number / _CURVE
        step = _size(_minus(fine[part + 1], fine[part]))
        while gone + step < goal and part < len(fine) - 2:
            gone, part = gone + step, part + 1
            step = _size(_minus(fine[part + 1], fine[part]))
        points.append(_between(fine[part], fine[part + 1], (goal - gone) / step if step else 0.0))
    return (*points, fine[-1])


def _long(points: Sequence[Vector]) -> float:
    return sum(_size(_minus(after, before)) for before, after in pairwise(points))


def _aside(towards: Vector, along: Vector) -> Vector:
    """The part of a direction that is square to another, of length one; nothing where there is none."""
    inner = sum(one * other for one, other in zip(towards, along, strict=True))
    across = _minus(towards, _times(along, inner))
    size = _size(across)
    return _times(across, 1 / size) if size > _ALONG else (0.0, 0.0, 0.0)


def _unit(vector: Vector, otherwise: Vector) -> Vector:
    size = _size(vector)
    return _times(vector, 1 / size) if size > 0 else otherwise


def _size(vector: Vector) -> float:
    return math.sqrt(sum(part * part for part in vector))


def _plus(one: Vector, other: Vector) -> Vector:
    return one[0] + other[0], one[1] + other[1], one[2] + other[2]


def _minus(one: Vector, other: Vector) -> Vector:
    return one[0] - other[0], one[1] - other[1], one[2] - other[2]


def _times(vector: Vector, factor: float) -> Vector:
    return vector[0] * factor, vector[1] * factor, vector[2] * factor


def _between(low: Vector, high: Vector, share: float) -> Vector:
    return _plus(low, _times(_minus(high, low), share))
