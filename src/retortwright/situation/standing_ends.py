# SPDX-License-Identifier: MIT
"""The ends of a wall under vacuum: flat ones carried at their rim, dished ones by their knuckle and their crown.

An end of which the file says nothing counts as flat and of the tube's own wall, the weakest that it can be:
if even that holds, it holds; otherwise it is not known.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL
from retortwright.physics.collapse import sphere_collapse
from retortwright.physics.constants import ATMOSPHERE
from retortwright.physics.ends import dished_end_stress, supported_end_stress
from retortwright.reference.datum import Missing
from retortwright.rig.parts import Piece
from retortwright.situation.figure import Figure
from retortwright.situation.wall_metal import WallMetal, kept_back, limit_of, rule_number

if TYPE_CHECKING:
    from retortwright.situation.standing import Standing

__all__ = ["ends_of", "is_unsaid", "worst_end"]

_THIN = 0.249  # of the radius, the most wall for which thin-shell buckling is worked out: more is no weaker
_KNOWN = ("flat", "dished", "hemispherical")


def ends_of(standing: Standing) -> dict[str, Figure]:
    """For each end: its stress over the yield stress, or what is not known of it."""
    if standing.state is None:
        return {}
    found = {}
    bottom, closed = standing.piece.bottom, standing.piece.closed
    if bottom is not None:
        found["bottom"] = _end(standing, bottom.shape, bottom.thick, 0)
    elif is_unsaid(standing.piece):
        found["bottom"] = _flat_if_unsaid(standing)
    if closed is not None and closed.shape is not None and closed.thick is not None:
        found["closed"] = _end(standing, closed.shape, closed.thick, -1)
    elif closed is not None and ("joints", closed.joined, "as-parent") in standing.situation.tables.rows:
        found["closed"] = _end(standing, None, 0.0, -1)  # a lid that is welded on
    return found


def is_unsaid(piece: Piece) -> bool:
    """Whether something must close the near end of a piece of which the file says nothing."""
    return piece.on is None and piece.bottom is None and piece.shape == "tube"


def worst_end(standing: Standing, ledger: Ledger, metal: WallMetal) -> Array:
    """The larger stress of the ends that are worked out, under an atmosphere [Pa]; 0 where none is."""
    piece = standing.piece
    found = [
        _stress(standing, ledger, metal, end.shape, end.thick)
        for end in (piece.bottom, piece.closed)
        if end is not None and end.shape in _KNOWN and end.thick is not None
    ]
    found.append(np.zeros(ledger.draws.size))
    if is_unsaid(piece):
        found.append(_stress(standing, ledger, metal, "flat", piece.tube.wall))
    return np.asarray(np.max(found, axis=0))


def _flat_if_unsaid(standing: Standing) -> Figure:
    figure, ledger = _end(standing, "flat", standing.piece.tube.wall, 0), standing.ledger()
    most = limit_of(ledger, "ends") * (1.0 - kept_back(ledger, "ends"))
    if figure.missing or float(np.quantile(figure.values, 1 - TAIL)) <= most:
        return figure
    says = f"what closes the near end of the {standing.row} is not said, and flat of its own wall it would not hold"
    missing = (Missing(f"piece.{standing.row}.bottom", says),)
    return replace(figure, values=np.full(len(figure.values), np.nan), missing=missing)


def _end(standing: Standing, shape: str | None, thick: float, side: int) -> Figure:
    ledger, state = standing.ledger(), standing.state
    assert state is not None
    hot = _temperature(standing, state, side)
    metal = WallMetal(ledger, standing.piece.of)
    stress = _stress(standing, ledger, metal, shape, thick)
    yields = metal.yield_stress(hot)
    portion = stress / yields
    wall = thick * standing.thinned(ledger)
    if shape in ("dished", "hemispherical"):
        cap, crown = rule_number(ledger, "collapse", "cap"), _crown(standing, ledger, shape)
        thin = np.minimum(wall, _THIN * crown)
        buckles = cap * np.asarray(sphere_collapse(metal.modulus(hot), metal.poisson(), thin, crown))
        portion = np.maximum(portion, ATMOSPHERE / buckles)
    said = {"stress": stress, "hot": hot, "wall": wall, "yields": yields}
    return standing.figure(ledger, portion, said, [state])


def _temperature(standing: Standing, state: str, side: int) -> Array:
    mesh, picture = standing.situation.mesh, standing.situation.heat(state)
    cell = mesh.first[standing.pieces[0]] if side == 0 else mesh.last[standing.pieces[0]]
    return np.asarray(picture.temperature[cell])


def _crown(standing: Standing, ledger: Ledger, shape: str | None) -> float:
    if shape == "hemispherical":
        return standing.outside / 2
    return standing.outside * rule_number(ledger, "ends", "crown")


def _stress(standing: Standing, ledger: Ledger, metal: WallMetal, shape: str | None, thick: float) -> Array:
    """Largest stress of an end under an atmosphere [Pa]; a flat one counts as carried, not held."""
    wall = thick * standing.thinned(ledger)
    if shape == "flat":
        return np.asarray(supported_end_stress(ATMOSPHERE, metal.poisson(), wall, standing.outside / 2))
    if shape in ("dished", "hemispherical"):
        crown = _crown(standing, ledger, shape)
        knuckle = crown if shape == "hemispherical" else crown * rule_number(ledger, "ends", "knuckle")
        return np.asarray(dished_end_stress(ATMOSPHERE, wall, crown, knuckle))
    what = "an end whose shape and wall the file does not give" if shape is None else f"a {shape} end"
    ledger.missing.append(Missing(f"piece.{standing.row}", f"{what} is not worked out"))
    return np.full(len(wall), np.nan)
