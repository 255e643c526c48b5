# SPDX-License-Identifier: MIT
"""Question 4: will every joint live? Steady states.

`seal-heat` compares the hotter side of each joint with the joint's limit, with the heat that
vapour of the product brings where the charge gives metal. States in which the furnace is off but
its heat is still there are answered by `joints_cooling`. Where the vapour cannot be computed,
the joints are those of the dry apparatus, and `vapour-heat` says as a finding of its own that
this is not the whole truth.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from retortwright.assess.finding import Finding, Judgement, judged
from retortwright.assess.joint_limits import COLD, HOT, JointCheck, JointLimit, recalled_in, reserve_of
from retortwright.belief.beliefs import Belief
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.rig.tree import Joint
from retortwright.situation.heat import HeatPicture
from retortwright.situation.loss import cooling_down
from retortwright.situation.path import hot_source
from retortwright.situation.regime import regime_of
from retortwright.situation.situation import Situation
from retortwright.situation.vapour_near import near_vapour
from retortwright.situation.vapour_state import VapourState

__all__ = ["QUESTION", "Evidence", "found_joint", "joint_finding", "joints_live", "subject_of"]

QUESTION = 4
_AT_IT = 2e-3  # m


def joints_live(situation: Situation, only: str | None = None) -> Iterator[Finding]:
    """Every finding of the question; `only` of one state."""
    joints = {joint.key: joint for joint in situation.tree.joints}
    for state in (each for each in situation.rig.states if only in (None, each.name)):
        picture = situation.heat(state.name)
        steady = cooling_down(situation.rig, state.name) is None
        for joint in joints.values():
            if steady:
                yield joint_finding(situation, picture, joint, state.name)
            if ("joints", joint.kind, COLD.limit) in situation.tables.rows:
                yield joint_finding(situation, picture, joint, state.name, COLD)
        vapour = _vapour_heat(situation, state.name)
        if vapour is not None:
            yield vapour


def joint_finding(
    situation: Situation, picture: HeatPicture, joint: Joint, state: str, check: JointCheck = HOT
) -> Finding:
    """The finding of one joint in one state."""
    values = (picture.colder if check is COLD else picture.joints)[joint.key]
    missing = situation.dry(state).missing if check is COLD else picture.missing  # vapour cools nothing
    evidence = Evidence(values, picture.inputs, picture.cites, missing, picture.hottest[joint.key])
    found = found_joint(situation, joint, state, check, evidence)
    because = _because(situation, picture, joint, found.judgement, check, state)
    return replace(found, because=because, notes=(*found.notes, *_vapour_notes(situation, state, check)))


@dataclass(frozen=True, slots=True)
class Evidence:
    """The samples of a joint's temperature and what stands behind them."""

    values: Array
    inputs: tuple[Belief, ...]
    cites: frozenset[str]
    missing: tuple[Missing, ...]
    hottest: int  # which of several pieces alike


def found_joint(
    situation: Situation, joint: Joint, state: str, check: JointCheck, evidence: Evidence
) -> Finding:
    """The finding that some evidence about a joint gives, still without a reason in words."""
    limit = JointLimit(situation, joint, check)
    reserve, rule_cites, rule_missing = reserve_of(situation, check, joint.kind)
    judgement, missing = _ruled(evidence, limit, reserve, rule_missing, check)
    single = situation.tree.instances[evidence.hottest]
    sources = {belief.source for belief in evidence.inputs if belief.source} | {
        row.source for row in limit.rows
    }
    return Finding(
        check.name,
        joint.name,
        state,
        QUESTION,
        subject_of(joint, situation),
        joint.key,
        "temperature",
        judgement,
        limit.value if np.isfinite(limit.value) else None,
        reserve if np.isfinite(reserve) else None,
        check.worse,
        "",
        "tree-of-fins",
        missing=missing,
        inputs=evidence.inputs,
        cites=evidence.cites | frozenset(limit.cites) | rule_cites,
        sources=tuple(sorted(sources)),
        single=single.name if single.row.count > 1 else None,
        limit_of=limit.words if np.isfinite(limit.value) else None,
        notes=_notes(situation, joint, limit),
    )


def _ruled(
    evidence: Evidence, limit: JointLimit, reserve: float, rule_missing: Missing | None, check: JointCheck
) -> tuple[Judgement, Missing | None]:
    """The judgement, turned to unknown where a datum is missing or only remembered, and which one."""
    judgement = judged(evidence.values, limit.value, reserve, check.worse)
    nothing = Judgement("unknown", False, None, None, None, None)
    missing = evidence.missing[0] if evidence.missing else limit.missing or rule_missing
    if missing is not None and judgement.verdict != "fails":
        return nothing, missing
    recalled = recalled_in(evidence.inputs, limit)
    if recalled is not None and judgement.verdict in ("holds", "thin"):
        return nothing, recalled
    return judgement, None


