# SPDX-License-Identifier: MIT
"""Metal that lands as powder and soot: on walls far below its melting point it does not grow to a dense crust."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.reference.datum import Row, number_of
from retortwright.situation.crossing import Crossing, crossing_of, metal_states
from retortwright.situation.situation import Situation

__all__ = ["Powder", "fine_powder"]

_SOME = 0.005  # share of the metal from which on it is said


@dataclass(frozen=True, slots=True)
class Powder:
    """Where most of it lands, below what temperature [K], and what share of the metal that comes over (samples,)."""

    place: str
    below: float
    share: Array


def fine_powder(situation: Situation) -> Powder | None:
    """The share of the product that lands on walls too cold for a crust.

    None where nothing does, where the product drains as a liquid, or where it is not known where vapour lands.
    """
    metal, row = situation.rig.aim.metal, situation.tables.find("rules", "opening", "too-cold")
    if not isinstance(situation.tables.find("hazards", metal, "fine"), Row) or not isinstance(row, Row):
        return None
    for state in metal_states(situation):
        crossing = crossing_of(situation, state)
        if isinstance(crossing, Crossing):
            found = _of(crossing, number_of(row).best)
            if found is not None:
                return found
    return None


def _of(crossing: Crossing, share_of_melting: float) -> Powder | None:
    below = share_of_melting * crossing.melting(crossing.plain_ledger())
    landing = crossing.vapour.landings[0]
    cold = np.where(crossing.heat.temperature[landing.cells] < below, landing.landed, 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.nan_to_num(np.sum(cold, axis=0) / landing.entering)
    if not np.median(share) > _SOME:
        return None
    most = int(landing.cells[int(np.argmax(np.median(cold, axis=1)))])
    return Powder(crossing.tree.instances[int(crossing.mesh.instance[most])].row.name, below, share)
