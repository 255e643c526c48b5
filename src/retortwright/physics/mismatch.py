# SPDX-License-Identifier: MIT
"""Two walls that swell unequally and are joined: how far they part, and what that does to the joint."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly

__all__ = ["free_mismatch", "glue_stress", "joined_stress"]


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
def glue_stress(
    mismatch: Real, shear_modulus: Real, lap: Real, thickness: Real, stiffness: Real, other_stiffness: Real
) -> Real:
    """Shear in a layer of glue at the two ends of its lap, between walls that swell unequally.

    Parameters
    ----------
    mismatch : difference in strain that the walls would have apart [1]
    shear_modulus : of the glue [Pa]
    lap : length that is glued [m]
    thickness : of the glue [m]
    stiffness : modulus times thickness of one wall [Pa m]
    other_stiffness : modulus times thickness of the other wall [Pa m]

    Returns
    -------
    stress : of shear [Pa]

    Range
    -----
    Mismatch not below zero, the rest above zero; nan otherwise. Elastic; no bending, no peel.

    Source
    ------
    Chen and Nelson [chen-nelson-1979], G d tanh(b l) / (b h) with b^2 = G / h (1 / E1 t1 + 1 / E2 t2), l half the lap.

    Example
    -------
    >>> round(float(glue_stress(14e-6 * 80, 1e9, 12e-3, 0.2e-3, 63e6, 195e6)) / 1e6, 1)
    16.6
    """
    inside = not_negative(mismatch) & positive(shear_modulus, lap, thickness, stiffness, other_stiffness)
    spread = np.sqrt(
        np.divide(shear_modulus, thickness) * (np.divide(1.0, stiffness) + np.divide(1.0, other_stiffness))
    )
    reached = np.divide(np.tanh(spread * lap / 2), spread * thickness)
    return kept(inside, mismatch * shear_modulus * reached)


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
