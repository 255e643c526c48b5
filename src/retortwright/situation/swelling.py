# SPDX-License-Identifier: MIT
"""Joints between walls that swell unequally: how far they part, in the state in which it is most.

Counted are epoxy between any two walls, and welds and brazes between two metals. A seal that is bought as
one piece, graded, of matched glass or with a thin lip, carries its mismatch inside it: its maker's limit
of temperature is the limit.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.mismatch import free_mismatch, glue_stress
from retortwright.rig.pairing import is_metal
from retortwright.rig.tree import Joint
from retortwright.situation.exposure import original
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.situation import Situation
from retortwright.situation.wall_metal import WallMetal

__all__ = ["Swelling", "swellings"]

_GLUE = "epoxy"
_BRAZES = ("nickel braze", "copper braze", "silver braze", "brazing brass")


@dataclass(frozen=True, slots=True)
class Swelling:
    """One joint between unlike walls, where it is strained most."""

    joint: Joint
    state: str
    glued: bool
    walls: tuple[str, str]
    figure: Figure  # shear in the glue [Pa], or difference in strain of two metals


def swellings(situation: Situation) -> Iterator[Swelling]:
    """Every such joint of a rig."""
    for joint in {joint.key: joint for joint in situation.tree.joints if joint.onto >= 0}.values():
        walls = tuple(situation.tree.instances[each].row.of for each in (joint.instance, joint.onto))
        welded = ("joints", joint.kind, "as-parent") in situation.tables.rows or joint.kind in _BRAZES
        unlike = walls[0] != walls[1]
        glued = joint.kind == _GLUE
        if unlike and (glued or (welded and all(is_metal(wall) for wall in walls))):
            yield _swelling(situation, joint, (walls[0], walls[1]), glued)


def _swelling(situation: Situation, joint: Joint, walls: tuple[str, str], glued: bool) -> Swelling:
    known = original(situation)
    state = max((state.name for state in situation.rig.states), key=lambda name: _apart(known, joint, name))
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    picture = situation.heat(state)
    room = ledger.default("room.temperature", 200.0, 400.0)
    hot, cold = picture.joints[joint.key], picture.colder[joint.key]
    at = np.where(np.abs(hot - room) >= np.abs(cold - room), hot, cold)
    metals = [WallMetal(ledger, wall) for wall in walls]
    one, other = (metal.expansion(at) for metal in metals)
    strain: Array = np.asarray(free_mismatch(one, other, at, room))
    said = {"at": at, "strain": strain}
    if glued:
        factor = np.asarray(ledger.default("tolerance.wall", 0.3, 3.0))
        thick = [situation.tree.instances[each].row.tube.wall for each in (joint.instance, joint.onto)]
        stiff = [metal.modulus(at) * wall * factor for metal, wall in zip(metals, thick, strict=True)]
        glue = [ledger.default(f"glue.{name}") for name in ("stiffness", "lap", "thickness")]
        strain = np.asarray(glue_stress(strain, *glue, *stiff))
    return Swelling(joint, state, glued, walls, figure_of(ledger, strain, said, picture))


def _apart(situation: Situation, joint: Joint, state: str) -> float:
    """How far a joint is from the room, in the middle of the samples [K]."""
    picture = situation.heat(state)
    ends = np.concatenate([picture.joints[joint.key], picture.colder[joint.key]])
    good = ends[np.isfinite(ends)]
    return round(float(np.max(np.abs(good - 293.15)))) if len(good) else 0.0
