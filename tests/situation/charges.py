# SPDX-License-Identifier: MIT
"""Rigs for the tests of charges: one pot, one line, one receiver, and what is weighed into the pot."""

from __future__ import annotations

from collections.abc import Mapping

from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import Tables, shipped
from retortwright.rig.reading import rig_of
from retortwright.situation.situation import Situation

__all__ = ["MIDDLE", "POT", "charged", "rig_text", "situation"]

MIDDLE = Draws(samples=1, width=0.0, pick=(0,))  # every belief at its middle: exact inputs

POT = """
[piece.pot]
tube = "25 x 2 mm"
length = "160 mm"
rises = "90 deg"
of = "304L"
bottom = { shape = "flat", thick = "4 mm", joined = "TIG" }
[piece.line]
on = "pot"
at = "140 mm"
joined = "TIG"
tube = "10 x 1 mm"
length = "200 mm"
falls = "10 deg"
of = "304L"
[piece.glass]
on = "line"
joined = "graded glass seal"
tube = "16 x 1 mm"
length = "80 mm"
falls = "90 deg"
of = "borosilicate"
receives = { up_to = "80 %", sealed = "flame", at = "20 mm" }
[piece.arm]
on = "glass"
at = "10 mm"
joined = "blown"
tube = "12 x 1 mm"
length = "100 mm"
rises = "60 deg"
of = "borosilicate"
[piece.V1]
on = "arm"
joined = "FKM compression"
tube = "18 x 1 mm"
length = "60 mm"
of = "304L"
valve = "FKM seat"
"""


def charged(reagents: Mapping[str, str]) -> str:
    """The tables of some reagents: formula to mass, then what is in it besides after a semicolon."""
    tables = []
    for formula, said in reagents.items():
        mass, _, besides = said.partition(";")
        contains = f"contains = {{ {besides.strip()} }}\n" if besides else ""
        tables.append(f'[charge."{formula}"]\nmass = "{mass.strip()}"\n{contains}')
    return "\n".join(tables)


def rig_text(
    metal: str,
    reagents: Mapping[str, str],
    pieces: str = POT,
    more: str = "",
    aim: str = 'amount = "1 g"',
    power: str = "",
) -> str:
    """The text of a rig with a charge; pumped while it distils, shut while its rise is measured."""
    pumped = "[piece.V1]" in pieces
    pump = 'pump = { on = "V1", kind = "rotary, two-stage", speed = "4 m3/h", ultimate = "0.5 Pa" }'
    return f"""retortwright = 1
[aim]
metal = "{metal}"
{aim}
{charged(reagents)}
{pieces}
[heat]
furnace = {{ over = {{ {_first(pieces)} = "all" }}{power} }}
[plant]
{pump if pumped else ""}
[state]
cold = {{ open = [], running = [] }}
rise = {{ open = [], running = ["furnace"] }}
distil = {{ open = [{'"V1"' if pumped else ""}], running = ["furnace"{', "pump"' if pumped else ""}] }}
[programme]
steps = [
  {{ state = "rise", to = "350 degC", ramp = "4 K/min", hold = "2 min" }},
  {{ state = "distil", to = "680 degC", ramp = "2 K/min", hold = "60 min" }},
]
{more}
"""


def _first(pieces: str) -> str:
    return pieces.split("[piece.")[1].split("]")[0]


def situation(text: str, draws: Draws = MIDDLE, tables: Tables | None = None) -> Situation:
    """The situation of a text."""
    return Situation(rig_of(text, "charge.toml"), tables or shipped(), draws)
