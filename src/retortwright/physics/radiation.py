# SPDX-License-Identifier: MIT
"""Heat radiated by grey walls: to the room, between plates and cylinders, and down a bore.

The exchange down a bore is in `bore_radiation`, the view factors in `view_factors`.
"""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.physics.constants import STEFAN_BOLTZMANN

__all__ = ["grey_body_flux", "net_flux_concentric_cylinders", "net_flux_parallel_plates"]


def grey_body_flux(temperature: Real, surroundings: Real, emissivity: Real) -> Real:
    """Net heat flux from a grey surface to surroundings that are large against it.

    Parameters
    ----------
    temperature : of the surface [K]
    surroundings : temperature of the walls around [K]
    emissivity : of the surface, hemispherical and total [1]

    Returns
    -------
    flux : positive when the surface loses heat [W/m^2]

    Range
    -----
    Temperatures not below zero, emissivity above 0 to 1; nan otherwise.

    Source
    ------
    [siegel-howell]: a small grey body in a large enclosure, which acts as black whatever its walls.

    Example
    -------
    >>> round(float(grey_body_flux(1073.15, 293.15, 0.8)))
    59830
    """
    hot, cold = _absolute(temperature), _absolute(surroundings)
    return _emissivity(emissivity) * STEFAN_BOLTZMANN * (_fourth(hot) - _fourth(cold))


def net_flux_parallel_plates(
    temperature: Real, other_temperature: Real, emissivity: Real, other_emissivity: Real
) -> Real:
    """Net heat flux between two grey plates, large against their distance.

    Parameters
    ----------
    temperature : of one plate [K]
    other_temperature : of the other [K]
    emissivity : of the one [1]
    other_emissivity : of the other [1]

    Returns
    -------
    flux : positive from the one to the other [W/m^2]

    Range
    -----
    Temperatures not below zero, emissivities above 0 to 1; nan otherwise.

    Source
    ------
    [siegel-howell], the enclosure of two infinite parallel plates.

    Example
    -------
    >>> round(float(net_flux_parallel_plates(800.0, 400.0, 0.8, 0.5)))
    9677
    """
    resistance = 1.0 / _emissivity(emissivity) + 1.0 / _emissivity(other_emissivity) - 1.0
    difference = _fourth(_absolute(temperature)) - _fourth(_absolute(other_temperature))
    return STEFAN_BOLTZMANN * difference / resistance


def net_flux_concentric_cylinders(
    inner_temperature: Real,
    outer_temperature: Real,
    inner_emissivity: Real,
    outer_emissivity: Real,
    inner_radius: Real,
    outer_radius: Real,
) -> Real:
    """Net heat flux between two long concentric grey cylinders.

    Parameters
    ----------
    inner_temperature : of the inner cylinder [K]
    outer_temperature : of the outer [K]
    inner_emissivity : of the outside of the inner [1]
    outer_emissivity : of the inside of the outer [1]
    inner_radius : of the inner's outside [m]
    outer_radius : of the outer's inside [m]

    Returns
    -------
    flux : on the inner surface, positive when it loses heat [W/m^2]

    Range
    -----
    Temperatures not below zero, emissivities above 0 to 1, outer radius not below the inner and that
    above zero; nan otherwise. Diffuse reflection.

    Source
    ------
    [siegel-howell], the enclosure of two concentric cylinders of infinite length.

    Example
    -------
    >>> round(float(net_flux_concentric_cylinders(800.0, 400.0, 0.8, 0.5, 0.01, 0.02)))
    12442
    """
    inner, outer = np.asanyarray(inner_radius), np.asanyarray(outer_radius)
    ratio = np.where((inner > 0 * inner) & (outer >= inner), inner / outer, np.nan)
    resistance = 1.0 / _emissivity(inner_emissivity) + ratio * (1.0 / _emissivity(outer_emissivity) - 1.0)
    difference = _fourth(_absolute(inner_temperature)) - _fourth(_absolute(outer_temperature))
    return STEFAN_BOLTZMANN * difference / resistance


def _absolute(temperature: Real) -> Real:
    """The temperature where it is not below zero, nan elsewhere."""
    given = np.asanyarray(temperature)
    return np.where(given >= 0 * given, given, np.nan)


def _emissivity(emissivity: Real) -> Real:
    """The emissivity where it can be one, nan elsewhere."""
    given = np.asanyarray(emissivity)
    return np.where((given > 0.0) & (given <= 1.0), given, np.nan)


def _fourth(temperature: Real) -> Real:
    """The fourth power."""
    square = temperature * temperature
    return square * square
