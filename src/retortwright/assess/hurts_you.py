# SPDX-License-Identifier: MIT
"""Question 8: what can hurt you? First of all volumes that nothing leads out of, then fire, opening and room.

Every volume of every case is in the table (`closed_rows`); findings are the gravest one of each state as
planned, and the gravest one of each kind of thing that goes wrong.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from retortwright.assess.check import Check, Limit, finding_of, seen_values
from retortwright.assess.closed_rows import (
    CHECK,
    ClosedRow,
    closed_rows,
    is_heated,
    is_own,
    rows_of_case,
)
from retortwright.assess.finding import Finding
from retortwright.assess.hurts_fire import fire_checks
from retortwright.assess.hurts_opening import opening_checks
from retortwright.assess.hurts_plant import plant_checks
from retortwright.assess.hurts_room import room_checks
from retortwright.assess.hurts_words import because_of, happens, notes_of
from retortwright.assess.questioned import Questioned
from retortwright.ground.arrays import Array
from retortwright.ground.words import VERDICTS
from retortwright.situation.closed_pressure import closed_of
from retortwright.situation.isolated import Case
from retortwright.situation.situation import Situation

__all__ = [
    "HURTS_YOU",
    "QUESTION",
    "around_checks",
    "hurts_finding",
    "hurts_values",
    "row_id",
    "row_of",
    "what_can_hurt",
]

QUESTION = 8
_AROUND = (fire_checks, opening_checks, room_checks)
_OF_AROUND = (
    "agent/", "argon-room/", "burns/", "clear/", "glass-vacuum/", "hydrogen-room/", "opening/", "people/", "quench/",
    "quench-hydrogen/", "tray/", "water-cooling/", "water-near/",
)  # fmt: skip
_SUFFIX = {
    "shut": "-shut",
    "never": "-never-open",
    "open": "-open",
    "plug": "-plugged",
    "lost": "",
    "over": "-runs-on",
}


def _checks(situation: Situation) -> Iterator[Check]:
    for row in _chosen(situation):
        yield _check(situation, row)
    yield from plant_checks(situation)
    yield from around_checks(situation)


def around_checks(situation: Situation) -> tuple[Check, ...]:
    """The checks of fire, opening and room, made once."""
    made = situation.once("around checks", lambda: tuple(each for make in _AROUND for each in make(situation)))
    _known(situation).update({each.id: each for each in made})
    return made


def _known(situation: Situation) -> dict[str, Check]:
    return situation.once("around checks by id", dict[str, Check])


HURTS_YOU = Questioned(QUESTION, _checks)
what_can_hurt = HURTS_YOU.findings


def hurts_finding(situation: Situation, name: str) -> Finding | None:
    """One finding of the question by its id; of closed volumes only that of its state is looked at."""
    check = _one(situation, name)
    return None if check is None else finding_of(situation, check, QUESTION)


def hurts_values(situation: Situation, finding: Finding) -> Array:
    """The samples behind a finding of the question."""
    check = _one(situation, finding.id)
    if check is None:
        raise LookupError(f"no check is called {finding.id}")
    return seen_values(check)


def _one(situation: Situation, name: str) -> Check | None:
    if name.startswith(f"{CHECK}/"):
        row = row_of(situation, name)
        return None if row is None else _check(situation, row)
    known = _known(situation)
    if name in known:
        return known[name]
    makers = (*_AROUND, plant_checks) if name.startswith(_OF_AROUND) else (plant_checks,)
    found = (each for make in makers for each in make(situation))
    return next((each for each in found if each.id == name), None)


def row_id(situation: Situation, row: ClosedRow) -> str:
    """check/place/state, and what is wrong."""
    lost = _lost(row.case)
    place = situation.tree.instances[row.closed.piece].name
    return f"{CHECK}/{place}/{row.case.state}" + (f"-{lost}" if lost else "")


def _chosen(situation: Situation) -> list[ClosedRow]:
    """The gravest of each state as planned, and of each kind of thing that goes wrong."""
    found: dict[tuple[str, str], ClosedRow] = {}
    for row in sorted(closed_rows(situation), key=_rank):
        if is_heated(situation, row) and is_own(situation, row):
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


def row_of(situation: Situation, name: str) -> ClosedRow | None:
    """The gravest row of an id, without making the others."""
    cases = [case for case in closed_of(situation).cases() if name.endswith(_end(case))]
    rows = [row for case in cases for row in rows_of_case(situation, case) if row_id(situation, row) == name]
    return min(rows, key=lambda row: (VERDICTS.index(row.verdict), -row.reach), default=None)


def _end(case: Case) -> str:
    lost = _lost(case)
    return f"/{case.state}" + (f"-{lost}" if lost else "")


def _lost(case: Case) -> str | None:
    return None if case.kind == "planned" else case.what + _SUFFIX[case.kind]


def _check(situation: Situation, row: ClosedRow) -> Check:
    single = situation.tree.instances[row.closed.piece]
    limit = Limit(float(np.median(row.limit.values)), row.weakest, row.limit)
    return Check(
        CHECK, row.case.state, single.name, f"closed volume of the {single.name}", f"piece.{single.row.name}",
        "overpressure", row.gauge, limit, because_of(situation, row), "high", notes_of(situation, row),
        _lost(row.case), happens(situation, row.case), row.weakest,
    )  # fmt: skip
