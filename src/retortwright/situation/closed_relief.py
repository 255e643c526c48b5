# SPDX-License-Identifier: MIT
"""Whether a relief serves a closed volume: it sits on it, and nothing freezes on the way to it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.physics.constants import ATMOSPHERE
from retortwright.reference.species import condensed_of
from retortwright.situation.closed_pressure import Closed, closed_of
from retortwright.situation.isolated import cuts_of, inside_of, plant_place
from retortwright.situation.situation import Situation

__all__ = ["Relief", "melting_point", "relief_for"]


@dataclass(frozen=True, slots=True)
class Relief:
    """What the relief of a rig does for a volume: none, opens, or may be frozen shut; pressures over the room."""

    serves: str  # none, opens, frozen
    opens: float = float("nan")  # Pa over one atmosphere
    coldest: float | None = None  # K, of the walls on the way to it
    melts: float | None = None  # K, of the metal


def relief_for(situation: Situation, closed: Closed) -> Relief:
    """The relief as a closed volume sees it.

    Where the volume holds the charge and metal, every wall on the way from it must be warmer than the
    melting point in the middle of the samples, or argon must come in where the relief sits.
    """
    work, relief = closed_of(situation), situation.rig.plant.relief
    if relief is None or not work.has(closed.inner, "relief"):
        return Relief("none")
    opens = relief["opens"] - ATMOSPHERE
    melts = melting_point(situation)
    if not (closed.metal and closed.charge) or melts is None:
        return Relief("opens" if melts is not None or not closed.metal else "frozen", opens)
    coldest = _coldest(situation, closed)
    swept = closed.fed and _same_piece(situation)
    return Relief("opens" if swept or coldest > melts else "frozen", opens, coldest, melts)


def melting_point(situation: Situation) -> float | None:
    """Where the product melts [K]; None where our tables do not say."""
    return situation.once("melting point", lambda: _melting_point(situation))


def _melting_point(situation: Situation) -> float | None:
    metal = situation.rig.aim.metal
    found = [
        each.melts for each in condensed_of(situation.tables, [metal]) if each.formula == metal and each.melts
    ]
    return found[0] if found else None


def _coldest(situation: Situation, closed: Closed) -> float:
    """The coldest wall on the way from the charge to the relief, when the pressure is highest [K]."""
    work, case = closed_of(situation), closed.case
    place = plant_place(situation.rig, situation.tree, "relief")
    inside = inside_of(situation.tree, cuts_of(situation.tree, case.open, case.plug))
    way = inside.way((0, 0.0), place) if place is not None else ()
    slivers = work.slivers
    found = float("inf")
    for number, start, end in way:
        own = (slivers.instance == number) & (slivers.middle >= start) & (slivers.middle <= end)
        if np.any(own):
            found = min(found, float(np.min(work.middle(closed.picture)[slivers.cell[own]])))
    return found


def _same_piece(situation: Situation) -> bool:
    """Whether argon comes in at the piece that the relief sits on, or from a piece on it."""
    argon, relief = (plant_place(situation.rig, situation.tree, name) for name in ("argon", "relief"))
    if argon is None or relief is None:
        return False
    return relief[0] in (argon[0], situation.tree.instances[argon[0]].parent)
