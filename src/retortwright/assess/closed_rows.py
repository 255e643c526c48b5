# SPDX-License-Identifier: MIT
"""Every closed volume of every case held against the weakest thing around it, worst first."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from retortwright.assess.check import limit_from_rule
from retortwright.assess.finding import Judgement, judged
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.middles import known_middle
from retortwright.ground.units import TAIL
from retortwright.ground.words import VERDICTS
from retortwright.physics.constants import ATMOSPHERE
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.rig.pairing import is_metal
from retortwright.situation.closed_flows import opening_of, use_of
from retortwright.situation.closed_pressure import Closed, closed_of
from retortwright.situation.closed_relief import Relief, relief_for
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.isolated import Case, Inner
from retortwright.situation.situation import Situation
from retortwright.situation.wall_rating import wall_rating

__all__ = [
    "CHECK",
    "ClosedRow",
    "closed_rows",
    "is_heated",
    "is_own",
    "is_untested",
    "is_warm",
    "middle_of",
    "planned_case",
    "rows_of_case",
    "share_kept",
]

CHECK = "closed"
_CELSIUS = 273.15
_SAME = 1e-6


@dataclass(frozen=True, slots=True)
class _Weakest:
    """What gives way first: over the room [Pa], what it is, and where it stands in the file."""

    bears: float
    what: str
    at: str
    cites: frozenset[str]
    unsure: Missing | None = None  # why nobody knows whether it bears even that


@dataclass(frozen=True, slots=True)
class ClosedRow:
    """One closed volume in one case, judged. Pressures over one atmosphere [Pa]."""

    closed: Closed
    relief: Relief
    weakest: str
    at: str  # of the weakest, its dotted key
    limit: Figure
    gauge: Figure
    judgement: Judgement

    @property
    def case(self) -> Case:
        """Its case."""
        return self.closed.case

    @property
    def verdict(self) -> str:
        """holds, thin, fails or unknown."""
        return self.judgement.verdict

    @property
    def reach(self) -> float:
        """Its worse end over what the weakest bears; without a number beyond all."""
        high = self.judgement.high
        return float("inf") if high is None else high / float(self.limit.values[0])


def closed_rows(situation: Situation) -> tuple[ClosedRow, ...]:
    """Every closed volume of every case, gravest first."""
    return situation.once("closed rows", lambda: _sorted(situation))


def _sorted(situation: Situation) -> tuple[ClosedRow, ...]:
    found = [row for case in closed_of(situation).cases() for row in rows_of_case(situation, case)]
    return tuple(sorted(found, key=lambda row: (VERDICTS.index(row.verdict), -row.reach)))


def rows_of_case(situation: Situation, case: Case) -> tuple[ClosedRow, ...]:
    """The closed volumes of one case, judged."""
    made = situation.once("rows of cases", dict[Case, tuple[ClosedRow, ...]])
    if case not in made:
        made[case] = tuple(_judged(situation, closed) for closed in closed_of(situation).closed(case))
    return made[case]


def is_heated(situation: Situation, row: ClosedRow) -> bool:
    """Whether a volume gets warm enough to matter, or is fed."""
    return row.closed.fed or is_warm(situation, row)


def is_untested(row: ClosedRow) -> bool:
    """Whether what gives way first is a wall that would bear more, but that nobody has proof-tested."""
    return row.weakest.startswith("wall of ") and "yields" not in row.weakest


def is_warm(situation: Situation, row: ClosedRow) -> bool:
    """Whether a volume gets warm enough to matter."""
    found = situation.tables.find("rules", CHECK, "warm")
    warm = 0.0 if isinstance(found, Missing) else number_of(found).best
    room = float(np.median(closed_of(situation).room.values))
    return not float(np.median(row.closed.hottest)) < room + warm


def is_own(situation: Situation, row: ClosedRow) -> bool:
    """Whether what is wrong in a case has to do with a volume: as planned it is not the same already."""
    case = row.case
    if case.kind == "planned":
        return True
    planned = planned_case(situation, case)
    alike = (each for each in rows_of_case(situation, planned) if each.closed.inner == row.closed.inner)
    return not any(
        each.verdict == row.verdict
        and (each.reach == row.reach or abs(each.reach - row.reach) < _SAME * abs(row.reach))
        for each in alike
    )


def planned_case(situation: Situation, case: Case) -> Case:
    """The same moment as planned."""
    found = situation.once(
        "planned cases",
        lambda: {each.moment.number: each for each in closed_of(situation).cases() if each.kind == "planned"},
    )
    return found[case.moment.number]


def _judged(situation: Situation, closed: Closed) -> ClosedRow:
    relief, weak = _able(situation, relief_for(situation, closed)), _weakest(situation, closed)
    planned = closed.case.kind == "planned"
    over = closed.figure.values - ATMOSPHERE
    bears, what, at = weak.bears, weak.what, weak.at
    if relief.serves == "opens":
        if planned and relief.opens < bears:
            bears, what, at = relief.opens, "relief", "plant.relief.opens"
        elif not planned:
            over = np.minimum(over, relief.opens)
    limit = _limit(situation, bears, weak.cites)
    gauge = Figure(over, closed.figure.said, closed.figure.inputs, closed.figure.cites, closed.figure.missing)
    judgement = judged(over, float(limit.values[0]), share_kept(situation) * float(limit.values[0]), "high")
    pressed = judgement.high is not None and judgement.high > 0.0
    if weak.unsure is not None and what == weak.what and pressed and judgement.verdict != "fails":
        missing = (*gauge.missing, weak.unsure)
        gauge = replace(gauge, values=np.full(situation.draws.size, np.nan), missing=missing)
        judgement = judged(gauge.values, 0.0, 0.0, "high")
    return ClosedRow(closed, relief, what, at, limit, gauge, judgement)


def _able(situation: Situation, relief: Relief) -> Relief:
    """The relief, and whether its bore passes what comes; one that may not, or nobody knows, caps nothing."""
    if relief.serves != "opens":
        return relief
    return (
        relief
        if situation.once("relief is able", lambda: _passes(situation))
        else replace(relief, serves="small")
    )


def _passes(situation: Situation) -> bool:
    vent = opening_of(situation, "relief")
    use = None if vent is None else use_of(situation, vent)
    if use is None or use.missing or not np.all(np.isfinite(use.values)):
        return False
    return bool(np.quantile(use.values, 1 - TAIL) <= 1.0)


def _limit(situation: Situation, bears: float, cites: frozenset[str]) -> Figure:
    """What may be reached: what the weakest bears, or what the user allows at most if that is less."""
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    most = limit_from_rule(ledger, CHECK)
    ledger.cites |= cites
    return figure_of(ledger, np.full(ledger.draws.size, min(bears, most.value)))


def share_kept(situation: Situation) -> float:
    """The share of the limit that is kept back."""
    row = situation.tables.find("rules", CHECK, "reserve-share")
    key = situation.tables.find("rules", CHECK, "tighten")
    kept = number_of(row).best if isinstance(row, Row) else float("nan")
    return max(kept, situation.rig.tighten.get(key.data, 0.0)) if isinstance(key, Row) else kept


def _weakest(situation: Situation, closed: Closed) -> _Weakest:
    """The part of a volume that bears least: a joint, a wall of glass or hose, or a wall of metal as hot as it is."""
    inner = closed.inner
    fixed = situation.once(
        f"weakest {inner}",
        lambda: min(_parts(situation, inner), key=lambda each: each.bears, default=None),
    )
    walls = _metal(situation, closed)
    return walls if fixed is None or walls.bears < fixed.bears else fixed


def _parts(situation: Situation, inner: Inner) -> list[_Weakest]:
    """What bears the same at every temperature."""
    tables, tree = situation.tables, situation.tree
    found = []
    for joint in tree.joints:
        places = [(joint.instance, joint.place), (joint.onto, joint.onto_place)]
        row = tables.find("joints", joint.kind, "bears")
        if isinstance(row, Row) and any(inner.holds(place) for place in places if place[0] >= 0):
            what = f"{joint.kind} of the {tree.instances[joint.instance].row.name}"
            found.append(_Weakest(number_of(row).best, what, joint.key, frozenset({row.address})))
    for number in dict.fromkeys(part[0] for part in inner.parts):
        piece = tree.instances[number].row
        row = tables.find("materials", piece.of, "bears")
        if isinstance(row, Row):
            what = f"{piece.of} of the {piece.name}"
            found.append(
                _Weakest(number_of(row).best, what, f"piece.{piece.name}.of", frozenset({row.address}))
            )
    return found


def _metal(situation: Situation, closed: Closed) -> _Weakest:
    """The weakest wall of metal: what nobody has proof-tested bears so much at most, less where it yields sooner."""
    rule = situation.tables.find("rules", CHECK, "limit")
    most = float("nan") if isinstance(rule, Missing) else number_of(rule).best
    rows = [situation.tree.instances[part[0]].row for part in closed.inner.parts]
    cites, found = frozenset({"rules/closed/limit"}), []
    for row in {each.name: each for each in rows if is_metal(each.of)}.values():
        rating = wall_rating(situation, row.name, closed.picture)
        at = f"{rating.hot - _CELSIUS:.0f} degC"
        if rating.bears < most:
            what = f"{rating.part} of the {row.name}, which yields so soon at {at}"
            found.append(_Weakest(rating.bears, what, f"piece.{row.name}.tube", cites | rating.cites))
            continue
        says = f"what the wall of the {row.name} of {row.of} bears at {at} is not known"
        unsure = None if rating.known else Missing(f"materials/{row.of}/yield", says)
        found.append(
            _Weakest(most, f"wall of the {row.name}", f"piece.{row.name}.tube", cites, unsure)
        )
    name = rows[0].name
    first = _Weakest(most, f"wall of the {name}", f"piece.{name}.tube", cites)
    return min(found, key=lambda each: (each.bears, each.unsure is None), default=first)


def middle_of(values: Array) -> float:
    """The middle of the samples that have a number."""
    return known_middle(values)
