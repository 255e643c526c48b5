# SPDX-License-Identifier: MIT
"""Which inner spaces are joined in a state, and the way of the gas from the retort to the pump."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from retortwright.rig.parts import Rig
from retortwright.rig.tree import Tree

__all__ = ["Connected", "Node", "Passage", "connected", "place_in"]

Node = tuple[int, int]  # a piece, and on which side of its shut valve


@dataclass(frozen=True, slots=True)
class Passage:
    """A stretch of one piece that gas passes: from one place along it to another [m]."""

    instance: int
    start: float
    end: float

    @property
    def length(self) -> float:
        """How long [m]."""
        return abs(self.end - self.start)


@dataclass(frozen=True, slots=True)
class Connected:
    """The inner spaces of a rig with some valves open.

    `links` leads from each space to its neighbours: the other space, the place on this piece, the
    place on that one.
    """

    tree: Tree
    open: tuple[str, ...]
    links: dict[Node, list[tuple[Node, float, float]]] = field(default_factory=dict)

    def node(self, instance: int, place: float) -> Node:
        """The space at a place along a piece."""
        single = self.tree.instances[instance]
        shut = single.row.valve is not None and single.row.name not in self.open
        return instance, 1 if shut and place > single.length / 2 else 0

    def join(self, one: int, at: float, other: int, there: float) -> None:
        """Join a place on one piece with a place on another."""
        here, far = self.node(one, at), self.node(other, there)
        self.links.setdefault(here, []).append((far, at, there))
        self.links.setdefault(far, []).append((here, there, at))

    def group(self, start: Node) -> frozenset[Node]:
        """Every space that is joined to one."""
        return frozenset(self.ways(start))

    def ways(self, start: Node) -> Mapping[Node, tuple[Node, float, float] | None]:
        """For every space joined to one: from which space it was reached, and the two places of the link."""
        came: dict[Node, tuple[Node, float, float] | None] = {start: None}
        waiting = [start]
        while waiting:
            node = waiting.pop(0)
            for other, here, there in self.links[node]:
                if other not in came:
                    came[other] = (node, here, there)
                    waiting.append(other)
        return came

    def path(self, start: Node, start_place: float, end: Node, end_place: float) -> tuple[Passage, ...]:
        """The passages from one place to another; none where they are not joined."""
        came = self.ways(start)
        if end not in came:
            return ()
        back: list[Passage] = []
        node, leave = end, end_place
        while (step := came[node]) is not None:
            before, here, there = step
            back.append(Passage(node[0], there, leave))
            node, leave = before, here
        back.append(Passage(node[0], start_place, leave))
        return tuple(reversed(back))

    def volume(self, group: frozenset[Node]) -> float:
        """Inner volume of some spaces [m^3]; a shut valve counts half to either side."""
        return math.fsum(self.share(node) * self.tree.instances[node[0]].volume for node in group)

    def share(self, node: Node) -> float:
        """The share of its piece that a space is."""
        single = self.tree.instances[node[0]]
        return 0.5 if single.row.valve is not None and single.row.name not in self.open else 1.0


def connected(rig: Rig, tree: Tree, state: str) -> Connected:
    """The inner spaces in a state."""
    found = next(each for each in rig.states if each.name == state)
    spaces = Connected(tree, tuple(found.open))
    for number, single in enumerate(tree.instances):
        for place in (0.0, single.length):
            spaces.links.setdefault(spaces.node(number, place), [])
        if single.parent >= 0:
            spaces.join(number, 0.0, single.parent, single.at)
    for joint in tree.joints:
        if joint.key.endswith(".meets.joined"):
            spaces.join(joint.instance, joint.place, joint.onto, joint.onto_place)
    return spaces


def place_in(tree: Tree, on: str, at: float | None) -> Iterator[tuple[int, float]]:
    """The piece of a name, or the first of several alike, and the place on it."""
    for number, single in enumerate(tree.instances):
        if on in (single.name, single.row.name):
            yield number, single.length if at is None else min(at, single.length)
