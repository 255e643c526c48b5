# SPDX-License-Identifier: MIT
"""A wall with an opening in it: how much wall the pressure from outside asks for, and what is left to spare."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly
from retortwright.physics.collapse import long_tube_collapse
from retortwright.physics.ovality import out_of_round_collapse

__all__ = ["arm_reach", "needed_wall", "spare_area", "wall_reach"]

_HALVINGS = 24
_THICKEST = 0.11  # of the outside diameter, up to which the wall counts as thin


@quietly
def needed_wall(
    pressure: Real, modulus: Real, poisson_ratio: Real, yield_stress: Real, diameter: Real, deviation: Real
) -> Real:
    """The least wall with which a long tube out of round does not yet yield under pressure from outside.

    Parameters
    ----------
    pressure : outside over inside, with all that is kept in reserve [Pa]
    modulus : of elasticity at the temperature of the wall [Pa]
    poisson_ratio : of the wall [1]
    yield_stress : at that temperature [Pa]
    diameter : outside [m]
    deviation : of the wall from the circle, at most; a quarter of the largest less the least diameter [m]

    Returns
    -------
    wall : thickness [m]

    Range
    -----
    All above zero, deviation not below zero, Poisson's ratio below 0.5; nan otherwise, and where more wall
    than 0.11 of the diameter is wanted. Ends that hold a short tube round are not in it.

    Source
    ------
    Bresse's long tube [saunders-windenburg-1931] in the ring with initial curvature of Timoshenko and Gere
    [timoshenko-gere], turned round by halving.

    Example
    -------
    >>> round(float(needed_wall(405300.0, 150e9, 0.29, 95e6, 25.4e-3, 6.35e-5)) * 1e3, 2)
    0.3
    """
    inside = positive(pressure, modulus, poisson_ratio, yield_stress, diameter) & not_negative(deviation)
    low = 0 * np.divide(pressure, modulus)
    high = low + _THICKEST
    args = (modulus, poisson_ratio, yield_stress, diameter, deviation)
    inside = inside & np.greater_equal(_folding(high, *args), pressure)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        stands = np.greater_equal(_folding(middle, *args), pressure)
        low, high = np.where(stands, low, middle), np.where(stands, middle, high)
    return kept(inside, high * diameter)


def _folding(
    share: Real, modulus: Real, poisson_ratio: Real, yield_stress: Real, diameter: Real, deviation: Real
) -> Real:
    """Pressure under which a wall of some share of the diameter first yields [Pa]."""
    wall = share * diameter
    radius = (diameter - wall) / 2
    elastic = long_tube_collapse(modulus, poisson_ratio, wall, radius)
    return out_of_round_collapse(elastic, yield_stress, wall, radius, deviation)


@quietly
def wall_reach(diameter: Real, wall: Real, opening: Real, apart: Real) -> Real:
    """How far from the edge of an opening the wall round it counts.

    Parameters
    ----------
    diameter : of the wall, outside [m]
    wall : its thickness [m]
    opening : its width [m]
    apart : from the edge of the next opening; as far as you please where there is none [m]

    Returns
    -------
    reach : along the wall to one side [m]

    Range
    -----
    All above zero; nan otherwise.

    Source
    ------
    The least of half the opening [asme-viii-1], UG-40, of sqrt(D t), over which a disturbance of a thin tube dies
    away [timoshenko-plates], and of half the way to the next opening.

    Example
    -------
    >>> round(float(wall_reach(25.4e-3, 1.65e-3, 10e-3, 1.0)) * 1e3, 2)
    5.0
    """
    inside = positive(diameter, wall, opening, apart)
    near = np.minimum(np.divide(opening, 2), np.divide(apart, 2))
    return kept(inside, np.minimum(near, np.sqrt(diameter * wall)))


@quietly
def arm_reach(diameter: Real, arm_wall: Real, wall: Real) -> Real:
    """How far along a side arm its own wall counts for the wall that it opens.

    Parameters
    ----------
    diameter : of the arm, outside [m]
    arm_wall : its thickness [m]
    wall : thickness of the wall that it opens [m]

    Returns
    -------
    reach : along the arm [m]

    Range
    -----
    All above zero; nan otherwise.

    Source
    ------
    The least of 2.5 times either wall [asme-viii-1], UG-40, and of sqrt(D t) [timoshenko-plates].

    Example
    -------
    >>> round(float(arm_reach(12e-3, 1e-3, 1.65e-3)) * 1e3, 2)
    2.5
    """
    inside = positive(diameter, arm_wall, wall)
    near = 2.5 * np.minimum(arm_wall, wall)
    return kept(inside, np.minimum(near, np.sqrt(diameter * arm_wall)))


@quietly
def spare_area(wall: Real, needed: Real, reach: Real) -> Real:
    """Metal on both sides of an opening that a wall does not need for itself.

    Parameters
    ----------
    wall : thickness [m]
    needed : of it, against the pressure [m]
    reach : from the edge of the opening, to one side [m]

    Returns
    -------
    area : of the cut through both sides [m^2]

    Range
    -----
    Wall and reach above zero, the needed wall not below zero; nan otherwise. Nothing is to spare where more is
    needed than there is.

    Source
    ------
    Replacing the area that an opening takes [asme-viii-1], UG-37.

    Example
    -------
    >>> round(float(spare_area(1.65e-3, 0.5e-3, 5e-3)) * 1e6, 1)
    11.5
    """
    inside = positive(wall, reach) & not_negative(needed)
    return kept(inside, 2 * reach * np.maximum(wall - needed, 0 * wall))
