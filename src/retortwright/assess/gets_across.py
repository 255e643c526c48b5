# SPDX-License-Identifier: MIT
"""Question 2: will the metal get across? Stream, landing, draining, crusts, in every state that gives metal."""

from __future__ import annotations

from collections.abc import Iterator

from retortwright.assess.across_crust import crust_checks
from retortwright.assess.across_drain import drain_checks
from retortwright.assess.across_landing import landing_checks, landing_unknown
from retortwright.assess.across_supply import supply_checks, supply_unknown
from retortwright.assess.check import Check, finding_of, seen_values
from retortwright.assess.finding import Finding
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing
from retortwright.situation.crossing import crossing_of, metal_states
from retortwright.situation.returning import stays_solid
from retortwright.situation.situation import Situation

__all__ = ["QUESTION", "across_check", "across_finding", "across_values", "will_it_get_across"]

QUESTION = 2
_PARTS = (supply_checks, landing_checks, drain_checks, crust_checks)
_KEPT = "checks of question 2"


def will_it_get_across(situation: Situation) -> Iterator[Finding]:
    """Every finding of the question; none where the charge gives no metal."""
    for check in _checks(situation):
        yield finding_of(situation, check, QUESTION)


def across_finding(situation: Situation, name: str) -> Finding | None:
    """One finding of the question by its id."""
    check = across_check(situation, name)
    return None if check is None else finding_of(situation, check, QUESTION)


def across_values(situation: Situation, finding: Finding) -> Array:
    """The samples behind a finding of the question."""
    check = across_check(situation, finding.id)
    if check is None:
        raise LookupError(f"no check is called {finding.id}")
    return seen_values(check)


def across_check(situation: Situation, name: str) -> Check | None:
    """The check of an id."""
    return next((each for each in _checks(situation) if each.id == name), None)


def _checks(situation: Situation) -> tuple[Check, ...]:
    return situation.once(_KEPT, lambda: tuple(_made(situation)))


def _made(situation: Situation) -> Iterator[Check]:
    for state in metal_states(situation):
        crossing = crossing_of(situation, state)
        lacks = crossing if isinstance(crossing, Missing) else stays_solid(crossing)
        if isinstance(crossing, Missing) or lacks is not None:
            assert lacks is not None
            yield from supply_unknown(situation, state, lacks)
            yield from landing_unknown(situation, state, lacks)
            continue
        for part in _PARTS:
            yield from part(crossing)
