# SPDX-License-Identifier: MIT
"""Question 1: will it make metal? Route, charge, moisture, equilibrium, in this order."""

from __future__ import annotations

from collections.abc import Iterator

from retortwright.assess.check import Check, finding_of, seen_values
from retortwright.assess.finding import Finding
from retortwright.assess.makes_charge import charge_checks
from retortwright.assess.makes_equilibrium import equilibrium_checks
from retortwright.assess.makes_moisture import moisture_checks
from retortwright.assess.makes_route import route_checks
from retortwright.ground.arrays import Array
from retortwright.situation.situation import Situation

__all__ = ["QUESTION", "makes_check", "makes_finding", "makes_values", "will_it_make_metal"]

QUESTION = 1
_PARTS = (route_checks, charge_checks, moisture_checks, equilibrium_checks)


def will_it_make_metal(situation: Situation) -> Iterator[Finding]:
    """Every finding of the question; none where there is no charge."""
    for check in _checks(situation):
        yield finding_of(situation, check, QUESTION)


def makes_finding(situation: Situation, name: str) -> Finding | None:
    """One finding of the question by its id, without those that come after it."""
    check = makes_check(situation, name)
    return None if check is None else finding_of(situation, check, QUESTION)


def makes_values(situation: Situation, finding: Finding) -> Array:
    """The samples behind a finding of the question."""
    check = makes_check(situation, finding.id)
    if check is None:
        raise LookupError(f"no check is called {finding.id}")
    return seen_values(check)


def makes_check(situation: Situation, name: str) -> Check | None:
    """The check of an id."""
    known = situation.once("checks of question 1", dict[str, Check])
    if name not in known:
        known |= {each.id: each for each in _until(situation, name)}
    return known.get(name)


def _checks(situation: Situation) -> tuple[Check, ...]:
    known = situation.once("checks of question 1", dict[str, Check])
    made = situation.once("all checks of question 1", lambda: tuple(_made(situation)))
    known |= {each.id: each for each in made}
    return made


def _until(situation: Situation, name: str) -> Iterator[Check]:
    for each in _made(situation):
        yield each
        if each.id == name:
            return


def _made(situation: Situation) -> Iterator[Check]:
    if situation.rig.charge:
        for part in _PARTS:
            yield from part(situation)
