# SPDX-License-Identifier: MIT
"""Question 2, a metal that lands liquid: does it run to the receivers, and do they hold it?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from retortwright.assess import across_words as words
from retortwright.assess.check import Check, Limit, limit_from_rule, plain_limit, sense_of_rule
from retortwright.situation.crossing import Crossing
from retortwright.situation.drains import (
    coldest,
    dip,
    draining_bore,
    drains_of,
    melted_share,
    narrowest,
    steepness,
)
from retortwright.situation.figure import Figure
from retortwright.situation.receivers import receiver_rows, ullage

__all__ = ["drain_checks"]

_SOME = 0.01  # share that lands liquid from which on it has to drain
_OXIDE = "a skin of oxide, and a wall that the metal does not wet, hold more than this says"
_TUBE = "for a bore that a plug of liquid fills; a thin stream runs down a narrower one"


def drain_checks(crossing: Crossing) -> Iterator[Check]:
    """Warm, sloped, no dip, wide enough for every piece from the landing on; then the receivers."""
    melting = crossing.melting(crossing.plain_ledger())
    share = melted_share(crossing, melting)
    if not np.isfinite(melting) or np.median(share) < _SOME:
        return
    if drains_of(crossing):
        yield from _warm(crossing)
        yield from _slopes(crossing)
        yield _low_point(crossing)
        yield from _bore(crossing)
    for row in receiver_rows(crossing.tree):
        yield _ullage(crossing, row)


def _check(
    crossing: Crossing,
    name: str,
    row: str,
    subject: str,
    quantity: str,
    figure: Figure,
    limit: Limit,
    because: str,
    notes: tuple[str, ...] = (),
) -> Check:
    sense = sense_of_rule(crossing.tables, name)
    return Check(
        name, crossing.state, row, subject, f"piece.{row}", quantity, figure, limit, because, sense, notes
    )


def _warm(crossing: Crossing) -> Iterator[Check]:
    for row, (figure, cell) in coldest(crossing).items():
        ledger = crossing.plain_ledger()
        limit = plain_limit(ledger, crossing.melting(ledger), "melting point")
        subject, because = (
            f"coldest wall of the {row} on the way of the liquid",
            words.warm(crossing, row, cell),
        )
        yield _check(crossing, "drain-warm", row, subject, "temperature", figure, limit, because)


def _slopes(crossing: Crossing) -> Iterator[Check]:
    for row, figure in steepness(crossing).items():
        limit = limit_from_rule(crossing.plain_ledger(), "drain-slope")
        subject = f"fall of the {row} along the way of the liquid"
        yield _check(
            crossing, "drain-slope", row, subject, "angle", figure, limit, words.slope(figure, crossing.metal)
        )


def _low_point(crossing: Crossing) -> Check:
    figure, where = dip(crossing)
    ledger = crossing.plain_ledger()
    share = limit_from_rule(ledger, "low-point").value
    limit = plain_limit(ledger, share * crossing.wanted(ledger), "share of the product")
    row = where or crossing.tree.instances[crossing.mesh.instance[drains_of(crossing)[0].cells[0]]].row.name
    subject = f"{crossing.metal} that stays in dips of its way"
    because = words.low_point(crossing, where)
    return _check(crossing, "low-point", row, subject, "mass", figure, limit, because)


def _bore(crossing: Crossing) -> Iterator[Check]:
    found = narrowest(crossing)
    if found is None:
        return
    bore, row = found
    draining, ledger = draining_bore(crossing), crossing.plain_ledger()
    figure = crossing.figure(ledger, np.full(ledger.draws.size, bore))
    limit = Limit(float(np.median(draining.values)), "surface tension", draining)
    because = words.bore(crossing, bore, draining)
    subject = f"narrowest bore on the way of the liquid, the {row}"
    yield _check(crossing, "drain-bore", row, subject, "length", figure, limit, because, (_TUBE, _OXIDE))


def _ullage(crossing: Crossing, row: str) -> Check:
    figure = ullage(crossing, row)
    receives = crossing.rig.piece(row).receives
    ledger = crossing.plain_ledger()
    limit = limit_from_rule(ledger, "ullage")
    if receives is not None and receives.up_to is not None:
        limit = plain_limit(ledger, min(receives.up_to, limit.value), "receives.up_to")
    count = len(receiver_rows(crossing.tree)[row])
    subject = f"share of {'one' if count > 1 else 'the'} {row} that is filled"
    because = words.ullage(crossing, row, figure)
    return _check(crossing, "ullage", row, subject, "portion", figure, limit, because)
