# SPDX-License-Identifier: MIT
"""How fast a thing that reacts at its face gives what it holds, by how much of it is left."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly

__all__ = ["receding_face_pace"]


@quietly
def receding_face_pace(left: Real, whole_time: Real, peak_ratio: Real) -> Real:
    """Share of what was there at first that goes in a second, by the share that is left.

    Parameters
    ----------
    left : share of what was there at first [1]
    whole_time : until nothing is left [s]
    peak_ratio : fastest pace, at the start, over the mean one: the ways in which the thing shrinks [1]

    Returns
    -------
    pace : [1/s]

    Range
    -----
    Share 0 to 1, time above zero, ratio not below 1; nan otherwise. It is exact for a face that moves evenly: a
    plate gives evenly (1), a long rod by the root of what is left (2), a ball by its power 2/3 (3); far above 3
    it comes to a pace in proportion to what is left.

    Source
    ------
    Geometry: the share left is (1 - t / whole_time) to the power of the ratio [shrinking-face].

    Example
    -------
    >>> [float(receding_face_pace(left, 100.0, 2.0)) for left in (1.0, 0.25, 0.0)]
    [0.02, 0.01, 0.0]
    """
    inside = not_negative(left, 1 - left) & positive(whole_time) & np.greater_equal(peak_ratio, 1.0)
    return kept(inside, np.divide(peak_ratio, whole_time) * np.power(left, 1 - np.divide(1, peak_ratio)))
