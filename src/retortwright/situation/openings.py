# SPDX-License-Identifier: MIT
"""Openings in a wall where it may be hot enough to creep with a vacuum behind it: side arms, ends that narrow.

The high end of the band of temperature counts for whether one is looked at. What an opening takes out of the
wall that the air asks for has to be there to spare round it, half of it at least. An end that narrows to another
tube, and an opening wider than half the bore, are not worked out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.constants import ATMOSPHERE
from retortwright.physics.reinforcement import arm_reach, needed_wall, spare_area, wall_reach
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.rig.compound import Tube
from retortwright.situation.exposure import original
from retortwright.situation.figure import Figure
from retortwright.situation.standing import Standing, standing_of
from retortwright.situation.wall_metal import WallMetal, kept_back, rule_number

__all__ = ["Opening", "all_openings", "openings_of", "replaced"]

_END = 0.95  # of the samples
_NARROW = 0.9  # of its diameter, to which a tube may narrow without a closed end
_ALONE, _LEAST = 1e3, 1e-6  # m


@dataclass(frozen=True, slots=True)
class Opening:
    """One row of tubes that opens a wall, or goes on from its end as a narrower one."""

    row: str
    tube: Tube
    of: str
    at_end: bool
    apart: float  # m, from its edge to that of the next; of an opening by itself as far as you please
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


def all_openings(standing: Standing) -> tuple[Opening, ...]:
    """The openings of a row, however cold they are."""
    return () if standing.state is None else tuple(_all(standing, standing.state))


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
        tube = single.row.tube
        if not single.at_end or tube.outside < _NARROW * standing.outside:
            found[single.row.name] = Opening(
                single.row.name,
                tube,
                single.row.of,
                single.at_end,
                _apart(standing, joint.instance),
                picture.joints[joint.key],
            )
    return list(found.values())


def _apart(standing: Standing, own: int) -> float:
    """From the edge of one opening to that of the next along the wall, wherever round it that sits [m]."""
    instances = standing.situation.tree.instances
    mine = instances[own]
    gaps = [
        abs(each.at - mine.at) - (each.row.tube.bore + mine.row.tube.bore) / 2
        for number, each in enumerate(instances)
        if number != own and each.parent == mine.parent and not each.at_end
    ]
    return max(min(gaps, default=_ALONE), _LEAST)


# ---- what has to be there to spare


def replaced(standing: Standing, openings: Sequence[Opening]) -> Figure:
    """Metal to spare round the opening that lacks most, over what it takes from the wall that the air asks for."""
    ledger = standing.ledger()
    shares: list[Array] = []
    said: dict[str, Array] = {}
    for opening in openings:
        one = _cover(standing, ledger, opening)
        shares.append(one["cover"])
        said |= {f"{name} of {opening.row}": values for name, values in one.items()}
    state = () if standing.state is None else (standing.state,)
    return standing.figure(ledger, np.asarray(np.min(shares, axis=0)), said, state)


def _cover(standing: Standing, ledger: Ledger, opening: Opening) -> Mapping[str, Array]:
    """For one opening: wall that is needed and spare and taken area, and the share of it that is there to spare."""
    if opening.at_end:
        says = f"what closes the end of the {standing.row} round the {opening.row} is not said"
        ledger.missing.append(Missing(f"piece.{standing.row}", says))
    widest = rule_number(ledger, "openings", "widest")
    if not opening.at_end and opening.tube.bore > widest * standing.piece.tube.bore:
        says = (
            f"an opening of {opening.tube.bore * 1e3:.3g} mm in a bore of {standing.piece.tube.bore * 1e3:.3g} mm: "
            f"wider than {widest * 100:.0f} % no rule covers it"
        )
        ledger.missing.append(Missing(f"piece.{opening.row}.tube", says))
    wall = standing.wall(ledger)
    arm_wall = opening.tube.wall * np.asarray(ledger.default("tolerance.wall", 0.3, 3.0))
    needed = _needed(ledger, standing.piece.of, standing.outside, opening.hot)
    arm_needed = _needed(ledger, opening.of, opening.tube.outside, opening.hot)
    along = wall_reach(standing.outside, wall, opening.tube.bore, opening.apart)
    up = arm_reach(opening.tube.outside, arm_wall, wall)
    weaker = _strength(standing, ledger, opening)
    spare = np.asarray(spare_area(wall, needed, along) + weaker * spare_area(arm_wall, arm_needed, up))
    taken = np.asarray(needed * opening.tube.bore)
    return {"needed": needed, "wall": wall, "spare": spare, "taken": taken, "cover": spare / taken}


def _needed(ledger: Ledger, material: str, outside: float, hot: Array) -> Array:
    """The wall that a tube wants against an atmosphere with its reserve [m]."""
    metal = WallMetal(ledger, material)
    pressure = ATMOSPHERE / (1.0 - kept_back(ledger, "collapse"))
    deviation = np.asarray(ledger.default("out-of-round") * outside / 4)
    args = (metal.modulus(hot), metal.poisson(), metal.yield_stress(hot), outside, deviation)
    return np.asarray(needed_wall(pressure, *args))


def _strength(standing: Standing, ledger: Ledger, opening: Opening) -> Array:
    """How much of the arm's metal counts: less where it is weaker than the wall, never more."""
    if opening.of == standing.piece.of:
        return np.ones(ledger.draws.size)
    own, other = (
        WallMetal(ledger, material).yield_stress(opening.hot) for material in (standing.piece.of, opening.of)
    )
    return np.asarray(np.minimum(other / own, 1.0))
