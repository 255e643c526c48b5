# SPDX-License-Identifier: MIT
"""Remedies of question 8, each the smallest change of its kind that holds, computed anew on all samples."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import TypeVar

import numpy as np

from retortwright.assess.closed_rows import CHECK
from retortwright.assess.finding import Finding, Mend
from retortwright.assess.hurts_proposals import Edits, closed_proposals, plant_proposals
from retortwright.assess.hurts_you import HURTS_YOU, QUESTION, hurts_finding, hurts_values, row_of
from retortwright.ground.errors import UserError
from retortwright.ground.units import TAIL
from retortwright.ground.words import VERDICTS
from retortwright.rig.edit import edited
from retortwright.situation.closed_flows import joined_to_retort, planned_cases
from retortwright.situation.closed_pressure import closed_of
from retortwright.situation.loss import lasting, losses_of
from retortwright.situation.situation import Situation
from retortwright.situation.timing import is_hot

__all__ = ["with_hurts_mends"]

_T = TypeVar("_T")
_MOST = 2
_AROUND = 2  # samples to either side of the worse end
_ELSEWHERE = "joints, walls and charge change with it: assess again with this edit"
_COLD_KEYS = ("plant.relief", "plant.bubbler", "tighten.")  # nothing of the heat hangs on them


def with_hurts_mends(
    situation: Situation, findings: tuple[Finding, ...], one: str | None = None
) -> tuple[Finding, ...]:
    """The findings; each of question 8 (or one of them) that fails or is thin with what would mend it."""
    before = {each.id: each.verdict for each in findings if each.question == QUESTION}
    search = _Search(situation, before)
    return tuple(search.mended(each) if one in (None, each.id) else each for each in findings)


class _Search:
    def __init__(self, situation: Situation, before: dict[str, str]) -> None:
        self.situation, self.before = situation, before
        self.made: dict[tuple[Edits, tuple[int, ...] | None], Situation | None] = {}

    def mended(self, finding: Finding) -> Finding:
        """The finding with its remedies, if it needs any."""
        if finding.question != QUESTION or finding.verdict not in ("fails", "thin"):
            return finding
        mends: list[Mend] = []
        for choices in self._proposals(finding):
            if mends and not _is_cold(choices):
                break  # what needs all temperatures again is looked for only where nothing else helps
            mend = self._smallest(finding, choices)
            if mend is not None:
                mends.append(mend)
            if len(mends) == _MOST:
                break
        return replace(finding, mend=tuple(mends))

    def _proposals(self, finding: Finding) -> Iterator[Sequence[Edits]]:
        if finding.check != CHECK:
            return plant_proposals(self.situation, finding)
        row = row_of(self.situation, finding.id)
        return iter(()) if row is None else closed_proposals(self.situation, row)

    def _smallest(self, finding: Finding, choices: Sequence[Edits]) -> Mend | None:
        """The first of some changes, from small to large, that holds."""
        if not choices:
            return None
        cold = _is_cold(choices)
        pick = None if cold else self._near_end(finding)
        if not cold and not self._holds(choices[-1], finding, pick):
            return None
        for edits in choices:
            if cold or self._holds(edits, finding, pick):
                mend = self._confirmed(edits, finding)
                if mend is not None:
                    return mend
        return None

    def _near_end(self, finding: Finding) -> tuple[int, ...]:
        """The samples around the worse end of the band."""
        order = np.argsort(hurts_values(self.situation, finding))
        share = TAIL if finding.worse == "low" else 1 - TAIL
        middle = round(share * (len(order) - 1))
        picks = self.situation.draws.pick
        chosen = order[max(middle - _AROUND, 0) : middle + _AROUND + 1]
        return tuple(int(index) if picks is None else picks[int(index)] for index in chosen)

    def _holds(self, edits: Edits, finding: Finding, pick: tuple[int, ...] | None) -> bool:
        changed = self._changed(edits, pick)
        if changed is None:
            return False
        then = hurts_finding(changed, finding.id)
        return _gone(changed, finding) if then is None else then.verdict == "holds"

    def _changed(self, edits: Edits, pick: tuple[int, ...] | None) -> Situation | None:
        """The changed rig, on some samples or all; None where such a rig cannot be."""
        if (edits, pick) not in self.made:
            self.made[edits, pick] = self._make(edits, pick)
        return self.made[edits, pick]

    def _make(self, edits: Edits, pick: tuple[int, ...] | None) -> Situation | None:
        own = self.situation
        try:
            rig = edited(own.rig, edits)
        except UserError:
            return None
        draws = own.draws if pick is None else own.draws.picked(np.array(pick, dtype=np.intp))
        made = Situation(rig, own.tables, draws, own.split, near=own, rough=pick is not None)
        if pick is None and _is_cold([edits]):
            _same_vapour(own, made)
        return made

    def _confirmed(self, edits: Edits, finding: Finding) -> Mend | None:
        """The remedy, if it holds on all samples."""
        changed = self._changed(edits, None)
        if changed is None or not self._holds(edits, finding, None):
            return None
        then = hurts_finding(changed, finding.id)
        low = high = 0.0
        if then is not None:
            low, high = then.judgement.low or 0.0, then.judgement.high or 0.0
        made = {edit.key: edit.value for edit in edits}
        also = (*_kept_off(edits, changed), *self._also(edits, changed, finding), _ELSEWHERE)
        return Mend(made, low, high, "holds", also)

    def _also(self, edits: Edits, changed: Situation, finding: Finding) -> Iterator[str]:
        """Other findings of the question that turn with a change that leaves all temperatures as they are."""
        if not _is_cold([edits]):
            return
        for each in HURTS_YOU.findings(changed):
            was = self.before.get(each.id)
            if each.id != finding.id and was is not None and each.verdict != was:
                turned = "worse" if VERDICTS.index(each.verdict) < VERDICTS.index(was) else "better"
                yield f"{turned}: {each.id} {was} -> {each.verdict}"


def _kept_off(edits: Edits, changed: Situation) -> Iterator[str]:
    """A relief that was put where a valve that is shut in a hot state keeps it from the retort."""
    if not any(edit.key == "plant.relief.on" for edit in edits):
        return
    for case in planned_cases(changed):
        inner = joined_to_retort(changed, case)
        if is_hot(changed.rig, case.state) and not closed_of(changed).has(inner, "relief"):
            yield f"worse: in {case.state} a shut valve keeps it from the retort: one more is wanted there"
            return


def _is_cold(choices: Sequence[Edits]) -> bool:
    return all(edit.key.startswith(_COLD_KEYS) for edits in choices for edit in edits)


def _gone(changed: Situation, finding: Finding) -> bool:
    """Whether a volume is closed no longer: the state is there still, and nothing of that name is."""
    return finding.check == CHECK and any(each.name == finding.state for each in changed.rig.states)


def _same_vapour(own: Situation, made: Situation) -> None:
    """Take over the vapour of every state and loss, which a relief or a bubbler does not change."""
    for state in own.rig.states:
        found = own.vapour(state.name)
        if found is None:
            continue
        made.once(f"vapour {state.name}", _giving(found))
        for loss in losses_of(own.rig, state.name):
            after = own.vapour_after(loss)
            made.once(f"vapour in {loss.start} {lasting(own.rig, loss)}", _giving(after))


def _giving(value: _T) -> Callable[[], _T]:
    return lambda: value
