# SPDX-License-Identifier: MIT
"""One state alone gives the same verdicts as among the others, and asks no other."""

from __future__ import annotations

from pathlib import Path

import pytest

from retortwright.assess.joints_cooling import joints_cooling
from retortwright.assess.joints_live import joints_live
from retortwright.assess.one_state import joints_of
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.rig.reading import read_rig
from retortwright.situation.situation import Situation

RIG = read_rig(str(Path(__file__).parents[2] / "examples" / "thermal-blank.toml"))


@pytest.mark.parametrize("state", ["distil", "cool"])
def test_the_same_verdicts_as_among_all_states(state: str) -> None:
    alone = joints_of(RIG, state, Draws(8))
    situation = Situation(RIG, shipped(), Draws(8))
    among = [each for each in (*joints_live(situation), *joints_cooling(situation)) if each.state == state]
    assert {each.id: each.verdict for each in alone.findings} == {each.id: each.verdict for each in among}
    assert {each.state for each in alone.findings} == {state}


def test_what_is_refused_is_refused_in_a_picture_too() -> None:
    rig = read_rig(str(Path(__file__).parent / "getter.toml"))
    found = joints_of(rig, "hot", Draws(8))
    assert any("filling with argon" in each.subject for each in found.refused)
    assert found.verdict == "fails"
