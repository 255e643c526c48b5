# SPDX-License-Identifier: MIT
"""A gas that flows into a room: what share of the air it takes the place of."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Array, Real

__all__ = ["displaced_share"]


def displaced_share(flow: Real, time: Real, volume: Real, ventilation: Real) -> Array:
    """Share of the air of an evenly mixed room that a gas has taken the place of.

    Parameters
    ----------
    flow : of the gas into the room [m^3/s]
    time : for which it flows [s]
    volume : of the room [m^3]
    ventilation : fresh air into the room [m^3/s]

    Returns
    -------
    share : [1]

    Range
    -----
    flow and volume above zero, time and ventilation not below; nan otherwise. Evenly mixed: near the
    floor heavy gas stands thicker.

    Source
    ------
    Exact: a room in which all is mixed at once, V dc/dt = q - (q + v) c.

    Example
    -------
    >>> round(float(displaced_share(1e-4, 36000.0, 30.0, 0.0)), 4)
    0.1131
    """
    whole = flow + ventilation
    share = flow / whole * (1.0 - np.exp(-whole * time / volume))
    good = (
        (flow > 0.0 * whole) & (volume > 0.0 * volume) & (time >= 0.0 * time) & (ventilation >= 0.0 * whole)
    )
    return np.where(good, share, np.nan)
