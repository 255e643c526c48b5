# SPDX-License-Identifier: MIT
"""Question 2: will the metal get across? Stream, landing, draining, crusts, run, in every state that gives metal."""

from __future__ import annotations

from collections.abc import Iterator

from retortwright.assess.across_argon import argon_checks
from retortwright.assess.across_crust import crust_checks
from retortwright.assess.across_drain import drain_checks
from retortwright.assess.across_landing import landing_checks, landing_unknown
from retortwright.assess.across_run import run_checks
from retortwright.assess.across_supply import supply_checks, supply_unknown
from retortwright.assess.check import Check
from retortwright.assess.questioned import Questioned
from retortwright.reference.datum import Missing
from retortwright.situation.crossing import crossing_of, metal_states
from retortwright.situation.returning import stays_solid
from retortwright.situation.situation import Situation

__all__ = ["GETS_ACROSS"]

_PARTS = (supply_checks, landing_checks, drain_checks, crust_checks, run_checks)


def _made(situation: Situation) -> Iterator[Check]:
    for state in metal_states(situation):
        crossing = crossing_of(situation, state)
        lacks = crossing if isinstance(crossing, Missing) else stays_solid(crossing)
        if isinstance(crossing, Missing) or lacks is not None:
            assert lacks is not None
            yield from supply_unknown(situation, state, lacks)
            yield from landing_unknown(situation, state, lacks)
            yield from argon_checks(situation, state)
            continue
        for part in _PARTS:
            yield from part(crossing)


GETS_ACROSS = Questioned(2, _made)
