# SPDX-License-Identifier: MIT
"""Walls as fins: heat conducted along a wall that loses heat on the way, cut into cells."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import quietly

__all__ = ["half_cell_resistance", "series_conductance"]


@quietly
def half_cell_resistance(width: Real, conductivity: Real, section: Real) -> Real:
    """Thermal resistance from the centre of a cell of wall to its edge.

    Parameters
    ----------
    width : of the cell along the wall [m]
    conductivity : of the wall [W/m/K]
    section : area of wall metal that the heat crosses [m^2]

    Returns
    -------
    resistance : [K/W]

    Range
    -----
    All above zero; nan otherwise.

    Source
    ------
    Fourier's law, R = L / (k A) with L half the cell [incropera], eq. (3.6).

    Example
    -------
    >>> round(float(half_cell_resistance(0.004, 20.0, 1e-5)), 3)
    10.0
    """
    width, conductivity, section = np.asanyarray(width), np.asanyarray(conductivity), np.asanyarray(section)
    resistance = 0.5 * width / (conductivity * section)
    return np.where(
        (width > 0 * width) & (conductivity > 0 * conductivity) & (section > 0 * section), resistance, np.nan
    )


@quietly
def series_conductance(first: Real, second: Real, between: Real) -> Real:
    """Conductance of two half cells and a contact in series.

    Parameters
    ----------
    first : resistance on one side [K/W]
    second : resistance on the other side [K/W]
    between : resistance of the contact between them [K/W]

    Returns
    -------
    conductance : [W/K]

    Range
    -----
    Resistances not below zero and not all zero; nan otherwise.

    Source
    ------
    Resistances in series [incropera], eq. (3.19).

    Example
    -------
    >>> round(float(series_conductance(10.0, 10.0, 5.0)), 3)
    0.04
    """
    total = first + second + between
    return np.where(total > 0 * total, 1.0 / total, np.nan)
