# SPDX-License-Identifier: MIT
"""What a joint may reach: its own limit or that of its walls, less a reserve."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from retortwright.assess.finding import Finding
from retortwright.belief.beliefs import Belief
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.tables import Tables
from retortwright.rig.tree import Joint
from retortwright.situation.situation import Situation

__all__ = [
    "COLD",
    "HOT",
    "LOST",
    "JointCheck",
    "JointLimit",
    "check_of",
    "joint_limit",
    "recalled_in",
    "reserve_of",
]


@dataclass(frozen=True, slots=True)
class JointCheck:
    """One of the checks of a joint: its rule, the property of the joint, which end is worse."""

    name: str
    limit: str
    worse: str
    tighten: str
    rule: str


HOT = JointCheck("seal-heat", "limit", "high", "seal-reserve", "seal-heat")
COLD = JointCheck("seal-cold", "cold-limit", "low", "cold-reserve", "seal-cold")
LOST = JointCheck("seal-heat", "limit", "high", "seal-reserve-lost", "seal-heat-lost")


def check_of(finding: Finding) -> JointCheck:
    """The check that made a finding about a joint."""
    return COLD if finding.check == COLD.name else HOT


class JointLimit:
    """The limit of one joint: the smallest of its own and of the walls it joins."""

    def __init__(self, situation: Situation, joint: Joint, check: JointCheck = HOT) -> None:
        self.value = float("nan")
        self.words = joint.kind
        self.rows: list[Row] = []
        self.missing: Missing | None = None
        self.cites: set[str] = set()
        tables = situation.tables
        if check is COLD or ("joints", joint.kind, "as-parent") not in tables.rows:
            self._take(self._row(tables, "joints", joint.kind, check.limit), joint.kind)
        else:
            self._row(tables, "joints", joint.kind, "as-parent")
        if check is not COLD:
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


def reserve_of(
    situation: Situation, check: JointCheck, kind: str
) -> tuple[float, frozenset[str], Missing | None]:
    """The reserve of a check for a kind of joint [K], what it cites, and what is missing of it.

    A few joints that soften just above the room have a steady reserve of their own.
    """
    address = f"rules/{check.rule}/reserve"
    row = situation.tables.find("rules", check.rule, "reserve")
    if isinstance(row, Missing):
        return float("nan"), frozenset({address}), row
    tightened = situation.rig.tighten.get(check.tighten)
    common, cites = number_of(row).best, {address}
    if check is HOT and ("joints", kind, "reserve") in situation.tables.rows:
        own = situation.tables.find("joints", kind, "reserve")
        cites.add(f"joints/{kind}/reserve")
        if isinstance(own, Missing):
            return float("nan"), frozenset(cites), own
        common = number_of(own).best
    return max(common, tightened or 0.0), frozenset(cites), None


def recalled_in(inputs: Sequence[Belief], limit: JointLimit) -> Missing | None:
    """A datum from memory that no text confirms: it never makes a finding hold."""
    for row in limit.rows:
        if row.known == "recalled":
            return Missing(row.address, f"{row.name} of {row.subject} is from memory only and not confirmed")
    for belief in inputs:
        if not belief.seen:
            return Missing(belief.address, f"{belief.name} is from memory only and not confirmed")
    return None