def subject_of(joint: Joint, situation: Situation) -> str:
    """The joint in plain words."""
    instances = situation.tree.instances
    name = instances[joint.instance].row.name
    if joint.key.endswith(".closed"):
        return f"closure of {name} ({joint.kind})"
    if joint.key.endswith(".valve"):
        return f"valve {name} ({joint.kind})"
    if joint.key.endswith(".bottom.joined"):
        return f"bottom of {name} ({joint.kind})"
    return f"joint {instances[joint.onto].row.name} to {name} ({joint.kind})"


def _because(
    situation: Situation,
    picture: HeatPicture,
    joint: Joint,
    judgement: Judgement,
    check: JointCheck,
    state: str,
) -> str:
    if check is COLD:
        lead = "a seal that stiffens with cold"
        tails = {"fails": "it gets too cold to stay tight", "thin": "warm enough, but not by the reserve"}
    else:
        lead = _heated(situation, picture, joint) + _by_vapour(situation, joint, state)
        end = "even at its coolest" if judgement.settled else "at the warm end of the band"
        tails = {"fails": f"it fails {end}", "thin": "inside the limit, but not by the reserve"}
    tail = tails.get(judgement.verdict)
    return f"{lead}; {tail}." if tail else f"{lead}."


def _heated(situation: Situation, picture: HeatPicture, joint: Joint) -> str:
    source = hot_source(situation.rig, situation.tree, situation.mesh, picture.regime, joint)
    if source is None:
        return "nothing heats this part of the rig in this state"
    if source.distance == 0:
        return f"the joint lies inside {source.name}"
    return f"{source.distance * 1e3:.0f} mm of {' and '.join(source.walls)} from {source.name}"


def _notes(situation: Situation, joint: Joint, limit: JointLimit) -> tuple[str, ...]:
    notes = []
    touches = situation.tables.find("joints", joint.kind, "touches")
    if isinstance(touches, Row):
        barred = touches.data.removeprefix("not: ")
        notes.append(f"must not meet: {barred}" if barred != touches.data else f"what may touch it: {barred}")
    if limit.words != joint.kind:
        notes.append(f"the limit is that of the wall: {limit.words}")
    return tuple(notes)


def _by_vapour(situation: Situation, joint: Joint, state: str) -> str:
    """How near vapour comes to a joint, as an addition to a sentence."""
    together = situation.vapour(state)
    near = (
        near_vapour(together, situation.mesh, joint)
        if isinstance(together, VapourState) and not together.heat.missing
        else None
    )
    if near is None:
        return ""
    vapour = f"{situation.rig.aim.metal} vapour at {near.dew - 273.15:.0f} degC"
    if near.distance < _AT_IT:
        return f"; {vapour} reaches it"
    return f"; {vapour} comes within {near.distance * 1e3:.0f} mm of it"


def _vapour_notes(situation: Situation, state: str, check: JointCheck) -> tuple[str, ...]:
    """That no vapour is counted in a state too cold for the charge to give metal, though metal would evaporate."""
    target = _hottest(situation, state)
    row = situation.tables.find("metals", situation.rig.aim.metal, "one-pascal")
    told = situation.rig.charge and check is not COLD and situation.vapour(state) is None
    if not told or not isinstance(row, Row) or target < number_of(row).low:
        return ()
    return (
        f"no vapour of {situation.rig.aim.metal} is counted: at {target - 273.15:.0f} degC the charge is taken "
        "not to give any yet (metal.from)",
    )


def _hottest(situation: Situation, state: str) -> float:
    """Hottest set-point that the programme leads in a state [K]; 0 where none runs."""
    led = {heat.name for heat in situation.rig.heat if heat.holds is None}
    hot = regime_of(situation.rig, state).hot
    return max((target for name, target in hot if name in led), default=0.0)


def _vapour_heat(situation: Situation, state: str) -> Finding | None:
    """Where the charge gives metal and the heat of its vapour is not known: that the seals are those without it."""
    missing = situation.vapour(state)
    if not isinstance(missing, Missing):
        return None
    rig = situation.rig
    retort = next(piece.name for piece in rig.pieces if piece.on is None)
    return Finding(
        "vapour-heat",
        retort,
        state,
        QUESTION,
        f"heat of condensing {rig.aim.metal}",
        f"piece.{retort}",
        "temperature",
        Judgement("unknown", False, None, None, None, None),
        None,
        None,
        "high",
        "what a thermal blank shows can be far colder; a joint too hot even without vapour still fails.",
        "vapour",
        missing=missing,
    )
