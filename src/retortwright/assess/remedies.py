# SPDX-License-Identifier: MIT
"""Remedies: edits that make a joint hold, found through the same evaluation as the finding.

The smallest change of each proposal that holds is looked for on the samples around the worse
end of the band, then confirmed on all samples; so half of a change does not hold.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from retortwright.assess.finding import Finding, Mend
from retortwright.assess.joint_limits import check_of, joint_limit
from retortwright.assess.joints_live import QUESTION, joint_finding
from retortwright.assess.measure import values_of
from retortwright.assess.proposals import Proposal, proposals_of
from retortwright.ground.errors import UserError
from retortwright.ground.units import TAIL
from retortwright.rig.edit import Edit, edited
from retortwright.situation.situation import Situation

__all__ = ["with_mends"]

_MOST = 3  # remedies per finding
_AS_BAD = 3.0  # K: the same joint in another state that lacks as much is mended by the same edits

_Answer = Callable[[Situation], tuple[Finding, ...]]


def with_mends(
    situation: Situation, findings: tuple[Finding, ...], answer: _Answer, one: str | None = None
) -> tuple[Finding, ...]:
    """The findings; each seal (or one of them) that fails or is thin with two or three remedies."""
    search = _Search(situation, findings, answer)
    return tuple(search.mended(finding) if one in (None, finding.id) else finding for finding in findings)


class _Search:
    def __init__(self, situation: Situation, findings: tuple[Finding, ...], answer: _Answer) -> None:
        self.situation = situation
        self.before = {finding.id: finding.verdict for finding in findings}
        self.answer = answer
        self.after: dict[tuple[Edit, ...], dict[str, Finding]] = {}
        self.changed: dict[tuple[Edit, ...], Situation] = {}
        self.known: dict[tuple[str, str], list[tuple[float, tuple[Mend, ...]]]] = {}

    def mended(self, finding: Finding) -> Finding:
        """The finding with its remedies, if it needs any."""
        if (
            finding.question != QUESTION
            or finding.quantity != "temperature"
            or finding.when != "steady"
            or finding.verdict not in ("fails", "thin")
        ):
            return finding
        margin = finding.judgement.margin or 0.0
        alike = self.known.setdefault((finding.check, finding.at), [])
        for near, mends in alike:
            if abs(near - margin) < _AS_BAD:
                told = tuple(self._told_for(finding, mends))
                if told:
                    return finding.with_mends(told)
        found = tuple(self._mends(finding))
        alike.append((margin, found))
        return finding.with_mends(tuple(self._told_for(finding, found)))

    def _told_for(self, finding: Finding, mends: tuple[Mend, ...]) -> Iterator[Mend]:
        """The remedies as seen from this finding: the state may differ from the one they were found in."""
        for mend in mends:
            edits = tuple(Edit(key, value) for key, value in mend.edits.items())
            then = self._whole(edits).get(finding.id)
            if then is not None and then.verdict == "holds":
                yield replace(mend, also=self._also(edits, finding))

    def _mends(self, finding: Finding) -> Iterator[Mend]:
        made = 0
        for proposal in proposals_of(self.situation, finding):
            mend = self._confirmed(proposal, finding)
            if mend is not None:
                yield mend
                made += 1
            if made == _MOST:
                return

    def _confirmed(self, proposal: Proposal, finding: Finding) -> Mend | None:
        """The smallest value of a proposal that holds on all samples, or None."""
        place = self._smallest(proposal, finding)
        if place is None:
            return None
        last = len(proposal.values) - 1
        short, step = -1, max(1, (place + 1) // 30)
        while not self._own_holds(proposal.edits(place), finding):
            if place == last:
                return None
            short, place, step = place, min(place + step, last), 2 * step
        while short >= 0 and place - short > 1:
            middle = (short + place) // 2
            if self._own_holds(proposal.edits(middle), finding):
                place = middle
            else:
                short = middle
        edits = proposal.edits(place)
        then = self._whole(edits)[finding.id]
        made = {edit.key: edit.value for edit in edits}
        return Mend(made, then.judgement.low or 0.0, then.judgement.high or 0.0, then.verdict, ())

    def _own_holds(self, edits: tuple[Edit, ...], finding: Finding) -> bool:
        """Whether this finding alone holds on all samples after some edits."""
        situation = self._situation(edits, None)
        if situation is None:
            return False
        joint = next((each for each in situation.tree.joints if each.key == finding.at), None)
        if joint is None:
            return False
        again = joint_finding(
            situation, situation.heat(finding.state), joint, finding.state, check_of(finding)
        )
        return again.verdict == "holds"

    def _smallest(self, proposal: Proposal, finding: Finding) -> int | None:
        """The place of the first value that holds near the worse end; values only get stronger."""
        pick = self._near_end(finding)
        low, high = -1, len(proposal.values) - 1
        high_over = self._over(proposal.edits(high), finding, pick)
        if high_over is None or high_over > 0:
            return None
        low_over = self._over(proposal.first, finding, pick)
        if low_over is not None and low_over <= 0:
            return None  # what is changed first is enough alone
        while high - low > 1:
            middle = _between(low, high, low_over, high_over)
            over = self._over(proposal.edits(middle), finding, pick)
            if over is not None and over <= 0:
                high, high_over = middle, over
            else:
                low, low_over = middle, over
        return high

    def _near_end(self, finding: Finding) -> tuple[int, ...]:
        """The samples around the worse end of the band: enough to steer the search."""
        order = np.argsort(values_of(self.situation, finding))
        share = TAIL if finding.worse == "low" else 1 - TAIL
        middle = round(share * (len(order) - 1))
        picks = self.situation.draws.pick
        chosen = order[max(middle - 2, 0) : middle + 3]
        return tuple(int(index) if picks is None else picks[int(index)] for index in chosen)

    def _over(self, edits: tuple[Edit, ...], finding: Finding, pick: tuple[int, ...]) -> float | None:
        """By how many kelvin the worse end is beyond what it may reach; None where there is no number."""
        situation = self._situation(edits, pick)
        if situation is None or finding.reserve is None:
            return None
        joint = next((joint for joint in situation.tree.joints if joint.key == finding.at), None)
        if joint is None:
            return None
        value = float(np.mean(values_of(situation, finding)))
        if finding.worse == "low":
            over = (finding.limit or 0.0) + finding.reserve - value
        else:
            over = value - (joint_limit(situation, joint).value - finding.reserve)
        return over if math.isfinite(over) else None

    def _situation(self, edits: tuple[Edit, ...], pick: tuple[int, ...] | None) -> Situation | None:
        """The changed rig; on all samples it is kept, so that what is solved once serves again."""
        if pick is None and edits in self.changed:
            return self.changed[edits]
        try:
            rig = edited(self.situation.rig, edits)
        except UserError:
            return None
        whole, draws = self.situation, self.situation.draws
        if pick is not None:
            draws = draws.picked(np.array(pick, dtype=np.intp))
        made = Situation(rig, whole.tables, draws, whole.split, near=whole, rough=pick is not None)
        if pick is None:
            self.changed[edits] = made
        return made

    def _whole(self, edits: tuple[Edit, ...]) -> dict[str, Finding]:
        """Every finding of the changed rig by id."""
        if edits not in self.after:
            situation = self._situation(edits, None)
            found = () if situation is None else self.answer(situation)
            self.after[edits] = {finding.id: finding for finding in found}
        return self.after[edits]

    def _also(self, edits: tuple[Edit, ...], finding: Finding) -> tuple[str, ...]:
        """Other findings whose verdict changes with the edit."""
        return tuple(
            f"{other.id}: {self.before[other.id]} -> {other.verdict}"
            for other in self._whole(edits).values()
            if other.id != finding.id and other.verdict != self.before.get(other.id, other.verdict)
        )


def _between(low: int, high: int, low_over: float | None, high_over: float) -> int:
    """The next place to try: where a straight line crosses, kept off the ends."""
    share = 0.5
    if low_over is not None and low_over > 0 >= high_over and low >= 0:
        share = low_over / (low_over - high_over)
    share = min(max(share, 0.15), 0.85)
    return min(max(round(low + share * (high - low)), low + 1), high - 1)
