# SPDX-License-Identifier: MIT
"""What pressure inside a wall of metal bears at its temperature: the pressure at which it or an end first yields.

The wall is as thin as when scale retires it. Creep is not in it: what shuts a hot volume lasts hours, not runs.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL
from retortwright.physics.ends import bursting_stress, dished_end_stress, supported_end_stress
from retortwright.reference.datum import Row
from retortwright.rig.parts import Piece
from retortwright.situation.exposure import instances_of
from retortwright.situation.heat import HeatPicture
from retortwright.situation.situation import Situation
from retortwright.situation.standing_ends import is_unsaid
from retortwright.situation.wall_metal import WallMetal, is_above, rule_number

__all__ = ["Rating", "wall_rating"]


@dataclass(frozen=True, slots=True)
class Rating:
    """What a wall bears over the room."""

    bears: float  # Pa, low end of the band; endless where nothing is known
    part: str  # what gives way: wall, bottom, closed end
    known: bool  # whether its strength is known as hot as it is, or it is cold
    hot: float  # K, in the middle of the samples
    cites: frozenset[str]


def wall_rating(situation: Situation, row: str, picture: HeatPicture) -> Rating:
    """The rating of a row of pieces of metal at some temperatures, made once."""
    made = situation.once("wall ratings", dict[tuple[str, int], Rating])
    key = row, id(picture)  # pictures are kept by the situation as long as this is
    if key not in made:
        made[key] = _rated(situation, row, picture)
    return made[key]


def _rated(situation: Situation, row: str, picture: HeatPicture) -> Rating:
    ledger, pieces = Ledger(situation.rig, situation.tables, situation.draws), instances_of(situation, row)
    mesh, piece = situation.mesh, situation.tree.instances[pieces[0]].row
    hot = np.max(
        [np.max(picture.temperature[mesh.first[n] : mesh.last[n] + 1], axis=0) for n in pieces], axis=0
    )
    middle = float(np.median(hot))
    if not isinstance(situation.tables.find("materials", piece.of, "yield"), Row):
        cold = not is_above(ledger, piece.of, "creep-from", hot)
        return Rating(np.inf, "wall", cold, middle, frozenset())
    first, last = mesh.first[pieces[0]], mesh.last[pieces[0]]
    at = {"wall": hot, "bottom": picture.temperature[first], "closed end": picture.temperature[last]}
    metal, found = WallMetal(ledger, piece.of), []
    for part, stress in _stresses(ledger, metal, piece):
        bears = metal.yield_stress(at[part]) / stress
        low = float(np.quantile(bears, TAIL)) if np.all(np.isfinite(bears)) else np.nan
        found.append((low, part))
    known = all(np.isfinite(low) for low, _ in found)
    weakest = min(((low, part) for low, part in found if np.isfinite(low)), default=(np.inf, "wall"))
    return Rating(*weakest, known, middle, frozenset(ledger.cites))


def _stresses(ledger: Ledger, metal: WallMetal, piece: Piece) -> Iterator[tuple[str, Array]]:
    """Largest stress in the wall and in each end whose shape is worked out, for each pascal over the room [1]."""
    left = 1.0 - rule_number(ledger, "scale-runs", "share")
    size = ledger.draws.size
    for tube in [piece.tube, *([] if piece.tapers_to is None else [piece.tapers_to])]:
        wall = tube.wall * left * np.asarray(ledger.default("tolerance.wall", 0.3, 3.0))
        outer = tube.outside / 2
        around = np.asarray(bursting_stress(1.0, outer - wall, outer))
        yield "wall", around / 2 if piece.shape == "flask" else around
    if is_unsaid(piece):  # nothing said: the weakest there is
        wall = np.full(size, piece.tube.wall * left)
        yield "bottom", np.asarray(supported_end_stress(1.0, metal.poisson(), wall, piece.tube.outside / 2))
    for part, end in (("bottom", piece.bottom), ("closed end", piece.closed)):
        if end is None or end.shape is None or end.thick is None:
            continue
        thick, radius = np.full(size, end.thick * left), piece.tube.outside / 2
        if end.shape == "flat":
            yield part, np.asarray(supported_end_stress(1.0, metal.poisson(), thick, radius))
        elif end.shape == "dished":
            crown = piece.tube.outside * rule_number(ledger, "ends", "crown")
            knuckle = crown * rule_number(ledger, "ends", "knuckle")
            yield part, np.asarray(dished_end_stress(1.0, thick, crown, knuckle))
        elif end.shape == "hemispherical":
            yield part, np.asarray(dished_end_stress(1.0, thick, radius, radius))
