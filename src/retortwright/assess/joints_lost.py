# SPDX-License-Identifier: MIT
"""Question 4 after a loss: a cooling stops, the power goes, a tape sticks on, the furnace overshoots.

First the state that would last if nobody ever noticed is solved: walls that start cooler and are
heated by nothing hotter can never pass it, so a joint that holds there holds (`lasting`). Only
where that is not enough, and the joint does not fail before anything is lost (`before`), is the
course followed in time, to the peak and when it comes (`peak`).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from retortwright.assess.finding import Finding
from retortwright.assess.joint_limits import LOST
from retortwright.assess.joints_live import Evidence, found_joint
from retortwright.ground.units import TAIL
from retortwright.rig.tree import Joint
from retortwright.situation.loss import Loss, losses_of
from retortwright.situation.situation import Situation
from retortwright.situation.transient import LossPicture

__all__ = ["joints_lost", "until_limit"]

_MINUTE = 60.0  # s


def joints_lost(situation: Situation) -> Iterator[Finding]:
    """Every finding of the question after a loss."""
    joints = {joint.key: joint for joint in situation.tree.joints}
    for state in situation.rig.states:
        for loss in losses_of(situation.rig, state.name):
            for joint in joints.values():
                yield _after(situation, joint, loss)


def until_limit(course: LossPicture, joint: Joint, found: Finding) -> tuple[float | None, str]:
    """How soon a joint passes its limit, at the early end of the samples [s], and that as a part of a sentence."""
    if found.limit is None or found.verdict != "fails":
        return None, ""
    early, middle = np.quantile(course.passes(joint.key, found.limit), [TAIL, 0.5], method="inverted_cdf")
    if not np.isfinite(early):
        return None, ""
    usual = f", {_minutes(middle)} as a rule" if np.isfinite(middle) and middle > early + 60 else ""
    return float(early), f" and passes its limit after {_minutes(early)} at the soonest{usual}"


def _minutes(seconds: float) -> str:
    return "less than a minute" if seconds < _MINUTE else f"{seconds / _MINUTE:.0f} min"


def _after(situation: Situation, joint: Joint, loss: Loss) -> Finding:
    picture = situation.lasting(loss)
    hottest = picture.hottest[joint.key]
    evidence = Evidence(picture.joints[joint.key], picture.inputs, picture.cites, picture.missing, hottest)
    found = found_joint(situation, joint, loss.state, LOST, evidence)
    if found.verdict in ("thin", "fails"):
        before = _before(situation, joint, loss)
        return before if before.verdict == "fails" else _followed(situation, joint, loss, hottest)
    because = f"{loss.words} and nobody ever notices: it stays at that."
    return replace(found, lost=loss.name, happens=loss.words, when="lasting", because=because)


def _before(situation: Situation, joint: Joint, loss: Loss) -> Finding:
    """The finding on the state before the loss: a joint that fails there needs no loss to fail."""
    picture = situation.heat(loss.state)
    evidence = Evidence(
        picture.joints[joint.key], picture.inputs, picture.cites, picture.missing, picture.hottest[joint.key]
    )
    found = found_joint(situation, joint, loss.state, LOST, evidence)
    return replace(
        found,
        lost=loss.name,
        happens=loss.words,
        when="before",
        because="too hot already before anything is lost.",
    )


def _followed(situation: Situation, joint: Joint, loss: Loss, hottest: int) -> Finding:
    course = situation.through(loss)
    values, times = course.peak[joint.key], course.peak_time[joint.key]
    after = float(np.median(times)) if np.all(np.isfinite(times)) else 0.0
    evidence = Evidence(values, course.inputs, course.cites, course.missing, hottest)
    found = found_joint(situation, joint, loss.state, LOST, evidence)
    off = "" if loss.kind == "power" else f"; the furnace is off {course.noticed / 60:.0f} min later"
    soonest, until = until_limit(course, joint, found)
    because = f"{loss.words}{off}; the joint peaks {after / 60:.0f} min after the loss{until}."
    return replace(
        found,
        lost=loss.name,
        happens=loss.words,
        when="peak",
        peak_after=after,
        limit_after=soonest,
        because=because,
        formula="tree-of-fins-in-time",
    )
