# SPDX-License-Identifier: MIT
"""View factors between coaxial discs and the rings of a straight cylinder.

All of them follow from that of two equal discs: what a ring sends to another is what the discs
at its edges see of the discs at the other's edges, added and subtracted.
"""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real

__all__ = [
    "view_factor_disc_to_disc",
    "view_factor_equal_discs",
    "view_factor_ring_to_end",
    "view_factor_ring_to_itself",
    "view_factor_ring_to_ring",
]


def view_factor_equal_discs(distance: Real, radius: Real) -> Real:
    """View factor between two coaxial discs of one radius.

    Parameters
    ----------
    distance : between them [m]
    radius : of both [m]

    Returns
    -------
    factor : [1]

    Range
    -----
    Distance not below zero, radius above zero; nan otherwise.

    Source
    ------
    [howell-catalogue], C-40 and C-41. With x = distance / radius it is u^2, where
    u = (sqrt(x^2 + 4) - x) / 2; written so, nothing cancels far away.

    Example
    -------
    >>> round(float(view_factor_equal_discs(0.01, 0.01)), 4)
    0.382
    """
    root = _root(_ratio(distance, radius))
    return root * root


def view_factor_disc_to_disc(distance: Real, radius: Real, other_radius: Real) -> Real:
    """View factor from one disc to another on the same axis.

    Parameters
    ----------
    distance : between them [m]
    radius : of the disc that sends [m]
    other_radius : of the disc that receives [m]

    Returns
    -------
    factor : the part of what the one sends that meets the other [1]

    Range
    -----
    All above zero; nan otherwise.

    Source
    ------
    [howell-catalogue], C-41.

    Example
    -------
    >>> round(float(view_factor_disc_to_disc(0.01, 0.01, 0.02)), 4)
    0.7639
    """
    apart = np.asanyarray(distance)
    apart = np.where(apart > 0 * apart, apart, np.nan)
    mine, other = _ratio(radius, apart), _ratio(other_radius, apart)
    mine = np.where(mine > 0.0, mine, np.nan)
    other = np.where(other > 0.0, other, np.nan)
    total = 1.0 + mine * mine + other * other
    product = 2.0 * mine * other
    return 2.0 * other * other / (total + np.sqrt((total - product) * (total + product)))


def view_factor_ring_to_itself(width: Real, radius: Real) -> Real:
    """View factor from a ring of the inner wall of a cylinder to itself.

    Parameters
    ----------
    width : of the ring along the axis [m]
    radius : of the cylinder [m]

    Returns
    -------
    factor : [1]

    Range
    -----
    Width not below zero, radius above zero; nan otherwise.

    Source
    ------
    Exact: what does not leave through its two end discs, 1 - (r/w) (1 - F_discs) = 1 - u.

    Example
    -------
    >>> round(float(view_factor_ring_to_itself(0.01, 0.01)), 4)
    0.382
    """
    x = _ratio(width, radius)
    far = np.sqrt(x * x + 4.0)
    return (x + x * x / (far + 2.0)) / (far + x)


def view_factor_ring_to_ring(width: Real, other_width: Real, gap: Real, radius: Real) -> Real:
    """View factor from one ring of the inner wall of a cylinder to another.

    Parameters
    ----------
    width : of the ring that sends, along the axis [m]
    other_width : of the ring that receives [m]
    gap : between their near edges; zero for neighbours [m]
    radius : of the cylinder [m]

    Returns
    -------
    factor : the part of what the one sends that meets the other [1]

    Range
    -----
    Widths and radius above zero, gap not below zero; nan otherwise.

    Source
    ------
    Exact: differences of `view_factor_equal_discs` between the four pairs of edges.

    Example
    -------
    >>> round(float(view_factor_ring_to_ring(0.01, 0.01, 0.0, 0.01)), 4)
    0.2038
    """
    mine, other = _ratio(width, radius), _ratio(other_width, radius)
    apart = _ratio(gap, radius)
    mine = np.where(mine > 0.0, mine, np.nan)
    near, far = _square(apart), _square(apart + mine + other)
    seen = (near - _square(apart + mine)) - (_square(apart + other) - far)
    return np.where(other > 0.0, seen / (2.0 * mine), np.nan)


def view_factor_ring_to_end(width: Real, distance: Real, radius: Real) -> Real:
    """View factor from a ring of the inner wall of a cylinder to a disc that closes the cylinder.

    Parameters
    ----------
    width : of the ring along the axis [m]
    distance : from the near edge of the ring to the disc [m]
    radius : of the cylinder [m]

    Returns
    -------
    factor : the part of what the ring sends that meets the disc [1]

    Range
    -----
    Width and radius above zero, distance not below zero; nan otherwise.

    Source
    ------
    Exact: difference of `view_factor_equal_discs` between the ring's two edges.

    Example
    -------
    >>> round(float(view_factor_ring_to_end(0.01, 0.0, 0.01)), 4)
    0.309
    """
    mine, apart = _ratio(width, radius), _ratio(distance, radius)
    mine = np.where(mine > 0.0, mine, np.nan)
    return (_square(apart) - _square(apart + mine)) / (2.0 * mine)


def _ratio(length: Real, radius: Real) -> Real:
    """Length by radius, nan unless the length is not below zero and the radius above."""
    long, wide = np.asanyarray(length), np.asanyarray(radius)
    return np.where((long >= 0 * long) & (wide > 0 * wide), long, np.nan) / wide  # type: ignore[no-any-return]


def _root(x: Real) -> Real:
    """The root of the view factor of two equal discs at x radii."""
    return 2.0 / (np.sqrt(x * x + 4.0) + x)


def _square(x: Real) -> Real:
    """The view factor of two equal discs at x radii."""
    root = _root(x)
    return root * root
