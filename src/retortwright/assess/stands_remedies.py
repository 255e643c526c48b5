# SPDX-License-Identifier: MIT
"""Remedies of question 5: the smallest change of each kind that holds, computed anew on all samples."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from retortwright.assess.check import Check, finding_of
from retortwright.assess.finding import Finding, Mend
from retortwright.assess.stands import STANDS, checks_of
from retortwright.assess.stands_proposals import Change, changes_of
from retortwright.ground.errors import UserError
from retortwright.ground.units import TAIL
from retortwright.ground.words import VERDICTS
from retortwright.rig.edit import Edit, edited
from retortwright.situation.openings import all_openings, replaced
from retortwright.situation.situation import Situation
from retortwright.situation.standing import standing_of
from retortwright.situation.wall_metal import LONGEST_RUNS

__all__ = ["with_stands_mends"]

_MOST = 3
_AROUND = 2  # samples to either side of the worse end
_ELSEWHERE = "joints, vapour and closed volumes change with it: assess again with this edit"


def with_stands_mends(
    situation: Situation, findings: tuple[Finding, ...], one: str | None = None
) -> tuple[Finding, ...]:
    """The findings; each of question 5 (or one of them) that fails or is thin with what would mend it."""
    search = _Search(situation, {each.id: each.verdict for each in findings})
    return tuple(search.mended(each) if one in (None, each.id) else each for each in findings)


class _Search:
    def __init__(self, situation: Situation, before: dict[str, str]) -> None:
        self.situation, self.before = situation, before
        self.made: dict[tuple[tuple[Edit, ...], tuple[int, ...] | None], Situation | None] = {}

    def mended(self, finding: Finding) -> Finding:
        """The finding with its remedies, if it needs any; a wall that is hotter than all tests may be made cooler."""
        wanted = finding.verdict in ("fails", "thin") or (finding.check, finding.verdict) == ("creep-runs", "unknown")
        if finding.question != STANDS.number or not wanted or _is_withheld(finding):
            return finding
        mends: list[Mend] = []
        for change in changes_of(self.situation, finding):
            mend = self._smallest(finding, change)
            if mend is not None:
                mends.append(mend)
            if len(mends) == _MOST:
                break
        return replace(finding, mend=tuple(mends))

    def _smallest(self, finding: Finding, change: Change) -> Mend | None:
        """The smallest that holds near the worse end of the band, or the next larger one, if it holds on all of it."""
        pick = self._near_end(finding)
        high = len(change.choices) - 1
        if not self._holds(change.choices[high], finding, pick):
            return None
        low = -1
        while high - low > 1:
            middle = (low + high) // 2
            if self._holds(change.choices[middle], finding, pick):
                high = middle
            else:
                low = middle
        for edits in change.choices[high : high + 2]:
            mend = self._confirmed(edits, finding, change.brings)
            if mend is not None:
                return mend
        return None

    def _near_end(self, finding: Finding) -> tuple[int, ...]:
        """The samples around the worse end of the band."""
        order = np.argsort(STANDS.values(self.situation, finding))
        share = TAIL if finding.worse == "low" else 1 - TAIL
        middle = round(share * (len(order) - 1))
        picks = self.situation.draws.pick
        chosen = order[max(middle - _AROUND, 0) : middle + _AROUND + 1]
        return tuple(int(index) if picks is None else picks[int(index)] for index in chosen)

    def _holds(self, edits: tuple[Edit, ...], finding: Finding, pick: tuple[int, ...] | None) -> bool:
        """Whether the finding holds after some edits, or is asked no more of a rig that can be."""
        changed = self._changed(edits, pick)
        if changed is None:
            return False
        check = _check(changed, finding)
        if check is not None:
            return finding_of(changed, check, STANDS.number).verdict == "holds"
        if finding.check != "openings":
            return True
        return _gone(changed, finding)[0] >= (finding.limit or 0.0) + (finding.reserve or 0.0)

    def _changed(self, edits: tuple[Edit, ...], pick: tuple[int, ...] | None) -> Situation | None:
        """The changed rig, on some samples or all; None where such a rig cannot be."""
        if (edits, pick) not in self.made:
            own = self.situation
            draws = own.draws if pick is None else own.draws.picked(np.array(pick, dtype=np.intp))
            try:
                rig = edited(own.rig, edits)
            except UserError:
                self.made[edits, pick] = None
            else:
                made = Situation(rig, own.tables, draws, own.split, near=own, rough=pick is not None)
                self.made[edits, pick] = made
        return self.made[edits, pick]

    def _confirmed(self, edits: tuple[Edit, ...], finding: Finding, brings: str) -> Mend | None:
        """The remedy, if it holds on all samples."""
        changed = self._changed(edits, None)
        if changed is None or not self._holds(edits, finding, None):
            return None
        check = _check(changed, finding)
        if check is None:
            low, high = _gone(changed, finding)
        else:
            then = finding_of(changed, check, STANDS.number).judgement
            low, high = then.low or 0.0, then.high or 0.0
        also = (f"{brings}; {_ELSEWHERE}", *self._also(changed, finding))
        return Mend({edit.key: edit.value for edit in edits}, low, high, "holds", also)

    def _also(self, changed: Situation, finding: Finding) -> Iterator[str]:
        """Other findings of the same piece that turn with the change, those that get worse first."""
        better = []
        for check in checks_of(changed, finding.place.split(".")[0]):
            was = self.before.get(check.id)
            if check.id == finding.id or was is None:
                continue
            then = finding_of(changed, check, STANDS.number).verdict
            if VERDICTS.index(then) < VERDICTS.index(was):
                yield f"worse: {check.id} {was} -> {then}"
            elif then != was:
                better.append(f"{check.id} {was} -> {then}")
        if better:
            yield f"better: {', '.join(better)}"


def _is_withheld(finding: Finding) -> bool:
    return finding.missing is not None and finding.missing.datum.startswith("refused/")


def _gone(changed: Situation, finding: Finding) -> tuple[float, float]:
    """The numbers of a finding that is asked no more: as many runs as are counted, or openings that are cold."""
    if finding.check in ("creep-runs", "scale-runs"):
        return LONGEST_RUNS, LONGEST_RUNS
    if finding.check != "openings":
        return 0.0, 0.0
    standing = standing_of(changed, finding.place)
    found = all_openings(standing)
    values = replaced(standing, found).values if found else np.zeros(1)
    low, high = (float(each) for each in np.quantile(values, [TAIL, 1 - TAIL]))
    return low, high


def _check(situation: Situation, finding: Finding) -> Check | None:
    """The check of a finding, without those of other pieces; another state may be the worst by now."""
    own = checks_of(situation, finding.place.split(".")[0], finding.check)
    return next((each for each in own if (each.name, each.place) == (finding.check, finding.place)), None)
