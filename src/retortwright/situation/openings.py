# SPDX-License-Identifier: MIT
"""Openings in a wall where it may be hot enough to creep with a vacuum behind it: side arms, ends that narrow.

The high end of the band counts: what is not worked out is named where it may matter.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.reference.datum import Row, number_of
from retortwright.situation.exposure import original
from retortwright.situation.standing import Standing, standing_of

__all__ = ["Opening", "openings_of"]

_END = 0.95  # of the samples
_NARROW = 0.9  # of its diameter, to which a tube may narrow without a closed end


@dataclass(frozen=True, slots=True)
class Opening:
    """One row of tubes that opens a wall, or goes on from its end as a narrower one."""

    row: str
    outside: float  # m
    at_end: bool
    hot: Array  # of the wall there [K], (samples,)


def openings_of(standing: Standing) -> tuple[Opening, ...]:
    """The openings of a row where it creeps; of a what-if of the same rig, where it does so without it."""
    if standing.state is None:
        return ()
    known = original(standing.situation)
    if known is not standing.situation:
        hot = {each.row for each in openings_of(standing_of(known, standing.row))}
        return tuple(each for each in _all(standing, standing.state) if each.row in hot)
    row = standing.ledger().row("materials", standing.piece.of, "creep-from")
    creeps = number_of(row).best if isinstance(row, Row) else 0.0
    return tuple(each for each in _all(standing, standing.state) if _high(each.hot) > creeps)


def _high(hot: Array) -> float:
    known = hot[np.isfinite(hot)]
    return float(np.quantile(known, _END)) if len(known) else np.inf


def _all(standing: Standing, state: str) -> list[Opening]:
    tree, picture = standing.situation.tree, standing.situation.heat(state)
    found: dict[str, Opening] = {}
    for joint in tree.joints:
        single = tree.instances[joint.instance]
        if joint.onto not in standing.pieces or single.parent != joint.onto or joint.place != 0.0:
            continue
        across = single.row.tube.outside
        if not single.at_end or across < _NARROW * standing.outside:
            found[single.row.name] = Opening(
                single.row.name, across, single.at_end, picture.joints[joint.key]
            )
    return list(found.values())
