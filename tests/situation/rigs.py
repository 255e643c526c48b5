# SPDX-License-Identifier: MIT
"""Rigs for the tests of heat: texts of rig files, and rigs put together by chance."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from random import Random

from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.reference.tables import Tables, shipped
from retortwright.rig.pairing import fits
from retortwright.rig.parts import Rig
from retortwright.rig.reading import rig_of
from retortwright.situation import heat as steady
from retortwright.situation.heat import HeatPicture
from retortwright.situation.regime import regime_of
from retortwright.situation.situation import Situation
from retortwright.situation.vapour_state import VapourState
from retortwright.situation.wall import Wall

MIDDLE = Draws(samples=1, width=0.0, pick=(0,))  # every belief at its middle: exact inputs
STATE = "hot"


@dataclass(frozen=True, slots=True)
class Solved:
    """A rig in one state: its wall and its picture."""

    situation: Situation
    wall: Wall
    picture: HeatPicture


def whole_rig(
    pieces: str, heat: str = "", lag: str = "", cool: str = "", assume: str = "", to: str = "800 degC"
) -> str:
    """The text of a rig file around some entries, with one state in which everything runs."""
    running = [line.split("=")[0].strip() for line in (heat + "\n" + cool).splitlines() if "=" in line]
    listed = ", ".join(f'"{name}"' for name in running)
    tables = {"piece": pieces, "heat": heat, "lag": lag, "cool": cool, "assume": assume}
    body = "\n".join(f"[{name}]\n{text}" for name, text in tables.items() if text.strip())
    return f"""retortwright = 1
