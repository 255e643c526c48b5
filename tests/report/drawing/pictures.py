# SPDX-License-Identifier: MIT
"""Rigs to be drawn, with few samples, so that drawing is what takes time."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from random import Random

from retortwright.assess.assessment import Assessment
from retortwright.assess.one_state import joints_of
from retortwright.belief.beliefs import Draws
from retortwright.report.drawing.scene import Layout, laid_out, state_to_draw
from retortwright.rig.reading import rig_of
from retortwright.rig.starter import starter_text
from situation.rigs import BENCH, chance_rig

PLACES = (Path(__file__).parents[3] / "examples", Path(__file__).parents[2] / "assess")
BENT = """
retortwright = 1
aim.metal = "K"
[piece.pot]
tube = "33.7 x 2.6 mm"
length = "120 mm"
rises = "90 deg"
of = "304L"
bottom = { shape = "hemispherical", thick = "3 mm", joined = "TIG" }
closed = { joined = "copper knife-edge flange", shape = "flat", thick = "8 mm" }
[piece]
out   = { on = "pot", at = "90 mm", ..., length = "120 mm" }
elbow = { on = "out", ..., bend = { turns = "90 deg", radius = "30 mm" } }
down  = { on = "elbow", ..., length = "60 mm", falls = "90 deg" }
cone  = { on = "down", ..., tapers_to = "20 x 1 mm", length = "30 mm", falls = "90 deg" }
north = { on = "out", at = "60 mm", ..., length = "80 mm", towards = "north", closed = "FKM O-ring cap" }
west  = { on = "pot", at = "100 mm", ..., length = "700 mm", towards = "west", valve = "metal seat" }
loop  = { on = "pot", at = "60 mm", ..., length = "150 mm", meets = { piece = "down", at = "30 mm", joined = "TIG" } }
[piece.bulb]
on = "cone"
joined = "FKM compression"
shape = "flask"
tube = "60 x 1.5 mm"
falls = "90 deg"
of = "borosilicate"
[heat]
furnace = { over = { pot = "0 to 80 mm" } }
[lag]
wool = { over = { elbow = "all", bulb = "all" }, of = "ceramic wool", thick = "15 mm" }
[state]
hot = { open = ["west"], running = ["furnace"] }
[programme]
steps = [{ state = "hot", to = "600 degC" }]
""".replace("...", 'joined = "TIG", tube = "12 x 1 mm", of = "304L"')


@cache
def assessed(name: str, state: str | None = None) -> Assessment:
    """The joints of one state of a rig: an example by its name, or one of these, or a number for one by chance."""
    texts = {"starter": starter_text, "bench": lambda: BENCH, "bent": lambda: BENT}
    if name.isdigit():
        text = chance_rig(Random(int(name)), valves=int(name) % 3 == 0)
    elif name in texts:
        text = texts[name]()
    else:
        text = (
            next(path for path in PLACES if (path / f"{name}.toml").exists())
            .joinpath(f"{name}.toml")
            .read_text()
        )
    rig = rig_of(text, f"{name}.toml")
    return joints_of(rig, state_to_draw(rig, state), Draws(samples=4))


@cache
def layout(name: str, state: str | None = None) -> Layout:
    """The drawing of one of them, laid out once."""
    return laid_out(assessed(name, state), state)
