# SPDX-License-Identifier: MIT
"""Every way in which the inside of a rig can be cut into volumes: valves, plugs, things that stop.

A volume is a set of stretches of pieces between which gas can pass. Each moment of the programme is
looked at as planned, with each valve wrong, with each stretch plugged that vapour can reach, and
with each thing lost that keeps it open or cool.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from retortwright.rig.parts import Rig, State
from retortwright.rig.tree import Tree
from retortwright.situation.connected import place_in
from retortwright.situation.loss import Loss, losses_of
from retortwright.situation.timing import is_hot

__all__ = [
    "Case",
    "Inner",
    "Inside",
    "Moment",
    "Part",
    "Place",
    "cases_of",
    "cuts_of",
    "inside_of",
    "moments_of",
    "plant_place",
    "plugs_of",
]

Place = tuple[int, float]  # a piece, and how far along it [m]
Part = tuple[int, float, float]  # a stretch of a piece
_Space = tuple[int, int]  # a piece, and which of its parts
_NEAR = 1e-9  # m


@dataclass(frozen=True, slots=True)
class Inner:
    """One volume: the stretches that are joined."""

    parts: tuple[Part, ...]

    def holds(self, place: Place) -> bool:
        """Whether a place is inside; a place on a cut belongs to the stretch before it."""
        return any(
            number == place[0] and (start < place[1] <= end or start == place[1] == 0.0)
            for number, start, end in self.parts
        )


@dataclass(frozen=True, slots=True)
class Inside:
    """The inside of a rig cut at some places."""

    tree: Tree
    cuts: Mapping[int, tuple[float, ...]]
    links: Mapping[_Space, list[_Space]]

    def space(self, place: Place) -> _Space:
        """The space at a place."""
        return place[0], bisect_left(self.cuts.get(place[0], ()), place[1])

    def part(self, space: _Space) -> Part:
        """The stretch that a space is."""
        ends = (0.0, *self.cuts.get(space[0], ()), self.tree.instances[space[0]].length)
        return space[0], ends[space[1]], ends[space[1] + 1]

    def volumes(self) -> tuple[Inner, ...]:
        """All volumes, in the order of their first pieces."""
        left = dict.fromkeys(self.links)
        found = []
        while left:
            joined = self._reached(next(iter(left)))
            for space in joined:
                del left[space]
            found.append(Inner(tuple(self.part(space) for space in sorted(joined))))
        return tuple(found)

    def volume_at(self, place: Place) -> Inner:
        """The volume that holds a place."""
        return Inner(tuple(self.part(space) for space in sorted(self._reached(self.space(place)))))

    def _reached(self, start: _Space) -> list[_Space]:
        found = {start: None}
        waiting = [start]
        while waiting:
            for other in self.links[waiting.pop()]:
                if other not in found:
                    found[other] = None
                    waiting.append(other)
        return list(found)

    def way(self, start: Place, end: Place) -> tuple[Part, ...]:
        """The stretches from one place to another; none where they are not joined. Each lies as it runs."""
        goal, came = self.space(end), {self.space(start): self.space(start)}
        waiting = list(came)
        while waiting and goal not in came:
            space = waiting.pop(0)
            for other in self.links[space]:
                if other not in came:
                    came[other] = space
                    waiting.append(other)
        if goal not in came:
            return ()
        spaces = [goal]
        while came[spaces[-1]] != spaces[-1]:
            spaces.append(came[spaces[-1]])
        return self._walked(spaces[::-1], start[1], end[1])

    def _walked(self, spaces: list[_Space], first: float, last: float) -> tuple[Part, ...]:
        found, at = [], first
        for here, there in zip(spaces, [*spaces[1:], None], strict=True):
            leaves, at_next = (last, last) if there is None else self._door(here, there)
            found.append((here[0], min(at, leaves), max(at, leaves)))
            at = at_next
        return tuple(found)

    def _door(self, here: _Space, there: _Space) -> tuple[float, float]:
        """Where one space leads into another: the place on this piece, and on that."""
        for one, other in _doors(self.tree):
            if (self.space(one), self.space(other)) == (here, there):
                return one[1], other[1]
            if (self.space(other), self.space(one)) == (here, there):
                return other[1], one[1]
        raise LookupError(f"no door between {here} and {there}")


def inside_of(tree: Tree, cuts: Iterable[Place]) -> Inside:
    """The inside of a rig cut at some places."""
    sorted_cuts: dict[int, tuple[float, ...]] = {}
    for number, place in sorted(set(cuts)):
        sorted_cuts[number] = (*sorted_cuts.get(number, ()), place)
    links: dict[_Space, list[_Space]] = {
        (number, part): []
        for number in range(len(tree.instances))
        for part in range(len(sorted_cuts.get(number, ())) + 1)
    }
    inside = Inside(tree, sorted_cuts, links)
    for one, other in _doors(tree):
        here, there = inside.space(one), inside.space(other)
        links[here].append(there)
        links[there].append(here)
    return inside


def _doors(tree: Tree) -> Iterator[tuple[Place, Place]]:
    """Where the inside of one piece opens into that of another."""
    for number, single in enumerate(tree.instances):
        if single.parent >= 0:
            yield (number, 0.0), (single.parent, single.at)
    for joint in tree.joints:
        if joint.key.endswith(".meets.joined"):
            yield (joint.instance, joint.place), (joint.onto, joint.onto_place)


@dataclass(frozen=True, slots=True)
class Moment:
    """A step of the programme, with the one before it; a state that no step uses stands alone."""

    number: int
    state: State
    before: int | None


@dataclass(frozen=True, slots=True)
class Case:
    """One way in which a moment can be: as planned, or with one thing wrong."""

    moment: Moment
    open: frozenset[str]
    running: frozenset[str]
    kind: str = "planned"  # shut, never (shut since the start), open, plug, lost, over (argon runs on)
    what: str = ""  # the valve, the piece that is plugged, the thing that is lost
    plug: Place | None = None
    loss: Loss | None = None

    @property
    def state(self) -> str:
        """The name of its state."""
        return self.moment.state.name


def moments_of(rig: Rig) -> tuple[Moment, ...]:
    """The steps of the programme, then the states that it does not use."""
    by_name = {state.name: state for state in rig.states}
    used = [by_name[step.state] for step in rig.steps]
    found = [Moment(number, state, number - 1 if number else None) for number, state in enumerate(used)]
    idle = [state for state in rig.states if state not in used]
    return (*found, *(Moment(len(used) + number, state, None) for number, state in enumerate(idle)))


def cuts_of(tree: Tree, opened: Iterable[str], plug: Place | None = None) -> tuple[Place, ...]:
    """The middles of all shut valves, and a plug."""
    let = set(opened)
    shut = [
        (number, single.length / 2)
        for number, single in enumerate(tree.instances)
        if single.row.valve is not None and single.row.name not in let
    ]
    return (*shut, *([] if plug is None else [plug]))


def cases_of(rig: Rig, tree: Tree, plugs_in: Iterable[int]) -> Iterator[Case]:
    """Every case of every moment; plugs where `plugs_in` names the number of the moment."""
    plugged = set(plugs_in)
    valves = [piece.name for piece in rig.pieces if piece.valve is not None]
    for moment in moments_of(rig):
        planned = Case(moment, frozenset(moment.state.open), frozenset(moment.state.running))
        yield planned
        for valve in valves:
            if valve in planned.open:
                rest = planned.open - {valve}
                yield replace(planned, open=rest, kind="shut", what=valve)
                if moment.before is not None:
                    yield replace(planned, open=rest, kind="never", what=valve)
            else:
                yield replace(planned, open=planned.open | {valve}, kind="open", what=valve)
        if moment.number in plugged:
            for place in plugs_of(tree, planned.open):
                name = tree.instances[place[0]].name
                yield replace(planned, kind="plug", what=name, plug=place)
        yield from _lost(rig, planned)


def _lost(rig: Rig, planned: Case) -> Iterator[Case]:
    """What can stop, or not be stopped: pump, argon, and all that question 4 takes away of the heat."""
    if "argon" in planned.running and planned.moment.state.until is not None:
        yield replace(planned, kind="over", what="argon")
    for name in ("pump", "argon"):
        if name in planned.running:
            yield replace(planned, running=planned.running - {name}, kind="lost", what=name)
    for loss in losses_of(rig, planned.state) if is_hot(rig, planned.state) else ():
        stops = {"pump", loss.name} if loss.kind == "power" else {loss.name}
        runs = planned.running - stops if loss.kind in ("power", "cooling") else planned.running
        yield replace(planned, running=runs, kind="lost", what=loss.name, loss=loss)


def plugs_of(tree: Tree, opened: Iterable[str]) -> tuple[Place, ...]:
    """The middle of each stretch, between two mouths, that is joined to the retort but for the retort itself."""
    joined = inside_of(tree, cuts_of(tree, opened)).volume_at((0, 0.0))
    mouths: dict[int, list[float]] = {}
    for pair in _doors(tree):
        for number, place in pair:
            mouths.setdefault(number, []).append(place)
    found = []
    for number, start, end in joined.parts:
        if number == 0:
            continue
        inner = sorted(place for place in mouths.get(number, ()) if start + _NEAR < place < end - _NEAR)
        ends = [start, *inner, end]
        found += [(number, (low + high) / 2) for low, high in pairwise(ends)]
    return tuple(dict.fromkeys(found))


def plant_place(rig: Rig, tree: Tree, item: str) -> Place | None:
    """Where a thing of the plant sits; None where there is none."""
    entry = getattr(rig.plant, item)
    if entry is None:
        return None
    return next(iter(place_in(tree, entry["on"], entry.get("at"))), None)
