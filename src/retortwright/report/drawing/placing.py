# SPDX-License-Identifier: MIT
"""Room in the plane: which pieces are turned over or moved aside so that nothing lies on anything else."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.report.drawing.cuts import cuts_of
from retortwright.report.drawing.flat import Choices, Flat, flats_of, side_of
from retortwright.rig.parts import Rig
from retortwright.rig.tree import Tree

__all__ = ["crowding", "roomy"]

_GAP = 0.012  # m between two pieces that have nothing to do with each other
_PARTS = 6  # straight parts that a bent axis is checked by
_STEP, _MOST = 0.025, 60  # m by which a piece is moved aside, and how often at most
_TOUCH = 1e-4  # m
_STEEP = math.radians(45)


def roomy(rig: Rig, tree: Tree) -> tuple[Choices, list[Flat]]:
    """The choices that leave most room, and the pieces so placed."""
    choices = Choices(cuts=cuts_of(rig, tree))
    flats = flats_of(tree, choices)
    crowd = float(crowding(tree, flats).sum())
    rows = [row for row in dict.fromkeys(one.row.name for one in tree.instances) if _may_turn(tree, row)]
    for row in rows * 2:
        if crowd < _TOUCH:
            break
        other = replace(choices, turned=choices.turned ^ {row})
        placed = flats_of(tree, other)
        less = float(crowding(tree, placed).sum())
        if less < crowd - _TOUCH:
            choices, flats, crowd = other, placed, less
    for _ in range(len(tree.instances)):
        crowd_now = crowding(tree, flats)
        if crowd_now.sum() < _TOUCH:
            break
        choices, flats = _moved(tree, choices, flats, crowd_now)
    return choices, flats


def _may_turn(tree: Tree, name: str) -> bool:
    """Whether a row may point to either side: it says none, and nothing that it continues points anywhere."""
    single = next(one for one in tree.instances if one.row.name == name)
    row = single.row
    if single.parent < 0 or side_of(row) is not None or row.meets is not None:
        return False
    if row.bend is None and abs(math.cos(row.slope)) < 1e-6:
        return False
    stem = tree.instances[single.parent].row
    return row.towards is not None or not single.at_end or abs(stem.slope) > _STEEP


def _moved(tree: Tree, choices: Choices, flats: list[Flat], crowd: Array) -> tuple[Choices, list[Flat]]:
    """The first piece that lies on an earlier one moved aside, as little as helps."""
    on = np.flatnonzero(np.tril(crowd, -1).sum(axis=1) > _TOUCH)
    number = next((int(each) for each in on if int(each) not in choices.moved), -1)
    if number < 0:
        return choices, flats
    best, before = (choices, flats), float(crowd.sum())
    side = flats[number].side
    for step in range(1, _MOST):
        for sign in (side, -side):
            other = replace(choices, moved={**choices.moved, number: sign * step * _STEP})
            placed = flats_of(tree, other)
            now = crowding(tree, placed)
            if now[number, :number].sum() < _TOUCH:
                return other, placed
            if now.sum() < before - _TOUCH:
                best, before = (other, placed), float(now.sum())
    return best


def crowding(tree: Tree, flats: Sequence[Flat]) -> Array:
    """How far each piece reaches into the room of each other [m], (pieces, pieces)."""
    owner: list[int] = []
    ends: list[tuple[float, ...]] = []
    half: list[float] = []
    for number, flat in enumerate(flats):
        single = tree.instances[number]
        if single.row.meets is not None:
            continue
        own = _half(tree, number)
        trim = 0.0 if single.parent < 0 else (_half(tree, single.parent) + own + _GAP) / flat.length
        if trim >= 0.9:
            continue
        parts = 1 if len(flat.points) == 2 else _PARTS
        places = np.linspace(min(trim, 0.9), 1.0, parts + 1) * single.length
        spots = [flat.at(float(place))[0] for place in places]
        for low, high in pairwise(spots):
            owner.append(number)
            ends.append((*low, *high))
            half.append(own)
    who, lines, widths = np.array(owner), np.array(ends), np.array(half)
    deep = np.maximum(widths[:, None] + widths[None, :] + _GAP - _apart(lines), 0.0)
    for one, other in enumerate(who):
        up = tree.instances[other].parent
        deep[one, (who == up) | (who == other)] = 0.0
        deep[(who == up) | (who == other), one] = 0.0
    whole = np.zeros((len(flats), len(flats)))
    np.add.at(whole, (who[:, None], who[None, :]), deep)
    return whole


def _half(tree: Tree, number: int) -> float:
    """Half the greatest width of a piece [m]."""
    row = tree.instances[number].row
    end = row.tube if row.tapers_to is None else row.tapers_to
    return max(row.tube.outside, end.outside) / 2


def _apart(lines: Array) -> Array:
    """The distance between each two of some straight lines (x, z, x, z)."""
    start, end = lines[:, :2], lines[:, 2:]
    along = end - start
    size = np.maximum(np.sum(along * along, axis=1), 1e-18)
    near = np.full((len(lines), len(lines)), np.inf)
    for spot in (start, end):
        share = np.clip(np.sum((spot[:, None] - start[None]) * along[None], axis=2) / size, 0.0, 1.0)
        foot = start[None] + share[:, :, None] * along[None]
        near = np.minimum(near, np.linalg.norm(spot[:, None] - foot, axis=2))
    near = np.minimum(near, near.T)
    sides = [_turn(start[None], end[None], spot[:, None]) for spot in (start, end)]
    crosses = (sides[0] * sides[1] < 0) & (sides[0] * sides[1] < 0).T
    return np.asarray(np.where(crosses, 0.0, near))


def _turn(start: Array, end: Array, spot: Array) -> Array:
    """On which side of a line a spot lies."""
    return np.asarray(
        (end[..., 0] - start[..., 0]) * (spot[..., 1] - start[..., 1])
        - (end[..., 1] - start[..., 1]) * (spot[..., 0] - start[..., 0])
    )
