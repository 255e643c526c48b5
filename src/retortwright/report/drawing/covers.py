# SPDX-License-Identifier: MIT
"""What heats, lags and cools, drawn along the stretches it lies over: each kind with a texture of its own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from retortwright.report.drawing.strips import Strip
from retortwright.report.drawing.svg import Point, element, polygon
from retortwright.rig.parts import Cool, Heat, Lag, Rig

__all__ = ["Band", "Texture", "bands_of", "covers_of", "kinds_of", "pattern", "patterns", "texture_of"]


@dataclass(frozen=True, slots=True)
class Texture:
    """How a kind of cover looks: its name in words, its depth on paper, the side of its tile, what is in it."""

    name: str
    words: str
    depth: float
    tile: float
    drawn: str  # strokes of the tile
    ink: str


_TEXTURES = {
    each.name: each
    for each in (
        Texture("furnace", "furnace, led by the programme", 13.0, 7.0, "M0,0L7,7M7,0L0,7", "#7a2b12"),
        Texture("tape", "heating with its own thermostat", 7.0, 8.0, "M0,6L4,2L8,6", "#9c3d14"),
        Texture("lag", "lagging", 8.0, 9.0, "M1,5a2,2 0 1 1 4,0a2,2 0 1 0 4,0", "#6d6459"),
        Texture("water coil", "water coil", 8.0, 8.0, "M1,4a3,3 0 1 1 6,0a3,3 0 1 1 -6,0", "#1f4e79"),
        Texture("air", "air blown over it", 9.0, 9.0, "M1,1.5L5,4.5L1,7.5", "#33698f"),
        Texture("wet wrap", "wet wrap", 7.0, 7.0, "M2,0V3M5.5,3.5V6.5", "#1f4e79"),
        Texture("ice water", "ice water", 12.0, 9.0, "M1,1H5V5H1Z", "#33698f"),
        Texture("dry ice", "dry ice", 12.0, 9.0, "M1,4.5H8M4.5,1V8", "#1f4e79"),
        Texture("liquid nitrogen", "liquid nitrogen", 12.0, 6.0, "M0,3H6", "#1f4e79"),
    )
}
_ORDER = (
    "water coil",
    "tape",
    "wet wrap",
    "lag",
    "furnace",
    "ice water",
    "dry ice",
    "liquid nitrogen",
    "air",
)
_GAP = 1.6
_OFF = 0.32  # of its ink where it is not running


@dataclass(frozen=True, slots=True)
class Band:
    """One cover over one stretch of one piece."""

    name: str
    kind: str
    piece: int
    running: bool
    outlines: tuple[tuple[Point, ...], ...]
    middles: tuple[Point, ...]  # of its outer edges

    def drawn(self) -> Iterator[str]:
        """Its texture, dim and dashed where it is off."""
        texture = _TEXTURES[self.kind]
        for outline in self.outlines:
            yield polygon(
                outline,
                fill=f"url(#{self.kind.replace(' ', '-')})",
                stroke=texture.ink,
                stroke_width=0.7,
                stroke_dasharray="" if self.running else "3 2",
                opacity="" if self.running else f"{_OFF}",
            )


def texture_of(kind: str) -> Texture:
    """The look of a kind of cover."""
    return _TEXTURES[kind]


def kinds_of(bands: Sequence[Band]) -> list[str]:
    """The kinds among some bands, in a fixed order."""
    return [kind for kind in _TEXTURES if any(band.kind == kind for band in bands)]


def patterns(kinds: Sequence[str]) -> Iterator[str]:
    """The definitions of the textures that are needed, and the hatch for an unknown temperature."""
    for kind in kinds:
        texture = _TEXTURES[kind]
        yield pattern(kind.replace(" ", "-"), texture.tile, texture.drawn, texture.ink, 1.0)
    yield pattern("unknown", 5.0, "M0,5L5,0", "#555555", 1.1)
    yield pattern("vapour", 6.0, "M1.2,1.5v0.01M4.2,4.5v0.01", "#4b2a7a", 1.3, "#f1ecf8")
    yield pattern("charge", 5.0, "M1,1.5h1M3.5,4h1", "#333333", 1.2)


def pattern(name: str, tile: float, drawn: str, ink: str, width: float, ground_of: str = "#ffffff") -> str:
    """A texture that repeats: strokes on a ground."""
    stroke = element(
        "path", {"d": drawn, "fill": "none", "stroke": ink, "stroke-width": width, "stroke-linecap": "round"}
    )
    size: dict[str, str | float] = {
        "id": name,
        "width": tile,
        "height": tile,
        "patternUnits": "userSpaceOnUse",
    }
    ground = element("rect", {"width": tile, "height": tile, "fill": ground_of})
    return element("pattern", size, ground, stroke)


def bands_of(rig: Rig, strips: Sequence[Strip], running: Sequence[str]) -> list[Band]:
    """Every cover over every piece; what lies over another lies further out."""
    found: list[Band] = []
    taken: list[tuple[int, float, float, float]] = []  # piece, from, to, how far out
    for cover in sorted(covers_of(rig), key=lambda each: _ORDER.index(_kind(each))):
        kind = _kind(cover)
        on = kind == "lag" or cover.name in running
        for number, strip in enumerate(strips):
            stretch = cover.over.get(strip.single.row.name)
            if stretch is None:
                continue
            start, end = stretch.start, strip.single.length if stretch.end is None else stretch.end
            under = [far for piece, low, high, far in taken if piece == number and low < end and start < high]
            near = max(under, default=0.0) + _GAP
            far = near + _depth(cover, strip)
            taken.append((number, start, end, far))
            outlines = tuple(tuple(strip.ribbon(start, end, near, far, side)) for side in (1, -1))
            places = [start + share * (end - start) for share in (0.5, 0.2, 0.8)]
            middles = tuple(
                strip.edge(place, side * (strip.halves(place)[0] + far))
                for place in places
                for side in (1, -1)
            )
            found.append(Band(cover.name, kind, number, on, outlines, middles))
    return found


def covers_of(rig: Rig) -> list[Heat | Lag | Cool]:
    """All that heats, lags and cools."""
    return [*rig.heat, *rig.lag, *rig.cool]


def _kind(cover: Heat | Lag | Cool) -> str:
    if isinstance(cover, Heat):
        return "furnace" if cover.holds is None else "tape"
    return "lag" if isinstance(cover, Lag) else cover.by


def _depth(cover: Heat | Lag | Cool, strip: Strip) -> float:
    """How thick a cover is on paper; a lagging to scale where that can be seen."""
    depth = _TEXTURES[_kind(cover)].depth
    return max(cover.thick * strip.frame.scale, depth) if isinstance(cover, Lag) else depth
