# SPDX-License-Identifier: MIT
"""The rig as a tree in space: every single piece, where it sits, its heights, volume and joints.

Everything that has a place follows from here and from nothing else.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from retortwright.rig.compound import Tube
from retortwright.rig.parts import Piece, Rig
from retortwright.rig.space import Single, Vector, courses_of

__all__ = ["Instance", "Joint", "Tree", "tree_of"]


@dataclass(frozen=True, slots=True)
class Instance:
    """One piece in space. Lengths in m, angles in rad; x east, y north, z up from the retort's near end."""

    name: str
    row: Piece
    parent: int  # index of the piece it sits on, -1 for the retort
    at: float  # where on it
    at_end: bool  # whether it continues the far end of the piece it sits on
    course: tuple[Vector, ...]  # its axis, points at equal shares of its length
    heading: float  # of its near end

    @property
    def near(self) -> Vector:
        """The near end."""
        return self.course[0]

    @property
    def far(self) -> Vector:
        """The far end."""
        return self.course[-1]

    @property
    def length(self) -> float:
        """Near end to far end along the axis [m]."""
        return self.row.length.best

    def tube_at(self, place: float) -> Tube:
        """Outside and wall at a place along the piece."""
        tube, end = self.row.tube, self.row.tapers_to
        if self.row.shape == "flask":
            across = 2 * math.sqrt(max(place * (self.length - place), 0.0))
            return Tube(max(across, 2.5 * tube.wall), tube.wall)
        if end is None:
            return tube
        share = place / self.length
        return Tube(
            tube.outside + share * (end.outside - tube.outside), tube.wall + share * (end.wall - tube.wall)
        )

    @property
    def volume(self) -> float:
        """Inside volume [m^3]."""
        bore, length = self.row.tube.bore, self.length
        if self.row.shape == "flask":
            return math.pi / 6 * bore**3
        end = self.row.tapers_to.bore if self.row.tapers_to else bore
        return math.pi / 12 * length * (bore**2 + bore * end + end**2)


@dataclass(frozen=True, slots=True)
class Joint:
    """One joint: its dotted key in the file, its kind, and between which places it lies."""

    key: str
    kind: str
    instance: int
    place: float  # along its own piece
    onto: int = -1  # the other piece, if there is one
    onto_place: float = 0.0
    tube: Tube | None = None

    @property
    def name(self) -> str:
        """The key without its table."""
        return self.key.removeprefix("piece.")


@dataclass(frozen=True, slots=True)
class Tree:
    """All pieces, parents first, and all joints in the order of the pieces."""

    instances: tuple[Instance, ...]
    joints: tuple[Joint, ...]

    def index(self, name: str) -> int:
        """The index of a single piece."""
        return next(i for i, instance in enumerate(self.instances) if instance.name == name)

    def children(self, index: int) -> list[int]:
        """The pieces that sit on a piece."""
        return [i for i, instance in enumerate(self.instances) if instance.parent == index]


def tree_of(rig: Rig) -> Tree:
    """The tree of a rig."""
    waiting = list(rig.pieces)
    singles: list[Single] = []
    index: dict[str, int] = {}
    while waiting:
        ready = [piece for piece in waiting if piece.on is None or piece.on in index]
        for piece in ready:
            waiting.remove(piece)
            for number in range(piece.count):
                name = piece.name if piece.count == 1 else f"{piece.name}.{number + 1}"
                parent = -1 if piece.on is None else index[piece.on]
                index[name] = len(singles)
                singles.append(_single(piece, name, parent, number, singles))
    courses = courses_of(singles, index)
    placed = [
        Instance(one.name, one.row, one.parent, one.at, one.at_end, course.points, course.heading)
        for one, course in zip(singles, courses, strict=True)
    ]
    return Tree(tuple(placed), tuple(_joints(placed, index)))


def _single(piece: Piece, name: str, parent: int, number: int, singles: list[Single]) -> Single:
    if parent < 0:
        return Single(name, piece, -1, 0.0, False)
    length = singles[parent].row.length.best
    at = (length if piece.at is None else piece.at) + number * piece.every
    return Single(name, piece, parent, min(at, length), piece.at is None)


def _joints(placed: list[Instance], index: dict[str, int]) -> list[Joint]:
    found: list[Joint] = []
    for number, single in enumerate(placed):
        row, key = single.row, f"piece.{single.row.name}"
        start, end = single.tube_at(0.0), single.tube_at(single.length)
        if row.bottom is not None:
            found.append(Joint(f"{key}.bottom.joined", row.bottom.joined, number, 0.0, tube=start))
        if row.joined is not None:
            found.append(Joint(f"{key}.joined", row.joined, number, 0.0, single.parent, single.at, start))
        if row.valve is not None:
            found.append(Joint(f"{key}.valve", row.valve, number, single.length / 2, tube=start))
        if row.closed is not None:
            found.append(Joint(f"{key}.closed", row.closed.joined, number, single.length, tube=end))
        if row.meets is not None:
            onto = index[row.meets.piece]
            place = placed[onto].length if row.meets.at is None else row.meets.at
            found.append(
                Joint(f"{key}.meets.joined", row.meets.joined, number, single.length, onto, place, end)
            )
    return found
