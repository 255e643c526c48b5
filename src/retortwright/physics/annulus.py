# SPDX-License-Identifier: MIT
"""Free-molecular transmission of the gap between two concentric tubes."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Array, Real
from retortwright.ground.ranges import each
from retortwright.physics.clausing import tube_transmission
from retortwright.physics.rings import Panels, Rings

__all__ = ["annulus_transmission"]

_ORDER = 6
_FIRST_PANEL, _GROWTH = 0.1, 3.0  # of the gap
_LARGEST_PANEL = 1.5  # of the gap for the walls
_RIM_PANEL = 1e-3  # of the gap for the open ends, next to either wall
_LONGEST = 120.0  # gaps
_THICKEST_CORE = 0.95


def annulus_transmission(radius_ratio: Real, length_ratio: Real) -> Real:
    """Free-molecular transmission of a concentric annulus with diffuse walls.

    Parameters
    ----------
    radius_ratio : radius of the inner tube over that of the outer one [1]
    length_ratio : length over the radius of the outer tube [1]

    Returns
    -------
    transmission : of the molecules that enter the annular opening [1]

    Range
    -----
    Radius ratio 0 to 0.95, length 0.01 outer radii to 120 gaps; nan outside. Numerical error
    below 1e-3 of the value.

    Source
    ------
    Exchange between diffuse rings that a core shades, as posed by [berman-1969].

    Example
    -------
    >>> round(float(annulus_transmission(0.5, 5.0)), 3)
    0.208
    """
    return each(_solve, radius_ratio, length_ratio)


def _solve(core: float, length: float) -> float:
    """Transmission of an annulus of unit outer radius."""
    gap = 1 - core
    if not (0 <= core <= _THICKEST_CORE and 0.01 <= length <= _LONGEST * gap):
        return float("nan")
    if core < 1e-4:
        return float(tube_transmission(length))
    edges = Panels(_FIRST_PANEL * min(gap, length), _GROWTH, _LARGEST_PANEL * gap).edges(length)
    outer = Rings.along((1.0, 0.0), (1.0, length), edges, _ORDER)
    wall = outer.and_those(Rings.along((core, length), (core, 0.0), edges, _ORDER))
    across = Panels(_RIM_PANEL * min(gap, length), _GROWTH, gap).edges(gap)
    inlet = Rings.along((core, 0.0), (1.0, 0.0), across, _ORDER)
    outlet = Rings.along((1.0, length), (core, length), across, _ORDER)
    return _transmitted(wall, inlet, outlet, core)


def _transmitted(wall: Rings, inlet: Rings, outlet: Rings, core: float) -> float:
    no_gates: Array = np.zeros((0, 2))
    between = wall.exchange(wall, no_gates, core)
    from_inlet, to_outlet = (wall.exchange(end, no_gates, core).sum(axis=1) for end in (inlet, outlet))
    balance = np.diag(between.sum(axis=1) + from_inlet + to_outlet) - between
    opening = np.pi * (1 - core**2)
    # What does not meet the wall goes straight through: exact for the open end as a whole.
    straight = opening - float(from_inlet.sum())
    return float(straight + from_inlet @ np.linalg.solve(balance, to_outlet)) / opening
