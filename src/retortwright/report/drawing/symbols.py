# SPDX-License-Identifier: MIT
"""Small signs of this drawing's own: verdicts, valves, gauges, pump, argon, relief, bubbler."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from retortwright.report.drawing.svg import INK, Point, circle, line, path, polygon, rectangle

__all__ = ["PLANT", "VERDICT_SIGNS", "fall_arrow", "plant_sign", "valve_sign", "verdict_sign"]

VERDICT_SIGNS = {"holds": "circle", "thin": "triangle", "fails": "square", "unknown": "diamond"}
_FILLS = {"holds": "#ffffff", "thin": "#ffd34d", "fails": "#b3122a", "unknown": "#9fb4c7"}


def verdict_sign(verdict: str, at: Point, size: float = 6.5) -> Iterator[str]:
    """A ring that holds, a triangle that is thin, a crossed square that fails, a diamond that nobody knows."""
    x, y = at
    fill, edge = _FILLS.get(verdict, "#ffffff"), 1.4
    if verdict == "holds":
        yield circle(at, size * 0.8, fill=fill, stroke=INK, stroke_width=edge)
        yield circle(at, 1.4, fill=INK)
    elif verdict == "thin":
        corners = [(x, y - size * 1.15), (x + size, y + size * 0.75), (x - size, y + size * 0.75)]
        yield polygon(corners, fill=fill, stroke=INK, stroke_width=edge)
    elif verdict == "fails":
        corner = (x - size, y - size)
        yield rectangle(corner, 2 * size, 2 * size, fill=fill, stroke=INK, stroke_width=edge)
        for slope in (1, -1):
            start, end = (x - size * 0.6, y - slope * size * 0.6), (x + size * 0.6, y + slope * size * 0.6)
            yield line(start, end, stroke="#ffffff", stroke_width=2)
    elif verdict == "unknown":
        far = size * 1.25
        yield polygon(
            [(x, y - far), (x + far, y), (x, y + far), (x - far, y)], fill=fill, stroke=INK, stroke_width=edge
        )
        yield line((x - 2.6, y), (x + 2.6, y), stroke=INK, stroke_width=1.6)
    else:
        yield circle(at, 2.2, fill="#ffffff", stroke=INK, stroke_width=1.0)


def valve_sign(at: Point, along: Point, half: float, is_open: bool) -> Iterator[str]:
    """A round body with a bar: along the tube where it is open, thick and across where it is shut."""
    radius = max(half + 2.5, 8.0)
    way = along if is_open else (-along[1], along[0])
    start = (at[0] - way[0] * radius * 0.95, at[1] - way[1] * radius * 0.95)
    end = (at[0] + way[0] * radius * 0.95, at[1] + way[1] * radius * 0.95)
    yield circle(at, radius, fill="#ffffff", stroke=INK, stroke_width=1.2)
    yield line(start, end, stroke=INK, stroke_width=2.0 if is_open else 5.0)


def fall_arrow(start: Point, end: Point) -> Iterator[str]:
    """An arrow down a sloping piece."""
    size = math.dist(start, end)
    along = ((end[0] - start[0]) / size, (end[1] - start[1]) / size)
    neck = (end[0] - along[0] * 6, end[1] - along[1] * 6)
    yield line(start, neck, stroke=INK, stroke_width=1.0)
    wings = [(neck[0] - along[1] * side * 3, neck[1] + along[0] * side * 3) for side in (1, -1)]
    yield polygon([end, *wings], fill=INK)


def plant_sign(kind: str, middle: Point, size: float, running: bool = True) -> list[str]:
    """The sign of a thing of the plant in a square; thin where it does not run."""
    return list(PLANT[kind](middle, size / 2, 1.6 if running else 0.7))


def _gauge(middle: Point, half: float, width: float) -> Iterator[str]:
    x, y = middle
    foot = y + half * 0.45
    arc = [
        (x - half * 0.9 * math.cos(math.pi * part / 12), foot - half * 1.3 * math.sin(math.pi * part / 12))
        for part in range(13)
    ]
    yield polygon(arc, fill="#ffffff", stroke=INK, stroke_width=width)
    yield line((x, foot), (x + half * 0.45, foot - half * 0.85), stroke=INK, stroke_width=width)


def _pump(middle: Point, half: float, width: float) -> Iterator[str]:
    x, y = middle
    corner = (x - half * 0.9, y - half * 0.7)
    yield rectangle(
        corner, half * 1.8, half * 1.4, rx=half * 0.4, fill="#ffffff", stroke=INK, stroke_width=width
    )
    spiral = [
        (
            x + half * 0.09 * part / 2 * math.cos(part * 0.6),
            y + half * 0.09 * part / 2 * math.sin(part * 0.6),
        )
        for part in range(12)
    ]
    yield path(spiral, stroke=INK, stroke_width=width)


def _argon(middle: Point, half: float, width: float) -> Iterator[str]:
    x, y = middle
    outline = [
        (x - half * 0.45, y + half * 0.9),
        (x - half * 0.45, y - half * 0.35),
        (x - half * 0.15, y - half * 0.7),
        (x + half * 0.15, y - half * 0.7),
        (x + half * 0.45, y - half * 0.35),
        (x + half * 0.45, y + half * 0.9),
    ]
    yield polygon(outline, fill="#ffffff", stroke=INK, stroke_width=width)
    yield line(
        (x - half * 0.35, y - half * 0.9), (x + half * 0.35, y - half * 0.9), stroke=INK, stroke_width=2.2
    )


def _relief(middle: Point, half: float, width: float) -> Iterator[str]:
    x, y = middle
    seat = y + half * 0.6
    yield line((x - half * 0.7, seat), (x + half * 0.7, seat), stroke=INK, stroke_width=2.4)
    coil = [(x + half * 0.3 * (-1) ** part, seat - half * 0.22 * part) for part in range(1, 5)]
    yield path([(x, seat), *coil, (x, seat - half * 1.1)], stroke=INK, stroke_width=width)
    tip, foot = seat - half * 1.6, seat - half * 1.1
    yield polygon([(x, tip), (x - half * 0.3, foot), (x + half * 0.3, foot)], fill=INK)


def _bubbler(middle: Point, half: float, width: float) -> Iterator[str]:
    x, y = middle
    glass = [
        (x - half * 0.6, y - half * 0.5),
        (x - half * 0.6, y + half * 0.9),
        (x + half * 0.6, y + half * 0.9),
        (x + half * 0.6, y - half * 0.5),
    ]
    yield path(glass, stroke=INK, stroke_width=width)
    yield line((x, y - half * 0.9), (x, y + half * 0.4), stroke=INK, stroke_width=width)
    yield line((x - half * 0.6, y), (x + half * 0.6, y), stroke=INK, stroke_width=0.7)
    for side, high in ((0.28, 0.2), (-0.3, 0.45), (0.3, 0.62)):
        yield circle(
            (x + half * side, y + half * high), half * 0.12, fill="none", stroke=INK, stroke_width=0.7
        )


PLANT: dict[str, Callable[[Point, float, float], Iterator[str]]] = {
    "pump": _pump,
    "argon": _argon,
    "relief": _relief,
    "bubbler": _bubbler,
    "gauge": _gauge,
}
