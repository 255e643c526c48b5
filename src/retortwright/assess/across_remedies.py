# SPDX-License-Identifier: MIT
"""Remedies of question 2: more slope, a warmer tape, another length or bore, a lower take-off, another charge.

Each is the smallest change of its kind that holds, looked for on the samples around the worse end
and confirmed on all of them. Water is never among them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from retortwright.assess.across_proposals import Edits, proposals_across
from retortwright.assess.finding import Finding, Mend
from retortwright.assess.gets_across import GETS_ACROSS
from retortwright.ground.errors import UserError
from retortwright.ground.units import TAIL
from retortwright.ground.words import VERDICTS
from retortwright.rig.edit import edited
from retortwright.situation.situation import Situation

__all__ = ["with_across_mends"]

_MOST = 2
_AROUND = 2  # samples to either side of the worse end
_ELSEWHERE = "joints, walls and charge change with it: assess again with this edit"


def with_across_mends(
    situation: Situation, findings: tuple[Finding, ...], one: str | None = None
) -> tuple[Finding, ...]:
    """The findings; each of question 2 (or one of them) that fails or is thin with what would mend it."""
    search = _Search(
        situation, {each.id: each.verdict for each in findings if each.question == GETS_ACROSS.number}
    )
    return tuple(search.mended(each) if one in (None, each.id) else each for each in findings)


class _Search:
    def __init__(self, situation: Situation, before: dict[str, str]) -> None:
        self.situation, self.before = situation, before
        self.whole: dict[Edits, Situation | None] = {}

    def mended(self, finding: Finding) -> Finding:
        """The finding with its remedies, if it needs any."""
        if finding.question != GETS_ACROSS.number or finding.verdict not in ("fails", "thin"):
            return finding
        mends: list[Mend] = []
        for choices in proposals_across(self.situation, finding):
            mend = self._smallest(finding, choices)
            if mend is not None:
                mends.append(mend)
            if len(mends) == _MOST:
                break
        return replace(finding, mend=tuple(mends))

    def _smallest(self, finding: Finding, choices: Sequence[Edits]) -> Mend | None:
        """The first of some changes, from small to large, that holds."""
        if len(choices) == 1:
            return self._confirmed(choices[0], finding)
        pick = self._near_end(finding)
        if not choices or not self._near_holds(choices[-1], finding, pick):
            return None
        for edits in choices:
            if edits == choices[-1] or self._near_holds(edits, finding, pick):
                mend = self._confirmed(edits, finding)
                if mend is not None:
                    return mend
        return None

    def _near_end(self, finding: Finding) -> tuple[int, ...]:
        """The samples around the worse end of the band."""
        order = np.argsort(GETS_ACROSS.values(self.situation, finding))
        share = TAIL if finding.worse == "low" else 1 - TAIL
        middle = round(share * (len(order) - 1))
        picks = self.situation.draws.pick
        chosen = order[max(middle - _AROUND, 0) : middle + _AROUND + 1]
        return tuple(int(index) if picks is None else picks[int(index)] for index in chosen)

    def _near_holds(self, edits: Edits, finding: Finding, pick: tuple[int, ...]) -> bool:
        """Whether the middle of the samples around the worse end holds."""
        changed = self._changed(edits, pick)
        then = None if changed is None else GETS_ACROSS.finding(changed, finding.id)
        if then is None or then.judgement.best is None or then.limit is None or then.reserve is None:
            return False
        sign = 1.0 if then.worse == "high" else -1.0
        return sign * then.judgement.best <= sign * then.limit - then.reserve

    def _changed(self, edits: Edits, pick: tuple[int, ...] | None) -> Situation | None:
        """The changed rig, on some samples or all; None where such a rig cannot be."""
        if pick is None and edits in self.whole:
            return self.whole[edits]
        own = self.situation
        try:
            rig = edited(own.rig, edits)
        except UserError:
            return None
        draws = own.draws if pick is None else own.draws.picked(np.array(pick, dtype=np.intp))
        made = Situation(rig, own.tables, draws, own.split, near=own, rough=pick is not None)
        if pick is None:
            self.whole[edits] = made
        return made

    def _confirmed(self, edits: Edits, finding: Finding) -> Mend | None:
        """The remedy, if it holds on all samples."""
        changed = self._changed(edits, None)
        then = None if changed is None else GETS_ACROSS.finding(changed, finding.id)
        if changed is None or then is None or then.verdict != "holds":
            return None
        also = []
        for each in GETS_ACROSS.findings(changed):
            was = self.before.get(each.id)
            if each.id != finding.id and was is not None and each.verdict != was:
                turned = "worse" if VERDICTS.index(each.verdict) < VERDICTS.index(was) else "better"
                also.append(f"{turned}: {each.id} {was} -> {each.verdict}")
        also.sort(key=lambda words: not words.startswith("worse"))
        low, high = then.judgement.low or 0.0, then.judgement.high or 0.0
        made = {edit.key: edit.value for edit in edits}
        return Mend(made, low, high, then.verdict, (*also, _ELSEWHERE))
