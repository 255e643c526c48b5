# SPDX-License-Identifier: MIT
"""Remedies that are one figure more or less: the smallest that holds, and half of it does not."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from retortwright.assess.assessment import findings_of
from retortwright.assess.finding import Finding
from retortwright.assess.hurts_you import hurts_finding
from retortwright.assess.makes_metal import MAKES_METAL
from retortwright.assess.scaled_remedies import with_scaled_mends
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import read_rig
from retortwright.situation.situation import Situation

FEW = Draws(16)
RIG = edited(
    read_rig(str(Path(__file__).parents[2] / "examples" / "rubidium-cells.toml")),
    [Edit("safety.clear", "0.3 m"), Edit("safety.people", "1"), Edit("safety.agent", "1 kg graphite powder")],
)


def situation(*edits: tuple[str, str]) -> Situation:
    return Situation(edited(RIG, [Edit(*each) for each in edits]), shipped(), FEW)


@cache
def mended() -> dict[str, Finding]:
    found = [each for each in findings_of(situation()) if each.check in ("clear", "people", "agent")]
    return {each.check: each for each in with_scaled_mends(situation(), tuple(found))}


@pytest.mark.parametrize("check", ["clear", "agent"])
def test_the_remedy_holds_and_half_of_it_does_not(check: str) -> None:
    finding = mended()[check]
    assert finding.verdict == "fails"
    (mend,) = finding.mend
    ((key, value),) = mend.edits.items()
    again = hurts_finding(situation((key, value)), finding.id)
    assert again is not None
    assert again.verdict == "holds"  # exact: the same evaluation
    number, unit = value.split(" ", 1)
    half = hurts_finding(situation((key, f"{float(number) / 2:.3g} {unit}")), finding.id)
    assert half is not None
    assert half.verdict != "holds"


def test_a_second_person_is_counted_in_whole_people() -> None:
    (mend,) = mended()["people"].mend
    assert dict(mend.edits) == {"safety.people": "2"}


def test_carbonate_is_fired_out() -> None:
    barium = read_rig(str(Path(__file__).parents[2] / "examples" / "barium-getter.toml"))
    case = Situation(barium, shipped(), FEW)
    left = MAKES_METAL.finding(case, "carbonate/BaO.BaCO3/reduce")
    assert left is not None
    (mend,) = with_scaled_mends(case, (left,))[0].mend
    assert mend.verdict_then == "holds"
    assert list(mend.edits) == ["charge.BaO.contains.BaCO3"]


def test_what_holds_is_left_alone() -> None:
    holding = tuple(each for each in mended().values() if each.verdict == "holds")
    assert with_scaled_mends(situation(), holding) == holding
