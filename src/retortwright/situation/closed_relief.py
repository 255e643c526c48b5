# SPDX-License-Identifier: MIT
"""Whether a relief serves a closed volume: it sits on it, and nothing freezes on the way to it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.units import TAIL
from retortwright.physics.constants import ATMOSPHERE
from retortwright.reference.datum import Missing
from retortwright.reference.species import condensed_of
from retortwright.situation.closed_pressure import Closed, closed_of
from retortwright.situation.heat import HeatPicture
from retortwright.situation.isolated import Place, cuts_of, inside_of, plant_place
from retortwright.situation.loss import cooling_down
from retortwright.situation.situation import Situation
from retortwright.situation.timing import is_hot
from retortwright.situation.vapour_state import VapourState, gives_metal

__all__ = ["Relief", "melting_point", "relief_for"]

_SHORT = 0.05  # m that vapour has to stay short of a relief in an arm


@dataclass(frozen=True, slots=True)
class Relief:
    """What the relief of a rig does for a volume: none, opens, or may be frozen shut; pressures over the room."""

    serves: str  # none, opens, frozen; small where its bore may not pass what comes
    opens: float = float("nan")  # Pa over one atmosphere
    coldest: float | None = None  # K, of the walls on the way to it, at the cold end of the samples
    melts: float | None = None  # K, of the metal


def relief_for(situation: Situation, closed: Closed) -> Relief:
    """The relief as a closed volume sees it.

    Where the volume holds metal, every wall on the way to the relief must be warmer than its melting point at the
    cold end of the samples, with vapour at the walls and without (gas that is in the way keeps it off them); or
    argon must have come in where the relief sits for as long as there was metal. Against argon in a state without
    heat one serves too that sits where the argon comes in and where no metal ever gets: behind a valve that was
    shut, or beyond the end of the vapour in an arm.
    """
    work, relief = closed_of(situation), situation.rig.plant.relief
    place = plant_place(situation.rig, situation.tree, "relief")
    if relief is None or place is None or not work.has(closed.inner, "relief"):
        return Relief("none")
    opens = relief["opens"] - ATMOSPHERE
    melts = melting_point(situation)
    if not closed.metal or melts is None:
        return Relief("frozen" if closed.metal else "opens", opens)
    if _swept(situation, closed) or _clean(situation, closed, place):
        return Relief("opens", opens, None, melts)
    coldest = _coldest(situation, closed, place)
    return Relief("opens" if coldest > melts else "frozen", opens, coldest, melts)


def melting_point(situation: Situation) -> float | None:
    """Where the product melts [K]; None where our tables do not say."""
    return situation.once("melting point", lambda: _melting_point(situation))


def _melting_point(situation: Situation) -> float | None:
    metal = situation.rig.aim.metal
    found = [
        each.melts for each in condensed_of(situation.tables, [metal]) if each.formula == metal and each.melts
    ]
    return found[0] if found else None


def _coldest(situation: Situation, closed: Closed, place: Place) -> float:
    """The coldest wall on the way from the charge to the relief, or at the relief where there is no charge [K]."""
    case, slivers = closed.case, closed_of(situation).slivers
    inside = inside_of(situation.tree, cuts_of(situation.tree, case.open, case.plug))
    cells = {int(slivers.cell[slivers.at(place)])}
    for number, start, end in inside.way((0, 0.0), place) if closed.charge else ():
        own = (slivers.instance == number) & (slivers.middle >= start) & (slivers.middle <= end)
        cells |= {int(each) for each in slivers.cell[own]}
    down = cooling_down(situation.rig, case.state)
    dry = situation.dry(case.state if down is None else down.start)
    pictures = [closed.picture, dry]
    if closed.fed:  # what flows in goes on pressing while all cools
        pictures += closed_of(situation).pictures(case)
    return min(_cold_end(picture, sorted(cells)) for picture in pictures)


def _cold_end(picture: HeatPicture, cells: list[int]) -> float:
    """The coldest of some cells of wall at the cold end of the samples; none where it is not known."""
    found = np.min(picture.temperature[cells], axis=0)
    return float(np.quantile(found, TAIL)) if np.all(np.isfinite(found)) else float("-inf")


def _swept(situation: Situation, closed: Closed) -> bool:
    """Whether argon came in where the relief sits, in this moment and in each before it that had metal."""
    work = closed_of(situation)
    if not closed.fed or not _same_piece(situation):
        return False
    moments = work.moments[: closed.case.moment.number + 1]
    return all("argon" in each.state.running for each in moments if work.has_metal(each))


def _clean(situation: Situation, closed: Closed, place: Place) -> bool:
    """Whether a relief sits on the side of the argon and no metal gets to it, in a state that is not heated."""
    if not closed.fed or is_hot(situation.rig, closed.case.state) or not _same_piece(situation):
        return False
    return not closed_of(situation).is_wetted(place) or _beyond_vapour(situation, place)


def _beyond_vapour(situation: Situation, place: Place) -> bool:
    """Whether vapour stays well short of a place on an arm in every state that gives metal."""
    cell = situation.mesh.cell_at(*place)
    given = [each.name for each in situation.rig.states if gives_metal(situation, each.name)]
    return bool(given) and all(_stays_short(situation.vapour(name), cell) for name in given)


def _stays_short(together: VapourState | Missing | None, cell: int) -> bool:
    if not isinstance(together, VapourState) or together.heat.missing:
        return False
    arms = [arm for arm in together.vapour.ways.arms if cell in arm.cells]
    return bool(arms) and all(
        float(np.min(arm.outward[arm.cells == cell])) - _reached(together, arm.name) > _SHORT for arm in arms
    )


def _reached(together: VapourState, arm: str) -> float:
    """How far vapour comes into an arm at the far end of the samples [m]."""
    return float(np.quantile(together.vapour.reaches[arm], 1.0 - TAIL))


def _same_piece(situation: Situation) -> bool:
    """Whether argon comes in at the piece that the relief sits on, or from a piece on it."""
    argon, relief = (plant_place(situation.rig, situation.tree, name) for name in ("argon", "relief"))
    if argon is None or relief is None:
        return False
    return relief[0] in (argon[0], situation.tree.instances[argon[0]].parent)
