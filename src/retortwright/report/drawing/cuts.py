# SPDX-License-Identifier: MIT
"""What of a long piece is left out of the drawing: a stretch along which nothing begins, ends or sits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from retortwright.rig.parts import Cool, Heat, Lag, Rig
from retortwright.rig.tree import Tree

__all__ = ["Cut", "cuts_of"]

_LONG, _LEFT = 0.30, 0.09  # m: a bare stretch from which on a part is left out, and what is left of it
_LONG_RETORT = 1.0  # m: a retort is drawn whole as long as can be


@dataclass(frozen=True, slots=True)
class Cut:
    """The stretch that is left out [m along the piece]."""

    start: float
    end: float


def cuts_of(rig: Rig, tree: Tree) -> dict[str, Cut]:
    """What is left out of each row, for those that are straight and long."""
    found = {}
    for single in tree.instances:
        row = single.row
        if row.shape == "flask" or row.bend is not None or row.tapers_to is not None or row.meets is not None:
            continue
        marks = sorted({0.0, single.length, *_marks(rig, tree, row.name)})
        low, high = max(pairwise(marks), key=lambda pair: pair[1] - pair[0])
        if high - low > (_LONG_RETORT if single.parent < 0 else _LONG):
            middle, half = (low + high) / 2, (high - low - _LEFT) / 2
            found[row.name] = Cut(middle - half, middle + half)
    return found


def _marks(rig: Rig, tree: Tree, row: str) -> Iterator[float]:
    """The places along a row where something is."""
    for joint in tree.joints:
        if tree.instances[joint.instance].row.name == row:
            yield joint.place
        if joint.onto >= 0 and tree.instances[joint.onto].row.name == row:
            yield joint.onto_place
    covers: list[Heat | Lag | Cool] = [*rig.heat, *rig.lag, *rig.cool]
    for cover in covers:
        stretch = cover.over.get(row)
        if stretch is not None:
            yield stretch.start
            if stretch.end is not None:
                yield stretch.end
    for name, on in _connected(rig):
        if name.split(".")[0] == row and on is not None:
            yield on
    receiver = rig.piece(row).receives
    if receiver is not None and receiver.at is not None:
        yield receiver.at


def _connected(rig: Rig) -> Iterator[tuple[str, float | None]]:
    for item in (rig.plant.argon, rig.plant.relief, rig.plant.bubbler):
        if item is not None:
            yield item["on"], item.get("at")
    for gauge in rig.plant.gauges:
        yield gauge.on, gauge.at
