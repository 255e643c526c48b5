# SPDX-License-Identifier: MIT
"""Free-molecular transmission of a mitred bend of a round tube, as an extra length of straight tube.

A bend takes the long straight flights away, which makes it longer than its axis, and cuts the inner
corner, which makes it shorter. The extra lengths were found by following molecules one by one
(tools/follow_molecules.py, 3 to 9 million for each number). No published value was at hand to
compare them with; at an angle of zero they vanish and the bend is a tube.
"""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import each
from retortwright.physics.clausing import tube_transmission

__all__ = ["elbow_extra_length", "elbow_transmission"]

_LEGS = np.array([1.0, 1.5, 2.0, 3.0, 5.0, 10.0, 20.0])  # radii, both legs alike
_ANGLES = np.radians([0.0, 30.0, 60.0, 90.0])
# In radii; standard error 0.003 at the short legs, 0.02 at 10 radii, 0.08 at 20.
_EXTRA = np.array([
    [0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0],
    [0.028, 0.054, 0.078, 0.148, 0.296, 0.606, 0.804],
    [0.031, 0.128, 0.234, 0.431, 0.706, 1.130, 1.586],
    [-0.257, -0.075, 0.112, 0.361, 0.679, 1.124, 1.804],
])  # fmt: skip
_MEAN_POWER = -0.6  # two unlike legs count as two equal ones of this power mean
_GROWTH = 0.8  # of the extra length beyond the table, of its last value in a factor e of length
_LONGEST = 1000.0


def elbow_extra_length(first_leg: Real, second_leg: Real, angle: Real) -> Real:
    """Length of straight tube that a mitred bend adds to its two legs, in radii.

    Parameters
    ----------
    first_leg : along the axis to the mitre, over the radius [1]
    second_leg : along the axis from the mitre, over the radius [1]
    angle : by which the axis turns [rad]

    Returns
    -------
    extra_length : over the radius, below zero where the cut corner outweighs [1]

    Range
    -----
    Legs 1 to 1000 radii, angle zero to a quarter turn; nan outside. Beyond 20 radii the logarithmic
    growth is an estimate, half to twice; it moves the transmission by less than 1 %.

    Source
    ------
    Molecules followed one by one [retortwright-elbows]; the theme is that of [davis-1960].

    Example
    -------
    >>> round(float(elbow_extra_length(5.0, 5.0, 1.5707963)), 2)
    0.68
    """
    return each(_extra, first_leg, second_leg, angle)


def elbow_transmission(first_leg: Real, second_leg: Real, angle: Real) -> Real:
    """Free-molecular transmission of a round tube with one mitred bend.

    Parameters
    ----------
    first_leg : along the axis to the mitre, over the radius [1]
    second_leg : along the axis from the mitre, over the radius [1]
    angle : by which the axis turns [rad]

    Returns
    -------
    transmission : [1]

    Range
    -----
    Legs 1 to 1000 radii, angle zero to a quarter turn; nan outside. Within 0.5 % of molecules
    followed one by one, up to legs of 20 radii; within 1 % beyond.

    Source
    ------
    Straight tube of [clausing-1932] with the extra length of [retortwright-elbows].

    Example
    -------
    >>> round(float(elbow_transmission(5.0, 5.0, 1.5707963)), 3)
    0.182
    """
    straight = np.divide(1.0, tube_transmission(first_leg + second_leg))
    bent = straight + 3 / 8 * elbow_extra_length(first_leg, second_leg, angle)
    return 1.0 / bent


def _extra(first: float, second: float, angle: float) -> float:
    """Extra length of one bend: logarithmic in the legs, cubic through four angles."""
    sound = min(first, second) >= 1 and max(first, second) <= _LONGEST
    if not (sound and 0 <= angle <= np.pi / 2 + 1e-9):
        return float("nan")
    mean = ((first**_MEAN_POWER + second**_MEAN_POWER) / 2) ** (1 / _MEAN_POWER)
    beyond = 1 + _GROWTH * max(0.0, float(np.log(mean / _LEGS[-1])))
    values = [float(np.interp(np.log(mean), np.log(_LEGS), row)) * beyond for row in _EXTRA]
    total = 0.0
    for place, (here, value) in enumerate(zip(_ANGLES, values, strict=True)):
        others = np.delete(_ANGLES, place)
        total += value * float(np.prod((angle - others) / (here - others)))
    return total
