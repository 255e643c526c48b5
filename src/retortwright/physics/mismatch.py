# SPDX-License-Identifier: MIT
"""Two walls that swell unequally and are joined: how far they part, and what that does to the joint."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly

__all__ = ["free_mismatch", "glue_strain", "joined_stress"]


@quietly
def free_mismatch(one_expansion: Real, other_expansion: Real, temperature: Real, free: Real) -> Real:
    """Difference in strain of two walls between the temperature at which they fit and another.

    Parameters
    ----------
    one_expansion : mean, between the two temperatures [1/K]
    other_expansion : mean, between the two temperatures [1/K]
    temperature : now [K]
    free : temperature at which neither strains the other [K]

    Returns
    -------
    strain : the larger less the smaller [1]

    Range
    -----
    All above zero; nan otherwise.

    Source
    ------
    Definition of the coefficients.

    Example
    -------
    >>> round(100 * float(free_mismatch(17.3e-6, 3.3e-6, 593.15, 293.15)), 2)
    0.42
    """
    inside = positive(one_expansion, other_expansion, temperature, free)
    return kept(inside, np.abs((one_expansion - other_expansion) * (temperature - free)))


@quietly
def glue_strain(mismatch: Real, lap: Real, thickness: Real) -> Real:
    """Shear of a layer of glue at the two ends of its lap, if it is far softer than what it joins.

    Parameters
    ----------
    mismatch : difference in strain of the two walls [1]
    lap : length that is glued [m]
    thickness : of the glue [m]

    Returns
    -------
    strain : of shear [1]

    Range
    -----
    Mismatch not below zero, lap and thickness above zero; nan otherwise. An upper bound: stiff glue
    shears less at the ends of a long lap.

    Source
    ------
    Geometry: half the lap slips by half the difference in length.

    Example
    -------
    >>> round(float(glue_strain(14e-6 * 80, 12e-3, 0.2e-3)), 4)
    0.0336
    """
    inside = not_negative(mismatch) & positive(lap, thickness)
    return kept(inside, mismatch * np.divide(lap, 2 * thickness))


@quietly
def joined_stress(mismatch: Real, modulus: Real, other_modulus: Real, wall: Real, other_wall: Real) -> Real:
    """Stress in one of two walls that are joined all along, so that neither can slip on the other.

    Parameters
    ----------
    mismatch : difference in strain that they would have apart [1]
    modulus : of the wall that is asked for [Pa]
    other_modulus : of the other [Pa]
    wall : thickness of the wall that is asked for [m]
    other_wall : thickness of the other [m]

    Returns
    -------
    stress : along the joint, pulling in one and pressing in the other [Pa]

    Range
    -----
    Mismatch not below zero, the rest above zero; nan otherwise. Elastic; no bending; near an edge more.

    Source
    ------
    Equal forces in two bars of one length [timoshenko-gere].

    Example
    -------
    >>> round(float(joined_stress(1e-4, 63e9, 195e9, 1e-3, 1e-3)) / 1e6, 2)
    4.76
    """
    inside = not_negative(mismatch) & positive(modulus, other_modulus, wall, other_wall)
    share = 1 + np.divide(modulus * wall, other_modulus * other_wall)
    return kept(inside, np.divide(modulus * mismatch, share))
