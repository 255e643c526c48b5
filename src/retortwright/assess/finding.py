# SPDX-License-Identifier: MIT
"""A finding: one check at one place in one state, with verdict, band, driver and sources."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from retortwright.belief.beliefs import Belief
from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL
from retortwright.reference.datum import Missing

__all__ = ["Driver", "Finding", "Judgement", "Mend", "Next", "judged"]


@dataclass(frozen=True, slots=True)
class Driver:
    """The input that explains most of a band, and its share of the spread."""

    input: str
    share: float


@dataclass(frozen=True, slots=True)
class Next:
    """A cheap measurement, and the band after it, computed anew."""

    do: str
    narrows: str
    low_then: float
    high_then: float
    verdict_then: str


@dataclass(frozen=True, slots=True)
class Mend:
    """Edits that make a finding hold, found by the same evaluation."""

    edits: Mapping[str, str]
    low_then: float
    high_then: float
    verdict_then: str
    also: tuple[str, ...]  # what else changes, in words


@dataclass(frozen=True, slots=True)
class Judgement:
    """A band against a limit."""

    verdict: str
    settled: bool
    low: float | None
    best: float | None
    high: float | None
    margin: float | None


@dataclass(frozen=True, slots=True)
class Finding:
    """One computed answer to part of a question. SI inside."""

    check: str
    place: str  # dotted key without its table
    state: str
    question: int
    subject: str
    at: str  # dotted key in the rig file
    quantity: str  # dimension word of the numbers
    judgement: Judgement
    limit: float | None
    reserve: float | None
    worse: str
    because: str
    formula: str
    lost: str | None = None
    when: str = "steady"
    missing: Missing | None = None
    driver: Driver | None = None
    next: Next | None = None
    mend: tuple[Mend, ...] = ()
    inputs: tuple[Belief, ...] = ()
    cites: frozenset[str] = frozenset()
    sources: tuple[str, ...] = ()
    single: str | None = None  # which of several pieces alike
    peak_after: float | None = None  # s after the loss
    limit_after: float | None = None  # s after the loss, at the soonest, until its limit is passed
    happens: str | None = None  # the loss in words
    limit_of: str | None = None  # the joint or wall whose limit it is
    notes: tuple[str, ...] = field(default=())

    @property
    def id(self) -> str:
        """check/place/state, with the lost thing after a hyphen."""
        return f"{self.check}/{self.place}/{self.state}" + (f"-{self.lost}" if self.lost else "")

    @property
    def verdict(self) -> str:
        """holds, thin, fails or unknown."""
        return self.judgement.verdict

    def with_mends(self, mend: tuple[Mend, ...]) -> Finding:
        """The same finding with its remedies."""
        return replace(self, mend=mend)


def judged(values: Array, limit: float, reserve: float, worse: str) -> Judgement:
    """The verdict of some samples against a limit with a reserve.

    The ends are the 5 and 95 % points; the worse end decides. A sample without a number makes
    the verdict unknown, unless the others fail already at their best.
    """
    good = values[np.isfinite(values)]
    if not len(good) or not np.isfinite(limit) or not np.isfinite(reserve):
        return Judgement("unknown", False, None, None, None, None)
    low, best, high = (float(end) for end in np.quantile(good, [TAIL, 0.5, 1 - TAIL]))
    sign = 1.0 if worse == "high" else -1.0
    worse_end, better_end = (high, low) if worse == "high" else (low, high)
    margin = sign * (limit - sign * reserve - worse_end)
    verdicts = [_verdict(sign * end, sign * limit, reserve) for end in (worse_end, better_end)]
    if len(good) < len(values) and verdicts[1] != "fails":
        return Judgement("unknown", False, None, None, None, None)
    return Judgement(verdicts[0], verdicts[0] == verdicts[1], low, best, high, margin)


def _verdict(value: float, limit: float, reserve: float) -> str:
    if value > limit:
        return "fails"
    return "thin" if value > limit - reserve else "holds"
