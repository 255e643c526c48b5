# SPDX-License-Identifier: MIT
"""Rigs for the tests of the way across: a pot, a line, a receiver, a pump; what is varied is an edit."""

from __future__ import annotations

from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import Tables, shipped
from retortwright.rig.edit import Edit, edited
from retortwright.rig.parts import Rig
from retortwright.rig.reading import rig_of
from retortwright.situation.crossing import Crossing, crossing_of
from retortwright.situation.situation import Situation

__all__ = ["MIDDLE", "RUBIDIUM", "ZINC", "changed", "crossing", "situation"]

MIDDLE = Draws(samples=1, width=0.0, pick=(0,))  # every belief at its middle: exact inputs

_PIECES = """
[piece.pot]
tube = "25.4 x 1.65 mm"
length = "{length}"
rises = "90 deg"
of = "304L"
bottom = {{ shape = "flat", thick = "5 mm", joined = "TIG" }}
[piece.line]
on = "pot"
at = "140 mm"
joined = "TIG"
tube = "12 x 1 mm"
length = "150 mm"
falls = "10 deg"
of = "304L"
[piece.glass]
on = "line"
joined = "TIG"
tube = "20 x 1 mm"
length = "60 mm"
falls = "90 deg"
of = "304L"
receives = {{ up_to = "80 %", at = "10 mm" }}
[piece.arm]
on = "line"
at = "145 mm"
joined = "TIG"
tube = "8 x 1 mm"
length = "100 mm"
rises = "60 deg"
of = "304L"
[piece.V1]
on = "arm"
joined = "FKM compression"
tube = "8 x 1 mm"
length = "60 mm"
of = "304L"
valve = "FKM seat"
[heat]
furnace = {{ over = {{ pot = "0 to 145 mm" }}, power = "400 W" }}
tape = {{ over = {{ line = "60 to 150 mm", glass = "0 to 12 mm" }}, holds = "{tape}", power = "100 W" }}
[plant]
pump = {{ on = "V1", kind = "rotary, two-stage", speed = "4 m3/h", ultimate = "0.5 Pa" }}
[state]
distil = {{ open = ["V1"], running = ["furnace", "tape", "pump"] }}
[programme]
steps = [{{ state = "distil", to = "{hot}", ramp = "4 K/min", hold = "60 min" }}]
"""


def _text(metal: str, charge: str, hot: str, tape: str, length: str = "160 mm") -> str:
    pieces = _PIECES.format(length=length, hot=hot, tape=tape)
    return f'retortwright = 1\n[aim]\nmetal = "{metal}"\namount = "3 g"\n{charge}{pieces}'


RUBIDIUM = rig_of(
    _text("Rb", '[charge.RbCl]\nmass = "9 g"\n[charge.Ca]\nmass = "2.1 g"', "680 degC", "90 degC"),
    "rubidium.toml",
)
ZINC = rig_of(_text("Zn", '[charge.Zn]\nmass = "10 g"', "600 degC", "450 degC"), "zinc.toml")


def changed(rig: Rig, *edits: tuple[str, str]) -> Rig:
    """A rig with some edits."""
    return edited(rig, [Edit(*each) for each in edits])


def situation(rig: Rig, draws: Draws = MIDDLE, tables: Tables | None = None) -> Situation:
    """The situation of a rig."""
    return Situation(rig, tables or shipped(), draws)


def crossing(rig: Rig, draws: Draws = MIDDLE) -> Crossing:
    """The crossing of the one hot state."""
    found = crossing_of(situation(rig, draws), "distil")
    assert isinstance(found, Crossing), found
    return found
