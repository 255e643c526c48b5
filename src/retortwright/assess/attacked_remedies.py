# SPDX-License-Identifier: MIT
"""Remedies of question 7: another liner, wall or joint that a text says bears what touches it there.

A liner changes no temperature, so that it is looked up at once. With another wall or joint, wall and vapour
are solved again, on samples spread evenly over the band.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from retortwright.assess.attacked import QUESTION, WHAT_ATTACKS, check_on, instead_of
from retortwright.assess.check import finding_of
from retortwright.assess.finding import Finding, Mend
from retortwright.ground.errors import UserError
from retortwright.rig.edit import Edit, edited
from retortwright.rig.pairing import fits
from retortwright.situation.situation import Situation
from retortwright.situation.wetted import Wetted, wetted_of

__all__ = ["with_attacked_mends"]

_MOST = 2  # remedies for one finding
_SAMPLES = 24  # spread over the band
_ELSEWHERE = "joints, walls and charge change with it: assess again with this edit"


def with_attacked_mends(
    situation: Situation, findings: tuple[Finding, ...], one: str | None = None
) -> tuple[Finding, ...]:
    """The findings; each of question 7 (or one of them) that fails with what would bear it."""
    return tuple(
        replace(each, mend=_mends(situation, each))
        if each.question == QUESTION and each.verdict == "fails" and one in (None, each.id)
        else each
        for each in findings
    )


def _mends(situation: Situation, finding: Finding) -> tuple[Mend, ...]:
    wetted = next(each for each in wetted_of(situation) if check_on(situation, each).id == finding.id)
    found = []
    for edit, material in _choices(situation, wetted):
        mend = (
            _as_liner(situation, wetted, edit, material)
            if edit.key.endswith(".lined")
            else _solved(situation, finding, edit)
        )
        if mend is not None:
            found.append(mend)
        if len(found) == _MOST:
            break
    return tuple(found)


def _choices(situation: Situation, wetted: Wetted) -> Iterator[tuple[Edit, str]]:
    """Another material at the same key, or another joint that is touched in it."""
    for material in instead_of(situation, wetted):
        if wetted.joint is None:
            yield Edit(wetted.at, material), material
            continue
        instances = situation.tree.instances
        walls = [instances[n].row.of for n in (wetted.joint.onto, wetted.joint.instance) if n >= 0]
        for kind in situation.tables.subjects("attacks", "wets"):
            touched = situation.tables.rows["attacks", kind, "wets"].data
            seat = kind.endswith("seat") == wetted.joint.kind.endswith("seat")
            if touched == material and seat and fits(kind, walls):
                yield Edit(wetted.at, kind), material


def _as_liner(situation: Situation, wetted: Wetted, edit: Edit, material: str) -> Mend | None:
    """A liner of that: as hot as the one before."""
    there = [replace(each, material=material) for each in wetted_of(situation) if each.at == wetted.at]
    after = [finding_of(situation, check_on(situation, each), QUESTION) for each in there]
    then = next(each for each, one in zip(after, there, strict=True) if one.agent == wetted.agent)
    also = tuple(f"then {each.verdict}: {each.id}" for each in after if each.verdict != "holds")
    return _told(edit, then, also)


def _solved(situation: Situation, finding: Finding, edit: Edit) -> Mend | None:
    """Another wall or joint, on some samples."""
    try:
        rig = edited(situation.rig, (edit,))
    except UserError:
        return None
    order = np.argsort(WHAT_ATTACKS.values(situation, finding), kind="stable")
    count = min(_SAMPLES, len(order))
    columns = np.sort(order[((np.arange(count) + 0.5) * len(order) / count).astype(np.intp)])
    picks = situation.draws.pick
    chosen = columns if picks is None else np.array(picks, dtype=np.intp)[columns]
    draws = situation.draws if count == situation.draws.size else situation.draws.picked(chosen)
    changed = Situation(
        rig, situation.tables, draws, situation.split, near=situation, rough=draws is not situation.draws
    )
    after = list(WHAT_ATTACKS.findings(changed))
    then = next((each for each in after if each.id == finding.id), None)
    also = tuple(
        f"then {each.verdict}: {each.id}"
        for each in after
        if each.at == finding.at and each.verdict != "holds"
    )
    return None if then is None else _told(edit, then, (*also, _ELSEWHERE))


def _told(edit: Edit, then: Finding, also: tuple[str, ...]) -> Mend | None:
    if then.verdict != "holds" or then.judgement.low is None or then.judgement.high is None:
        return None
    return Mend({edit.key: edit.value}, then.judgement.low, then.judgement.high, then.verdict, also)
