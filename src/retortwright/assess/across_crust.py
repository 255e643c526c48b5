# SPDX-License-Identifier: MIT
"""Question 2, a metal that lands solid: does its crust leave the bore open long enough?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

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
    """Thickness and time to a plug for every piece on which metal lands solid."""
    for crust in crusts_of(crossing):
        yield _thickness(crossing, crust)
        yield _plug(crossing, crust)


def _thickness(crossing: Crossing, crust: Crust) -> Check:
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


def _plug(crossing: Crossing, crust: Crust) -> Check:
    ledger = crossing.plain_ledger()
    limit = plain_limit(ledger, np.full(ledger.draws.size, crossing.held_for(ledger)), "hold")
    return Check(
        "plug",
        crossing.state,
        crust.row,
        f"time until {crossing.metal} closes the {crust.row} to a third of its bore",
        f"piece.{crust.row}",
        "time",
        crust.closes,
        limit,
        words.plug(crust),
        sense_of_rule(crossing.tables, "plug"),
        (_SLEEVE, _BARE),
    )
