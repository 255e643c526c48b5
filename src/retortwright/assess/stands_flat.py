# SPDX-License-Identifier: MIT
"""Question 5, flat ends of walls that creep: practice asks three walls of the tube for them, data or none."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from retortwright.assess import stands_words as words
from retortwright.assess.check import Check, limit_from_rule, sense_of_rule
from retortwright.rig.parts import Bottom, Closure
from retortwright.situation.figure import figure_of
from retortwright.situation.standing import Standing

__all__ = ["flat_checks"]


def flat_checks(standing: Standing) -> Iterator[Check]:
    """One for each flat end of a piece that is under vacuum and gets hot enough to creep."""
    piece = standing.piece
    if standing.state is None or not standing.is_above("creep-from"):
        return
    for which, end in (("bottom", piece.bottom), ("closed", piece.closed)):
        if end is not None and end.shape == "flat" and end.thick is not None:
            yield _check(standing, which, end, standing.state)


def _check(standing: Standing, which: str, end: Bottom | Closure, state: str) -> Check:
    ledger = standing.ledger()
    row, thick, wall = standing.row, end.thick or np.nan, standing.piece.tube.wall
    limit = limit_from_rule(ledger, "flat-end")
    portion = np.full(ledger.draws.size, wall / thick)
    needs = wall / limit.value * 1e3
    name = "bottom" if which == "bottom" else "closed end"
    because = (
        f"{thick * 1e3:.3g} mm flat on a tube of {wall * 1e3:.3g} mm: hot, a flat end goes first; "
        f"make it {needs:.3g} mm, or dish it."
    )
    sense = sense_of_rule(standing.situation.tables, "flat-end")
    return Check(
        "flat-end", state, f"{row}.{which}", f"wall of the {row} over its flat {name}", f"piece.{row}.{which}",
        "portion", figure_of(ledger, portion), limit, because, sense, (words.CODES,),
    )  # fmt: skip
