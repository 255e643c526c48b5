# SPDX-License-Identifier: MIT
"""Elastic collapse of a round tube under pressure from outside."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, positive, quietly

__all__ = ["long_tube_collapse", "short_tube_collapse"]

_LEAST_LENGTH = 0.45  # of the square root of wall over diameter, where the short form has no meaning


@quietly
def long_tube_collapse(modulus: Real, poisson_ratio: Real, wall: Real, radius: Real) -> Real:
    """Outside pressure at which a long round tube flattens.

    Parameters
    ----------
    modulus : of elasticity at the temperature of the wall [Pa]
    poisson_ratio : of the wall [1]
    wall : thickness [m]
    radius : to the middle of the wall [m]

    Returns
    -------
    pressure : over that inside [Pa]

    Range
    -----
    All above zero, Poisson's ratio below 0.5, wall thinner than a quarter of the radius; nan
    otherwise. Perfectly round and elastic: a real tube out of round, and a hot one that creeps,
    goes far below it. Ends that hold a short tube round are not in it.

    Source
    ------
    Bresse, E / (4 (1 - nu^2)) (t / r)^3 [saunders-windenburg-1931].

    Example
    -------
    >>> round(float(long_tube_collapse(18.9e9, 0.3, 0.25e-3, 37.875e-3)))
    1493
    """
    inside = positive(modulus, poisson_ratio, wall, radius)
    inside = inside & np.less(poisson_ratio, 0.5) & np.less(wall, np.divide(radius, 4.0))
    return kept(inside, np.divide(modulus, 4 * (1 - poisson_ratio**2)) * np.power(np.divide(wall, radius), 3))


@quietly
def short_tube_collapse(modulus: Real, poisson_ratio: Real, wall: Real, diameter: Real, length: Real) -> Real:
    """Outside pressure at which a round tube between two stiff ends buckles.

    Parameters
    ----------
    modulus : of elasticity at the temperature of the wall [Pa]
    poisson_ratio : of the wall [1]
    wall : thickness [m]
    diameter : to the middle of the wall [m]
    length : between the ends [m]

    Returns
    -------
    pressure : over that inside [Pa]

    Range
    -----
    All above zero, Poisson's ratio below 0.5, length over diameter above 0.45 sqrt(t / D); nan
    otherwise. For a long tube it falls below the pressure of a tube without ends: the larger of the
    two counts. Perfectly round and elastic, ends held round.

    Source
    ------
    2.42 E (t / D)^2.5 / ((1 - nu^2)^0.75 (L / D - 0.45 sqrt(t / D))) [windenburg-trilling-1934].

    Example
    -------
    >>> round(float(short_tube_collapse(206.84e9, 0.3, 0.002, 1.0, 1.0)) / 6894.757, 1)
    14.2
    """
    slender = np.divide(wall, diameter)
    beyond = np.divide(length, diameter) - _LEAST_LENGTH * np.sqrt(slender)
    pressure = np.divide(
        2.42 * modulus * np.power(slender, 2.5), np.power(1 - poisson_ratio**2, 0.75) * beyond
    )
    inside = positive(modulus, poisson_ratio, wall, diameter, length) & np.less(poisson_ratio, 0.5)
    return kept(inside & np.greater(beyond, 0.0), pressure)
