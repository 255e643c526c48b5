# SPDX-License-Identifier: MIT
"""For each key of the whole rig file of the tests: other values that are right there too."""

from __future__ import annotations

import re
import tomllib
from itertools import islice
from typing import Any

from retortwright.rig.compound import HoseKind, StretchKind, TubeKind
from retortwright.rig.kinds import Choice, Count, Either, Kind, Name, Quantity
from rig.whole import DOCUMENT, TEXT, Slot, mistakes_of, span_of

__all__ = ["TOGETHER", "as_toml", "edit_key", "other_values"]

# Lists of names, each with another that is right.
_LISTS: dict[str, list[str]] = {
    "state.distil.open": [],
    "state.distil.running": ["pump", "furnace", "coil"],
    "state.backfill.open": ["V1"],
    "state.backfill.running": ["tape"],
    "state.rise.open": ["V1"],
    "state.rise.running": ["furnace"],
}

# Keys whose other words bind or free other keys: all that has to be written together.
TOGETHER: dict[str, dict[str, str]] = {
    "heat.tape.power": {"heat.tape.power": "60 W"},  # alone, but so much that joints feel it when it sticks on
    "piece.bulb.shape": {"piece.bulb.shape": "tube", "piece.bulb.length": "30 mm"},
    "cool.coil.by": {"cool.coil": '{ over = { retort = "145 to 155 mm" }, by = "dry ice" }'},
    "cool.cloth.by": {"cool.cloth": '{ over = { bulb = "5 to 15 mm" }, by = "liquid nitrogen" }'},
    "cool.fan.by": {"cool.fan": '{ over = { manifold = "all" }, by = "ice water" }'},
}


def other_values(slot: Slot, most: int = 3) -> list[Any]:
    """A few other values, each of which leaves the whole file right."""
    others = (value for value in _candidates(slot.kind, slot) if value != slot.value)
    span = span_of(slot.path)
    right = (value for value in others if not mistakes_of(span.with_value(as_toml(value))))
    return list(islice(right, most))


def edit_key(slot: Slot, text: str = TEXT) -> str:
    """The key by which an edit reaches the slot: steps by their state."""
    if slot.path[:2] != ("programme", "steps"):
        return slot.dotted
    steps = tomllib.loads(text)["programme"]["steps"]
    index = int(slot.path[2])
    state = steps[index]["state"]
    alike = [number for number, step in enumerate(steps) if step["state"] == state]
    which = f"{state}#{alike.index(index) + 1}" if len(alike) > 1 else state
    return f"programme.steps.{which}.{slot.path[3]}"


def _candidates(kind: Kind, slot: Slot) -> list[Any]:
    if slot.dotted in _LISTS:
        return [_LISTS[slot.dotted]]
    if isinstance(kind, Either):
        kind = kind.short
    if isinstance(kind, Choice):
        return list(kind.words())
    if isinstance(kind, Name):
        return list(DOCUMENT["state"] if kind.of == "state" else [*DOCUMENT["piece"], "ampoule.1"])
    if isinstance(kind, Count):
        return [slot.value + 1, slot.value - 1]
    if isinstance(kind, StretchKind) and slot.value == "all":
        return ["0 to 20 mm", "10 to 25 mm"]
    if isinstance(kind, TubeKind):
        return [kind.changed(slot.value, part, size) for part, size in (("wall", "0.8 mm"), ("outside", "16 mm"))]
    if isinstance(kind, Quantity | StretchKind | HoseKind):
        return [_scaled(slot.value, factor) for factor in (0.93, 1.04, 1.2)]
    return ["other words"]


def _scaled(text: str, factor: float) -> str:
    return re.sub(r"(?<![A-Za-z])\d[\d.]*(?:e-?\d+)?", lambda found: f"{float(found[0]) * factor:.6g}", text)


def as_toml(value: Any) -> str:
    """A value as it is written in TOML."""
    if isinstance(value, list):
        return "[" + ", ".join(map(as_toml, value)) + "]"
    return f'"{value}"' if isinstance(value, str) else str(value)
