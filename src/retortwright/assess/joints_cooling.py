# SPDX-License-Identifier: MIT
"""Question 4 on the way down: states in which the furnace is off but its heat is still there.

The rig comes into such a state as hot as it was before, perhaps with less that cools. First the
furnace is taken as still on with only what cools all the way: what holds then holds (`lasting`).
Else the course is followed in time from the steady state before, to the peak (`peak`).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from retortwright.assess.finding import Finding
from retortwright.assess.joint_limits import HOT
from retortwright.assess.joints_live import Evidence, found_joint
from retortwright.assess.joints_lost import until_limit
from retortwright.rig.tree import Joint
from retortwright.situation.loss import Loss, cooling_down
from retortwright.situation.situation import Situation

__all__ = ["joints_cooling"]

_AT_ONCE = 60.0  # s: a peak before that is the start itself


def joints_cooling(situation: Situation, only: str | None = None) -> Iterator[Finding]:
    """The hot finding of every joint in every state that follows a hot one; `only` in one state."""
    joints = {joint.key: joint for joint in situation.tree.joints}
    for state in (each for each in situation.rig.states if only in (None, each.name)):
        down = cooling_down(situation.rig, state.name)
        if down is not None:
            for joint in joints.values():
                yield _going_down(situation, joint, down)


def _going_down(situation: Situation, joint: Joint, down: Loss) -> Finding:
    picture = situation.lasting(down)
    hottest = picture.hottest[joint.key]
    evidence = Evidence(picture.joints[joint.key], picture.inputs, picture.cites, picture.missing, hottest)
    found = found_joint(situation, joint, down.state, HOT, evidence)
    if found.verdict != "holds":
        before = _before(situation, joint, down)
        return before if before.verdict == "fails" else _followed(situation, joint, down, hottest)
    led = {heat.name for heat in situation.rig.heat if heat.holds is None}
    target = max(target for name, target in picture.regime.hot if name in led)
    return replace(
        found, when="lasting", because=f"even if the furnace stayed at {target - 273.15:.0f} degC."
    )


def _before(situation: Situation, joint: Joint, down: Loss) -> Finding:
    """The finding on the state before: a joint that fails there comes too hot into this one."""
    picture = situation.heat(down.name)
    evidence = Evidence(
        picture.joints[joint.key], picture.inputs, picture.cites, picture.missing, picture.hottest[joint.key]
    )
    found = found_joint(situation, joint, down.state, HOT, evidence)
    return replace(found, when="before", because=f"{down.words}; too hot already at the start.")


def _followed(situation: Situation, joint: Joint, down: Loss, hottest: int) -> Finding:
    course = situation.through(down)
    values, times = course.peak[joint.key], course.peak_time[joint.key]
    after = float(np.median(times)) if np.all(np.isfinite(times)) else 0.0
    evidence = Evidence(values, course.inputs, course.cites, course.missing, hottest)
    found = found_joint(situation, joint, down.state, HOT, evidence)
    peak = (
        f"the joint peaks {after / 60:.0f} min later"
        if after > _AT_ONCE
        else "the joint is hottest at the start"
    )
    soonest, until = until_limit(course, joint, found)
    return replace(
        found,
        when="peak",
        peak_after=after,
        limit_after=soonest,
        because=f"{down.words}; {peak}{until}.",
        formula="tree-of-fins-in-time",
        notes=(
            *found.notes,
            f"followed from the steady temperatures of {down.name}, which it can hardly exceed",
        ),
    )
