# SPDX-License-Identifier: MIT
"""Curves in a frame with axes: each curve with a colour, a dash and a mark of its own."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from retortwright.report.drawing.labels import Box
from retortwright.report.drawing.svg import INK, Point, circle, element, line, path, polygon, rectangle, text

__all__ = ["STYLES", "Axis", "Frame", "Style", "axis_of", "key", "power_axis"]

_GRID = "#e2e2e2"
_SIZE = 11.0
_EVERY = 9  # a mark at every so many points


@dataclass(frozen=True, slots=True)
class Style:
    """How a curve is told from others."""

    colour: str
    dash: str
    mark: str


STYLES = (
    Style("#7a2b12", "", "ring"),
    Style("#1f4e79", "9 3", "square"),
    Style("#2f6b3c", "2 2.5", "triangle"),
    Style("#6b2f6b", "9 3 2 3", "diamond"),
    Style("#8a6a00", "5 2.5", "cross"),
    Style("#00666b", "14 3", "plus"),
    Style("#a02c5a", "4 2 1 2 1 2", "dot"),
    Style("#444444", "1.5 4", "bar"),
)


@dataclass(frozen=True, slots=True)
class Axis:
    """A quantity along one side of the frame; `ticks` with the words at each."""

    low: float
    high: float
    name: str
    ticks: tuple[tuple[float, str], ...]
    by_power: bool = False

    def share(self, value: float) -> float:
        """How far along the axis a value is, 0 to 1 inside."""
        if self.by_power:
            return math.log(value / self.low) / math.log(self.high / self.low)
        return (value - self.low) / (self.high - self.low)


def axis_of(low: float, high: float, name: str, parts: int = 8) -> Axis:
    """An even axis whose ends are round."""
    size = max(high - low, 1e-9) / parts
    power = 10.0 ** math.floor(math.log10(size))
    step = next(each * power for each in (1, 2, 5, 10) if each * power >= size * (1 - 1e-9))
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    ticks = tuple((number * step, f"{number * step:.6g}") for number in range(first, last + 1))
    return Axis(first * step, last * step, name, ticks)


def power_axis(low: int, high: int, name: str) -> Axis:
    """An axis by powers of ten, from one to another."""
    ticks = tuple((10.0**number, _power(number)) for number in range(low, high + 1))
    return Axis(10.0**low, 10.0**high, name, ticks, by_power=True)


def _power(number: int) -> str:
    return f"{10.0**number:g}" if -4 < number < 5 else f"1e{number}"


@dataclass(frozen=True, slots=True)
class Frame:
    """Where a plot lies on paper, and its two axes."""

    box: Box
    across: Axis
    up: Axis

    def to(self, x: float, y: float) -> Point:
        """The place of a pair of values."""
        width, height = self.box.right - self.box.left, self.box.bottom - self.box.top
        return self.box.left + width * self.across.share(x), self.box.bottom - height * self.up.share(y)

    def drawn(self, title: str, numbers: bool = True) -> Iterator[str]:
        """Grid, ticks and names; `numbers` at the left side too."""
        box = self.box
        for value, words in self.across.ticks:
            x = self.to(value, self.up.low)[0]
            yield line((x, box.top), (x, box.bottom), stroke=_GRID, stroke_width=0.7)
            yield line((x, box.bottom), (x, box.bottom + 4), stroke=INK, stroke_width=0.8)
            yield text(words, (x, box.bottom + 16), _SIZE, "middle")
        for value, words in self.up.ticks:
            y = self.to(self.across.low, value)[1]
            yield line((box.left, y), (box.right, y), stroke=_GRID, stroke_width=0.7)
            yield line((box.left - 4, y), (box.left, y), stroke=INK, stroke_width=0.8)
            if numbers:
                yield text(words, (box.left - 7, y + 4), _SIZE, "end")
        size = (box.right - box.left, box.bottom - box.top)
        yield rectangle((box.left, box.top), *size, fill="none", stroke=INK, stroke_width=1.0)
        middle = ((box.left + box.right) / 2, (box.top + box.bottom) / 2)
        yield text(self.across.name, (middle[0], box.bottom + 33), 12, "middle")
        if numbers:
            turn = f"rotate(-90 {box.left - 52:.1f} {middle[1]:.1f})"
            yield text(self.up.name, (box.left - 52, middle[1]), 12, "middle", transform=turn)
        yield text(title, (box.left, box.top - 9), 13, "bold")

    def clip(self, name: str) -> str:
        """A definition that keeps curves inside."""
        size = (self.box.right - self.box.left, self.box.bottom - self.box.top)
        return element("clipPath", {"id": name}, rectangle((self.box.left, self.box.top), *size))

    def curve(self, points: Sequence[tuple[float, float]], style: Style, shift: int = 0) -> Iterator[str]:
        """A curve through values, in pieces where there is no number."""
        for run in _runs(points):
            spots = [self.to(x, y) for x, y in run]
            yield path(spots, stroke=style.colour, stroke_width=1.8, stroke_dasharray=style.dash)
            for spot in spots[shift % _EVERY :: _EVERY]:
                yield from _MARKS[style.mark](spot, style.colour)


def _runs(points: Sequence[tuple[float, float]]) -> Iterator[list[tuple[float, float]]]:
    run: list[tuple[float, float]] = []
    for x, y in points:
        if math.isfinite(y):
            run.append((x, y))
        elif run:
            yield run
            run = []
    if len(run) > 1:
        yield run


def key(entries: Sequence[tuple[str, Style]], corner: Point) -> Iterator[str]:
    """What each curve is."""
    left, down = corner
    for words, style in entries:
        start, end = (left, down - 4), (left + 34, down - 4)
        yield line(start, end, stroke=style.colour, stroke_width=1.8, stroke_dasharray=style.dash)
        yield from _MARKS[style.mark]((left + 17, down - 4), style.colour)
        yield text(words, (left + 42, down), 11.5)
        down += 20


def _ring(at: Point, colour: str) -> Iterator[str]:
    yield circle(at, 3.0, fill="#ffffff", stroke=colour, stroke_width=1.2)


def _dot(at: Point, colour: str) -> Iterator[str]:
    yield circle(at, 2.2, fill=colour)


def _outline(*corners: Point) -> Callable[[Point, str], Iterator[str]]:
    def drawn(at: Point, colour: str) -> Iterator[str]:
        spots = [(at[0] + x, at[1] + y) for x, y in corners]
        yield polygon(spots, fill="#ffffff", stroke=colour, stroke_width=1.2)

    return drawn


def _strokes(*ends: tuple[Point, Point]) -> Callable[[Point, str], Iterator[str]]:
    def drawn(at: Point, colour: str) -> Iterator[str]:
        for start, end in ends:
            spots = [(at[0] + x, at[1] + y) for x, y in (start, end)]
            yield path(spots, stroke=colour, stroke_width=1.4)

    return drawn


_MARKS: dict[str, Callable[[Point, str], Iterator[str]]] = {
    "ring": _ring,
    "dot": _dot,
    "square": _outline((-2.8, -2.8), (2.8, -2.8), (2.8, 2.8), (-2.8, 2.8)),
    "triangle": _outline((0, -3.6), (3.4, 2.6), (-3.4, 2.6)),
    "diamond": _outline((0, -3.8), (3.8, 0), (0, 3.8), (-3.8, 0)),
    "cross": _strokes(((-3, -3), (3, 3)), ((-3, 3), (3, -3))),
    "plus": _strokes(((-3.6, 0), (3.6, 0)), ((0, -3.6), (0, 3.6))),
    "bar": _strokes(((0, -4), (0, 4))),
}
