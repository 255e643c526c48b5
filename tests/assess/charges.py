# SPDX-License-Identifier: MIT
"""Charges for the tests of routes: each a metal wanted, and a mass and what it contains by formula."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import Tables, shipped
from retortwright.rig.edit import Edit, edited
from retortwright.rig.parts import Rig
from retortwright.rig.reading import read_rig
from retortwright.situation.situation import Situation

__all__ = ["MIDDLE", "RIG", "charged", "situation_of"]

RIG = str(Path(__file__).parent / "route.toml")
DRAWS = Draws(samples=32)
MIDDLE = Draws(samples=1, width=0.0)  # every belief at its middle


@cache
def _plain() -> Rig:
    return read_rig(RIG)


def charged(metal: str, charge: str, *more: tuple[str, str]) -> Rig:
    """The rig with another charge, written `RbCl 9 g | Ca 2 g; CaO 5 %, H2O 1 %`."""
    reagents = [_reagent(text) for text in charge.split("|")]
    edits = [Edit("aim.metal", metal), Edit("charge", "{ " + ", ".join(reagents) + " }")]
    return edited(_plain(), [*edits, *(Edit(*edit) for edit in more)])


def _reagent(text: str) -> str:
    weighed, _, besides = text.partition(";")
    formula, mass = weighed.split(maxsplit=1)
    contains = [part.split(maxsplit=1) for part in besides.split(",") if part.strip()]
    inside = ", ".join(f'"{name}" = "{share.strip()}"' for name, share in contains)
    return f'"{formula}" = {{ mass = "{mass.strip()}", contains = {{ {inside} }} }}'


def situation_of(
    metal: str, charge: str, *more: tuple[str, str], tables: Tables | None = None, draws: Draws = DRAWS
) -> Situation:
    """The situation of the rig with another charge."""
    return Situation(charged(metal, charge, *more), tables or shipped(), draws)
