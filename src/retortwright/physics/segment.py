# SPDX-License-Identifier: MIT
"""The part of a round cross-section that lies below a level."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly

__all__ = ["segment_area"]


@quietly
def segment_area(radius: Real, depth: Real) -> Real:
    """Area of a circle below a straight level.

    Parameters
    ----------
    radius : of the circle [m]
    depth : of the level above the lowest point of the circle [m]

    Returns
    -------
    area : [m^2]

    Range
    -----
    radius above zero and depth between zero and twice the radius; nan otherwise.

    Source
    ------
    Exact: the sector less the triangle, r^2 acos((r - h)/r) - (r - h) sqrt(2 r h - h^2).

    Example
    -------
    >>> round(float(segment_area(1.0, 1.0)), 4)
    1.5708
    """
    inside = positive(radius) & not_negative(depth, 2 * radius - depth)
    off = radius - depth
    area = radius**2 * np.arccos(off / radius) - off * np.sqrt(depth * (2 * radius - depth))
    return kept(inside, area)
