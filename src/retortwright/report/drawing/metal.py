# SPDX-License-Identifier: MIT
"""The product on paper: its vapour in the bores, what lands on the walls, and the marks across the pieces."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.report.drawing.labels import Label, Line
from retortwright.report.drawing.marks import Mark
from retortwright.report.drawing.strips import Strip
from retortwright.report.drawing.svg import INK, Point, line, path, polygon
from retortwright.situation.mesh import Mesh

__all__ = ["METAL", "landed_bands", "mark_labels", "mark_sign", "marks_drawn", "vapour_fills"]

METAL = "#4b2a7a"  # dark in grey too, and no colour of the temperatures
_DEEPEST, _THINNEST = 0.8, 0.9  # of half the bore, and on paper: how thick landed metal is drawn
_FAINT = 0.003  # of the densest place: less is not drawn
_OUT = 5.0  # how far marks stand out over the wall
_DASHES = {"melting": "5 2", "dew": "1.5 1.5"}


def vapour_fills(strips: Sequence[Strip], mesh: Mesh, filled: Array) -> Iterator[str]:
    """The bores as far as vapour fills them."""
    for number, strip in enumerate(strips):
        stretches: list[tuple[float, float]] = []
        for cell in range(mesh.first[number], mesh.last[number] + 1):
            if filled[cell] <= 0.0:
                continue
            start = float(mesh.start[cell])
            end = start + float(filled[cell] * mesh.width[cell])
            if stretches and abs(stretches[-1][1] - start) < 1e-9:
                stretches[-1] = (stretches[-1][0], end)
            else:
                stretches.append((start, end))
        for start, end in stretches:
            yield polygon(_across(strip, start, end), fill="url(#vapour)")


def _across(strip: Strip, start: float, end: float) -> list[Point]:
    """The outline of the bore along a stretch."""
    places = strip.within(start, end)
    one = [strip.edge(place, strip.halves(place)[1] - 0.4) for place in places]
    return one + [strip.edge(place, 0.4 - strip.halves(place)[1]) for place in places[::-1]]


def landed_bands(strips: Sequence[Strip], mesh: Mesh, landed: Array) -> Iterator[str]:
    """Metal along the inside of the walls, thick where most of it lands on a length."""
    dense = landed / mesh.width
    most = float(dense.max())
    if not most > 0.0:
        return
    for number, strip in enumerate(strips):
        cells = slice(mesh.first[number], mesh.last[number] + 1)
        own, places = dense[cells] / most, mesh.middle[cells]
        for cell in np.flatnonzero(own > _FAINT):
            ends = (float(mesh.start[cells][cell]), float(mesh.end[cells][cell]))
            for side in (1, -1):
                yield _layer(strip, ends, (places, own), side)


def _layer(strip: Strip, ends: tuple[float, float], profile: tuple[Array, Array], side: int) -> str:
    """The metal on one cell; its thickness runs evenly from the middle of each cell to the next."""
    places = strip.within(*ends)
    places = sorted({*places, (ends[0] + ends[1]) / 2})
    outer, inner = [], []
    for place in places:
        half, share = strip.halves(place)[1], float(np.interp(place, *profile))
        thick = min(max(share * _DEEPEST * half, _THINNEST), half)
        outer.append(strip.edge(place, side * half))
        inner.append(strip.edge(place, side * (half - thick)))
    return polygon(outer + inner[::-1], fill=METAL, stroke=METAL, stroke_width=0.2)


def marks_drawn(strips: Sequence[Strip], marks: Sequence[Mark]) -> Iterator[str]:
    """A stroke across the piece at every place of every mark, by its kind."""
    for mark in marks:
        for number, place in mark.spots:
            strip = strips[number]
            half = strip.halves(place)
            if mark.kind == "landed":
                continue
            if mark.kind == "front":
                ends = [strip.edge(place, side * half[1]) for side in (1, -1)]
                yield from mark_sign("front", *ends)
                continue
            ends = [strip.edge(place, side * (half[0] + _OUT)) for side in (1, -1)]
            yield from mark_sign(mark.kind, *ends)


def mark_sign(kind: str, start: Point, end: Point) -> Iterator[str]:
    """The stroke of a kind of mark, on white so that it shows on any wall."""
    if kind == "front":
        (x, y), (right, down) = start, end
        size = max(((right - x) ** 2 + (down - y) ** 2) ** 0.5, 1e-6)
        along = ((right - x) / size, (down - y) / size)
        aside, parts = (-along[1], along[0]), 6
        waves = []
        for part in range(parts + 1):
            lift = 2.0 * (-1) ** part
            on = size * part / parts
            waves.append((x + along[0] * on + aside[0] * lift, y + along[1] * on + aside[1] * lift))
        yield path(waves, stroke="#ffffff", stroke_width=3.2)
        yield path(waves, stroke=METAL, stroke_width=1.5)
        return
    yield line(start, end, stroke="#ffffff", stroke_width=3.4)
    yield line(start, end, stroke=INK, stroke_width=1.8, stroke_dasharray=_DASHES.get(kind, ""))


def mark_labels(strips: Sequence[Strip], marks: Sequence[Mark]) -> Iterator[Label]:
    """What the marks say: led to their ends beside the piece."""
    for number, mark in enumerate(marks):
        anchors = tuple(
            strips[single].edge(place, side * (strips[single].halves(place)[0] + _OUT - 1.0))
            for single, place in mark.spots
            for side in (1, -1)
        )
        lines = tuple(
            Line(words, 10.5, "bold slanted" if order == 0 else "slanted")
            for order, words in enumerate(mark.words)
        )
        if anchors:
            yield Label(f"mark {mark.kind} {number}", anchors, lines)
