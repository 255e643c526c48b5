# SPDX-License-Identifier: MIT
"""The keys of `[plant]`: pump, argon, relief, bubbler, gauges."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from retortwright.ground.errors import nearest_word
from retortwright.rig.compound import HoseKind
from retortwright.rig.kinds import Choice, Context, Name, Quantity, length_kind
from retortwright.rig.locate import Path
from retortwright.rig.schema import Field, Record
from retortwright.rig.vocabulary import gauges, materials, pump_kinds

__all__ = ["PlantKind"]

_Q1 = "question 1"
_Q6 = "question 6"
_Q8 = "question 8"


def _connected(used: str) -> Field:
    return Field("on", Name("piece"), "the piece it is connected to", used, required=True)


def _where(used: str) -> Field:
    sample = length_kind(10.0, "150 mm")
    return Field("at", sample, "where, from that piece's near end", used, default="its far end")


_PUMP = Record(
    (
        _connected(_Q6),
        Field("kind", Choice("pump", pump_kinds), "what kind", _Q6, required=True),
        Field(
            "speed",
            Quantity("volume_flow", 1e-6, 1.0, "4 m3/h", banded=True),
            "at its inlet",
            _Q6,
            required=True,
        ),
        Field(
            "ultimate",
            Quantity("pressure", 1e-8, 1e5, "0.5 Pa", banded=True),
            "lowest pressure it reaches",
            _Q6,
        ),
    )
)
_ARGON = Record(
    (
        _connected(_Q6),
        _where(_Q8),
        Field("purity", Quantity("mass_fraction", 0.9, 1.0, "99.999 %"), "of the gas as bought", _Q6),
        Field("hose", HoseKind(Choice("material", materials)), "from the bottle to the rig", _Q6),
        Field("flow", Quantity("volume_flow", 1e-8, 1e-2, "0.2 L/min", banded=True), "while it runs", _Q6),
    )
)
_RELIEF = Record(
    (
        _connected(_Q1),
        _where(_Q8),
        Field(
            "opens", Quantity("pressure", 101425.0, 1e6, "15 kPa gauge"), "set pressure", _Q1, required=True
        ),
        Field("bore", length_kind(0.1, "4 mm", 1e-4), "its smallest bore", _Q8, required=True),
    )
)
_BUBBLER = Record(
    (
        _connected(_Q1),
        _where(_Q8),
        Field("depth", length_kind(0.5, "40 mm", 1e-3), "how deep the tube dips", _Q8, required=True),
        Field("bore", length_kind(0.1, "6 mm", 1e-4), "of the tube", _Q8),
    )
)
_GAUGE = Record(
    (
        _connected(_Q6),
        _where(_Q6),
        Field("gauge", Choice("gauge", gauges), "what kind", _Q6, required=True),
    )
)

_GAUGE_KEYS = {field.key for field in _GAUGE.fields}
_NAMED: dict[str, Record] = {"pump": _PUMP, "argon": _ARGON, "relief": _RELIEF, "bubbler": _BUBBLER}


@dataclass(frozen=True, slots=True)
class PlantKind:
    """The plant: pump, argon, relief and bubbler by these names, every other name a gauge."""

    example: str = "{}"

    def within(self, key: str) -> Record:
        """The keys of the entry of that name."""
        return _NAMED.get(key, _GAUGE)

    def meant(self, name: str, item: Any) -> str:
        """The name itself, or the fixed one of which it is a misspelling: what stands there is no gauge."""
        if name in _NAMED or not isinstance(item, dict) or "gauge" in item:
            return name
        word = nearest_word(name, _NAMED)
        return name if word is None or item.keys() <= _GAUGE_KEYS else word

    def allowed(self) -> str:
        """What may be written."""
        return f"a table; {', '.join(_NAMED)} by these names, every other name is a gauge"

    def read(self, value: Any, path: Path, context: Context) -> dict[str, Any] | None:
        """The entries by name."""
        if not isinstance(value, dict):
            context.wrong(path, f"expected {self.allowed()}, got {value!r}")
            return None
        read: dict[str, Any] = {}
        for name, item in value.items():
            word = self.meant(name, item)
            if word != name:
                context.wrong((*path, name), f"unknown key; did you mean {word}? allowed: {self.allowed()}")
                continue
            read[name] = self.within(name).read(item, (*path, name), context)
        return read
