# SPDX-License-Identifier: MIT
"""Question 8: what can hurt you? First of all volumes that nothing leads out of.

Every volume of every case is in the table (`closed_rows`); findings are the gravest one of each state as
planned, and the gravest one of each kind of thing that goes wrong.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from retortwright.assess.check import Check, Limit, finding_of, seen_values
from retortwright.assess.closed_rows import CHECK, ClosedRow, closed_rows, is_heated, rows_of_case
from retortwright.assess.finding import Finding
from retortwright.assess.hurts_plant import PlantCheck, plant_checks
from retortwright.assess.hurts_words import because_of, happens, notes_of
from retortwright.ground.arrays import Array
from retortwright.ground.words import VERDICTS
from retortwright.situation.closed_pressure import closed_of
from retortwright.situation.isolated import Case
from retortwright.situation.situation import Situation

__all__ = ["QUESTION", "hurts_values", "row_id", "what_can_hurt"]

QUESTION = 8
_SUFFIX = {
    "shut": "-shut",
    "never": "-never-open",
    "open": "-open",
    "plug": "-plugged",
    "lost": "",
    "over": "-runs-on",
}


def what_can_hurt(situation: Situation) -> Iterator[Finding]:
    """Every finding of the question."""
    for row in _chosen(situation):
        yield _finding(situation, row)
    for each in _plant(situation):
        yield replace(finding_of(situation, each.check, QUESTION), lost=each.lost, happens=each.happens)


def hurts_values(situation: Situation, finding: Finding) -> Array:
    """The samples behind a finding of the question."""
    if finding.check != CHECK:
        check = next((each.check for each in _plant(situation) if each.id == finding.id), None)
    else:
        row = _row_of(situation, finding.id)
        check = None if row is None else _check(situation, row)
    if check is None:
        raise LookupError(f"no check is called {finding.id}")
    return seen_values(check)


def row_id(situation: Situation, row: ClosedRow) -> str:
    """check/place/state, and what is wrong."""
    lost = _lost(row.case)
    place = situation.tree.instances[row.closed.piece].name
    return f"{CHECK}/{place}/{row.case.state}" + (f"-{lost}" if lost else "")


def _plant(situation: Situation) -> tuple[PlantCheck, ...]:
    return situation.once("checks of the plant", lambda: tuple(plant_checks(situation)))


def _chosen(situation: Situation) -> list[ClosedRow]:
    """The gravest of each state as planned, and of each kind of thing that goes wrong."""
    found: dict[tuple[str, str], ClosedRow] = {}
    for row in sorted(closed_rows(situation), key=_rank):
        if is_heated(situation, row):
            kind = row.case.kind
            found.setdefault((kind, row.case.state if kind == "planned" else ""), row)
    return list(found.values())


def _rank(row: ClosedRow) -> tuple[int, bool, float, int]:
    """Gravest first; of those that hold the ones with the charge; of those alike the earliest."""
    holds = row.verdict == "holds"
    return (
        VERDICTS.index(row.verdict),
        holds and not row.closed.charge,
        -round(row.reach, 1),
        row.case.moment.number,
    )


def _row_of(situation: Situation, name: str) -> ClosedRow | None:
    """The gravest row of an id, without making the others."""
    cases = [case for case in closed_of(situation).cases() if name.endswith(_end(case))]
    rows = [row for case in cases for row in rows_of_case(situation, case) if row_id(situation, row) == name]
    return min(rows, key=lambda row: (VERDICTS.index(row.verdict), -row.reach), default=None)


def _end(case: Case) -> str:
    lost = _lost(case)
    return f"/{case.state}" + (f"-{lost}" if lost else "")


def _lost(case: Case) -> str | None:
    return None if case.kind == "planned" else case.what + _SUFFIX[case.kind]


def _finding(situation: Situation, row: ClosedRow) -> Finding:
    made = finding_of(situation, _check(situation, row), QUESTION)
    return replace(made, lost=_lost(row.case), happens=happens(situation, row.case), limit_of=row.weakest)


def _check(situation: Situation, row: ClosedRow) -> Check:
    single = situation.tree.instances[row.closed.piece]
    limit = Limit(float(np.median(row.limit.values)), row.weakest, row.limit)
    return Check(
        CHECK, row.case.state, single.name, f"closed volume of the {single.name}", f"piece.{single.row.name}",
        "overpressure", row.gauge, limit, because_of(situation, row), "high", notes_of(situation, row),
    )  # fmt: skip
