# SPDX-License-Identifier: MIT
"""Seals where the charge gives metal: hot with its vapour, and said so."""

from __future__ import annotations

from functools import cache

import numpy as np

from retortwright.assess.finding import Finding
from retortwright.assess.joints_cooling import joints_cooling
from retortwright.assess.joints_live import joints_live
from retortwright.assess.joints_lost import joints_lost
from retortwright.assess.measure import values_of
from retortwright.belief.beliefs import Draws
from retortwright.situation.loss import Loss
from retortwright.situation.situation import Situation
from retortwright.situation.vapour_state import VapourState
from situation.vapour_rigs import EXAMPLE, RIGS, changed, pair

CAP = "seal-heat/charging-arm.closed"


@cache
def rig(text: str = EXAMPLE) -> Situation:
    """A rig, solved once."""
    return pair(text, Draws(samples=16))


@cache
def live() -> dict[str, Finding]:
    """The steady findings of the example."""
    return {finding.id: finding for finding in joints_live(rig())}


def test_a_cap_behind_reflux_is_judged_with_it() -> None:
    found = live()[f"{CAP}/distil"]
    assert np.median(values_of(rig(), found)) > np.median(rig().dry("distil").joints[found.at]) + 20.0
    assert "Rb vapour at" in found.because
    assert {"reaction.time", "reaction.peak", "rest.gas"} <= {belief.name for belief in found.inputs}


def test_nothing_is_unknown_where_the_vapour_is_computed() -> None:
    assert not any(name.startswith("vapour-heat") for name in live())


def test_a_state_before_there_is_metal_says_so() -> None:
    found = live()[f"{CAP}/dry"]  # 350 degC, where rubidium would evaporate if there were any
    assert found.verdict == "holds"
    assert any("no vapour of Rb is counted" in note for note in found.notes)
    assert not any("no vapour" in note for note in live()[f"{CAP}/pump-down"].notes)  # cold


def test_where_the_vapour_is_not_known_it_is_unknown_why() -> None:
    blind = rig(changed(RIGS["no arm"], ("aim.metal", "K")))
    found = {finding.id: finding for finding in joints_live(blind)}
    says = found["vapour-heat/pot/distil"]
    assert says.verdict == "unknown"
    assert says.missing is not None


def test_a_loss_has_the_vapour_that_then_comes() -> None:
    lost = {finding.id: finding for finding in joints_lost(rig())}
    steady = live()[f"{CAP}/distil"]
    without = rig().lasting(Loss("distil", "cap-coil", "cooling")).joints[steady.at]
    assert np.median(without) > np.median(values_of(rig(), steady)) + 50.0
    assert lost[f"{CAP}/distil-cap-coil"].verdict == "fails"


def test_a_seal_that_fails_before_need_not_be_followed_down() -> None:
    found = next(each for each in joints_cooling(rig()) if each.id == f"{CAP}/cool")
    assert found.verdict == "fails"
    assert found.when == "before"
    assert found.because.endswith("too hot already at the start.")
    together = rig().vapour("distil")
    assert isinstance(together, VapourState)
    np.testing.assert_array_equal(values_of(rig(), found), together.heat.joints[found.at])  # exact
