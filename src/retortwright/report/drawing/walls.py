# SPDX-License-Identifier: MIT
"""Walls, bores, ends and openings of the pieces, coloured by temperature."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from retortwright.ground.arrays import Array
from retortwright.report.drawing.strips import Strip
from retortwright.report.drawing.svg import INK, Point, circle, line, path, polygon
from retortwright.report.drawing.temperature_scale import TemperatureScale
from retortwright.situation.mesh import Mesh

__all__ = ["BORE", "break_marks", "ends", "knee", "opening", "piece", "self_closed"]

BORE = "#fdfdfb"
_LINE = 0.8
_STRAIGHT = math.cos(math.radians(3))


def piece(strip: Strip, number: int, mesh: Mesh, middle: Array, scale: TemperatureScale) -> Iterator[str]:
    """Bore and both walls of one piece; neighbouring cells of one colour are one patch."""
    yield polygon(strip.bore(), fill=BORE)
    for start, end, colour in _runs(number, mesh, middle, scale):
        for side in (1, -1):
            yield polygon(strip.wall(start, end, side), fill=colour, stroke=colour, stroke_width=0.3)
    for side in (1, -1):
        yield path(strip.side(side), stroke=INK, stroke_width=_LINE)
        yield path(strip.side(side, inside=True), stroke=INK, stroke_width=_LINE / 2)


def _runs(
    number: int, mesh: Mesh, middle: Array, scale: TemperatureScale
) -> Iterator[tuple[float, float, str]]:
    """Stretches of one colour along a piece."""
    first, last = mesh.first[number], mesh.last[number]
    start, colour = float(mesh.start[first]), scale.colour(float(middle[first]))
    for cell in range(first + 1, last + 1):
        now = scale.colour(float(middle[cell]))
        if now != colour:
            yield start, float(mesh.start[cell]), colour
            start, colour = float(mesh.start[cell]), now
    yield start, float(mesh.end[last]), colour


def knee(strip: Strip, stem: Strip, colour: str) -> Iterator[str]:
    """Where a piece goes on from the end of another in a new direction: a rounded corner under both."""
    (middle, along), before = strip.axis(0.0), stem.axis(strip.single.at)[1]
    if along[0] * before[0] + along[1] * before[1] < _STRAIGHT:
        radius = max(strip.halves(0.0)[0], stem.halves(strip.single.at)[0])
        yield circle(middle, radius, fill=colour, stroke=INK, stroke_width=_LINE)


def opening(strip: Strip, stem: Strip) -> Iterator[str]:
    """The way from the bore of a piece into that of the one it sits on."""
    middle, along = strip.axis(0.0)
    bore = strip.halves(0.0)[1]
    if strip.single.at_end:
        before = stem.axis(strip.single.at)[1]
        if along[0] * before[0] + along[1] * before[1] < _STRAIGHT:
            yield circle(middle, min(bore, stem.halves(strip.single.at)[1]), fill=BORE)
        elif abs(strip.halves(0.0)[0] - stem.halves(strip.single.at)[0]) > _LINE:
            yield from _shoulder(strip, stem)
        return
    outer, inner = stem.halves(strip.single.at)
    before = stem.axis(strip.single.at)[1]
    across = max(abs(along[0] * before[1] - along[1] * before[0]), 0.3)
    back, on = (outer - inner) / across + bore * math.sqrt(1 - min(across, 1.0) ** 2) + 1.0, 1.5
    corners = [
        _beside(middle, along, -back, -bore),
        _beside(middle, along, -back, bore),
        _beside(middle, along, on, bore),
        _beside(middle, along, on, -bore),
    ]
    yield polygon(corners, fill=BORE)
    for side in (-1, 1):
        edge = bore * side
        start, end = _beside(middle, along, on - 2.0, edge), _beside(middle, along, on, edge)
        yield line(start, end, stroke=INK, stroke_width=_LINE / 2)


def _shoulder(strip: Strip, stem: Strip) -> Iterator[str]:
    """The step between two outsides of different width."""
    wide, narrow = sorted((strip.halves(0.0)[0], stem.halves(strip.single.at)[0]), reverse=True)
    middle, along = strip.axis(0.0)
    least = min(strip.halves(0.0)[1], stem.halves(strip.single.at)[1])
    for side in (1, -1):
        start, end = _beside(middle, along, 0.0, side * least), _beside(middle, along, 0.0, side * wide)
        yield line(start, end, stroke=INK, stroke_width=_LINE * 1.6 if narrow < wide else _LINE)


def self_closed(strip: Strip, colour: str, glass: bool) -> Iterator[str]:
    """The far end of a piece on which nothing sits and that nothing shuts: round in glass, flat otherwise."""
    place = strip.single.length
    outer, inner = strip.halves(place)
    middle, along = strip.axis(place)
    if strip.single.row.shape == "flask":
        return
    if glass:
        yield polygon(_dome(middle, along, outer, outer), fill=colour, stroke=INK, stroke_width=_LINE)
        yield polygon(_dome(middle, along, inner, inner), fill=BORE)
        return
    yield _plate(middle, along, outer, outer - inner, colour)


def ends(strip: Strip, near: str, far: str) -> Iterator[str]:
    """Bottom and closure of a piece, in the colours of its ends."""
    row, length = strip.single.row, strip.single.length
    if row.bottom is not None:
        middle, along = strip.axis(0.0)
        back = (-along[0], -along[1])
        yield from _end(strip, middle, back, 0.0, row.bottom.shape, row.bottom.thick, near)
    if row.closed is not None:
        middle, along = strip.axis(length)
        if row.closed.shape is None or row.closed.thick is None:
            yield from _cap(strip, middle, along, far)
        else:
            yield from _end(strip, middle, along, length, row.closed.shape, row.closed.thick, far)


def _end(
    strip: Strip, middle: Point, along: Point, place: float, shape: str, thick: float, colour: str
) -> Iterator[str]:
    """An end wall of its own shape; `along` points out of the piece."""
    outer, inner = strip.halves(place)
    deep = max(thick * strip.frame.scale, outer - inner)
    if shape == "flat":
        yield _plate(middle, along, outer, deep, colour)
        return
    high = {"dished": 0.4, "hemispherical": 1.0}.get(shape, 0.9)
    make = _cone if shape == "conical" else _dome
    yield polygon(
        make(middle, along, outer, high * inner + deep), fill=colour, stroke=INK, stroke_width=_LINE
    )
    yield polygon(make(middle, along, inner, high * inner), fill=BORE, stroke=BORE, stroke_width=0.5)


def _cap(strip: Strip, middle: Point, along: Point, colour: str) -> Iterator[str]:
    """A closure of which only the joint is said: a collar and a lid."""
    outer, inner = strip.halves(strip.single.length)
    yield polygon(
        [
            _beside(middle, along, -5.0, -outer - 4),
            _beside(middle, along, -5.0, -outer),
            _beside(middle, along, 0.0, -outer),
            _beside(middle, along, 0.0, outer),
            _beside(middle, along, -5.0, outer),
            _beside(middle, along, -5.0, outer + 4),
            _beside(middle, along, 5.0, outer + 4),
            _beside(middle, along, 5.0, -outer - 4),
        ],
        fill=colour,
        stroke=INK,
        stroke_width=_LINE,
    )
    start, end = _beside(middle, along, 0.0, -inner), _beside(middle, along, 0.0, inner)
    yield line(start, end, stroke=INK, stroke_width=_LINE * 2)


def _plate(middle: Point, along: Point, half: float, deep: float, colour: str) -> str:
    corners = [
        _beside(middle, along, 0.0, -half),
        _beside(middle, along, 0.0, half),
        _beside(middle, along, deep, half),
        _beside(middle, along, deep, -half),
    ]
    return polygon(corners, fill=colour, stroke=INK, stroke_width=_LINE)


def _dome(middle: Point, along: Point, half: float, high: float) -> list[Point]:
    angles = [math.pi * part / 16 for part in range(17)]
    return [_beside(middle, along, high * math.sin(angle), half * math.cos(angle)) for angle in angles]


def _cone(middle: Point, along: Point, half: float, high: float) -> list[Point]:
    return [
        _beside(middle, along, 0.0, half),
        _beside(middle, along, high, 0.0),
        _beside(middle, along, 0.0, -half),
    ]


def _beside(middle: Point, along: Point, on: float, aside: float) -> Point:
    """A point so far on along a direction and so far to the right of it."""
    return middle[0] + along[0] * on - along[1] * aside, middle[1] + along[1] * on + along[0] * aside


def break_marks(strip: Strip) -> Iterator[str]:
    """Two wavy lines where a stretch is left out."""
    if strip.flat.cut is None:
        return
    middle, along = strip.axis((strip.flat.cut.start + strip.flat.cut.end) / 2)
    half = strip.halves(0.0)[0] + 3
    waves = [_wave(middle, along, half, on) for on in (-3.0, 3.0)]
    yield polygon(waves[0] + waves[1][::-1], fill="#ffffff")
    for wave in waves:
        yield path(wave, stroke=INK, stroke_width=_LINE)


def _wave(middle: Point, along: Point, half: float, on: float) -> list[Point]:
    parts: Sequence[int] = range(-8, 9)
    return [
        _beside(middle, along, on + 2.0 * math.sin(math.pi * part / 4), half * part / 8) for part in parts
    ]
