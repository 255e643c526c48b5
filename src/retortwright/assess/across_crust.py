# SPDX-License-Identifier: MIT
"""Question 2, a metal that lands solid: does its crust leave the bore open long enough?"""

from __future__ import annotations

from collections.abc import Iterator

from retortwright.assess import across_words as words
from retortwright.assess.check import Check, limit_from_rule, plain_limit, sense_of_rule
from retortwright.situation.crossing import Crossing
from retortwright.situation.crusting import Crust, crusts_of

__all__ = ["crust_checks"]

_SLEEVE = "a crust comes out only with what it sits on: put a sleeve into the bore that can be pulled"
_BARE = (
    "by the temperatures of the bare wall: a crust that grows is warmer on its face and spreads farther on"
)


def crust_checks(crossing: Crossing) -> Iterator[Check]:
    """How thick it gets in every piece on which metal lands solid, and when it closes the bore."""
    for crust in crusts_of(crossing):
        yield _crust(crossing, crust)


def _crust(crossing: Crossing, crust: Crust) -> Check:
    ledger = crossing.plain_ledger()
    share = limit_from_rule(ledger, "crust").value
    limit = plain_limit(ledger, share * crust.bore, "share of the bore")
    return Check(
        "crust",
        crossing.state,
        crust.row,
        f"crust of {crossing.metal} in the {crust.row}",
        f"piece.{crust.row}",
        "length",
        crust.thickness,
        limit,
        words.crust(crust),
        sense_of_rule(crossing.tables, "crust"),
        (_SLEEVE, _BARE),
    )
