# SPDX-License-Identifier: MIT
"""Flat and dished ends under an even pressure, and the ring stress that pressure inside makes in a tube."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly

__all__ = [
    "bursting_stress",
    "clamped_end_deflection",
    "clamped_end_stress",
    "dished_end_stress",
    "supported_end_deflection",
    "supported_end_stress",
]


@quietly
def supported_end_stress(pressure: Real, poisson_ratio: Real, wall: Real, radius: Real) -> Real:
    """Largest stress of a flat round end that its rim only carries: in its middle.

    Parameters
    ----------
    pressure : over that on its other side [Pa]
    poisson_ratio : of the end [1]
    wall : thickness [m]
    radius : of the rim [m]

    Returns
    -------
    stress : of bending [Pa]

    Range
    -----
    Pressure not below zero, the rest above zero, wall thinner than the radius, Poisson's ratio below 0.5;
    nan otherwise. Sagging by less than half the wall.

    Source
    ------
    Timoshenko and Woinowsky-Krieger [timoshenko-plates], 3 (3 + nu) / 8 p (a / t)^2.

    Example
    -------
    >>> round(float(supported_end_stress(101325.0, 0.3, 3e-3, 50e-3)) / 1e6, 1)
    34.8
    """
    slope = np.square(np.divide(radius, wall))
    return kept(
        _is_plate(pressure, poisson_ratio, wall, radius), 0.375 * (3 + poisson_ratio) * pressure * slope
    )


@quietly
def clamped_end_stress(pressure: Real, poisson_ratio: Real, wall: Real, radius: Real) -> Real:
    """Largest stress of a flat round end that its rim holds from turning: at the rim.

    Parameters
    ----------
    pressure : over that on its other side [Pa]
    poisson_ratio : of the end [1]
    wall : thickness [m]
    radius : of the rim [m]

    Returns
    -------
    stress : of bending, across the rim [Pa]

    Range
    -----
    Pressure not below zero, the rest above zero, wall thinner than the radius, Poisson's ratio below 0.5;
    nan otherwise. Sagging by less than half the wall.

    Source
    ------
    Timoshenko and Woinowsky-Krieger [timoshenko-plates], 3 / 4 p (a / t)^2.

    Example
    -------
    >>> round(float(clamped_end_stress(101325.0, 0.3, 3e-3, 50e-3)) / 1e6, 1)
    21.1
    """
    slope = np.square(np.divide(radius, wall))
    return kept(_is_plate(pressure, poisson_ratio, wall, radius), 0.75 * pressure * slope)


@quietly
def supported_end_deflection(
    pressure: Real, modulus: Real, poisson_ratio: Real, wall: Real, radius: Real
) -> Real:
    """How far the middle of a flat round end sags that its rim only carries.

    Parameters
    ----------
    pressure : over that on its other side [Pa]
    modulus : of elasticity [Pa]
    poisson_ratio : of the end [1]
    wall : thickness [m]
    radius : of the rim [m]

    Returns
    -------
    deflection : [m]

    Range
    -----
    Pressure not below zero, the rest above zero, wall thinner than the radius, Poisson's ratio below 0.5;
    nan otherwise. Sagging by less than half the wall.

    Source
    ------
    Timoshenko and Woinowsky-Krieger [timoshenko-plates], (5 + nu) / (1 + nu) times that of a clamped end.

    Example
    -------
    >>> round(float(supported_end_deflection(101325.0, 200e9, 0.3, 3e-3, 50e-3)) * 1e3, 4)
    0.0816
    """
    turned = (5 + poisson_ratio) / (1 + poisson_ratio)
    return turned * clamped_end_deflection(pressure, modulus, poisson_ratio, wall, radius)


@quietly
def clamped_end_deflection(
    pressure: Real, modulus: Real, poisson_ratio: Real, wall: Real, radius: Real
) -> Real:
    """How far the middle of a flat round end sags that its rim holds from turning.

    Parameters
    ----------
    pressure : over that on its other side [Pa]
    modulus : of elasticity [Pa]
    poisson_ratio : of the end [1]
    wall : thickness [m]
    radius : of the rim [m]

    Returns
    -------
    deflection : [m]

    Range
    -----
    Pressure not below zero, the rest above zero, wall thinner than the radius, Poisson's ratio below 0.5;
    nan otherwise. Sagging by less than half the wall.

    Source
    ------
    Timoshenko and Woinowsky-Krieger [timoshenko-plates], 3 (1 - nu^2) / 16 p a^4 / (E t^3).

    Example
    -------
    >>> round(float(clamped_end_deflection(101325.0, 200e9, 0.3, 3e-3, 50e-3)) * 1e3, 4)
    0.02
    """
    inside = _is_plate(pressure, poisson_ratio, wall, radius) & positive(modulus)
    strain = np.divide(pressure, modulus) * np.power(np.divide(radius, wall), 3)
    return kept(inside, 0.1875 * (1 - np.square(poisson_ratio)) * strain * radius)


@quietly
def dished_end_stress(pressure: Real, wall: Real, crown_radius: Real, knuckle_radius: Real) -> Real:
    """Largest stress of a dished end: in the knuckle between its crown and the tube.

    Parameters
    ----------
    pressure : inside over outside, or outside over inside [Pa]
    wall : thickness [m]
    crown_radius : of the dish [m]
    knuckle_radius : of the turn at its rim; that of the crown for half a sphere [m]

    Returns
    -------
    stress : [Pa]

    Range
    -----
    Pressure not below zero, the rest above zero, knuckle no wider than the crown, wall thinner than the
    crown's radius; nan otherwise. The stress of a sphere times (3 + sqrt(R / r)) / 4.

    Source
    ------
    The factor that pressure-vessel rules give a torispherical head [asme-viii-1], appendix 1-4.

    Example
    -------
    >>> round(float(dished_end_stress(101325.0, 3e-3, 33.7e-3, 3.37e-3)) / 1e6, 2)
    0.88
    """
    inside = not_negative(pressure) & positive(wall, crown_radius, knuckle_radius)
    inside = inside & np.less_equal(knuckle_radius, crown_radius) & np.less(wall, crown_radius)
    factor = (3 + np.sqrt(np.divide(crown_radius, knuckle_radius))) / 4
    return kept(inside, factor * pressure * np.divide(crown_radius, wall) / 2)


@quietly
def bursting_stress(pressure: Real, bore_radius: Real, outer_radius: Real) -> Real:
    """Stress around the bore of a tube, thin or thick, with pressure inside.

    Parameters
    ----------
    pressure : inside over outside [Pa]
    bore_radius : [m]
    outer_radius : [m]

    Returns
    -------
    stress : of tension around the tube [Pa]

    Range
    -----
    Pressure not below zero, radii above zero and the outer the larger; nan otherwise. Elastic.

    Source
    ------
    Lame, p (R^2 + r^2) / (R^2 - r^2) [timoshenko-gere].

    Example
    -------
    >>> round(float(bursting_stress(1e5, 11.05e-3, 12.7e-3)) / 1e6, 3)
    0.723
    """
    inside = not_negative(pressure) & positive(bore_radius) & np.greater(outer_radius, bore_radius)
    outer, inner = np.square(outer_radius), np.square(bore_radius)
    return kept(inside, pressure * np.divide(outer + inner, outer - inner))


def _is_plate(pressure: Real, poisson_ratio: Real, wall: Real, radius: Real) -> np.ndarray:
    inside = not_negative(pressure) & positive(poisson_ratio, wall, radius)
    return inside & np.less(poisson_ratio, 0.5) & np.less(wall, radius)
