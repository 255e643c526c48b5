# SPDX-License-Identifier: MIT
"""Which species and melts the course of a charge rests on: what is there, and what nearly is."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.ground.ranges import Mask, quietly
from retortwright.situation.any_charge import AnyCharge
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.melting import activity_in_alloy, interaction_of
from retortwright.situation.taking_away import Taken

__all__ = ["rests_on"]

_NEARLY = -2.0  # h over R T of a phase that is not there but nearly is
_OF_THE_MELT = 1e-4  # share from which on a species of a melt counts
_OF_THE_GAS = 1e-6  # of the pressure of all: a gas of less does not count
_PAIR = 0.02  # share of both species of a melt from which on it matters how they mix


def rests_on(charge: AnyCharge, taken: Taken, kelvin: Array, chemistry: Chemistry) -> None:
    """Writes into the ledger of a chemistry what the course of a charge was made from."""
    phases, system = charge.phases, charge.phases.system
    counts, paired = _counted(charge, taken)
    for number, species in enumerate(phases.species):
        if counts[number]:
            chemistry.gibbs(species.name, kelvin)
    for number, (one, other) in enumerate(system.pairs):
        if paired[one] and paired[other]:
            interaction_of(chemistry, *phases.pair(number), kelvin)
    condensed = {
        each.formula for number, each in enumerate(phases.species) if counts[number] and each.phase != "g"
    }
    if condensed & charge.weakened:
        activity_in_alloy(chemistry)
    if condensed & charge.solutes:
        chemistry.ledger.default("alloy.solute", 0.0, np.inf)


@quietly
def _counted(charge: AnyCharge, taken: Taken) -> tuple[Mask, Mask]:
    """Which species count, and which of a melt count for how others mix."""
    system, gases = charge.phases.system, charge.phases.gases
    counts = np.zeros(len(system.atoms), dtype=bool)
    paired = counts.copy()
    for step, found in enumerate(taken.found):
        known = np.isfinite(taken.left[step]).all(-1)
        if not known.any():
            break
        shares, excess = found.shares[known], found.excess[known]
        near = system.by_species(np.where(excess > _NEARLY, 1.0, 0.0), np.ones_like(shares))
        share = shares * near
        vapour = taken.pressures[step][known]
        counts[:gases] |= (vapour > _OF_THE_GAS * vapour.sum(-1, keepdims=True)).any(0)
        counts[gases:] |= (share[:, gases:] > _OF_THE_MELT).any(0)
        paired |= (share > _PAIR).any(0)
    return counts, paired
