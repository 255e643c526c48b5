# SPDX-License-Identifier: MIT
"""A tube that is not quite round under pressure from outside: its stress, and where it first yields."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly

__all__ = ["out_of_round_collapse", "out_of_round_stress", "squash_pressure"]


@quietly
def out_of_round_stress(
    pressure: Real, elastic_collapse: Real, wall: Real, radius: Real, deviation: Real
) -> Real:
    """Largest stress around a tube out of round that outside pressure bends further.

    Parameters
    ----------
    pressure : outside over inside [Pa]
    elastic_collapse : pressure at which the perfect tube buckles [Pa]
    wall : thickness [m]
    radius : to the middle of the wall [m]
    deviation : of the wall from the circle, at most; a quarter of the largest less the least diameter [m]

    Returns
    -------
    stress : of compression, the bending added [Pa]

    Range
    -----
    Pressure not below zero and below that of collapse, deviation not below zero, the rest above zero; nan
    otherwise. Elastic.

    Source
    ------
    Timoshenko and Gere [timoshenko-gere], rings with initial curvature: p r / t + 6 p r w / (t^2 (1 - p / pc)).

    Example
    -------
    >>> round(float(out_of_round_stress(101325.0, 80e5, 1.5e-3, 29.4e-3, 0.15e-3)) / 1e6, 2)
    3.19
    """
    inside = not_negative(pressure, deviation) & positive(elastic_collapse, wall, radius)
    inside = inside & np.less(pressure, elastic_collapse)
    grown = np.divide(deviation, wall) / (1 - np.divide(pressure, elastic_collapse))
    return kept(inside, pressure * np.divide(radius, wall) * (1 + 6 * grown))


@quietly
def out_of_round_collapse(
    elastic_collapse: Real, yield_stress: Real, wall: Real, radius: Real, deviation: Real
) -> Real:
    """Outside pressure at which a tube out of round first yields: soon after it folds.

    Parameters
    ----------
    elastic_collapse : pressure at which the perfect tube buckles [Pa]
    yield_stress : at the temperature of the wall [Pa]
    wall : thickness [m]
    radius : to the middle of the wall [m]
    deviation : of the wall from the circle, at most; a quarter of the largest less the least diameter [m]

    Returns
    -------
    pressure : over that inside; never above collapse or squash of the perfect tube [Pa]

    Range
    -----
    Deviation not below zero, the rest above zero; nan otherwise.

    Source
    ------
    Timoshenko and Gere [timoshenko-gere], the lesser root of p^2 - (s t / r + (1 + 6 w / t) pc) p + s t / r pc = 0.

    Example
    -------
    >>> round(float(out_of_round_collapse(80e5, 57e6, 1.5e-3, 29.4e-3, 0.15e-3)) / 1e5, 1)
    16.6
    """
    inside = positive(elastic_collapse, yield_stress, wall, radius) & not_negative(deviation)
    squash = yield_stress * np.divide(wall, radius)
    both = squash + (1 + 6 * np.divide(deviation, wall)) * elastic_collapse
    root = np.sqrt(np.maximum(np.square(both) - 4 * squash * elastic_collapse, 0 * np.square(both)))
    return kept(inside, np.divide(2 * squash * elastic_collapse, both + root))


@quietly
def squash_pressure(yield_stress: Real, wall: Real, radius: Real) -> Real:
    """Outside pressure at which the whole wall of a perfect round tube yields.

    Parameters
    ----------
    yield_stress : at the temperature of the wall [Pa]
    wall : thickness [m]
    radius : to the middle of the wall [m]

    Returns
    -------
    pressure : over that inside [Pa]

    Range
    -----
    All above zero, wall thinner than the radius; nan otherwise. Ends carry nothing.

    Source
    ------
    Equilibrium of half a ring, s t / r [timoshenko-gere].

    Example
    -------
    >>> round(float(squash_pressure(57e6, 1.5e-3, 29.4e-3)) / 1e5, 1)
    29.1
    """
    inside = positive(yield_stress, wall, radius) & np.less(wall, radius)
    return kept(inside, yield_stress * np.divide(wall, radius))
