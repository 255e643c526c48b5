# SPDX-License-Identifier: MIT
"""Openings in a wall where it is hot enough to creep with a vacuum behind it: side arms, and ends that narrow."""

from __future__ import annotations

from dataclasses import dataclass

from retortwright.ground.arrays import Array
from retortwright.situation.exposure import original
from retortwright.situation.standing import Standing, standing_of
from retortwright.situation.wall_metal import is_above

__all__ = ["Opening", "openings_of"]

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
    ledger = standing.ledger()
    return tuple(
        each
        for each in _all(standing, standing.state)
        if is_above(ledger, standing.piece.of, "creep-from", each.hot)
    )


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
