# SPDX-License-Identifier: MIT
"""Metal that a hot wall loses to scale in air: growing slower under its own scale, or steadily where that falls."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly

__all__ = ["parabolic_loss", "runs_to_loss", "scale_to_metal"]


@quietly
def parabolic_loss(rate: Real, time: Real) -> Real:
    """Metal lost under scale that stays on: it grows with the square root of time.

    Parameters
    ----------
    rate : square of the metal lost over time [m^2/s]
    time : at heat since the last scale fell [s]

    Returns
    -------
    loss : thickness of metal [m]

    Range
    -----
    Rate above zero, time not below zero; nan otherwise.

    Source
    ------
    The parabolic law of diffusion through scale, x^2 = k t [chen-yuen-2003].

    Example
    -------
    >>> round(float(parabolic_loss(4.4e-13, 3600.0)) * 1e3, 3)
    0.04
    """
    return kept(positive(rate) & not_negative(time), np.sqrt(rate * time))


@quietly
def scale_to_metal(scale_share: Real, scale_density: Real, metal_density: Real) -> Real:
    """Thickness of metal that a thickness of scale has eaten, over that of the scale.

    Parameters
    ----------
    scale_share : mass of metal in the scale over its mass [1]
    scale_density : [kg/m^3]
    metal_density : [kg/m^3]

    Returns
    -------
    ratio : [1]

    Range
    -----
    All above zero, the share at most one; nan otherwise. Scale without pores.

    Source
    ------
    A balance of mass, as [chen-yuen-2003] turns scale into metal.

    Example
    -------
    >>> round(float(scale_to_metal(0.777, 5700.0, 7870.0)), 3)
    0.563
    """
    inside = positive(scale_share, scale_density, metal_density) & np.less_equal(scale_share, 1.0)
    return kept(inside, scale_share * np.divide(scale_density, metal_density))


@quietly
def runs_to_loss(wall: Real, share: Real, loss: Real) -> Real:
    """Runs until a share of a wall is gone, each taking as much.

    Parameters
    ----------
    wall : thickness when new [m]
    share : of it that may go [1]
    loss : of one run [m]

    Returns
    -------
    runs : [1]

    Range
    -----
    All above zero, the share at most one; nan otherwise.

    Source
    ------
    Definition.

    Example
    -------
    >>> round(float(runs_to_loss(2.6e-3, 0.2, 0.04e-3)))
    13
    """
    inside = positive(wall, share, loss) & np.less_equal(share, 1.0)
    return kept(inside, np.divide(wall * share, loss))