[aim]
metal = "K"
{body}
[state]
{STATE} = {{ open = [], running = [{listed}] }}
[programme]
steps = [ {{ state = "{STATE}", to = "{to}" }} ]
"""


def solved(
    text: str | Rig, draws: Draws = MIDDLE, split: int = 1, tables: Tables | None = None, state: str = STATE
) -> Solved:
    """A rig solved, with the wall that was solved."""
    rig = rig_of(text) if isinstance(text, str) else text
    tables = shipped() if tables is None else tables
    situation = Situation(rig, tables, draws, split)
    picture = situation.heat(state)
    ledger = Ledger(rig, tables, draws)
    wall = steady.wall_of(rig, situation.tree, situation.mesh, regime_of(rig, state), ledger)
    together = situation.vapour(state)
    if isinstance(together, VapourState):
        wall = replace(wall, exchanges=[*wall.exchanges, *together.exchanges])
    return Solved(situation, wall, picture)


BENCH = """
retortwright = 1
[aim]
metal = "Rb"
[piece.pot]
tube = "26.9 x 2 mm"
length = "170 mm"
rises = "90 deg"
of = "304L"
finish = "oxidised"
bottom = { shape = "flat", thick = "4 mm", joined = "TIG" }
[piece.line]
on = "pot"
at = "146 mm"
joined = "TIG"
tube = "9.5 x 0.9 mm"
length = "210 mm"
falls = "8 deg"
of = "304L"
finish = "oxidised"
[piece.manifold]
on = "line"
joined = "graded glass seal"
tube = "10 x 1.2 mm"
length = "170 mm"
falls = "5 deg"
of = "borosilicate"
[piece.ampoule]
on = "manifold"
at = "22 mm"
every = "25 mm"
count = 6
joined = "blown"
tube = "9 x 1 mm"
length = "75 mm"
falls = "90 deg"
of = "borosilicate"
[piece.neck]
on = "pot"
joined = "TIG"
tube = "20 x 1 mm"
length = "170 mm"
rises = "90 deg"
of = "304L"
finish = "oxidised"
closed = "FKM O-ring cap"
[piece.arm]
on = "manifold"
joined = "blown"
tube = "12 x 1 mm"
length = "110 mm"
rises = "60 deg"
of = "borosilicate"
[piece.tap]
on = "arm"
joined = "FKM compression"
tube = "18 x 1 mm"
length = "60 mm"
of = "304L"
valve = "FKM seat"
[piece.trap]
on = "tap"
joined = "FKM clamp"
tube = "28 x 1 mm"
length = "220 mm"
falls = "90 deg"
of = "304L"
[piece.hose]
on = "trap"
joined = "hose clamp"
tube = "26 x 4 mm"
length = "0.9 m"
of = "butyl"
[heat]
furnace = { over = { pot = "0 to 146 mm" } }
tape = { over = { line = "80 to 210 mm", manifold = "all" }, holds = "90 degC" }
[lag]
wool = { over = { line = "0 to 30 mm" }, of = "ceramic wool", thick = "20 mm" }
[cool]
coil = { over = { neck = "115 to 150 mm" }, by = "water coil", flow = "0.3 L/min", inlet = "18 degC" }
fan = { over = { ampoule = "all", arm = "all" }, by = "air", speed = "1 to 2 m/s" }
ice = { over = { trap = "40 to 220 mm" }, by = "dry ice" }
[state]
hot = { open = ["tap"], running = ["furnace", "tape", "coil", "fan", "ice"] }
[programme]
steps = [ { state = "hot", to = "690 degC" } ]
"""

_HOT = ("304L", "316L", "mild steel", "nickel", "310S", "Ni-Cr-Fe")
_ANY = (*_HOT, "copper", "brass", "borosilicate", "fused silica", "alumina", "tantalum", "silicone", "PTFE")
_JOINTS = ("TIG", "silver braze", "FKM compression", "copper washer flange", "blown", "rubber bung", "flare")
_SLOPES = ("", 'rises = "90 deg"', 'falls = "90 deg"', 'falls = "10 deg"', 'rises = "45 deg"')


def chance_rig(chance: Random, valves: bool = False) -> str:
    """A tree of pieces put together by chance, with covers of every kind here and there."""
    count = chance.randint(1, 7)
    lengths: dict[str, float] = {}
    rows, ends = [], set()
    for number in range(count):
        name = f"p{number}"
        lengths[name] = chance.choice([3.0, 25.0, 60.0, 150.0, 400.0, 900.0]) * chance.uniform(0.7, 1.3)
        entries = [_wall(chance, number), f'length = "{lengths[name]:.1f} mm"', chance.choice(_SLOPES)]
        if number:
            on = f"p{chance.randrange(number)}"
            joint = _joint(chance, dict(rows)[on], entries)
            entries.append(f'on = "{on}"\njoined = "{joint}"')
            if chance.random() < 0.5:
                at = f'at = "{lengths[on] * chance.choice([0, 0.2, 0.5, 0.77, 1]):.1f} mm"'
                if _outside(entries) <= 0.6 * _outside(dict(rows)[on]):  # no wider than the narrow end of a cone
                    entries.append(at)
            ends.add(on)
        if valves or chance.random() < 0.15:
            entries.append('valve = "FKM seat"')
        rows.append((name, entries))
    _finish(chance, rows, ends, lengths)
    pieces = "\n".join(f"[piece.{name}]\n" + "\n".join(entries) for name, entries in rows)
    heat, lag, cool = _covers(chance, lengths)
    to = f"{chance.choice([90, 350, 650, 850]):.0f} degC"
    return whole_rig("", heat, lag, cool, to=to) + pieces


def _wall(chance: Random, number: int) -> str:
    outside = chance.choice([4.0, 8.0, 12.7, 25.4, 60.3])
    wall = outside * chance.choice([0.04, 0.08, 0.2])
    of = chance.choice(_HOT if number < 2 else _ANY)
    size = f'tube = "{outside} x {wall:.3f} mm"\nof = "{of}"'
    finish = chance.choice(["", 'finish = "oxidised"', 'finish = "bright"']) if of in _HOT else ""
    cone = f'\ntapers_to = "{outside * 0.6:.2f} x {wall:.3f} mm"' if chance.random() < 0.15 else ""
    return f"{size}\n{finish}{cone}"


def _outside(entries: list[str]) -> float:
    """Outside diameter of a piece [mm]."""
    return float(entries[0].split('"')[1].split(" ")[0])


def _joint(chance: Random, one: list[str], other: list[str]) -> str:
    """A joint between two walls; where the one drawn does not join them, one that joins any."""
    walls = [each.split('of = "')[1].split('"')[0] for each in (one[0], other[0])]
    joint = chance.choice(_JOINTS)
    return joint if fits(joint, walls) else "FKM compression"


def _finish(
    chance: Random, rows: list[tuple[str, list[str]]], ends: set[str], lengths: dict[str, float]
) -> None:
    """Bottoms, closures and by-passes, where nothing else is."""
    if chance.random() < 0.5:
        rows[0][1].append('bottom = { shape = "flat", thick = "3 mm", joined = "TIG" }')
    for name, entries in rows[1:]:
        if name in ends:
            continue
        way = chance.random()
        if way < 0.3:
            entries.append('closed = "FKM O-ring cap"')
        elif way < 0.6 and len(rows) > 2:
            other = chance.choice([each for each, _ in rows if each != name])
            at = lengths[other] * chance.uniform(0.1, 0.9)
            joint = _joint(chance, dict(rows)[other], entries)
            entries.append(f'meets = {{ piece = "{other}", at = "{at:.1f} mm", joined = "{joint}" }}')


def _not_in_furnace(over: str, pot: str) -> str:
    """Stretches without those of the piece in the furnace."""
    return re.sub(rf'(?:, )?{pot} = "[^"]*"', "", over).replace("{ , ", "{ ")


def _covers(chance: Random, lengths: dict[str, float]) -> tuple[str, str, str]:
    names = list(lengths)
    taken: dict[str, list[tuple[float, float]]] = {name: [] for name in names}

    def over(names: Iterable[str], alone: bool = True) -> str:
        """Stretches of some pieces; what would lie where something else takes the place alone is left out."""
        parts = []
        for name in names:
            low, high = sorted(chance.uniform(0.0, lengths[name]) for _ in range(2))
            whole = chance.random() < 0.4 or high - low < 0.2
            ends = (0.0, lengths[name]) if whole else (low, high)
            if alone:
                if any(ends[0] < last + 1 and first < ends[1] + 1 for first, last in taken[name]):
                    continue
                taken[name].append(ends)
            parts.append(f'{name} = "{"all" if whole else f"{low:.1f} to {high:.1f} mm"}"')
        return f"over = {{ {', '.join(parts)} }}"

    def some(alone: bool = True) -> str:
        return over(chance.sample(names, chance.randint(1, min(2, len(names)))), alone)

    heat = [f"furnace = {{ {over(names[:1])} }}"]
    if chance.random() < 0.4:
        outside = _not_in_furnace(some(False), names[0])
        heat.append(f'tape = {{ {outside}, holds = "{chance.choice([60, 150, 300])} degC" }}')
    lag = f'wool = {{ {some()}, of = "ceramic wool", thick = "20 mm" }}' if chance.random() < 0.4 else ""
    ways = {
        "fan": 'by = "air", speed = "2 m/s"',
        "coil": 'by = "water coil", flow = "0.2 L/min", inlet = "15 degC"',
        "wet": f'by = "wet wrap", feed = "{chance.choice([0.05, 0.5, 5])} L/h"',
        "cold": f'by = "{chance.choice(["ice water", "dry ice", "liquid nitrogen"])}"',
    }
    cool = [
        f"{name} = {{ {some(name != 'coil')}, {way} }}" for name, way in ways.items() if chance.random() < 0.35
    ]
    return "\n".join(heat), lag, "\n".join(cool)
