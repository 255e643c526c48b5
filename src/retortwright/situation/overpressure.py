# SPDX-License-Identifier: MIT
"""Pressure inside over the room: the worst closed volume of each row of pieces, and the stress of its wall."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.constants import ATMOSPHERE
from retortwright.physics.ends import bursting_stress
from retortwright.situation.closed_pressure import Closed, closed_of
from retortwright.situation.closed_relief import relief_for
from retortwright.situation.exposure import original
from retortwright.situation.figure import Figure
from retortwright.situation.situation import Situation
from retortwright.situation.standing import Standing, standing_of
from retortwright.situation.wall_metal import WallMetal, rule_number

__all__ = ["OverPressure", "overpressure_of"]

_KINDS = ("planned", "over")


@dataclass(frozen=True, slots=True)
class OverPressure:
    """The worst pressure inside one row of pieces: where from, and its stress over what the wall yields at."""

    state: str
    left_on: bool  # argon that is left on after the state's mark
    relieved: bool  # whether a relief holds it
    figure: Figure


def overpressure_of(standing: Standing) -> OverPressure | None:
    """The worst pressure inside over the room of a row, as planned or with argon left on; None where it is little.

    Of a what-if of the same rig the case is the one that is worst without it.
    """
    known = original(standing.situation)
    first = _worst(standing if known is standing.situation else standing_of(known, standing.row))
    if first is None:
        return None
    work = closed_of(standing.situation)
    closed = next(each for each in work.closed(first.case) if each.inner == first.inner)
    gauge, relieved = _gauge(standing.situation, closed)
    figure = _stressed(standing, closed, gauge)
    return OverPressure(closed.case.state, closed.case.kind == "over", relieved, figure)


def _worst(standing: Standing) -> Closed | None:
    found = [(_middle(_gauge(standing.situation, closed)[0]), closed) for closed in _closed(standing)]
    if not found:
        return None
    gauge, closed = max(found, key=lambda each: each[0])
    return closed if gauge > _least(standing) else None


def _least(standing: Standing) -> float:
    return rule_number(standing.ledger(), "over-pressure", "share") * ATMOSPHERE


def _closed(standing: Standing) -> Iterator[Closed]:
    work = closed_of(standing.situation)
    for case in work.cases():
        if case.kind not in _KINDS:
            continue
        for closed in work.closed(case):
            if {part[0] for part in closed.inner.parts} & set(standing.pieces):
                yield closed


def _gauge(situation: Situation, closed: Closed) -> tuple[Array, bool]:
    """Pressure over the room, no more than a relief that serves lets stand."""
    relief = relief_for(situation, closed)
    over = closed.figure.values - ATMOSPHERE
    if relief.serves != "opens":
        return over, False
    return np.minimum(over, relief.opens), bool(_middle(over) > relief.opens)


def _middle(values: Array) -> float:
    good = values[np.isfinite(values)]
    return float(np.median(good)) if len(good) else -np.inf


def _stressed(standing: Standing, closed: Closed, gauge: Array) -> Figure:
    ledger: Ledger = standing.ledger()
    mesh = standing.situation.mesh
    cells = [closed.picture.temperature[mesh.first[n] : mesh.last[n] + 1] for n in standing.pieces]
    hot = np.asarray(np.max(np.concatenate(cells), axis=0))
    wall = standing.wall(ledger)
    outer = standing.outside / 2
    stress = np.asarray(bursting_stress(np.maximum(gauge, 0.0), outer - wall, outer))
    yields = WallMetal(ledger, standing.piece.of).yield_stress(hot)
    said = {"gauge": gauge, "stress": stress, "hot": hot, "yields": yields}
    figure = standing.figure(ledger, stress / yields, said, [closed.case.state])
    inputs = {belief.name: belief for belief in (*closed.figure.inputs, *figure.inputs)}
    return Figure(
        figure.values, said, tuple(inputs.values()), figure.cites | closed.figure.cites, figure.missing
    )
