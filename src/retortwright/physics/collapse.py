# SPDX-License-Identifier: MIT
"""Elastic collapse of a round tube under pressure from outside."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, positive, quietly

__all__ = ["lobed_collapse", "long_tube_collapse", "short_tube_collapse", "sphere_collapse", "tube_collapse"]

_LEAST_LENGTH = 0.45  # of the square root of wall over diameter, where the short form has no meaning
_MOST_LOBES = 60
_SLENDER, _SHORT = 1e-3, 0.1  # wall and length over radius from which on so many lobes are enough


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


@quietly
def lobed_collapse(
    modulus: Real, poisson_ratio: Real, wall: Real, radius: Real, length: Real, lobes: Real
) -> Real:
    """Outside pressure, on sides and ends, at which a round tube buckles into some number of lobes.

    Parameters
    ----------
    modulus : of elasticity at the temperature of the wall [Pa]
    poisson_ratio : of the wall [1]
    wall : thickness [m]
    radius : to the middle of the wall [m]
    length : between two stiff ends [m]
    lobes : around the tube [1]

    Returns
    -------
    pressure : over that inside [Pa]

    Range
    -----
    All above zero, at least two lobes, Poisson's ratio below 0.5, wall thinner than a quarter of the
    radius; nan otherwise. Perfectly round and elastic, ends held round but free to turn.

    Source
    ------
    von Mises [windenburg-trilling-1934], his form for pressure on sides and ends.

    Example
    -------
    >>> round(float(lobed_collapse(206.84e9, 0.3, 0.002, 0.5, 1.0, 8.0)) / 1e5, 2)
    0.99
    """
    inside = positive(modulus, poisson_ratio, wall, radius, length) & np.greater_equal(lobes, 2.0)
    inside = inside & np.less(poisson_ratio, 0.5) & np.less(wall, np.divide(radius, 4.0))
    waves = np.square(np.divide(np.pi * radius, length))
    around = np.square(lobes) - 1 + waves / 2
    stretched = np.divide(1.0, np.square(1 + np.divide(np.square(lobes), waves)))
    bent = np.square(np.divide(wall, radius)) / (12 * (1 - np.square(poisson_ratio)))
    bent = bent * np.square(np.square(lobes) - 1 + waves)
    return kept(inside, modulus * np.divide(wall, radius) / around * (stretched + bent))


def tube_collapse(modulus: Real, poisson_ratio: Real, wall: Real, radius: Real, length: Real) -> Real:
    """Outside pressure at which a round tube of any length buckles, whatever the number of lobes.

    Parameters
    ----------
    modulus : of elasticity at the temperature of the wall [Pa]
    poisson_ratio : of the wall [1]
    wall : thickness [m]
    radius : to the middle of the wall [m]
    length : between two stiff ends [m]

    Returns
    -------
    pressure : over that inside [Pa]

    Range
    -----
    All above zero, Poisson's ratio below 0.5, wall from a thousandth to a quarter of the radius, length
    above a tenth of the radius; nan otherwise. The least of two to sixty lobes: two for a long tube,
    where it comes down to that of a tube without ends. Perfectly round and elastic.

    Source
    ------
    von Mises [windenburg-trilling-1934], his form for pressure on sides and ends, the least of it.

    Example
    -------
    >>> round(float(tube_collapse(200e9, 0.3, 1.5e-3, 29.4e-3, 0.4)) / 1e5, 1)
    80.8
    """
    least = lobed_collapse(modulus, poisson_ratio, wall, radius, length, 2.0)
    for lobes in range(3, _MOST_LOBES + 1):
        least = np.minimum(least, lobed_collapse(modulus, poisson_ratio, wall, radius, length, float(lobes)))
    inside = np.greater(np.divide(wall, radius), _SLENDER) & np.greater(np.divide(length, radius), _SHORT)
    return kept(inside, least)


@quietly
def sphere_collapse(modulus: Real, poisson_ratio: Real, wall: Real, radius: Real) -> Real:
    """Outside pressure at which a perfect sphere, or a cap of that radius, buckles.

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
    otherwise. Real spheres and caps go at a fifth to a quarter of it.

    Source
    ------
    Zoelly, 2 E (t / r)^2 / sqrt(3 (1 - nu^2)) [timoshenko-gere].

    Example
    -------
    >>> round(float(sphere_collapse(63e9, 0.2, 1.5e-3, 50e-3)) / 1e5)
    668
    """
    inside = positive(modulus, poisson_ratio, wall, radius)
    inside = inside & np.less(poisson_ratio, 0.5) & np.less(wall, np.divide(radius, 4.0))
    shape = 2 / np.sqrt(3 * (1 - np.square(poisson_ratio)))
    return kept(inside, shape * modulus * np.square(np.divide(wall, radius)))
