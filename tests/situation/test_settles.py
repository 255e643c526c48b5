# SPDX-License-Identifier: MIT
"""Wall and vapour come to one answer, from wherever they begin, and a tighter tolerance does not move it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.rig.reading import rig_of
from retortwright.situation import vapour_state as module
from retortwright.situation.situation import Situation
from retortwright.situation.vapour_state import VapourState, vapour_state
from retortwright.situation.wet_walls import WetSteps
from situation.vapour_rigs import RIGS, STATE, changed, pair, together

SOME = Draws(samples=4)
NAMES = ["example", "copper arm", "level pot", "gauge on the line", "barium", "magnesium", "warm receiver"]
APART = 0.2  # K


def apart(one: VapourState, other: VapourState) -> float:
    """The most that any joint differs by [K]; not a number where a sample is not known."""
    joints = one.heat.joints
    return float(np.max([np.max(np.abs(joints[key] - other.heat.joints[key])) for key in joints]))


def hot(state: VapourState) -> VapourState:
    """The same as a start in which vapour has made everything that it can reach as hot as it can."""
    reached, vapour = state.reached, state.vapour
    walls = reached.temperature.copy()
    cells = [
        *(way.cells for way in vapour.ways.ways),
        *(arm.cells for arm in vapour.ways.arms),
        vapour.ways.back,
    ]
    most = vapour.stream.saturation.dew(vapour.stream.over_charge)
    for each in cells:
        walls[each] = np.fmax(walls[each], most)
    start = replace(reached, temperature=walls, dew=most, steep=np.zeros_like(reached.steep))
    return replace(state, reached=start)


@pytest.mark.parametrize("name", NAMES)
def test_one_answer_from_three_starts(name: str) -> None:
    rig = pair(RIGS[name], SOME)
    dry = rig.vapour(STATE)
    assert isinstance(dry, VapourState)
    from_hot = vapour_state(rig, STATE, None, hot(dry))
    other = pair(changed(RIGS[name], ("assume.reaction.time", "1500 s")), SOME)
    assert isinstance(other.vapour(STATE), VapourState)
    from_near = Situation(rig_of(RIGS[name]), shipped(), SOME, near=other).vapour(STATE)
    for found in (from_hot, from_near):
        assert isinstance(found, VapourState)
        assert apart(dry, found) < APART  # exact: one balance, one answer


@pytest.mark.parametrize("name", NAMES)
def test_a_tenth_of_the_tolerance_moves_no_joint(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    plain = together(RIGS[name], SOME)
    monkeypatch.setattr(module, "_EXACT", WetSteps(close=1e-3, off=1e-4, most=200))
    assert apart(plain, together(RIGS[name], SOME)) < APART  # exact: it has converged
