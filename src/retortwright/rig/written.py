# SPDX-License-Identifier: MIT
"""What stands at a dotted key of a rig file, and the values near it that could stand there instead."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import tomlkit

from retortwright.ground.errors import EditError
from retortwright.rig.compound import Compound
from retortwright.rig.dotted import DottedKind
from retortwright.rig.edit import step_index
from retortwright.rig.kinds import Choice, Either, Kind, Listing
from retortwright.rig.parts import Rig
from retortwright.rig.rigfile import RIG_FILE, kind_within

__all__ = ["Written", "written_at"]

_NUMBER = re.compile(r"(?<![\w.])[+-]?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?")
_RATIO = 1.15  # from one value to the next
_RATIOS = 20  # a sixteenth to sixteen times
_KELVINS = 10.0  # from one temperature to the next
_HOTTER = 40


@dataclass(frozen=True, slots=True)
class Written:
    """The text at a key; `choice` where a word of a closed list stands there."""

    key: str
    text: str
    choice: Choice | None

    @property
    def number(self) -> float:
        """The first figure of the text, as it is written. Raises EditError where there is none."""
        found = _NUMBER.search(self.text)
        if found is None:
            raise EditError(f"{self.key}: '{self.text}' is no figure that could be larger or smaller")
        return float(found[0])

    @property
    def is_temperature(self) -> bool:
        """Whether it is a temperature: it moves by degrees, not in proportion."""
        return self.text.rstrip().endswith("degC")

    def words(self) -> Iterator[str]:
        """The other words that may stand there."""
        if self.choice is not None:
            yield from (word for word in self.choice.words() if word != self.text)

    def moved(self, steps: float) -> str:
        """The text with all its figures moved by steps, up where positive; three digits, a band keeps its shape."""
        if self.is_temperature:
            by = round(steps * _KELVINS)
            return _NUMBER.sub(lambda found: f"{float(found[0]) + by:g}", self.text)
        ratio = _RATIO**steps
        return _NUMBER.sub(lambda found: _digits(float(found[0]) * ratio, found[0]), self.text)

    @property
    def reach(self) -> int:
        """How many steps away a value is looked for."""
        return _HOTTER if self.is_temperature else _RATIOS


def _digits(value: float, like: str) -> str:
    """A figure with three digits, whole where the figure it comes from was whole and large enough."""
    if "." not in like and "e" not in like.lower() and abs(value) >= 20:
        return f"{value:.0f}"
    return f"{float(f'{value:.3g}'):g}"


def written_at(rig: Rig, key: str) -> Written:
    """What stands at a key of the file. Raises EditError where nothing does."""
    holder: Any = tomlkit.parse(rig.text)
    kind: Any = RIG_FILE  # a Kind, or a Compound that is one too
    parts = key.split(".")
    for depth, part in enumerate(parts):
        rest = parts[depth:]
        if isinstance(kind, DottedKind):
            return _told(key, _dotted(holder, rest, key), None)
        if isinstance(kind, Either):
            kind = kind.long if isinstance(holder, dict) else kind.short
        if isinstance(kind, Compound):
            return _told(key, _inside(kind, str(holder), rest, key), None)
        if isinstance(kind, Listing):
            holder, kind = holder[step_index(holder, part, key)], kind.item
            continue
        kind = None if kind is None else kind_within(kind, part)
        if kind is None or not isinstance(holder, dict) or part not in holder:
            raise EditError(f"{key}: nothing stands there in {rig.path}; write it first, then vary it")
        holder = holder[part]
    if isinstance(holder, dict | list):
        raise EditError(f"{key}: this is a table; name a key inside it")
    return _told(key, holder, kind)


def _told(key: str, value: Any, kind: Kind | None) -> Written:
    if isinstance(kind, Either):
        kind = kind.short
    return Written(key, str(value), kind if isinstance(kind, Choice) else None)


def _inside(kind: Compound, text: str, rest: list[str], key: str) -> str:
    try:
        return kind.split(text)[rest[0]]
    except (KeyError, ValueError) as error:
        raise EditError(f"{key}: inside '{text}' stand: {', '.join(kind.parts)}") from error


def _dotted(holder: Any, rest: list[str], key: str) -> Any:
    """The value under a dotted name; parts of the name may be tables of their own."""
    for cut in range(len(rest), 0, -1):
        name = ".".join(rest[:cut])
        if isinstance(holder, dict) and name in holder:
            below = holder[name]
            return below if cut == len(rest) else _dotted(below, rest[cut:], key)
    raise EditError(f"{key}: nothing stands there; write your figure first, then vary it")
