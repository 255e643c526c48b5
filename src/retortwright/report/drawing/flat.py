# SPDX-License-Identifier: MIT
"""The tree of pieces unfolded into one plane: every piece as long and as steep as it is.

East is to the right and west to the left. What points north or south, or says nothing, is turned
to whichever side has room. Of a long stretch where nothing is, a part is left out.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from retortwright.report.drawing.cuts import Cut
from retortwright.report.drawing.svg import Point
from retortwright.rig.parts import Piece
from retortwright.rig.space import Vector, place_on, way_home
from retortwright.rig.tree import Instance, Tree

__all__ = ["Choices", "Flat", "flats_of", "side_of"]

_SIDES = {"east": 1, "north-east": 1, "south-east": 1, "west": -1, "north-west": -1, "south-west": -1}
_TOO_NEAR = math.sin(math.radians(20))  # of an arm to its stem in the plane: it is drawn aslant
_ASLANT = math.radians(40)
_UPRIGHT = 1e-6


@dataclass(frozen=True, slots=True)
class Choices:
    """What is free in the drawing: which rows are turned over, which pieces are moved aside [m], what is cut."""

    turned: frozenset[str] = frozenset()
    moved: Mapping[int, float] = field(default_factory=dict)
    cuts: Mapping[str, Cut] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Flat:
    """One piece in the plane [m], x to the right and z up: its axis by points at equal shares of it."""

    points: tuple[Point, ...]
    length: float  # as drawn
    side: int  # 1 right, -1 left: where what sits on it points, unless it says so itself
    cut: Cut | None = None
    slanted: bool = False  # its slope in the drawing is not its own
    apart: Point | None = None  # where it truly begins, if it is moved aside

    def share(self, place: float) -> float:
        """The share of the drawn axis at a place along the piece."""
        drawn = place
        if self.cut is not None:
            drawn = place - min(max(place - self.cut.start, 0.0), self.cut.end - self.cut.start)
        return min(max(drawn / self.length, 0.0), 1.0)

    def at(self, place: float) -> tuple[Point, Point]:
        """A place along the piece and the direction there."""
        where, along = place_on([(x, 0.0, z) for x, z in self.points], self.share(place))
        return (where[0], where[2]), (along[0], along[2])


def side_of(row: Piece) -> int | None:
    """The side that a piece itself asks for; None where it may go either way."""
    return _SIDES.get(row.towards or "")


def flats_of(tree: Tree, choices: Choices) -> list[Flat]:
    """All pieces in the plane, parents before children."""
    goals: dict[int, tuple[Vector, Vector]] = {}
    meeting = [number for number, one in enumerate(tree.instances) if one.row.meets is not None]
    found = _placed(tree, choices, goals)
    for _ in range(2 if meeting else 0):
        goals = {number: goal for number in meeting if (goal := _goal(tree, number, found)) is not None}
        found = _placed(tree, choices, goals)
    return found


def _placed(tree: Tree, choices: Choices, goals: Mapping[int, tuple[Vector, Vector]]) -> list[Flat]:
    found: list[Flat] = []
    for number in range(len(tree.instances)):
        flat = _flat(tree, number, found, choices)
        if number in goals:
            start = tuple((x, 0.0, z) for x, z in flat.points)
            home = way_home(start, goals[number], flat.length)
            flat = replace(flat, points=tuple((x, z) for x, _, z in home))
        found.append(flat)
    return found


def _flat(tree: Tree, number: int, found: Sequence[Flat], choices: Choices) -> Flat:
    single = tree.instances[number]
    row = single.row
    side = side_of(row) or (found[single.parent].side if single.parent >= 0 else 1)
    side = -side if row.name in choices.turned else side
    cut = choices.cuts.get(row.name)
    length = single.length - (cut.end - cut.start if cut else 0.0)
    steps, leaves = _steps(single.course, side)
    near, slanted = (0.0, 0.0), False
    if single.parent >= 0:
        near, along = found[single.parent].at(single.at)
        if not single.at_end:
            steps, slanted = _free_of(steps, along)
            near = _on_the_wall(near, along, steps, tree.instances[single.parent].tube_at(single.at).outside)
    whole = sum(math.hypot(*step) for step in steps)
    apart = near if number in choices.moved else None
    points = [(near[0] + choices.moved.get(number, 0.0), near[1])]
    for x, z in steps:
        points.append((points[-1][0] + x * length / whole, points[-1][1] + z * length / whole))
    return Flat(tuple(points), length, leaves, cut, slanted, apart)


def _steps(course: Sequence[Vector], side: int) -> tuple[list[Point], int]:
    """The steps of an axis in the plane, and the side it ends on: what comes back in space comes back here."""
    steps: list[Point] = []
    before: Vector | None = None
    for low, high in pairwise(course):
        step = (high[0] - low[0], high[1] - low[1], high[2] - low[2])
        flat = math.hypot(step[0], step[1])
        if flat > _UPRIGHT * math.hypot(flat, step[2]):
            if before is not None and before[0] * step[0] + before[1] * step[1] < 0:
                side = -side
            before = step
        steps.append((side * flat, step[2]))
    return steps, side


def _free_of(steps: list[Point], along: Point) -> tuple[list[Point], bool]:
    """The steps of a side arm, turned away from its stem where both would lie on each other."""
    size = math.hypot(*steps[0])
    across = (along[0] * steps[0][1] - along[1] * steps[0][0]) / size
    if abs(across) > _TOO_NEAR:
        return steps, False
    forward = along[0] * steps[0][0] + along[1] * steps[0][1] > 0
    angle = _ASLANT if (along[0] > 0) == forward else -_ASLANT
    cosine, sine = math.cos(angle), math.sin(angle)
    return [(x * cosine - z * sine, x * sine + z * cosine) for x, z in steps], True


def _on_the_wall(near: Point, along: Point, steps: list[Point], outside: float) -> Point:
    across = along[0] * steps[0][1] - along[1] * steps[0][0]
    sign = math.copysign(outside / 2, across)
    return near[0] - along[1] * sign, near[1] + along[0] * sign


def _goal(tree: Tree, number: int, found: Sequence[Flat]) -> tuple[Vector, Vector] | None:
    """Where a by-pass meets another piece in the plane, and the way in."""
    single = tree.instances[number]
    joint = next(
        each for each in tree.joints if each.instance == number and each.key.endswith(".meets.joined")
    )
    above = joint.onto
    while above > number:
        above = tree.instances[above].parent
    if above == number:
        return None
    onto = tree.instances[joint.onto]
    place = min(joint.onto_place, onto.length)
    middle, along = found[joint.onto].at(place)
    if single.row.meets is not None and single.row.meets.at is None:
        return (middle[0], 0.0, middle[1]), (-along[0], 0.0, -along[1])
    return _into(middle, along, found[number].points[0], onto, place)


def _into(middle: Point, along: Point, near: Point, onto: Instance, place: float) -> tuple[Vector, Vector]:
    """The place on the wall that looks at a point, and the direction in."""
    across = along[0] * (near[1] - middle[1]) - along[1] * (near[0] - middle[0])
    sign = 1.0 if across >= 0 else -1.0
    half = onto.tube_at(place).outside / 2
    aside = (-along[1] * sign, along[0] * sign)
    return (middle[0] + aside[0] * half, 0.0, middle[1] + aside[1] * half), (-aside[0], 0.0, -aside[1])
