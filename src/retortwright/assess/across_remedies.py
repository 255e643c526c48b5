# SPDX-License-Identifier: MIT
"""Remedies of question 2: more slope, a warmer tape, another length or bore, a lower take-off, another charge.

Each is the smallest change of its kind that holds. Wall and vapour are solved again for each trial,
so it is tried on few samples, spread evenly over the band of the finding, and has to hold there as
far out as twice nearer to the end than the band goes. Water is never among them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retortwright.assess.across_proposals import Edits, proposals_across
from retortwright.assess.check import Check, finding_of, seen_values
from retortwright.assess.finding import Finding, Mend, judged
from retortwright.assess.gets_across import GETS_ACROSS
from retortwright.ground.arrays import Array
from retortwright.ground.errors import UserError
from retortwright.ground.units import TAIL
from retortwright.ground.words import VERDICTS
from retortwright.rig.edit import edited
from retortwright.situation.situation import Situation

__all__ = ["with_across_mends"]

_MOST = 2  # remedies for one finding
_SAMPLES = 32
_ELSEWHERE = "joints, walls and charge change with it: assess again with this edit"


def with_across_mends(
    situation: Situation, findings: tuple[Finding, ...], one: str | None = None
) -> tuple[Finding, ...]:
    """The findings; each of question 2 (or one of them) that fails or is thin with what would mend it."""
    return tuple(
        _Search(situation, each, findings).mended() if one in (None, each.id) and _needs(each) else each
        for each in findings
    )


def _needs(finding: Finding) -> bool:
    return finding.question == GETS_ACROSS.number and finding.verdict in ("fails", "thin")


@dataclass(frozen=True, slots=True)
class _Search:
    """The search for what mends one finding."""

    situation: Situation
    finding: Finding
    findings: tuple[Finding, ...]

    def mended(self) -> Finding:
        """The finding with its remedies."""
        columns = self._columns()
        mends: list[Mend] = []
        for choices in proposals_across(self.situation, self.finding):
            found = self._smallest(choices, columns)
            if found is not None:
                mends.append(self._told(*found, columns))
            if len(mends) == _MOST:
                break
        return replace(self.finding, mend=tuple(mends))

    def _columns(self) -> NDArray[np.intp]:
        """Samples that lie evenly over the band of the finding."""
        order = np.argsort(GETS_ACROSS.values(self.situation, self.finding), kind="stable")
        count = min(_SAMPLES, len(order))
        return np.sort(order[((np.arange(count) + 0.5) * len(order) / count).astype(np.intp)])

    def _smallest(
        self, choices: Sequence[Edits], columns: NDArray[np.intp]
    ) -> tuple[Edits, Situation] | None:
        """The first of some changes, from small to large, that holds; none where the largest does not."""
        if not choices:
            return None
        best = self._holding(choices[-1], columns)
        if best is None:
            return None
        low, high = -1, len(choices) - 1
        while high - low > 1:
            middle = (low + high) // 2
            tried = self._holding(choices[middle], columns)
            low, high, best = (low, middle, tried) if tried is not None else (middle, high, best)
        return choices[high], best

    def _holding(self, edits: Edits, columns: NDArray[np.intp]) -> Situation | None:
        """The changed rig, if the finding holds in it."""
        own = self.situation
        try:
            rig = edited(own.rig, edits)
        except UserError:
            return None
        picks = own.draws.pick
        chosen = columns if picks is None else np.array(picks, dtype=np.intp)[columns]
        draws = own.draws if len(columns) == own.draws.size else own.draws.picked(chosen)
        changed = Situation(rig, own.tables, draws, own.split, near=own, rough=draws is not own.draws)
        check = GETS_ACROSS.check(changed, self.finding.id)
        return changed if check is not None and self._beyond_doubt(changed, check) else None

    def _beyond_doubt(self, changed: Situation, check: Check) -> bool:
        """Whether a check holds, nearer to the end than its band goes where not all samples were tried."""
        then = finding_of(changed, check, GETS_ACROSS.number)
        if then.verdict != "holds" or then.limit is None or then.reserve is None:
            return False
        if changed.draws.size == self.situation.draws.size:
            return True
        sign = 1.0 if then.worse == "high" else -1.0
        end = float(np.quantile(sign * seen_values(check), 1.0 - TAIL / 2))
        return end <= sign * then.limit - then.reserve

    def _told(self, edits: Edits, changed: Situation, columns: NDArray[np.intp]) -> Mend:
        """The remedy in words, with what else of the question changes."""
        after = {each.id: each for each in GETS_ACROSS.findings(changed)}
        then, also = after[self.finding.id], []
        for each in self.findings:
            other = after.get(each.id)
            if other is None or each.id == self.finding.id or other.verdict == "unknown":
                continue
            was = self._before(each, columns)
            if other.verdict != was:
                turned = "worse" if VERDICTS.index(other.verdict) < VERDICTS.index(was) else "better"
                also.append(f"{turned}: {each.id} {was} -> {other.verdict}")
        also.sort(key=lambda words: not words.startswith("worse"))
        low, high = then.judgement.low or 0.0, then.judgement.high or 0.0
        made = {edit.key: edit.value for edit in edits}
        return Mend(made, low, high, then.verdict, (*also, _ELSEWHERE))

    def _before(self, finding: Finding, columns: NDArray[np.intp]) -> str:
        """The verdict of another finding on the samples that are tried."""
        if finding.limit is None or finding.reserve is None or finding.judgement.best is None:
            return finding.verdict
        values: Array = GETS_ACROSS.values(self.situation, finding)[columns]
        return judged(values, finding.limit, finding.reserve, finding.worse).verdict
