# SPDX-License-Identifier: MIT
"""Labels that lie neither on each other nor on the rig, each led to its place by a thin line.

The paper is divided into small squares. A label takes the free rectangle that is nearest to one of
its anchors and whose leader runs over least; what it takes is taken for all that follow.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.report.drawing.svg import FAINT, INK, Point, circle, line, text, text_width
from retortwright.report.drawing.ways import (
    crossings,
    cut_rectangles,
    inside_or_near,
    nearest_on,
    over_squares,
)

__all__ = ["Board", "Box", "Label", "Line", "Placed", "box_of", "drawn_label", "run_over"]

_SQUARE = 4.0
_NEAR = 12.0  # up to which a label needs no leader
_CLOSELY, _WIDELY = 250, 250  # places that are looked at: the nearest ones, and some of all the others
_ROUNDS, _PUSHED = 4, 8  # of pushing others aside, and how many labels may in one round
_PUSH = 60.0  # what it costs to push one aside
_ANCHORS = 16
_OVER_RIG, _OVER_TEXT, _OVER_LEADER = 1.5, 600.0, 80.0  # what a leader costs on its way
_FAR = 12.0  # from which on distance counts more than in proportion
_GOOD = 45.0  # what a label may cost without looking for a better place
_PAD = 3.0
_SPACING = 1.22


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a label."""

    words: str
    size: float = 12.0
    face: str = ""


@dataclass(frozen=True, slots=True)
class Label:
    """What is to be said of a place; `anchors` are places that will do, `symbol` the room for one beside it."""

    name: str
    anchors: tuple[Point, ...]
    lines: tuple[Line, ...]
    symbol: float = 0.0
    clear: float = 0.0  # of the anchor that stays free


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on paper."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def corners(self) -> tuple[Point, ...]:
        """Its corners, round."""
        return (
            (self.left, self.top),
            (self.right, self.top),
            (self.right, self.bottom),
            (self.left, self.bottom),
        )

    def meets(self, other: Box) -> bool:
        """Whether two rectangles have room in common."""
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom


@dataclass(frozen=True, slots=True)
class Placed:
    """A label in its place, with the anchor that it is led to."""

    label: Label
    box: Box
    anchor: Point

    @property
    def turned(self) -> bool:
        """Whether it looks to the right: its words end there, and its symbol stands there."""
        return self.anchor[0] > (self.box.left + self.box.right) / 2

    @property
    def symbol(self) -> Point:
        """The middle of its symbol."""
        half = self.label.symbol / 2
        x = self.box.right - half if self.turned else self.box.left + half
        return x, (self.box.top + self.box.bottom) / 2

    @property
    def end(self) -> Point:
        """Where its leader ends."""
        if self.label.symbol:
            return self.symbol
        x = min(max(self.anchor[0], self.box.left), self.box.right)
        return x, min(max(self.anchor[1], self.box.top), self.box.bottom)


def box_of(label: Label) -> tuple[float, float]:
    """Width and height that a label needs."""
    widths = [text_width(each.words, each.size, "bold" in each.face) for each in label.lines]
    width = max(widths, default=0.0) + label.symbol + 2 * _PAD
    height = sum(each.size * _SPACING for each in label.lines) + 2 * _PAD
    return width, max(height, label.symbol + 2 * _PAD if label.symbol else 0.0)


