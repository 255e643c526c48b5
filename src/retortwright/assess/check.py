# SPDX-License-Identifier: MIT
"""One check of one figure against one limit, and the finding it becomes.

The limit may itself be uncertain: a sample is then compared with its own limit, seen from the
middle one (where a sample bears half of the middle limit, its figure counts twice; for limits
on a temperature scale the difference counts).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

import numpy as np

from retortwright.assess.finding import Finding, judged
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.tables import Tables
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.situation import Situation

__all__ = ["Check", "Limit", "finding_of", "limit_from_rule", "plain_limit", "seen_values", "sense_of_rule"]

_SCALES = ("temperature",)  # quantities without a natural zero: differences count, not ratios


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit at its middle, what rules it in words, and what it was made from."""

    value: float
    words: str
    figure: Figure


@dataclass(frozen=True, slots=True)
class Check:
    """One check at one place in one state, before it is judged."""

    name: str
    state: str
    place: str  # dotted key without its table
    subject: str
    at: str  # dotted key in the rig file
    quantity: str
    figure: Figure
    limit: Limit
    because: str | Callable[[Finding], str]  # a sentence, or what makes it of the finding
    worse: str = "high"
    notes: tuple[str, ...] = ()
    lost: str | None = None  # what is lost or wrong, as a word of the id
    happens: str | None = None  # the same after the word when
    limit_of: str | None = None  # the joint or wall whose limit it is
    doubtful: bool = False  # a stated figure is far from all practice: thin at best

    @property
    def id(self) -> str:
        """check/place/state, with the lost thing after a hyphen."""
        return f"{self.name}/{self.place}/{self.state}" + (f"-{self.lost}" if self.lost else "")


def plain_limit(ledger: Ledger, values: Array | float, words: str) -> Limit:
    """A limit from samples (or one number) and all that a ledger wrote down on the way to it."""
    spread = np.broadcast_to(np.asarray(values, dtype=float), (ledger.draws.size,))
    return Limit(float(np.median(spread)), words, figure_of(ledger, spread))


def limit_from_rule(ledger: Ledger, check: str) -> Limit:
    """The limit that the rules give a check; the user's own, if it is stricter, under [tighten].

    The rule's row `tighten-limit` names the key that may draw it closer, its row `sense` which end is
    the worse one.
    """
    row = ledger.row("rules", check, "limit")
    value = number_of(row).best if isinstance(row, Row) else float("nan")
    key = ledger.tables.find("rules", check, "tighten-limit")
    if isinstance(key, Row) and key.data in ledger.rig.tighten:
        own = ledger.rig.tighten[key.data]
        value = max(value, own) if sense_of_rule(ledger.tables, check) == "low" else min(value, own)
    return plain_limit(ledger, value, "practice")


def sense_of_rule(tables: Tables, check: str) -> str:
    """Which end of a band is the worse one for a check: high unless its rule says low."""
    row = tables.find("rules", check, "sense")
    return row.data if isinstance(row, Row) else "high"


def seen_values(check: Check) -> Array:
    """The samples of a check as its middle limit sees them."""
    own, middle = check.limit.figure.values, check.limit.value
    if check.quantity in _SCALES:
        moved = check.figure.values + (middle - own)
    else:
        moved = check.figure.values * (middle / own) if middle else check.figure.values - own
    return np.where(np.isfinite(own), moved, np.nan)


def finding_of(situation: Situation, check: Check, question: int) -> Finding:
    """The finding of a check."""
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    reserve = _reserve(situation, check, ledger)
    missing = [*check.figure.missing, *check.limit.figure.missing, *ledger.missing]
    values = np.full(situation.draws.size, np.nan) if missing else seen_values(check)
    judgement = judged(values, check.limit.value, reserve, check.worse)
    doubt = check.figure.recalled or check.limit.figure.recalled
    if doubt is not None and judgement.verdict in ("holds", "thin"):
        judgement, missing = judged(np.full(1, np.nan), 0.0, 0.0, "high"), [doubt]
    if check.doubtful and judgement.verdict == "holds":
        judgement = replace(judgement, verdict="thin", settled=False)
    if judgement.verdict == "unknown" and not missing:
        missing = [Missing(check.at, "a sample gives no number")]
    inputs = {belief.name: belief for belief in (*check.figure.inputs, *check.limit.figure.inputs)}
    finding = Finding(
        check.name,
        check.place,
        check.state,
        question,
        check.subject,
        check.at,
        check.quantity,
        judgement,
        check.limit.value if np.isfinite(check.limit.value) else None,
        reserve if np.isfinite(reserve) else None,
        check.worse,
        "",
        check.name,
        missing=missing[0] if judgement.verdict == "unknown" else None,
        inputs=tuple(inputs.values()),
        cites=check.figure.cites | check.limit.figure.cites | frozenset(ledger.cites),
        sources=_sources(inputs.values()),
        notes=check.notes,
        lost=check.lost,
        happens=check.happens,
        limit_of=check.limit_of,
    )
    because = check.because if isinstance(check.because, str) else check.because(finding)
    return replace(finding, because=because)


def _reserve(situation: Situation, check: Check, ledger: Ledger) -> float:
    """What is kept between the worse end and the limit, by the rule of the check."""
    tables = situation.tables
    absolute = tables.find("rules", check.name, "reserve")
    name = "reserve" if isinstance(absolute, Row) else "reserve-share"
    row = ledger.row("rules", check.name, name)
    value = number_of(row).best if isinstance(row, Row) else float("nan")
    tighten = tables.find("rules", check.name, "tighten")
    if isinstance(tighten, Row):
        value = max(value, situation.rig.tighten.get(tighten.data, 0.0))
    return value if name == "reserve" else value * abs(check.limit.value)


def _sources(beliefs: Iterable[object]) -> tuple[str, ...]:
    found = {getattr(belief, "source", "") for belief in beliefs}
    return tuple(sorted({each for each in found if each} | {"common-practice"}))
