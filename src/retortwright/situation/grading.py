# SPDX-License-Identifier: MIT
"""How fine the cells have to be where something begins, ends or branches off.

The error of a mesh in kelvin grows with the square of its cells and with how far the wall is
from the temperature of the room. So a wall is cut finely beside a furnace and coarsely where
hardly any heat arrives: how much arrives is estimated along the tree, with a plain decay.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from retortwright.rig.compound import Stretch
from retortwright.rig.parts import Rig
from retortwright.rig.tree import Instance, Tree

__all__ = ["Mark", "marks_of"]

_FIRST = 0.06  # first cell at an edge, as a share of the decay length of temperature there
_COARSEST = 3.0  # times that, where the wall is hardly warmer than the room
_HOT = 700.0  # K above the room, where the cells are finest
_GROWTH, _LOOSER = 1.2, 0.5  # of each cell over the one before; so much more where it is coarsest
_FURTHEST = 0.25  # of a decay length, at an end that leads nowhere
_SPREADS = 20.0  # W/m^2/K: a low film, so that heat is thought to reach far
_FILMS = {"furnace": 150.0, "tape": 140.0, "lag": 8.0, "water coil": 300.0, "air": 40.0}  # to size cells
_BATH_FILM, _AWAY = 200.0, {"ice water": 20.0, "dry ice": 100.0, "liquid nitrogen": 220.0}  # K


@dataclass(frozen=True, slots=True)
class Mark:
    """A place where something changes along a piece, and the cells beside it."""

    place: float
    point: bool  # whether heat enters or leaves there: an arm, a lid, a bottom
    size: float  # of the first cell beside it [m]
    growth: float  # of each cell over the one before, away from it


class _Place:
    """What becomes known of a mark, bit by bit."""

    __slots__ = ("away", "film", "leads", "place", "point")

    def __init__(self, place: float, point: bool = False) -> None:
        self.place = place
        self.film = 0.0  # the strongest cooling or heating beside it [W/m^2/K]
        self.away = 0.0  # how far it may be from the room [K]
        self.leads = point  # whether heat passes there into another piece or under another cover
        self.point = point


def marks_of(rig: Rig, tree: Tree, conductivity: Mapping[str, float]) -> list[list[Mark]]:
    """The marks of every piece, in order, with the sizes of the cells beside them."""
    found = [_marks(rig, single) for single in tree.instances]
    links = _joined(tree, found)
    for single, marks in zip(tree.instances, found, strict=True):
        _cover(rig, single, marks)
    ways = [(one, other, 1.0) for one, other in links]
    for single, marks in zip(tree.instances, found, strict=True):
        marks.sort(key=lambda mark: mark.place)
        ways += _along(rig, single, marks, conductivity)
    _spread(ways)
    return [
        [_graded(mark, single, conductivity) for mark in marks]
        for single, marks in zip(tree.instances, found, strict=True)
    ]


def _graded(mark: _Place, single: Instance, conductivity: Mapping[str, float]) -> Mark:
    away = max(mark.away, 1.0)
    film = max(mark.film, 10.0 + 30.0 * min(away / _HOT, 1.0))
    decay = _decay(single, conductivity, film)
    coarser = min(max(math.sqrt(_HOT / away), 1.0), _COARSEST)
    size = decay * (_FIRST * coarser if mark.leads else _FURTHEST)
    growth = _GROWTH + _LOOSER * ((coarser - 1.0) / (_COARSEST - 1.0)) ** 2
    return Mark(mark.place, mark.point, size, growth)


def _decay(single: Instance, conductivity: Mapping[str, float], film: float) -> float:
    return math.sqrt(conductivity[single.row.of] * single.row.tube.wall / film)


def _covers(rig: Rig) -> list[tuple[Mapping[str, Stretch], float, float]]:
    """Where each cover lies, its film, and how far it holds the wall from the room [K]."""
    found: list[tuple[Mapping[str, Stretch], float, float]] = [
        (heat.over, _FILMS["furnace"], _HOT)
        if heat.holds is None
        else (heat.over, _FILMS["tape"], max(heat.holds - 293.0, 0.0))
        for heat in rig.heat
    ]
    found += [(lag.over, _FILMS["lag"], 0.0) for lag in rig.lag]
    for cool in rig.cool:
        found.append((cool.over, _FILMS.get(cool.by, _BATH_FILM), _AWAY.get(cool.by, 0.0)))
    return found


def _over(rig: Rig, single: Instance) -> list[tuple[float, float, float, float]]:
    """The covers of a piece: from where to where, film, and how far from the room."""
    found = []
    for over, film, away in _covers(rig):
        stretch = over.get(single.row.name)
        if stretch is not None and stretch.start < single.length:
            end = single.length if stretch.end is None else min(stretch.end, single.length)
            found.append((stretch.start, end, film, away))
    return found


def _marks(rig: Rig, single: Instance) -> list[_Place]:
    """Both ends of a piece and the ends of what covers it."""
    ends = ((0.0, single.row.bottom), (single.length, single.row.closed))
    found = [_Place(place, cover is not None) for place, cover in ends]
    for start, end, film, _ in _over(rig, single):
        if film == _FILMS["furnace"] and start <= 0.0:
            found[0].leads = False  # a bottom in a furnace is as hot as the wall beside it
        for place in (start, end):
            mark = _at(found, place)
            mark.leads = mark.leads or 0.0 < place < single.length
    return found


def _cover(rig: Rig, single: Instance, marks: list[_Place]) -> None:
    """What lies on each mark of a piece."""
    for start, end, film, away in _over(rig, single):
        for mark in marks:
            if start - 1e-6 <= mark.place <= end + 1e-6:
                mark.film, mark.away = max(mark.film, film), max(mark.away, away)


def _at(marks: list[_Place], place: float) -> _Place:
    """The mark at a place, made if there is none."""
    for mark in marks:
        if abs(mark.place - place) < 1e-6:
            return mark
    marks.append(_Place(place))
    return marks[-1]


def _joined(tree: Tree, found: list[list[_Place]]) -> list[tuple[_Place, _Place]]:
    """The marks of different pieces that are one place."""
    links = []
    for number, single in enumerate(tree.instances):
        if single.parent >= 0:
            other = _at(found[single.parent], single.at)
            other.point = other.point or not single.at_end or other.leads
            other.leads = True
            links.append((found[number][0], other))
    for joint in tree.joints:
        if joint.onto >= 0 and joint.key.endswith("meets.joined"):
            other = _at(found[joint.onto], joint.onto_place)
            other.point = True
            links.append((found[joint.instance][1], other))
    for one, other in links:
        one.leads = other.leads = True
    return links


def _along(
    rig: Rig, single: Instance, marks: list[_Place], conductivity: Mapping[str, float]
) -> list[tuple[_Place, _Place, float]]:
    """What share of warmth or cold is left from each mark of a piece to the next, and back."""
    lagged = [(start, end) for start, end, film, _ in _over(rig, single) if film == _FILMS["lag"]]
    ways = []
    for one, other in pairwise(marks):
        middle = (one.place + other.place) / 2
        under = any(start < middle < end for start, end in lagged)
        decay = _decay(single, conductivity, _FILMS["lag"] if under else _SPREADS)
        ways.append((one, other, math.exp(-(other.place - one.place) / decay)))
    return ways


def _spread(ways: list[tuple[_Place, _Place, float]]) -> None:
    """Let warmth and cold reach along the pieces and through the joints."""
    settled = False
    while not settled:
        settled = True
        for one, other, share in ways:
            for near, far in ((one, other), (other, one)):
                if near.away * share > far.away * (1 + 1e-9):
                    far.away, settled = near.away * share, False
