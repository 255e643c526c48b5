# SPDX-License-Identifier: MIT
"""Question 4: will every joint live? Steady states.

`seal-heat` compares the hotter side of each joint with the joint's limit. It is the answer
for the dry apparatus: what a thermal blank would show. The heat that condensing vapour brings
is a finding of its own, `vapour-heat`, and unknown until it is computed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from retortwright.assess.finding import Finding, Judgement, judged
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.tables import Tables
from retortwright.rig.tree import Joint
from retortwright.situation.heat import HeatPicture
from retortwright.situation.path import hot_source
from retortwright.situation.situation import Situation

__all__ = [
    "QUESTION",
    "JointCheck",
    "JointLimit",
    "check_of",
    "joint_finding",
    "joint_limit",
    "joints_live",
    "subject_of",
]

QUESTION = 4


@dataclass(frozen=True, slots=True)
class JointCheck:
    """One of the checks of a joint: its rule, the property of the joint, which end is worse."""

    name: str
    limit: str
    worse: str
    tighten: str


_HOT = JointCheck("seal-heat", "limit", "high", "seal-reserve")
_COLD = JointCheck("seal-cold", "cold-limit", "low", "cold-reserve")


def check_of(finding: Finding) -> JointCheck:
    """The check that made a finding about a joint."""
    return _COLD if finding.check == _COLD.name else _HOT


class JointLimit:
    """The limit of one joint: the smallest of its own and of the walls it joins."""

    def __init__(self, situation: Situation, joint: Joint, check: JointCheck = _HOT) -> None:
        self.value = float("nan")
        self.words = joint.kind
        self.rows: list[Row] = []
        self.missing: Missing | None = None
        self.cites: set[str] = set()
        tables = situation.tables
        if check is _COLD or ("joints", joint.kind, "as-parent") not in tables.rows:
            self._take(self._row(tables, "joints", joint.kind, check.limit), joint.kind)
        else:
            self._row(tables, "joints", joint.kind, "as-parent")
        if check is _HOT:
            for material in _materials(situation, joint):
                self._take(self._row(tables, "materials", material, "service-limit"), material)

    def _row(self, tables: Tables, table: str, subject: str, name: str) -> Row | None:
        self.cites.add(f"{table}/{subject}/{name}")
        found = tables.find(table, subject, name)
        if isinstance(found, Missing):
            self.missing = self.missing or found
            return None
        return found

    def _take(self, row: Row | None, words: str) -> None:
        if row is None:
            return
        limit = number_of(row).low
        self.rows.append(row)
        if not self.value <= limit:
            self.value, self.words = limit, words


def joint_limit(situation: Situation, joint: Joint) -> JointLimit:
    """The limit of a joint against heat."""
    return JointLimit(situation, joint)


def _materials(situation: Situation, joint: Joint) -> list[str]:
    instances = situation.tree.instances
    found = [instances[joint.instance].row.of]
    if joint.onto >= 0:
        found.append(instances[joint.onto].row.of)
    return list(dict.fromkeys(found))


def joints_live(situation: Situation) -> Iterator[Finding]:
    """Every finding of the question."""
    joints = {joint.key: joint for joint in situation.tree.joints}
    for state in situation.rig.states:
        picture = situation.heat(state.name)
        for joint in joints.values():
            yield joint_finding(situation, picture, joint, state.name)
            if ("joints", joint.kind, _COLD.limit) in situation.tables.rows:
                yield joint_finding(situation, picture, joint, state.name, _COLD)
        vapour = _vapour_heat(situation, state.name)
        if vapour is not None:
            yield vapour


def joint_finding(
    situation: Situation, picture: HeatPicture, joint: Joint, state: str, check: JointCheck = _HOT
) -> Finding:
    """The finding of one joint in one state."""
    limit = JointLimit(situation, joint, check)
    reserve, rule_cites, rule_missing = _reserve(situation, check)
    values = (picture.joints if check is _HOT else picture.colder)[joint.key]
    judgement = judged(values, limit.value, reserve, check.worse)
    missing = picture.missing[0] if picture.missing else limit.missing or rule_missing
    if missing is not None and judgement.verdict != "fails":
        judgement = Judgement("unknown", False, None, None, None, None)
    recalled = _recalled(picture, limit)
    if recalled is not None and judgement.verdict in ("holds", "thin"):
        judgement, missing = Judgement("unknown", False, None, None, None, None), recalled
    single = situation.tree.instances[picture.hottest[joint.key]]
    sources = {belief.source for belief in picture.inputs if belief.source}
    sources |= {row.source for row in limit.rows}
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
        _because(situation, picture, joint, judgement, check),
        "tree-of-fins",
        missing=missing if judgement.verdict == "unknown" else None,
        inputs=picture.inputs,
        cites=picture.cites | frozenset(limit.cites) | rule_cites,
        sources=tuple(sorted(sources)),
        single=single.name if single.row.count > 1 else None,
        notes=_notes(situation, joint, limit),
    )


def _reserve(situation: Situation, check: JointCheck) -> tuple[float, frozenset[str], Missing | None]:
    address = f"rules/{check.name}/reserve"
    row = situation.tables.find("rules", check.name, "reserve")
    if isinstance(row, Missing):
        return float("nan"), frozenset({address}), row
    tightened = situation.rig.tighten.get(check.tighten)
    common = number_of(row).best
    return max(common, tightened or 0.0), frozenset({address}), None


def _recalled(picture: HeatPicture, limit: JointLimit) -> Missing | None:
    """A datum from memory that no text confirms: it never makes a finding hold."""
    for row in limit.rows:
        if row.known == "recalled":
            return Missing(row.address, f"{row.name} of {row.subject} is from memory only and not confirmed")
    for belief in picture.inputs:
        if not belief.seen:
            return Missing(belief.address, f"{belief.name} is from memory only and not confirmed")
    return None


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
    situation: Situation, picture: HeatPicture, joint: Joint, judgement: Judgement, check: JointCheck
) -> str:
    if check is _COLD:
        lead = "a seal that stiffens with cold"
        tails = {"fails": "it gets too cold to stay tight", "thin": "warm enough, but not by the reserve"}
    else:
        lead = _heated(situation, picture, joint)
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
        notes.append(f"what may touch it: {touches.data}")
    if limit.words != joint.kind:
        notes.append(f"the limit is that of the wall: {limit.words}")
    return tuple(notes)


def _vapour_heat(situation: Situation, state: str) -> Finding | None:
    """Where product vapour can be about, its heat is not in the numbers of this version."""
    rig, picture = situation.rig, situation.heat(state)
    led = {heat.name for heat in rig.heat if heat.holds is None}
    hottest = max((target for name, target in picture.regime.hot if name in led), default=0.0)
    row = situation.tables.find("metals", rig.aim.metal, "one-pascal")
    if not rig.charge or (isinstance(row, Row) and hottest < number_of(row).low):
        return None
    retort = next(piece.name for piece in rig.pieces if piece.on is None)
    missing = Missing(
        "vapour-heat",
        f"the heat that condensing {rig.aim.metal} brings to the line and into dead arms is not computed yet",
    )
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
        "every seal temperature here is that of the dry apparatus, as a thermal blank would show it; "
        "vapour can make it far hotter.",
        "none",
        missing=missing,
        cites=frozenset({f"metals/{rig.aim.metal}/one-pascal"}),
        sources=(row.source,) if isinstance(row, Row) else (),
    )
