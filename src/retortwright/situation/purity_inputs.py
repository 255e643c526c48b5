# SPDX-License-Identifier: MIT
"""Which of the inputs of a course matter to what comes over: a doubt about next to nothing is no doubt.

Of how two salts mix in the melt two things are of no account: whether an almost ideal pair is quite
ideal, and how two salts mix of which there are but traces beside the others.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from retortwright.belief.beliefs import Belief
from retortwright.ground.formula import elements_of
from retortwright.ground.middles import known_middle
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.situation.charge_course import ChargeCourse, CourseFigure

__all__ = ["major_only", "minor_metals", "of_account"]

_MELT = "melt."
_NEAR = 0.2  # of R T: an excess that makes a fifth at most, the reserve that every limit keeps
_MINOR = 0.02  # of the moles of the metal wanted


def of_account(found: CourseFigure, metal: str, reductant: str | None) -> tuple[Belief, ...]:
    """The inputs of a course but those of melts that are near ideal, or of two salts in traces."""
    minor = minor_metals(found.course, metal, reductant)
    least = _NEAR * GAS_CONSTANT * float(np.nanmin(found.course.temperature))
    return tuple(
        each
        for each in found.inputs
        if not (each.name.startswith(_MELT) and (_near(each, least) or len(_metals(each) & minor) > 1))
    )


def minor_metals(course: ChargeCourse, metal: str, reductant: str | None) -> frozenset[str]:
    """The elements of the charge of which there are but traces beside the metal that is wanted."""
    there = {name: known_middle(each[0] + course.gone[name][0]) for name, each in course.left.items()}
    least = _MINOR * there.get(metal, 0.0)
    return frozenset(
        name for name, moles in there.items() if moles < least and name not in (metal, reductant)
    )


def major_only(inputs: Iterable[Belief], minor: frozenset[str]) -> dict[str, Belief]:
    """Inputs by name, but those of melts with a salt in traces: for what the bulk of the charge gives."""
    return {each.name: each for each in inputs if not (each.name.startswith(_MELT) and _metals(each) & minor)}


def _metals(belief: Belief) -> frozenset[str]:
    """The elements of the salts that a belief about a melt is of."""
    parts = belief.name.removeprefix(_MELT).split("-")
    return frozenset(element for part in parts if part[:1].isupper() for element in elements_of(part))


def _near(belief: Belief, least: float) -> bool:
    return max(abs(belief.band.low), abs(belief.band.high)) < least
