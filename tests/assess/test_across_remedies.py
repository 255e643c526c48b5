# SPDX-License-Identifier: MIT
"""Remedies of question 2: each holds when it is tried, and half of it does not."""

from __future__ import annotations

import pytest

from retortwright.assess.across_proposals import proposals_across
from retortwright.assess.across_remedies import with_across_mends
from retortwright.assess.finding import Finding
from retortwright.assess.gets_across import GETS_ACROSS
from retortwright.belief.beliefs import Draws
from retortwright.rig.edit import Edit, edited
from retortwright.rig.parts import Rig
from situation.crossings import RUBIDIUM, changed, situation

FEW = Draws(samples=8)


def mended(rig: Rig, check: str, place: str) -> Finding:
    case = situation(rig, FEW)
    findings = tuple(GETS_ACROSS.findings(case))
    name = f"{check}/{place}/distil"
    return next(each for each in with_across_mends(case, findings, name) if each.id == name)


@pytest.mark.parametrize(
    ("edits", "check", "place", "key"),
    [
        ((("piece.line.falls", "2 deg"),), "drain-slope", "line", "piece.line.falls"),
        ((("heat.tape.holds", "42 degC"),), "drain-warm", "line", "heat.tape.holds"),
        ((("heat.tape.over.glass", "0 to 2 mm"),), "drain-warm", "glass", "heat.tape.over.glass"),
        ((("piece.glass.length", "14 mm"),), "ullage", "glass", "piece.glass.length"),
    ],
)
def test_a_remedy_holds_when_it_is_tried(
    edits: tuple[tuple[str, str], ...], check: str, place: str, key: str
) -> None:
    rig = changed(RUBIDIUM, *edits)
    finding = mended(rig, check, place)
    assert finding.verdict in ("fails", "thin")
    assert any(key in mend.edits for mend in finding.mend)
    for mend in finding.mend:
        again = GETS_ACROSS.finding(
            situation(edited(rig, [Edit(*pair) for pair in mend.edits.items()]), FEW), finding.id
        )
        assert again is not None
        assert again.verdict == mend.verdict_then == "holds"


def test_what_holds_gets_no_remedy() -> None:
    assert mended(RUBIDIUM, "low-point", "line").mend == ()


def test_water_is_never_proposed() -> None:
    case = situation(RUBIDIUM, FEW)
    for finding in GETS_ACROSS.findings(case):
        for choices in proposals_across(case, finding):
            for edits in choices:
                assert not any(edit.key.startswith("cool.") for edit in edits)
                assert len({edit.key for edit in edits}) == len(edits)


def test_changes_go_from_small_to_large() -> None:
    case = situation(changed(RUBIDIUM, ("piece.line.falls", "2 deg")), FEW)
    finding = GETS_ACROSS.finding(case, "drain-slope/line/distil")
    assert finding is not None
    (choices,) = proposals_across(case, finding)
    assert [edits[0].value for edits in choices] == ["5 deg", "7 deg", "10 deg", "15 deg"]
