# SPDX-License-Identifier: MIT
"""Remedies of question 3: each holds when it is tried, and half of it does not."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.assess.clean_remedies import with_clean_mends
from retortwright.assess.finding import Finding
from retortwright.assess.how_clean import HOW_CLEAN
from retortwright.belief.beliefs import Draws
from retortwright.ground.arrays import Array
from retortwright.rig.edit import Edit, edited
from retortwright.rig.parts import Rig
from retortwright.situation import purity
from retortwright.situation.charge_course import CourseFigure
from retortwright.situation.situation import Situation
from situation.courses import made_course
from situation.crossings import RUBIDIUM, changed, situation

FEW = Draws(samples=8)
EDITS = (
    ("aim.grade", "cell"),
    ("assume.leak", "1e-5 mbar L/s"),
    ("assume.charge.lags", "0.5"),
    ("assume.line.catches", "0.5"),
    ("charge.RbCl.contains", '{ H2O = "0.001 %" }'),
)


def _course(rig: Situation, kelvin: Array) -> CourseFigure:
    """Calcium that stands at its own pressure, rubidium that is taken away."""
    calcium = 15.0 * np.exp(-19000.0 * (1 / kelvin - 1 / 940.0))
    return made_course(rig, kelvin, {"Rb(g)": lambda x: 5e4 * (1 - x), "Ca(g)": lambda x: calcium + 0 * x})


@pytest.fixture(autouse=True)
def _by_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(purity, "charge_course", _course)


def mended(rig: Rig, name: str) -> Finding:
    """One finding with its remedies."""
    case = situation(rig, FEW)
    findings = tuple(HOW_CLEAN.findings(case))
    return next(each for each in with_clean_mends(case, findings, name) if each.id == name)


def again(rig: Rig, mend: dict[str, str], name: str) -> str:
    """The verdict with some edits."""
    found = HOW_CLEAN.finding(situation(edited(rig, [Edit(*pair) for pair in mend.items()]), FEW), name)
    assert found is not None
    return found.verdict


def test_a_colder_charge_holds_when_it_is_tried() -> None:
    rig, name = changed(RUBIDIUM, *EDITS), "carry-over/Ca/distil"
    finding = mended(rig, name)
    assert finding.verdict in ("fails", "thin")
    assert finding.mend
    for mend in finding.mend:
        assert again(rig, dict(mend.edits), name) == mend.verdict_then == "holds"
        assert any("assess again" in also for also in mend.also)
    assert any("programme.steps.distil.to" in mend.edits for mend in finding.mend)


def test_a_tighter_rig_holds_when_it_is_tried() -> None:
    rig, name = changed(RUBIDIUM, *EDITS, ("assume.leak", "1e-3 mbar L/s")), "oxygen-in/product/distil"
    finding = mended(rig, name)
    assert finding.verdict == "fails"
    assert [list(mend.edits) for mend in finding.mend] == [["assume.leak"]]
    assert again(rig, dict(finding.mend[0].edits), name) == "holds"


def test_what_holds_gets_no_remedy() -> None:
    assert mended(changed(RUBIDIUM, *EDITS), "oxygen-in/product/distil").mend == ()
