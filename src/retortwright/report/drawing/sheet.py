# SPDX-License-Identifier: MIT
"""What stands around the section: title, cautions, verdict, legend, heights, scale bar, notes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from retortwright.report.drawing.covers import texture_of
from retortwright.report.drawing.labels import Box
from retortwright.report.drawing.metal import METAL, mark_sign
from retortwright.report.drawing.strips import Frame
from retortwright.report.drawing.svg import (
    FAINT,
    INK,
    Point,
    line,
    path,
    polygon,
    rectangle,
    text,
    text_width,
)
from retortwright.report.drawing.symbols import VERDICT_SIGNS, fall_arrow, valve_sign, verdict_sign
from retortwright.report.drawing.temperature_scale import STEPS, UNKNOWN, TemperatureScale, ramp

__all__ = ["Head", "Sheet", "header", "heights", "legend", "notes", "scale_bar", "wrapped"]

_LEGEND = 236.0  # width of the column
_MARGIN = 24.0
_RAMP, _BELOW_RAMP = 170.0, 58.0  # height of the colours, and of what is below them
_ROW, _BETWEEN = 21.0, 8.0  # height of a line of the legend, and what is left between groups
_FOOT = 86.0  # height of the strip below the section


@dataclass(frozen=True, slots=True)
class Head:
    """The words above the section."""

    title: str
    cautions: str
    verdict: str
    vapour: str  # what there is to say of it; a warning stands out
    grave: bool
    says: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """The paper and what is kept for what."""

    width: float
    height: float
    top: float

    @property
    def area(self) -> Box:
        """Where the section and its labels go."""
        return Box(_MARGIN + 44, self.top, self.width - _LEGEND - _MARGIN, self.height - _FOOT)


def wrapped(words: str, width: float, size: float, bold: bool = False) -> list[str]:
    """Words in lines that are no wider."""
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size, bold) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def header(head: Head, width: float) -> tuple[list[str], float]:
    """Title, cautions, verdict and what is drawn; and how far down they reach."""
    made, down = [text(head.title, (_MARGIN, 38), 22, "bold")], 58.0
    for words, size, face in (
        (head.cautions, 11.5, "bold"),
        (head.verdict, 15.0, "bold"),
        (head.vapour, 13.0 if head.grave else 11.0, "bold" if head.grave else ""),
        (head.says, 11.0, ""),
    ):
        down += 2.0 if size < 15 else 6.0
        for each in wrapped(words, width - 2 * _MARGIN, size, face == "bold"):
            made.append(text(each, (_MARGIN, down + size * 0.3), size, face))
            down += size * 1.3
    made.append(line((_MARGIN, down), (width - _MARGIN, down), stroke=FAINT, stroke_width=0.6))
    return made, down + 8


def heights(frame: Frame, low: float, high: float) -> Iterator[str]:
    """A ruler of heights [m] at the left edge."""
    step = _round_step((high - low) / 8)
    x = _MARGIN + 34
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    tops = [frame.to((0.0, number * step))[1] for number in (first, last)]
    yield line((x, tops[0]), (x, tops[1]), stroke=INK, stroke_width=0.8)
    for number in range(first, last + 1):
        y = frame.to((0.0, number * step))[1]
        yield line((x - 4, y), (x, y), stroke=INK, stroke_width=0.8)
        yield text(f"{number * step * 1e3:.6g}", (x - 6, y + 3.5), 10, "end")
    middle = (tops[0] + tops[1]) / 2
    turn = f"rotate(-90 {_MARGIN - 4:.1f} {middle:.1f})"
    yield text("height, mm", (_MARGIN - 4, middle), 10, "middle", transform=turn)


def scale_bar(frame: Frame, ratio: float, sheet: Sheet) -> Iterator[str]:
    """A bar of a round length, and the scale in words."""
    whole = _round_step(90 / frame.scale)
    left, y = _MARGIN + 44, sheet.height - _FOOT + 22
    parts = 4 if f"{whole:e}"[0] == "2" else 5
    wide = whole * frame.scale / parts
    for part in range(parts):
        fill = INK if part % 2 == 0 else "#ffffff"
        yield rectangle((left + part * wide, y), wide, 6, fill=fill, stroke=INK, stroke_width=0.8)
    yield text("0", (left, y - 4), 10, "middle")
    yield text(f"{whole * 1e3:.6g} mm", (left + whole * frame.scale, y - 4), 10, "middle")
    shown = f"{ratio:.3g}" if ratio >= 1 else f"{ratio:.2g}"
    yield text(f"1 : {shown} on A4", (left, y + 21), 10.5)


def notes(said: Sequence[str], sheet: Sheet) -> Iterator[str]:
    """What a reader has to know of this drawing."""
    left, size = _MARGIN + 330, 9.6
    lines = wrapped("  ".join(said), sheet.width - _MARGIN - left, size)
    down = sheet.height - _FOOT + 16
    for each in lines:
        yield text(each, (left, down), size)
        down += size * 1.28


def _round_step(size: float) -> float:
    """The round number next above a size: 1, 2 or 5 times a power of ten."""
    power = 10.0 ** math.floor(math.log10(size))
    return float(next(each * power for each in (1, 2, 5, 10) if each * power >= size * (1 - 1e-9)))


def legend(scale: TemperatureScale, kinds: Sequence[str], more: Sequence[str], sheet: Sheet) -> Iterator[str]:
    """The column at the right: temperatures, verdicts, textures and signs; closer where there are many."""
    left, down = sheet.width - _LEGEND - _MARGIN + 14, sheet.top + 14
    rows = len(VERDICT_SIGNS) + 2 + len(kinds) + (1 if kinds else 0) + len(more)
    row = min(_ROW, (sheet.height - down - _RAMP - _BELOW_RAMP - 2 * _BETWEEN - 12) / rows)
    yield text("wall temperature, degC", (left, down), 11.5, "bold")
    yield from _ramp(scale, (left, down + 12))
    down += _RAMP + _BELOW_RAMP
    yield text("joints, the worst in this state", (left, down), 11.5, "bold")
    for verdict in (*VERDICT_SIGNS, ""):
        down += row
        yield from verdict_sign(verdict, (left + 9, down - 4))
        yield text(_VERDICT_WORDS[verdict], (left + 26, down), 10.5)
    down += row + _BETWEEN
    if kinds:
        yield text("over the walls (pale: off)", (left, down), 11.5, "bold")
    for kind in kinds:
        down += row
        texture = texture_of(kind)
        fill = f"url(#{kind.replace(' ', '-')})"
        yield rectangle((left, down - 10.5), 19, 12, fill=fill, stroke=texture.ink, stroke_width=0.7)
        yield text(texture.words, (left + 26, down), 10.5)
    down += row + _BETWEEN if kinds else 0
    for name in more:
        yield from _sign(name, (left + 9, down - 4))
        yield text(_SIGN_WORDS[name], (left + 26, down), 10.5)
        down += row


_VERDICT_WORDS = {
    "holds": "ring: holds",
    "thin": "triangle: thin, inside its reserve",
    "fails": "crossed square: FAILS",
    "unknown": "diamond: unknown, is no pass",
    "": "dot: nothing asked in this state",
}
_SIGN_WORDS = {
    "open": "valve, open: bar along the tube",
    "shut": "valve, shut: bar across",
    "falls": "this way is down",
    "break": "a bare stretch is left out",
    "charge": "charge as poured in",
    "melted": "the same when it has melted",
    "vapour": "vapour of the metal",
    "landed": "metal lands: thick where most",
    "front": "front of the vapour in an arm",
    "dew": "wall at the dew point (dotted)",
    "melting": "wall at the melting point (dashed)",
    "aside": "drawn aside, truly joined here",
}


def _sign(name: str, at: Point) -> Iterator[str]:
    x, y = at
    if name in ("open", "shut"):
        yield from valve_sign(at, (1.0, 0.0), 4.0, name == "open")
    elif name == "falls":
        yield from fall_arrow((x - 9, y - 2), (x + 9, y + 2))
    elif name == "break":
        for shift in (-2, 2):
            wave = [(x + shift + 1.5 * math.sin(part), y - 7 + part * 1.1) for part in range(13)]
            yield path(wave, stroke=INK, stroke_width=0.8)
    elif name == "vapour":
        yield rectangle((x - 9, y - 6), 18, 12, fill="url(#vapour)", stroke=INK, stroke_width=0.6)
    elif name == "landed":
        yield rectangle((x - 9, y - 6), 18, 12, fill="#fdfdfb", stroke=INK, stroke_width=0.6)
        yield polygon([(x - 9, y - 6), (x + 9, y - 6), (x + 9, y - 4.5), (x - 9, y - 1)], fill=METAL)
        yield polygon([(x - 9, y + 6), (x + 9, y + 6), (x + 9, y + 4.5), (x - 9, y + 1)], fill=METAL)
    elif name in ("front", "dew", "melting"):
        yield from mark_sign(name, (x, y - 7), (x, y + 7))
    elif name == "charge":
        yield rectangle((x - 9, y - 6), 18, 12, fill="url(#charge)", stroke=INK, stroke_width=0.6)
    elif name == "melted":
        yield path(
            [(x - 9 + 1.5 * part, y + math.sin(part)) for part in range(13)], stroke=INK, stroke_width=1.6
        )
    else:
        yield line((x - 9, y), (x + 9, y), stroke=INK, stroke_width=1.0, stroke_dasharray="4 3")


def _ramp(scale: TemperatureScale, corner: Point) -> Iterator[str]:
    """The colours with their temperatures, hot above."""
    left, top = corner
    high = _RAMP
    for number, colour in enumerate(ramp()):
        y = top + high * (1 - (number + 1) / STEPS)
        yield rectangle((left, y), 18, high / STEPS + 0.4, fill=colour)
    yield rectangle((left, top), 18, high, fill="none", stroke=INK, stroke_width=0.7)
    for tick in scale.ticks():
        y = top + high * (1 - (tick - scale.low) / (scale.high - scale.low))
        yield line((left + 18, y), (left + 23, y), stroke=INK, stroke_width=0.7)
        yield text(f"{tick:.0f}", (left + 27, y + 3.5), 10.5)
    yield rectangle((left, top + high + 10), 18, 12, fill=UNKNOWN, stroke=INK, stroke_width=0.7)
    yield text("not known", (left + 26, top + high + 20), 10.5)
