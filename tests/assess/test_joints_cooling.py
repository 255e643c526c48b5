# SPDX-License-Identifier: MIT
"""A state after a hot one is not cold: its seals are judged by what comes on the way down."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from retortwright.assess.assessment import Assessment, assess
from retortwright.assess.joints_cooling import joints_cooling
from retortwright.assess.joints_live import joints_live
from retortwright.assess.measure import values_of
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.rig.reading import rig_of
from retortwright.situation.loss import Loss, cooling_down, lasting
from retortwright.situation.situation import Situation

TEXT = """
retortwright = 1
aim.metal = "K"
[piece.retort]
tube = "25.4 x 1.65 mm"
length = "160 mm"
rises = "90 deg"
of = "304L"
finish = "oxidised"
bottom = { shape = "flat", thick = "5 mm", joined = "TIG" }
[piece.arm]                   # short: its cap lives by the fan
on = "retort"
joined = "TIG"
tube = "19.05 x 1.65 mm"
length = "70 mm"
rises = "90 deg"
of = "304L"
closed = "FKM O-ring cap"
[piece.far]                   # long: its cap needs nothing
on = "retort"
at = "150 mm"
joined = "TIG"
tube = "8 x 0.75 mm"
length = "400 mm"
of = "304L"
closed = "NBR O-ring"
[heat]
furnace = { over = { retort = "0 to 140 mm" } }
tape = { over = { far = "50 to 100 mm" }, holds = "80 degC" }
[cool]
fan = { over = { arm = "20 to 70 mm" }, by = "air", speed = "4 m/s" }
[state]
empty = { open = [], running = [] }
hot = { open = [], running = ["furnace", "fan"] }
keep = { open = [], running = ["fan", "tape"] }
cool = { open = [], running = [] }
[programme]
steps = [
  { state = "empty" },
  { state = "hot", to = "680 degC" },
  { state = "keep" },
  { state = "cool" },
]
"""
SHORT = TEXT.replace('  { state = "keep" },\n', "")  # the fan stops with the furnace
DRAWS = Draws(samples=24)


@cache
def situation(text: str = SHORT) -> Situation:
    """A rig, to be solved once."""
    return Situation(rig_of(text), shipped(), DRAWS)


@cache
def whole() -> Assessment:
    """Its assessment."""
    return assess(rig_of(SHORT), DRAWS)


def test_which_states_are_on_the_way_down() -> None:
    rig = rig_of(TEXT)
    assert cooling_down(rig, "empty") is None  # nothing was hot yet
    assert cooling_down(rig, "hot") is None  # the furnace runs
    assert cooling_down(rig, "keep") == Loss("keep", "hot", "after")
    assert cooling_down(rig, "cool") == Loss("cool", "hot", "after")  # by way of another without furnace


def test_the_hottest_state_before_it_counts() -> None:
    text = TEXT.replace("hot = {", 'warm = { open = [], running = ["furnace"] }\nhot = {')
    text = text.replace(
        '  { state = "keep" },\n', '  { state = "cool" },\n  { state = "warm", to = "300 degC" },\n'
    )
    assert cooling_down(rig_of(text), "cool") == Loss("cool", "hot", "after")


def test_the_bound_is_heated_by_all_and_cooled_by_what_always_cools() -> None:
    rig = rig_of(TEXT)
    keep, cool = (lasting(rig, Loss(state, "hot", "after")) for state in ("keep", "cool"))
    assert dict(keep.hot) == pytest.approx({"furnace": 953.15, "tape": 353.15})  # exact: 680 and 80 degC
    assert keep.cold == ("fan",)
    assert dict(cool.hot) == dict(keep.hot)
    assert cool.cold == ()


def test_a_seal_that_lives_by_a_fan_peaks_after_it_stops() -> None:
    found = whole().find("seal-heat/arm.closed/cool")
    assert (found.when, found.lost) == ("peak", None)
    assert found.peak_after is not None
    assert found.peak_after > 60
    before = values_of(situation(), whole().find("seal-heat/arm.closed/hot"))
    peak = values_of(situation(), found)
    bound = situation().lasting(Loss("cool", "hot", "after")).joints["piece.arm.closed"]
    assert np.all(peak > before)  # exact: the heat of the retort goes on coming and the fan does not
    assert np.all(peak < bound)  # exact: nothing on the way is hotter
    assert np.all(peak > situation().heat("cool").joints["piece.arm.closed"] + 50.0)
    assert found.verdict in ("thin", "fails")
    assert "the furnace is off after hot; the joint peaks" in found.because
    assert found.mend == ()
    assert found.next is None


def test_a_seal_that_holds_with_the_furnace_still_on_is_not_followed() -> None:
    found = whole().find("seal-heat/far.closed/cool")
    assert (found.verdict, found.when, found.peak_after) == ("holds", "lasting", None)
    assert found.because == "even if the furnace stayed at 680 degC."


def test_a_joint_inside_the_furnace_is_hottest_at_the_start() -> None:
    found = whole().find("seal-heat/retort.bottom.joined/cool")
    if found.when == "peak":
        assert "hottest at the start" in found.because
    hot = whole().find("seal-heat/retort.bottom.joined/hot")
    assert found.judgement.high == pytest.approx(hot.judgement.high, abs=1.0)


def test_the_reserve_is_that_of_a_steady_state() -> None:
    for finding in joints_cooling(situation()):
        assert finding.reserve == 40.0  # practice: rules/seal-heat/reserve


def test_cold_is_still_judged_in_the_steady_state() -> None:
    found = {finding.id: finding for finding in joints_live(situation())}
    assert found["seal-cold/arm.closed/cool"].when == "steady"
    assert "seal-heat/arm.closed/cool" not in found
    assert found["seal-heat/arm.closed/empty"].when == "steady"


def test_every_joint_has_one_hot_finding_in_every_state() -> None:
    names = [
        finding.id for finding in whole().findings if finding.check == "seal-heat" and finding.lost is None
    ]
    states, joints = whole().rig.states, situation().tree.joints
    assert sorted(names) == sorted(
        f"seal-heat/{joint.name}/{state.name}" for state in states for joint in joints
    )


def test_a_seal_that_fails_after_a_loss_says_how_soon() -> None:
    found = whole().find("seal-heat/arm.closed/hot-fan")
    assert (found.verdict, found.when, found.lost) == ("fails", "peak", "fan")
    assert found.limit_after is not None
    assert found.peak_after is not None
    assert 0 < found.limit_after < found.peak_after  # exact: a cap passes its limit before its peak
    assert f"passes its limit after {found.limit_after / 60:.0f} min at the soonest" in found.because
