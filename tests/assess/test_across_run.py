# SPDX-License-Identifier: MIT
"""Question 2, the run in time: long enough, and a furnace that can follow."""

from __future__ import annotations

from functools import cache

import pytest

from retortwright.assess.finding import Finding
from retortwright.assess.gets_across import GETS_ACROSS
from retortwright.belief.beliefs import Draws
from retortwright.rig.parts import Rig
from situation.crossings import RUBIDIUM, ZINC, changed, situation

_FEW = Draws(samples=16)


@cache
def _plain() -> dict[str, Finding]:
    return _found(RUBIDIUM)


def _found(rig: Rig) -> dict[str, Finding]:
    return {each.check: each for each in GETS_ACROSS.findings(situation(rig, _FEW))}


def test_a_long_step_is_enough_and_says_whose_pace_it_is() -> None:
    found = _plain()["run-ends"]
    assert found.id == "run-ends/charge/distil"
    assert found.limit == pytest.approx(
        3600.0 + (953.15 - 293.15) / (4 / 60)
    )  # exact: hold and ramp from the room
    assert found.judgement.low is not None
    assert found.judgement.high is not None
    assert found.judgement.low < found.judgement.high
    assert any("common practice" in note for note in found.notes)
    assert "at the hottest set-point the charge is taken to need" in found.because
    assert "by the end of the step, 3 h 45 min with its ramp" in found.because  # exact: 13 500 s


def test_a_short_step_or_a_slow_charge_is_not() -> None:
    short = _found(changed(RUBIDIUM, ("programme.steps.distil.hold", "1 min")))["run-ends"]
    assert short.verdict in ("fails", "thin")
    slow = _found(changed(RUBIDIUM, ("assume.reaction.time", "20 to 30 h")))["run-ends"]
    assert slow.verdict == "fails"
    assert not slow.notes
    assert "that is not enough for what is wanted" in slow.because
    assert "and counts as 3 times the step" in slow.because


def test_a_furnace_that_is_too_weak_is_said() -> None:
    strong, weak = (
        _plain()["furnace-power"],
        _found(changed(RUBIDIUM, ("heat.furnace.power", "40 W")))["furnace-power"],
    )
    assert strong.verdict == "holds"
    assert weak.verdict == "fails"
    assert weak.judgement.best is not None
    assert weak.judgement.best > 20.0
    assert "of 40 W some" in weak.because


def test_a_furnace_of_which_nobody_says_the_power_is_unknown() -> None:
    text = RUBIDIUM.text.replace(', power = "400 W"', "")
    from retortwright.rig.reading import rig_of

    found = _found(rig_of(text, "no-power.toml"))["furnace-power"]
    assert found.verdict == "unknown"
    assert found.missing is not None
    assert found.missing.datum == "heat.furnace.power"


def test_a_metal_that_is_distilled_once_more_has_no_pace_of_practice() -> None:
    found = _found(ZINC)["run-ends"]
    assert found.notes == ()
    assert "the charge is the metal itself" in found.because


def test_what_never_comes_takes_no_time() -> None:
    # exact: more is wanted than the charge holds: the figure counts three times the step, and no hours are said for it
    rig = changed(RUBIDIUM, ("aim.amount", "60 g"), ("programme.steps.distil.hold", "9 h"))
    never = _found(rig)["run-ends"]
    assert never.verdict == "fails"
    assert "100% of the samples" in never.because
    assert "the amount wanted takes" not in never.because
