# SPDX-License-Identifier: MIT
"""How much air is left after purging with a clean gas, by flow or by emptying and filling."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly

__all__ = ["cycles_needed", "left_by_cycles", "left_by_flow", "volumes_needed"]


@quietly
def left_by_flow(flow: Real, time: Real, volume: Real) -> Real:
    """Share of the old gas that a flow of new gas leaves in a well stirred volume.

    Parameters
    ----------
    flow : of new gas at the pressure and temperature of the volume [m^3/s]
    time : that it runs [s]
    volume : to be purged [m^3]

    Returns
    -------
    share : [1]

    Range
    -----
    Volume above zero, the rest not below zero; nan otherwise. Dead arms are never stirred.

    Source
    ------
    Exact: a stirred volume, exp(-Q t / V).

    Example
    -------
    >>> round(float(left_by_flow(3.3333e-6, 750.0, 0.5e-3)) * 100, 2)
    0.67
    """
    share = np.exp(-np.divide(flow * time, volume))
    return kept(positive(volume) & not_negative(flow, time), share)


@quietly
def volumes_needed(share: Real) -> Real:
    """Volumes of new gas that leave a share of the old one in a well stirred volume.

    Parameters
    ----------
    share : of the old gas that may be left [1]

    Returns
    -------
    volumes : [1]

    Range
    -----
    Share above zero to 1; nan otherwise.

    Source
    ------
    Exact: a stirred volume, -ln(share).

    Example
    -------
    >>> round(float(volumes_needed(0.0014)), 2)
    6.57
    """
    return kept(positive(share) & np.less_equal(share, 1.0), -np.log(share))


@quietly
def left_by_cycles(low: Real, high: Real, cycles: Real) -> Real:
    """Share of the old gas that is left after emptying and filling some times over.

    Parameters
    ----------
    low : pressure to which it is emptied [Pa]
    high : pressure to which it is filled [Pa]
    cycles : how often [1]

    Returns
    -------
    share : [1]

    Range
    -----
    Pressures above zero, low not above high, cycles not below zero; nan otherwise. What is filled in
    mixes before it is pumped off, and no air comes in meanwhile.

    Source
    ------
    Exact: dilution, (p_low / p_high)^n.

    Example
    -------
    >>> f"{left_by_cycles(1e3, 1e5, 3):.0e}"
    '1e-06'
    """
    share = np.power(np.divide(low, high), cycles)
    return kept(positive(low, high) & np.less_equal(low, high) & not_negative(cycles), share)


@quietly
def cycles_needed(share: Real, low: Real, high: Real) -> Real:
    """Times to empty and fill until no more than a share of the old gas is left.

    Parameters
    ----------
    share : of the old gas that may be left [1]
    low : pressure to which it is emptied [Pa]
    high : pressure to which it is filled [Pa]

    Returns
    -------
    cycles : not rounded up [1]

    Range
    -----
    Share above zero to 1, pressures above zero, low below high; nan otherwise.

    Source
    ------
    Exact: dilution, ln(share) / ln(p_low / p_high).

    Example
    -------
    >>> round(float(cycles_needed(1e-6, 1e3, 1e5)), 2)
    3.0
    """
    cycles = np.divide(np.log(share), np.log(np.divide(low, high)))
    inside = positive(share, low, high) & np.less_equal(share, 1.0) & np.less(low, high)
    return kept(inside, cycles)
