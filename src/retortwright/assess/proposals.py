# SPDX-License-Identifier: MIT
"""What a workshop could change about a joint that gets too hot, best first.

A proposal is one key of the rig file and its values from the smallest change to the largest.
Water is never proposed beside reactive metal, and nothing here says that the changed wall
still stands: that is another question.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from retortwright.assess.finding import Finding
from retortwright.reference.datum import Missing, Row, curve_of, number_of
from retortwright.rig.edit import Edit
from retortwright.rig.pairing import fits, is_metal
from retortwright.rig.parts import Piece
from retortwright.rig.tree import Joint
from retortwright.situation.situation import Situation

__all__ = ["Proposal", "proposals_of"]

_LONGER_BY = 0.4  # m at most
_THINNEST = 0.5e-3  # m
_COOLER_BY = 300.0  # K at most
_FLANGE_WALL, _FLANGE_TUBE = 1.5e-3, 16e-3  # m: a thinner wall or narrower tube is not welded into a flange
_LEAKIER = 10.0  # times the typical leak of the present joint


@dataclass(frozen=True, slots=True)
class Proposal:
    """A key and its values, from the smallest change to the largest; `first` is changed with it."""

    key: str
    values: tuple[str, ...]
    first: tuple[Edit, ...] = ()

    def edits(self, place: int) -> tuple[Edit, ...]:
        """The edits of one value."""
        return (*self.first, Edit(self.key, self.values[place]))

    def after(self, first: Edit) -> Proposal:
        """The same on top of another edit."""
        return replace(self, first=(first,))


def proposals_of(situation: Situation, finding: Finding) -> Iterator[Proposal]:
    """What could be changed for one joint finding: one thing alone, then two together."""
    joint = next(joint for joint in situation.tree.joints if joint.key == finding.at)
    if finding.check == "seal-cold":
        yield from _out_of_the_bath(situation, finding)
        return
    carrier = _carrier(situation, joint)
    farther = list(_farther(situation, joint, carrier))
    other = []
    if carrier is not None:
        other = [*_poorer_conductor(situation, carrier), *_into_the_fan(situation, carrier, finding.state)]
    yield from farther
    yield from _better_wall(situation, joint, finding)
    yield from other
    if carrier is not None:
        yield from _thinner(situation, carrier)
    yield from _better_joint(situation, joint, finding)
    yield from _cooler_furnace(situation, finding)
    for change in other:
        for stretch in farther:
            yield stretch.after(Edit(change.key, change.values[0]))


def _out_of_the_bath(situation: Situation, finding: Finding) -> Iterator[Proposal]:
    """A cold bath kept away from a seal: it begins later or ends earlier."""
    running = next(each.running for each in situation.rig.states if each.name == finding.state)
    lengths = {piece.name: piece.length.best for piece in situation.rig.pieces}
    for cool in situation.rig.cool:
        if cool.by not in ("dry ice", "liquid nitrogen", "ice water") or cool.name not in running:
            continue
        for name, stretch in cool.over.items():
            start, end = round(stretch.start * 1e3), round((stretch.end or lengths[name]) * 1e3)
            key = f"cool.{cool.name}.over.{name}"
            later = tuple(f"{first} to {end} mm" for first in range(start + 1, end - 10))
            earlier = tuple(f"{start} to {last} mm" for last in range(end - 1, start + 10, -1))
            for values in (later, earlier):
                if values:
                    yield Proposal(key, values)


def _carrier(situation: Situation, joint: Joint) -> Piece | None:
    """The piece whose wall brings the heat to a joint."""
    instances = situation.tree.instances
    own = instances[joint.instance]
    if joint.key.endswith(".bottom.joined"):
        return None
    if joint.key.endswith((".closed", ".valve")) or joint.key.endswith(".meets.joined"):
        return own.row
    return instances[own.parent].row


def _farther(situation: Situation, joint: Joint, carrier: Piece | None) -> Iterator[Proposal]:
    own = situation.tree.instances[joint.instance]
    branch = joint.onto >= 0 and not joint.key.endswith(".meets.joined") and not own.at_end
    if branch and own.row.count == 1:
        room = situation.tree.instances[own.parent].length - own.at
        yield Proposal(f"piece.{own.row.name}.at", _millimetres(own.at, room))
    elif (
        not branch
        and carrier is not None
        and not carrier.length.wide
        and carrier.bend is None
        and carrier.shape == "tube"
    ):
        yield Proposal(f"piece.{carrier.name}.length", _millimetres(carrier.length.best, _LONGER_BY))


def _millimetres(start: float, most: float) -> tuple[str, ...]:
    first = math.floor(start * 1e3) + 1
    return tuple(f"{value} mm" for value in range(first, math.floor((start + most) * 1e3 + 1e-9) + 1))


def _poorer_conductor(situation: Situation, carrier: Piece) -> Iterator[Proposal]:
    own, other = (situation.tables.find("materials", name, "conductivity") for name in (carrier.of, "304L"))
    if isinstance(own, Missing) or isinstance(other, Missing):
        return
    if float(curve_of(own).held(600.0)) > 1.2 * float(curve_of(other).held(600.0)):
        yield Proposal(f"piece.{carrier.name}.of", ("304L",))


def _into_the_fan(situation: Situation, carrier: Piece, state: str) -> Iterator[Proposal]:
    running = next(each.running for each in situation.rig.states if each.name == state)
    for cool in situation.rig.cool:
        if (
            cool.by == "air"
            and cool.name in running
            and carrier.name not in cool.over
            and carrier.on is not None
        ):
            yield Proposal(f"cool.{cool.name}.over.{carrier.name}", ("all",))


def _thinner(situation: Situation, carrier: Piece) -> Iterator[Proposal]:
    metal = ("materials", carrier.of, "emissivity-unstated") in situation.tables.rows
    steps = math.floor((carrier.tube.wall - _THINNEST) / 0.05e-3 + 1e-6)
    if metal and carrier.on is not None and carrier.tapers_to is None and steps > 0:
        walls = (carrier.tube.wall * 1e3 - 0.05 * (step + 1) for step in range(steps))
        yield Proposal(f"piece.{carrier.name}.tube.wall", tuple(f"{wall:.4g} mm" for wall in walls))


def _better_joint(situation: Situation, joint: Joint, finding: Finding) -> Iterator[Proposal]:
    tables, high = situation.tables, finding.judgement.high
    own = tables.find("joints", joint.kind, "limit")
    if isinstance(own, Missing) or high is None or finding.reserve is None:
        return
    good: list[tuple[float, str]] = []
    for kind in tables.subjects("joints", "limit"):
        row = tables.find("joints", kind, "limit")
        if isinstance(row, Row) and _may_replace(situation, joint, kind, row, own):
            limit = number_of(row).low
            if limit - finding.reserve >= high:
                good.append((limit, kind))
    if good:
        yield Proposal(joint.key, (min(good)[1],))


def _better_wall(situation: Situation, joint: Joint, finding: Finding) -> Iterator[Proposal]:
    """Where the wall itself sets the limit, a wall that stands more heat."""
    high, tables = finding.judgement.high, situation.tables
    if high is None or finding.reserve is None:
        return
    instances = situation.tree.instances
    for piece in {
        instances[each].row.name: instances[each].row for each in (joint.instance, joint.onto) if each >= 0
    }.values():
        own = tables.find("materials", piece.of, "service-limit")
        if isinstance(own, Missing) or number_of(own).low != finding.limit:
            continue
        for better in ("304L", "310S"):
            row = tables.find("materials", better, "service-limit")
            if isinstance(row, Row) and number_of(row).low - finding.reserve >= high:
                yield Proposal(f"piece.{piece.name}.of", (better,))
                break


def _may_replace(situation: Situation, joint: Joint, kind: str, row: Row, own: Row) -> bool:
    """A seat gives way to a seat, a ring to a ring, a soft seal between metal walls to a flange without rubber.

    The new joint must suit the walls and be about as tight as the old one; it may be touched by the
    metal that is wanted, but a ring by no less than the ring that is there.
    """
    walls = _walls(situation, joint)
    if kind == joint.kind or not fits(kind, walls) or _leakier(situation, kind, joint.kind):
        return False
    if "O-ring" in kind and "O-ring" in joint.kind:
        return _forbidden(situation, joint.kind) >= _forbidden(situation, kind)
    if situation.rig.aim.metal in _forbidden(situation, kind):
        return False
    flange = kind.endswith("flange")
    if flange and (joint.tube is None or joint.tube.wall < _FLANGE_WALL or joint.tube.outside < _FLANGE_TUBE):
        return False
    if kind.endswith("seat") or joint.kind.endswith("seat"):
        return kind.endswith("seat") and joint.kind.endswith("seat")
    if own.locator != "seals":
        return row.locator == own.locator
    return flange and all(map(is_metal, walls))


def _walls(situation: Situation, joint: Joint) -> list[str]:
    """The materials of the walls that a joint stands between."""
    instances = situation.tree.instances
    return [instances[number].row.of for number in (joint.onto, joint.instance) if number >= 0]


def _leakier(situation: Situation, kind: str, present: str) -> bool:
    """Whether a joint typically leaks far more than the present one; what is not known counts as leaking."""
    leaks = [situation.tables.find("joints", each, "leak") for each in (kind, present)]
    new, old = (number_of(leak).best if isinstance(leak, Row) else math.nan for leak in leaks)
    return not new <= _LEAKIER * old


def _forbidden(situation: Situation, kind: str) -> frozenset[str]:
    """The metals that must not touch a joint."""
    touches = situation.tables.find("joints", kind, "touches")
    says = touches.data if isinstance(touches, Row) else ""
    return frozenset(says.removeprefix("not:").split() if says.startswith("not:") else ())


def _cooler_furnace(situation: Situation, finding: Finding) -> Iterator[Proposal]:
    rig = situation.rig
    steps = [step for step in rig.steps if step.state == finding.state and step.to is not None]
    led = {heat.name for heat in rig.heat if heat.holds is None}
    running = next(each.running for each in rig.states if each.name == finding.state)
    if len(steps) == 1 and steps[0].to is not None and led & set(running):
        start = steps[0].to - 273.15
        count = math.floor(min(_COOLER_BY, max(start - 100.0, 0.0)) / 5)
        values = tuple(f"{start - 5 * (step + 1):.4g} degC" for step in range(count))
        if values:
            yield Proposal(f"programme.steps.{finding.state}.to", values)
