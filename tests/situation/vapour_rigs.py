# SPDX-License-Identifier: MIT
"""Rigs in which vapour does something difficult: one text each, by name, with a state `distil`."""

from __future__ import annotations

from pathlib import Path

from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import rig_of
from retortwright.situation.situation import Situation
from retortwright.situation.vapour_state import VapourState

__all__ = ["EXAMPLE", "RIGS", "STATE", "changed", "pair", "plain", "together"]

STATE = "distil"
EXAMPLE = (Path(__file__).parent / "cooled_arm.toml").read_text(encoding="utf-8")

_RB = '[charge.RbCl]\nmass = "9 g"\n[charge.Ca]\nmass = "2.1 g"'
_MG = '[charge.MgO]\nmass = "40 g"\n[charge.Al]\nmass = "20 g"'
_BA = '[charge.BaO]\nmass = "49.6 g"\n[charge.Al]\nmass = "5 g"'
_POT = """tube = "25.4 x 1.65 mm"
length = "160 mm"
rises = "90 deg"
of = "304L"
bottom = { shape = "flat", thick = "5 mm", joined = "TIG" }"""
_LINE = """on = "pot"
at = "140 mm"
joined = "TIG"
tube = "12 x 1 mm"
length = "150 mm"
falls = "10 deg"
of = "304L\""""
_ARM = """[piece.neck]
on = "pot"
joined = "TIG"
tube = "19.05 x 0.9 mm"
length = "160 mm"
rises = "90 deg"
of = "304L"
closed = "FKM O-ring cap\""""
_GLASS = """[piece.glass]
on = "line"
joined = "TIG"
tube = "20 x 1 mm"
length = "60 mm"
falls = "90 deg"
of = "304L"
receives = { up_to = "80 %", at = "10 mm" }"""


def plain(
    metal: str = "Rb",
    charge: str = _RB,
    pot: str = _POT,
    line: str = _LINE,
    rest: str = f"{_GLASS}\n{_ARM}",
    hot: str = "680 degC",
    inside: str = "0 to 145 mm",
    tape: str = "",
) -> str:
    """A pot, a line, a receiver, an arm that rises from the pot; any part of it another."""
    heat = f'furnace = {{ over = {{ pot = "{inside}" }}, power = "900 W" }}\n{tape}'
    running = '"furnace", "tape"' if tape else '"furnace"'
    return f"""retortwright = 1
[aim]
metal = "{metal}"
amount = "3 g"
{charge}
[piece.pot]
{pot}
[piece.line]
{line}
{rest}
[heat]
{heat}
[state]
{STATE} = {{ open = [], running = [{running}] }}
[programme]
steps = [{{ state = "{STATE}", to = "{hot}", hold = "60 min" }}]
"""


_LEVEL = """tube = "40 x 2 mm"
length = "500 mm"
of = "316L"
finish = "oxidised"
closed = "FKM O-ring cap\""""
_CONDENSER = """on = "pot"
joined = "TIG"
tube = "48 x 4 mm"
length = "100 mm"
of = "316L\""""
_BEYOND = """[piece.glass]
on = "line"
joined = "TIG"
tube = "48 x 4 mm"
length = "150 mm"
of = "304L"
receives = { up_to = "80 %", at = "10 mm" }
closed = "FKM O-ring cap\""""
_SIX = """[piece.manifold]
on = "line"
joined = "TIG"
tube = "10 x 1 mm"
length = "170 mm"
falls = "5 deg"
of = "304L"
[piece.ampoule]
on = "manifold"
at = "22 mm"
every = "25 mm"
count = 6
joined = "TIG"
tube = "9 x 1 mm"
length = "75 mm"
falls = "90 deg"
of = "304L"
receives = { up_to = "80 %", at = "10 mm" }"""
_GAUGE = """[piece.gauge]
on = "line"
at = "20 mm"
joined = "TIG"
tube = "9.5 x 0.9 mm"
length = "120 mm"
rises = "90 deg"
of = "304L"
closed = "FKM O-ring cap\""""
_PUMP = """[piece.side]
on = "glass"
at = "20 mm"
joined = "TIG"
tube = "9.5 x 0.9 mm"
length = "150 mm"
rises = "30 deg"
of = "304L"
closed = "FKM O-ring cap\""""

RIGS: dict[str, str] = {
    "example": EXAMPLE,
    "copper arm": plain(
        rest=_GLASS + "\n" + _ARM.replace("160 mm", "60 mm").replace("304L", "copper").replace("TIG", "silver braze")
    ),
    "magnesium": plain(
        "Mg", _MG, _LEVEL.replace("40 x 2 mm", "48 x 4 mm").replace('\nclosed = "FKM O-ring cap"', ""),
        _CONDENSER, _BEYOND, "1150 degC", "0 to 460 mm",
    ),
    "level pot": plain(pot=_LEVEL, line=_LINE.replace("140 mm", "300 mm"), rest=_GLASS, inside="0 to 310 mm"),
    "line rises first": plain(
        line=_LINE.replace("150 mm", "40 mm").replace("falls", "rises"),
        rest=f"""[piece.down]
on = "line"
joined = "TIG"
tube = "12 x 1 mm"
length = "150 mm"
falls = "10 deg"
of = "304L"
{_GLASS.replace('on = "line"', 'on = "down"')}
{_ARM}""",
    ),
    "no arm": plain(rest=_GLASS, pot=_POT.replace("160 mm", "150 mm")),
    "vapour passes the split": plain(
        rest=f"{_SIX}\n{_ARM}",
        tape='tape = { over = { line = "20 to 150 mm", manifold = "all" }, holds = "320 degC" }',
    ),
    "warm receiver": plain(
        rest=f"{_GLASS}\n{_PUMP}\n{_ARM}",
        tape='tape = { over = { line = "20 to 150 mm", glass = "all" }, holds = "350 degC" }',
    ),
    "barium": plain("Ba", _BA, _LEVEL, _LINE.replace("140 mm", "340 mm").replace("12 x 1 mm", "24 x 2 mm"),
        _GLASS.replace("20 x 1 mm", "24 x 1 mm"), "1150 degC", "0 to 350 mm"),
    "gauge on the line": plain(rest=f"{_GLASS}\n{_GAUGE}\n{_ARM}"),
    "arm that falls": plain(
        rest=f"{_GLASS}\n" + _ARM.replace("rises", "at = \"120 mm\"\nfalls").replace("90 deg", "30 deg"),
    ),
}  # fmt: skip


def changed(text: str, *edits: tuple[str, str]) -> str:
    """A rig with some edits."""
    return edited(rig_of(text), [Edit(*each) for each in edits]).text


def pair(text: str, draws: Draws, split: int = 1) -> Situation:
    """The situation of a rig."""
    return Situation(rig_of(text), shipped(), draws, split)


def together(text: str, draws: Draws, split: int = 1) -> VapourState:
    """Wall and vapour of a rig together."""
    found = pair(text, draws, split).vapour(STATE)
    assert isinstance(found, VapourState), found
    return found
