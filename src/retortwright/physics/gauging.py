# SPDX-License-Identifier: MIT
"""What a vacuum gauge shows in a gas for which it was not made."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly

__all__ = ["gauge_reading", "true_pressure"]


@quietly
def gauge_reading(pressure: Real, factor: Real, lowest: Real, highest: Real) -> Real:
    """Pressure that a gauge adjusted for air shows in another gas.

    Parameters
    ----------
    pressure : true [Pa]
    factor : true pressure over reading in this gas [1]
    lowest : reading that the gauge can show [Pa]
    highest : reading to which the factor serves [Pa]

    Returns
    -------
    reading : [Pa]

    Range
    -----
    Factor above zero, pressure not below zero, reading between lowest and highest; nan otherwise:
    there the gauge is blind, or shows what no factor puts right.

    Source
    ------
    Definition of the factor of a gas [pirani-factors].

    Example
    -------
    >>> round(float(gauge_reading(6.8, 1.7, 0.1, 100.0)), 2)
    4.0
    """
    reading = np.divide(pressure, factor)
    seen = np.greater_equal(reading, lowest) & np.less_equal(reading, highest)
    return kept(positive(factor) & not_negative(pressure) & seen, reading)


@quietly
def true_pressure(reading: Real, factor: Real, lowest: Real, highest: Real) -> Real:
    """True pressure behind the reading of a gauge adjusted for air.

    Parameters
    ----------
    reading : of the gauge [Pa]
    factor : true pressure over reading in this gas [1]
    lowest : reading that the gauge can show [Pa]
    highest : reading to which the factor serves [Pa]

    Returns
    -------
    pressure : [Pa]

    Range
    -----
    Factor above zero, reading between lowest and highest; nan otherwise.

    Source
    ------
    Definition of the factor of a gas [pirani-factors].

    Example
    -------
    >>> round(float(true_pressure(4.0, 0.5, 0.1, 100.0)), 2)
    2.0
    """
    seen = np.greater_equal(reading, lowest) & np.less_equal(reading, highest)
    return kept(positive(factor) & seen, reading * factor)
