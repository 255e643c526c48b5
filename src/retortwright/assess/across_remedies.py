# SPDX-License-Identifier: MIT
"""Remedies of question 2: more slope, a warmer tape, another length or bore, a lower take-off, another charge.

Each is the smallest change of its kind that holds. Wall and vapour are solved again for each trial,
so it is looked for on the samples around the worse end of the band and confirmed on some that are
spread evenly over it; there it has to hold farther out than the band goes. Water is never among them.
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

_Columns = NDArray[np.intp]
_Found = tuple[Edits, Situation]

_MOST = 2  # remedies for one finding
_AROUND = 2  # samples to either side of the worse end, to search with
_SAMPLES = 24  # spread over the band, to confirm with
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


def _spread(order: _Columns) -> _Columns:
    """Samples that lie evenly over a band, of those in its order."""
    count = min(_SAMPLES, len(order))
    return np.sort(order[((np.arange(count) + 0.5) * len(order) / count).astype(np.intp)])


@dataclass(frozen=True, slots=True)
class _Search:
    """The search for what mends one finding."""

    situation: Situation
    finding: Finding
    findings: tuple[Finding, ...]

    def mended(self) -> Finding:
        """The finding with its remedies."""
        order = np.argsort(GETS_ACROSS.values(self.situation, self.finding), kind="stable")
        end, spread = self._near_end(order), _spread(order)
        mends: list[Mend] = []
        for choices in proposals_across(self.situation, self.finding):
            found = self._smallest(choices, end, spread)
            if found is not None:
                mends.append(self._told(*found, spread))
            if len(mends) == _MOST:
                break
        return replace(self.finding, mend=tuple(mends))

    def _near_end(self, order: _Columns) -> _Columns:
        """The samples around the worse end of the band."""
        share = TAIL if self.finding.worse == "low" else 1 - TAIL
        middle = round(share * (len(order) - 1))
        return np.sort(order[max(middle - _AROUND, 0) : middle + _AROUND + 1])

    def _smallest(self, choices: Sequence[Edits], end: _Columns, spread: _Columns) -> _Found | None:
        """The first of some changes, from small to large, that holds; none where the largest does not."""
        if len(choices) > 1:
            if not self._serves(choices[-1], end):
                return None
            low, high = -1, len(choices) - 1
            while high - low > 1:
                middle = (low + high) // 2
                low, high = (low, middle) if self._serves(choices[middle], end) else (middle, high)
            choices = choices[high:]
        for edits in choices:
            changed = self._changed(edits, spread)
            check = None if changed is None else GETS_ACROSS.check(changed, self.finding.id)
            if changed is not None and check is not None and self._beyond_doubt(changed, check):
                return edits, changed
        return None

    def _serves(self, edits: Edits, columns: _Columns) -> bool:
        """Whether the middle of some samples holds with some edits."""
        changed = self._changed(edits, columns)
        then = None if changed is None else GETS_ACROSS.finding(changed, self.finding.id)
        if then is None or then.judgement.best is None or then.limit is None or then.reserve is None:
            return False
        sign = 1.0 if then.worse == "high" else -1.0
        return sign * then.judgement.best <= sign * then.limit - then.reserve

    def _changed(self, edits: Edits, columns: _Columns) -> Situation | None:
        """The changed rig on some samples; None where such a rig cannot be."""
        own = self.situation
        try:
            rig = edited(own.rig, edits)
        except UserError:
            return None
        picks = own.draws.pick
        chosen = columns if picks is None else np.array(picks, dtype=np.intp)[columns]
        draws = own.draws if len(columns) == own.draws.size else own.draws.picked(chosen)
        return Situation(rig, own.tables, draws, own.split, near=own, rough=draws is not own.draws)

    def _beyond_doubt(self, changed: Situation, check: Check) -> bool:
        """Whether a check holds, and farther out than its band goes where not all samples were tried."""
        then = finding_of(changed, check, GETS_ACROSS.number)
        if then.verdict != "holds" or then.limit is None or then.reserve is None:
            return False
        if changed.draws.size == self.situation.draws.size:
            return True
        sign = 1.0 if then.worse == "high" else -1.0
        end = float(np.quantile(sign * seen_values(check), 1.0 - TAIL / 2))
        return end <= sign * then.limit - then.reserve

    def _told(self, edits: Edits, changed: Situation, columns: _Columns) -> Mend:
        """The remedy in words, with what else of the question changes."""
        after = {each.id: each for each in GETS_ACROSS.findings(changed)}
        then, also = after[self.finding.id], []
        for each in self.findings:
            other = after.get(each.id)
            if other is None or each.id == self.finding.id or other.verdict == "unknown":
                continue
            if other.verdict not in (each.verdict, self._before(each, columns)):
                graver = VERDICTS.index(other.verdict) < VERDICTS.index(each.verdict)
                turned = "worse" if graver else "better"
                also.append(f"{turned}: {each.id} {each.verdict} -> {other.verdict}")
        also.sort(key=lambda words: not words.startswith("worse"))
        low, high = then.judgement.low or 0.0, then.judgement.high or 0.0
        made = {edit.key: edit.value for edit in edits}
        return Mend(made, low, high, then.verdict, (*also, _ELSEWHERE))

    def _before(self, finding: Finding, columns: _Columns) -> str:
        """The verdict of another finding on the samples that are tried."""
        if finding.limit is None or finding.reserve is None or finding.judgement.best is None:
            return finding.verdict
        values: Array = GETS_ACROSS.values(self.situation, finding)[columns]
        return judged(values, finding.limit, finding.reserve, finding.worse).verdict
