# SPDX-License-Identifier: MIT
"""Rigs that ask to be told holds and must not be: each beside one that really holds."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from retortwright.assess.closed_rows import ClosedRow, closed_rows
from retortwright.physics.constants import ATMOSPHERE
from retortwright.reference.tables import shipped
from retortwright.rig.reading import rig_of
from retortwright.situation.situation import Situation
from situation.charges import MIDDLE, POT, charged

DRY = {"RbCl": "9 g; H2O = '0 %'", "Ca": "2 g"}
PUMP = 'pump = { on = "V1", kind = "rotary, two-stage", speed = "4 m3/h", ultimate = "0.5 Pa" }'
STEPS = """steps = [
  { state = "empty", hold = "1 h" },
  { state = "hot", to = "%s", ramp = "4 K/min", hold = "30 min" },
]"""


def rig(
    pieces: str = POT, hot: str = 'open = ["V1"], running = ["pump", "furnace"]', plant: str = "", more: str = "",
    to: str = "690 degC",
) -> str:  # fmt: skip
    """A pot with a glass and a valve, pumped and then heated in a state of its own."""
    return f"""retortwright = 1
[aim]
metal = "Rb"
amount = "1 g"
{charged(DRY)}
{pieces}
[heat]
furnace = {{ over = {{ pot = "0 to 130 mm" }} }}
{more}
[plant]
{PUMP}
{plant}
[state]
empty = {{ open = ["V1"], running = ["pump"] }}
hot = {{ {hot} }}
[programme]
{STEPS % to}
"""


@cache
def rows(text: str) -> tuple[ClosedRow, ...]:
    return closed_rows(Situation(rig_of(text, "lies.toml"), shipped(), MIDDLE))


def found(text: str, kind: str, what: str = "", state: str = "hot", charge: bool = True) -> ClosedRow:
    """The gravest row of that kind."""
    return next(
        row for row in rows(text)
        if (row.case.kind, row.case.state, row.closed.charge) == (kind, state, charge) and what in ("", row.case.what)
    )  # fmt: skip


def test_a_valve_that_was_never_opened() -> None:
    row = found(rig(), "never", "V1")
    assert row.verdict == "fails"
    # exact: bench air in a pot that is mostly at 690 degC comes to more than 1.3 bar
    assert row.closed.figure.said["gas"][0] > 1.3 * ATMOSPHERE


def relief(on: str, at: str) -> str:
    return f'relief = {{ on = "{on}", at = "{at}", opens = "8 kPa gauge", bore = "4 mm" }}'


def test_a_relief_behind_a_cold_wall_is_none() -> None:
    frozen = found(rig(plant=relief("arm", "50 mm")), "never", "V1")
    assert frozen.relief.serves == "frozen"
    assert frozen.relief.coldest is not None
    assert frozen.relief.melts is not None
    assert frozen.relief.coldest < frozen.relief.melts
    assert frozen.verdict == "fails"
    warm = found(rig(plant=relief("pot", "140 mm")), "never", "V1")
    assert warm.relief.serves == "opens"
    assert warm.verdict == "holds"


def test_vapour_that_gas_keeps_away_warms_no_relief() -> None:
    # exact: the arm is warm only by vapour; the way is judged by the walls without it
    side = POT.replace("[piece.V1]", """[piece.stub]
on = "pot"
joined = "TIG"
tube = "12 x 1 mm"
length = "120 mm"
rises = "90 deg"
of = "304L"
closed = "FKM O-ring cap"
[piece.V1]""")  # fmt: skip
    cooled = '[cool]\nfan = { over = { stub = "40 to 120 mm" }, by = "air", speed = "3 m/s" }'
    text = rig(side, 'open = ["V1"], running = ["pump", "furnace", "fan"]', relief("stub", "110 mm"), cooled)
    row = found(text, "never", "V1")
    situation = Situation(rig_of(text, "lies.toml"), shipped(), MIDDLE)
    mesh, stub = situation.mesh, situation.tree.index("stub")
    own = (mesh.instance == stub) & (mesh.start < 0.11)
    dry, wet = (
        float(np.min(each.temperature[own])) for each in (situation.dry("hot"), situation.heat("hot"))
    )
    assert row.relief.coldest == pytest.approx(dry, abs=1e-6)
    assert dry < wet - 5


SHUT_IN = """
[piece.VA]
on = "line"
joined = "TIG"
tube = "10 x 1 mm"
length = "20 mm"
of = "304L"
valve = "metal seat"
[piece.VB]
on = "VA"
joined = "TIG"
tube = "10 x 1 mm"
length = "%s"
of = "304L"
valve = "metal seat"
[piece.glass]
on = "VB"
"""
TAPE = 'tape = { over = { VA = "all", VB = "all" }, holds = "120 degC" }'


def two_valves(length: str) -> str:
    pieces = POT.replace('[piece.glass]\non = "line"\n', SHUT_IN % length)
    hot = 'open = ["VA", "VB", "V1"], running = ["pump", "furnace", "tape"]'
    text = rig(pieces, hot, more=TAPE).replace(
        "[programme]", 'left = { open = ["V1"], running = ["tape"] }\n[programme]'
    )
    return text.replace("\n]\n", '\n  { state = "left", hold = "30 min" },\n]\n')


def test_metal_shut_in_between_two_valves() -> None:
    # exact: half of either valve, 10 and 15 mm of 8 mm bore, 1.3 mL; 4 g of rubidium are 2.8 mL
    row = found(two_valves("30 mm"), "planned", state="left", charge=False)
    assert row.closed.figure.said["liquid"][0] > 1e7
    assert row.verdict == "fails"
    # exact: half a metre of it holds 13 mL
    wide = [
        each
        for each in rows(two_valves("500 mm"))
        if (each.case.kind, each.case.state) == ("planned", "left")
    ]
    assert all(each.closed.figure.said["liquid"][0] == 0.0 for each in wide)


ARGON = 'argon = { on = "glass", at = "40 mm", flow = "0.2 L/min" }'
BUBBLER = 'bubbler = { on = "arm", at = "60 mm", depth = "30 mm", bore = "6 mm" }'
FLOWS = 'open = ["V1"], running = ["argon", "furnace"]'


def test_argon_that_nobody_looks_after_comes_to_the_regulator() -> None:
    text = rig(hot='open = ["V1"], running = ["pump", "argon", "furnace"]', plant=ARGON)
    row = found(text, "lost", "pump")
    # exact: what the regulator gives, 1 bar over the room by practice; hydrogen is none, vapour comes on top
    assert row.closed.figure.said["gas"][0] == pytest.approx(ATMOSPHERE + 1e5, rel=1e-9)
    assert row.verdict == "fails"


def test_a_plug_under_a_bubbler_shuts_in_the_gas_of_the_moment_metal_comes() -> None:
    text = rig(hot=FLOWS, plant=f"{ARGON}\n{BUBBLER}")
    row = found(text, "plug", "line")
    # exact: gas that filled the pot at one atmosphere as it began to give metal comes to more at the top
    assert row.closed.figure.said["gas"][0] > 1.05 * ATMOSPHERE
    assert row.verdict == "fails"


def test_a_bubbler_lets_out_whatever_is_open_to_it() -> None:
    text = rig(hot=FLOWS, plant=f"{ARGON}\n{BUBBLER}")
    assert not any(
        row.case.kind == "planned" and row.closed.charge and row.case.state == "hot" for row in rows(text)
    )