class Board:
    """The paper by squares: how full each is of the rig, what is taken by labels, and the leaders so far."""

    def __init__(self, area: Box) -> None:
        self.area = area
        self.corner = np.array([area.left, area.top])
        rows = int((area.bottom - area.top) / _SQUARE)
        columns = int((area.right - area.left) / _SQUARE)
        self.rig: NDArray[np.bool_] = np.zeros((rows, columns), dtype=bool)
        self.taken: NDArray[np.int32] = np.zeros((rows, columns), dtype=np.int32)
        self.placed: dict[str, Placed] = {}
        self.gaps: dict[tuple[str, Box, Point], float] = {}

    def block(self, outline: Sequence[Point]) -> None:
        """Nothing may be written over an outline."""
        spots = np.array(outline)
        low = np.floor((spots.min(axis=0) - self.corner) / _SQUARE).astype(int) - 1
        high = np.floor((spots.max(axis=0) - self.corner) / _SQUARE).astype(int) + 2
        (left, top), (right, bottom) = np.maximum(low, 0), np.minimum(high, self.rig.shape[::-1])
        if top < bottom and left < right:
            across = self.area.left + (np.arange(left, right) + 0.5) * _SQUARE
            down = self.area.top + (np.arange(top, bottom) + 0.5) * _SQUARE
            self.rig[top:bottom, left:right] |= inside_or_near(spots, across, down, _SQUARE * 0.75)

    def arrange(self, labels: Sequence[Label]) -> list[Placed] | None:
        """All labels in their places, those with least choice first; None where one finds no room.

        When all have a place, the worst off push others aside where that leaves all better off.
        """
        for label in sorted(labels, key=lambda each: len(each.anchors)):
            if self.place(label) is None:
                return None
        for _ in range(_ROUNDS):
            burdens = self._burdens()
            worst = sorted(
                (name for name in burdens if burdens[name] > _GOOD), key=lambda name: -burdens[name]
            )
            pushed = sum(self._pushed(self.placed[name].label) for name in worst[:_PUSHED])
            if not pushed:
                break
        return [self.placed[label.name] for label in labels]

    def place(self, label: Label, pushing: bool = False) -> Placed | None:
        """The label in the best place that is left; None where there is none.

        `pushing` also looks at places that other labels have, at a price.
        """
        width, height = box_of(label)
        boxes = self._candidates(width, height, pushing)
        if not len(boxes):
            return None
        anchors = np.array(label.anchors[:_ANCHORS])
        gaps = np.stack([_gap(label, boxes, spot) for spot in anchors])
        which = np.argmin(gaps, axis=0)
        gap = gaps[which, np.arange(len(boxes))]
        order = np.argsort(gap, kind="stable")
        further = order[_CLOSELY:]
        order = np.concatenate([order[:_CLOSELY], further[:: max(len(further) // _WIDELY, 1)]])
        boxes, spots = boxes[order], anchors[which[order]]
        cost = gap[order] + self._hindered(label, boxes, spots)
        if pushing:
            cost += _PUSH * np.sum(_overlaps(boxes, self._boxes()), axis=1)
        best = int(np.argmin(cost))
        box, anchor = boxes[best], spots[best]
        placed = Placed(label, Box(*box.tolist()), (float(anchor[0]), float(anchor[1])))
        self._take(placed, 1)
        return placed

    def _pushed(self, label: Label) -> bool:
        """Whether all are better off when a label takes a better place and what was there looks for another."""
        before, taken, whole = dict(self.placed), self.taken.copy(), self._whole()
        self._take(self.placed[label.name], -1)
        placed = self.place(label, pushing=True)
        others = [each for name, each in self.placed.items() if placed is not None and name != label.name]
        pushed = [each for each in others if placed is not None and each.box.meets(placed.box)]
        for each in pushed:
            self._take(each, -1)
        found = placed is not None and all(self.place(each.label) is not None for each in pushed)
        if found and self._whole() < whole - 1.0:
            return True
        self.placed, self.taken = before, taken
        return False

    def _whole(self) -> float:
        """What all labels cost together."""
        return sum(self._burdens().values())

    def _boxes(self) -> Array:
        boxes = [
            (each.box.left, each.box.top, each.box.right, each.box.bottom) for each in self.placed.values()
        ]
        return np.array(boxes).reshape(-1, 4)

    def _candidates(self, width: float, height: float, pushing: bool) -> Array:
        rows, columns = self._free(math.ceil(width / _SQUARE), math.ceil(height / _SQUARE), pushing)
        left, top = self.area.left + columns * _SQUARE, self.area.top + rows * _SQUARE
        return np.stack([left, top, left + width, top + height], axis=1)

    def _take(self, placed: Placed, times: int) -> None:
        """Take the room of a label, or give it back."""
        box = placed.box
        left, top = np.floor((np.array([box.left, box.top]) - self.corner) / _SQUARE + 1e-6).astype(int)
        right, bottom = np.ceil((np.array([box.right, box.bottom]) - self.corner) / _SQUARE - 1e-6).astype(
            int
        )
        self.taken[top:bottom, left:right] += times
        if times > 0:
            self.placed[placed.label.name] = placed
        else:
            del self.placed[placed.label.name]

    def _burdens(self) -> dict[str, float]:
        """What each label costs where it stands."""
        every = list(self.placed.values())
        boxes = self._boxes()
        starts, ends = (np.array([getattr(each, name) for each in every]) for name in ("anchor", "end"))
        over = cut_rectangles(starts, ends, boxes)
        np.fill_diagonal(over, val=False)
        lines = np.concatenate([starts, ends], axis=1)
        cost = _OVER_TEXT * (np.sum(over, axis=1) + np.sum(over, axis=0))
        cost = cost + _OVER_LEADER * crossings(starts, ends, lines)
        return {
            each.label.name: float(way) + self._gap_of(each) for each, way in zip(every, cost, strict=True)
        }

    def _gap_of(self, placed: Placed) -> float:
        """How far a label is from its anchor, once for each place."""
        key = (placed.label.name, placed.box, placed.anchor)
        if key not in self.gaps:
            box = np.array([[placed.box.left, placed.box.top, placed.box.right, placed.box.bottom]])
            self.gaps[key] = float(_gap(placed.label, box, np.array(placed.anchor))[0])
        return self.gaps[key]

    def _free(self, wide: int, high: int, pushing: bool) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        """Rows and columns from which on a rectangle of squares is free."""
        full = (self.rig if pushing else self.rig | (self.taken > 0)).astype(np.int32)
        rows, columns = full.shape
        if wide > columns or high > rows:
            return np.zeros(0, dtype=np.intp), np.zeros(0, dtype=np.intp)
        whole = np.zeros((rows + 1, columns + 1), dtype=np.int32)
        whole[1:, 1:] = np.cumsum(np.cumsum(full, axis=0), axis=1)
        inside = whole[high:, wide:] - whole[:-high, wide:] - whole[high:, :-wide] + whole[:-high, :-wide]
        thin = np.zeros(inside.shape, dtype=bool)
        thin[::2, ::2] = True
        found = np.nonzero((inside == 0) & thin)
        return found if len(found[0]) else np.nonzero(inside == 0)  # type: ignore[return-value]

    def _hindered(self, label: Label, boxes: Array, spots: Array) -> Array:
        """What each place costs by what its leader runs over, and by the leaders that it would hide."""
        ends = _signs(label, boxes, spots) if label.symbol else nearest_on(boxes, spots)
        over_rig = _OVER_RIG * over_squares(spots, ends, self.rig, self.corner, _SQUARE)
        return over_rig + _in_the_way(spots, ends, boxes, list(self.placed.values()))


def _gap(label: Label, boxes: Array, spot: Array) -> Array:
    """How far each place is from an anchor; hardly any good where it hides it."""
    spots = np.repeat(spot[None], len(boxes), axis=0)
    gap = np.linalg.norm(nearest_on(boxes, spots) - spot, axis=1)
    if label.symbol:
        beside = (spot[0] > boxes[:, 0] + label.symbol) & (spot[0] < boxes[:, 2] - label.symbol)
        gap = np.linalg.norm(_signs(label, boxes, spots) - spot, axis=1) + 60.0 * beside
    return np.where(gap < label.clear, 1e6, gap + (gap / _FAR) ** 2)


def _overlaps(boxes: Array, others: Array) -> NDArray[np.bool_]:
    """Which rectangles (rows) have room in common with which others (columns)."""
    low = np.maximum(boxes[:, None, :2], others[None, :, :2])
    high = np.minimum(boxes[:, None, 2:], others[None, :, 2:])
    return np.asarray(np.all(low < high, axis=2))


def _signs(label: Label, boxes: Array, spots: Array) -> Array:
    """The middle of the symbol, at the side of the box where the anchor is."""
    turned = spots[:, 0] > (boxes[:, 0] + boxes[:, 2]) / 2
    half = label.symbol / 2
    return np.stack(
        [np.where(turned, boxes[:, 2] - half, boxes[:, 0] + half), (boxes[:, 1] + boxes[:, 3]) / 2], axis=1
    )


def _in_the_way(starts: Array, ends: Array, boxes: Array, others: Sequence[Placed]) -> Array:
    """What leaders run over, and what boxes hide, of some labels."""
    if not others:
        return np.zeros(len(starts))
    taken = np.array([(each.box.left, each.box.top, each.box.right, each.box.bottom) for each in others])
    lines = np.array([(*each.anchor, *each.end) for each in others])
    cost = _OVER_TEXT * np.sum(cut_rectangles(starts, ends, taken), axis=1)
    cost = cost + _OVER_LEADER * crossings(starts, ends, lines)
    return np.asarray(cost + _OVER_TEXT * np.sum(cut_rectangles(lines[:, :2], lines[:, 2:], boxes), axis=0))


def run_over(placed: Sequence[Placed]) -> list[tuple[str, str]]:
    """Which leaders run over the words of which other labels."""
    if not placed:
        return []
    boxes = np.array([(each.box.left, each.box.top, each.box.right, each.box.bottom) for each in placed])
    inside = boxes + np.array([_PAD, _PAD, -_PAD, -_PAD])
    starts, ends = (np.array([getattr(each, name) for each in placed]) for name in ("anchor", "end"))
    over = cut_rectangles(starts, ends, inside)
    np.fill_diagonal(over, val=False)
    return [
        (placed[one].label.name, placed[other].label.name)
        for one, other in zip(*np.nonzero(over), strict=True)
    ]


def drawn_label(placed: Placed) -> Iterator[str]:
    """The words of a label and its leader."""
    label, box = placed.label, placed.box
    if label.symbol:
        yield line(placed.anchor, placed.end, stroke=INK, stroke_width=1.3)
    elif math.dist(placed.anchor, placed.end) > _NEAR:
        yield line(placed.anchor, placed.end, stroke=FAINT, stroke_width=0.6)
        if not label.clear:
            yield circle(placed.anchor, 1.4, fill=FAINT)
    high = sum(each.size * _SPACING for each in label.lines)
    down = (box.top + box.bottom - high) / 2
    left = box.left + _PAD + (0.0 if placed.turned else label.symbol)
    right = box.right - _PAD - label.symbol
    for each in label.lines:
        down += each.size * _SPACING
        at, end = (right, " end") if placed.turned else (left, "")
        yield text(each.words, (at, down - each.size * 0.27), each.size, f"{each.face}{end}".strip())
