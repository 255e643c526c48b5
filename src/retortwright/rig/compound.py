# SPDX-License-Identifier: MIT
"""Texts that hold several figures: a tube size, a stretch of a piece, a length of hose."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from retortwright.ground.errors import allowed_words, nearest
from retortwright.ground.units import DIMENSIONS, read_single
from retortwright.reference.datum import Missing, number_of
from retortwright.reference.tables import shipped
from retortwright.rig.kinds import Choice, Context
from retortwright.rig.locate import Path

__all__ = ["Compound", "HoseKind", "HoseLength", "Stretch", "StretchKind", "Tube", "TubeKind"]

_LENGTH = DIMENSIONS["length"]
_TUBE = re.compile(r"^\s*([\d.eE+-]+)\s*x\s*([\d.eE+-]+)\s*([a-z]+)\s*$")
_PIPE = re.compile(r"^\s*(DN\d+|[\d/ -]+ in)\s+sch\s+(\w+)\s*$")
_STRETCH = re.compile(r"^\s*([\d.eE+-]+)\s*to\s*([\d.eE+-]+)\s*([a-z]+)\s*$")
_HOSE = re.compile(r"^\s*([\d.eE+-]+\s*[a-z]+)\s+(.+?)\s*$")


@dataclass(frozen=True, slots=True)
class Tube:
    """A round tube by outside diameter and wall thickness [m]."""

    outside: float
    wall: float

    @property
    def bore(self) -> float:
        """Inside diameter [m]."""
        return self.outside - 2 * self.wall


@dataclass(frozen=True, slots=True)
class Stretch:
    """From where to where along a piece [m]; no end means the whole piece."""

    start: float
    end: float | None


@dataclass(frozen=True, slots=True)
class HoseLength:
    """A hose by length [m] and material."""

    length: float
    of: str


class Compound:
    """A kind whose text can be taken apart, changed in one place and put together again."""

    __slots__ = ()
    parts: tuple[str, ...] = ()

    def split(self, text: str) -> dict[str, str]:
        """The figures of a text by name, each as it would be written alone."""
        raise ValueError(text)

    def join(self, parts: dict[str, str]) -> str:
        """The text of such figures."""
        raise ValueError(str(parts))

    def changed(self, text: str, part: str, value: str) -> str:
        """The text with one figure changed."""
        return self.join({**self.split(text), part: value})


@dataclass(frozen=True, slots=True)
class TubeKind(Compound):
    """Outside x wall, or a nominal pipe size with its schedule."""

    example: str = '"25.4 x 1.65 mm"'
    parts = ("outside", "wall")

    def allowed(self) -> str:
        """What may be written."""
        return (
            "outside diameter x wall such as '25.4 x 1.65 mm' (units: mm, cm, m, in), "
            "or a pipe size such as 'DN25 sch 40' or '1 in sch 40'"
        )

    def read(self, value: Any, path: Path, context: Context) -> Tube | None:
        """The tube."""
        if not isinstance(value, str):
            context.wrong(path, f"expected {self.allowed()}, got {value!r}")
            return None
        try:
            parts = self.split(value)
            tube = Tube(*(read_single(parts[part], _LENGTH) for part in ("outside", "wall")))
        except ValueError as error:
            context.wrong(path, str(error))
            return None
        if not 1e-3 <= tube.outside <= 1.0 or not 5e-5 <= tube.wall < tube.outside / 2:
            context.wrong(
                path, f"'{value}' is no tube: outside 1 mm to 1 m, wall from 0.05 mm to below half of it"
            )
            return None
        return tube

    def split(self, text: str) -> dict[str, str]:
        """Outside and wall of a text."""
        if match := _TUBE.match(text):
            return {"outside": f"{match[1]} {match[3]}", "wall": f"{match[2]} {match[3]}"}
        if match := _PIPE.match(text):
            return _pipe(match[1].strip(), f"sch {match[2]}", text)
        raise ValueError(f"expected {self.allowed()}, got '{text}'")

    def join(self, parts: dict[str, str]) -> str:
        """A tube size in the unit of its first figure."""
        return f"{_in_unit(parts['outside'])} x {_in_unit(parts['wall'])} mm"


def _pipe(size: str, schedule: str, text: str) -> dict[str, str]:
    tables = shipped()
    outside, wall = tables.find("pipes", size, "outside"), tables.find("pipes", size, schedule)
    if isinstance(outside, Missing):
        sizes = tables.subjects("pipes")
        raise ValueError(f"no pipe size '{size}'; {nearest(size, sizes)}allowed: {allowed_words(sizes)}")
    if isinstance(wall, Missing):
        known = [key[2] for key in tables.rows if key[:2] == ("pipes", size) and key[2] != "outside"]
        raise ValueError(
            f"pipe {size} has no '{schedule}' in our table, asked by '{text}'; allowed: {allowed_words(known)}"
        )
    return {"outside": f"{number_of(outside).best * 1e3:g} mm", "wall": f"{number_of(wall).best * 1e3:g} mm"}


def _in_unit(text: str) -> str:
    return f"{read_single(text, _LENGTH) * 1e3:.6g}"


@dataclass(frozen=True, slots=True)
class StretchKind(Compound):
    """`"all"`, or from where to where along the piece."""

    example: str = '"0 to 20 mm"'
    parts = ("from", "to")

    def allowed(self) -> str:
        """What may be written."""
        return "'all' or a stretch from the piece's near end such as '0 to 145 mm'"

    def read(self, value: Any, path: Path, context: Context) -> Stretch | None:
        """The stretch."""
        if value == "all":
            return Stretch(0.0, None)
        try:
            parts = self.split(value if isinstance(value, str) else repr(value))
            start, end = (read_single(parts[part], _LENGTH) for part in ("from", "to"))
        except ValueError as error:
            context.wrong(path, str(error))
            return None
        if not 0 <= start < end <= 10:
            context.wrong(path, f"'{value}' is no stretch: it must run forward, from 0 to at most 10 m")
            return None
        return Stretch(start, end)

    def split(self, text: str) -> dict[str, str]:
        """The two ends of a text."""
        match = _STRETCH.match(text)
        if match is None:
            raise ValueError(f"expected {self.allowed()}, got '{text}'")
        return {"from": f"{match[1]} {match[3]}", "to": f"{match[2]} {match[3]}"}

    def join(self, parts: dict[str, str]) -> str:
        """A stretch in millimetres."""
        return f"{_in_unit(parts['from'])} to {_in_unit(parts['to'])} mm"


@dataclass(frozen=True, slots=True)
class HoseKind(Compound):
    """A length and a material."""

    material: Choice
    example: str = '"1.5 m nylon"'
    parts = ("length", "of")

    def allowed(self) -> str:
        """What may be written."""
        return "a length and a material such as '1.5 m nylon'"

    def read(self, value: Any, path: Path, context: Context) -> HoseLength | None:
        """The hose."""
        try:
            parts = self.split(value if isinstance(value, str) else repr(value))
            length = read_single(parts["length"], _LENGTH)
        except ValueError as error:
            context.wrong(path, str(error))
            return None
        if not 0 < length <= 100:
            context.wrong(path, f"'{value}' is no hose: above 0 and up to 100 m is allowed")
            return None
        material = self.material.read(parts["of"], path, context)
        return None if material is None else HoseLength(length, material)

    def split(self, text: str) -> dict[str, str]:
        """Length and material of a text."""
        match = _HOSE.match(text)
        if match is None:
            raise ValueError(f"expected {self.allowed()}, got '{text}'")
        return {"length": match[1], "of": match[2]}

    def join(self, parts: dict[str, str]) -> str:
        """The hose as text."""
        return f"{parts['length']} {parts['of']}"
