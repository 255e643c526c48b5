# SPDX-License-Identifier: MIT
"""How high the charge stands in the retort: as poured in, and melted where it melts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from retortwright.report.drawing.strips import Strip
from retortwright.report.drawing.svg import INK, Point, path, polygon
from retortwright.situation.charge import charge_of
from retortwright.situation.charge_room import charge_room
from retortwright.situation.figure import Figure
from retortwright.situation.situation import Situation

__all__ = ["Fill", "drawn_fill", "fill_of"]


@dataclass(frozen=True, slots=True)
class Fill:
    """Heights of the charge above the lowest place inside the retort [m]; None where not known or not so."""

    cold: float | None
    melted: float | None


def fill_of(situation: Situation) -> Fill:
    """The middle of each height."""
    if not situation.rig.charge:
        return Fill(None, None)
    room = charge_room(charge_of(situation))
    return Fill(_middle(room.cold()), _middle(room.melted()) if room.melts() else None)


def _middle(figure: Figure) -> float | None:
    good = figure.values[np.isfinite(figure.values)]
    return float(np.median(good)) if len(good) and not figure.missing else None


def drawn_fill(strip: Strip, fill: Fill) -> tuple[list[str], tuple[Point, ...]]:
    """The charge in the bore of the retort, and places to lead a label to."""
    bore, scale = strip.bore(), strip.frame.scale
    floor = max(y for _, y in bore)
    made: list[str] = []
    anchors: tuple[Point, ...] = ()
    if fill.cold is not None:
        below = _below(bore, floor - fill.cold * scale)
        if len(below) > 2:
            made.append(polygon(below, fill="url(#charge)", stroke=INK, stroke_width=0.6))
            middle = floor - fill.cold * scale / 2
            anchors = tuple((end, middle) for end in (min(x for x, _ in below), max(x for x, _ in below)))
    if fill.melted is not None:
        ends = _surface(bore, floor - fill.melted * scale)
        if ends is not None:
            made.append(path(list(_wave(*ends)), stroke=INK, stroke_width=1.6))
    return made, anchors


def _below(outline: Sequence[Point], level: float) -> list[Point]:
    """The part of an outline that lies below a level on paper."""
    found: list[Point] = []
    for number, (x, y) in enumerate(outline):
        before = outline[number - 1]
        if (y >= level) != (before[1] >= level):
            share = (level - before[1]) / (y - before[1])
            found.append((before[0] + share * (x - before[0]), level))
        if y >= level:
            found.append((x, y))
    return found


def _surface(outline: Sequence[Point], level: float) -> tuple[Point, Point] | None:
    """Where a level cuts an outline, from left to right."""
    xs = sorted(x for x, y in _below(outline, level) if abs(y - level) < 1e-6)
    return ((xs[0], level), (xs[-1], level)) if len(xs) > 1 and xs[-1] > xs[0] else None


def _wave(start: Point, end: Point) -> Iterator[Point]:
    parts = max(int((end[0] - start[0]) / 1.5), 4)
    for part in range(parts + 1):
        share = part / parts
        lift = 1.1 * float(np.sin(part * 1.3)) if 0 < part < parts else 0.0
        yield start[0] + share * (end[0] - start[0]), start[1] + lift
