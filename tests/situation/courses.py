# SPDX-License-Identifier: MIT
"""Courses of a charge made by hand: pressures over it as functions of the share taken, nothing computed."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.reference.species import name_parts
from retortwright.situation.charge_course import SHARES, ChargeCourse, CourseFigure
from retortwright.situation.situation import Situation

__all__ = ["made_course"]


def made_course(
    situation: Situation, temperature: Array, pressures: Mapping[str, Callable[[Array], Array]]
) -> CourseFigure:
    """What leaves in proportion to some pressures [Pa], of one mole of the wanted metal, step by step."""
    metal, size = situation.rig.aim.metal, situation.draws.size
    taken = SHARES[:, None]
    over = {gas: np.broadcast_to(make(taken), (len(taken), size)).copy() for gas, make in pressures.items()}
    counts = {gas: elements_of(name_parts(gas)[0]) for gas in over}
    steps = np.diff(SHARES, prepend=0.0)[:, None]
    within = {gas: make(taken - steps / 2) + np.zeros((1, size)) for gas, make in pressures.items()}
    bearing = sum(counts[gas].get(metal, 0) * each for gas, each in within.items())
    gone_as = {gas: np.cumsum(steps * each / bearing, axis=0) for gas, each in within.items()}
    elements = {element for each in counts.values() for element in each}
    gone = {
        element: sum(counts[gas].get(element, 0) * each for gas, each in gone_as.items()) + 0.0 * bearing
        for element in elements
    }
    known = np.ones((len(taken), size), dtype=bool)
    kelvin = np.broadcast_to(np.asarray(temperature, dtype=float), (size,))
    course = ChargeCourse(
        kelvin, taken, over, {}, gone, gone_as, {}, known, ~known, metal, lambda by: np.zeros(known.shape)
    )
    return CourseFigure(course, (), frozenset(), ())
