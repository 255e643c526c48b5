# SPDX-License-Identifier: MIT
"""Life of a hot wall under stress by the Larson-Miller parameter, which trades time for temperature."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, positive, quietly

__all__ = ["larson_miller", "rupture_time"]

_TEN = float(np.log(10.0))
_LONGEST = 30.0  # powers of ten of an hour


@quietly
def larson_miller(temperature: Real, hours: Real, constant: Real) -> Real:
    """Larson-Miller parameter of some time at a temperature.

    Parameters
    ----------
    temperature : of the wall [K]
    hours : time over one hour [1]
    constant : of the material, often near 20 [1]

    Returns
    -------
    parameter : [K]

    Range
    -----
    All above zero; nan otherwise.

    Source
    ------
    T (C + log10 t) [larson-miller-1952].

    Example
    -------
    >>> round(float(larson_miller(923.15, 1000.0, 20.0)))
    21232
    """
    inside = positive(temperature, hours, constant)
    return kept(inside, temperature * (constant + np.log10(hours)))


@quietly
def rupture_time(parameter: Real, temperature: Real, constant: Real) -> Real:
    """Time after which a wall breaks at a temperature, from the parameter of its stress.

    Parameters
    ----------
    parameter : Larson-Miller parameter of the stress [K]
    temperature : of the wall [K]
    constant : of the material, often near 20 [1]

    Returns
    -------
    hours : time over one hour [1]

    Range
    -----
    All above zero, the time shorter than 1e30 hours; nan otherwise. The parameter holds only as far as
    the tests that it was drawn from.

    Source
    ------
    T (C + log10 t) [larson-miller-1952], turned round.

    Example
    -------
    >>> round(float(rupture_time(21232.45, 923.15, 20.0)))
    1000
    """
    power = np.divide(parameter, temperature) - constant
    inside = positive(parameter, temperature, constant) & np.less(power, _LONGEST)
    return kept(inside, np.exp(_TEN * power))
