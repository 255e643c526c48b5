# SPDX-License-Identifier: MIT
"""A metal that lands solid: how thick its crust is, when it closes the bore, how it grows."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import Mask, kept, not_negative, positive, quietly

__all__ = [
    "closing_mass",
    "crust_choking_thickness",
    "crust_growth",
    "crust_temperature_drop",
    "crust_thickness",
    "crusted_radius",
]


@quietly
def crusted_radius(mass: Real, radius: Real, length: Real, density: Real, porosity: Real) -> Real:
    """Radius of the bore that an even crust leaves open.

    Parameters
    ----------
    mass : of the crust [kg]
    radius : of the bare bore [m]
    length : of the bore that is covered [m]
    density : of the solid metal [kg/m^3]
    porosity : share of the crust that is void [1]

    Returns
    -------
    radius : zero where the crust just closes the bore [m]

    Range
    -----
    Mass from zero to what closes the bore, porosity 0 to below 1, the rest above zero; nan otherwise.
    Real crusts are thickest where the wall first is cold enough, and rough.

    Source
    ------
    Exact: volume of an annulus.

    Example
    -------
    >>> round(float(crusted_radius(0.010, 0.015, 0.1, 1740.0, 0.0)) * 1e3, 2)
    14.38
    """
    filled = np.divide(mass, np.pi * length * density * (1 - porosity))
    inside = _is_crust(porosity) & not_negative(mass) & positive(radius, length, density)
    return kept(inside & np.less_equal(filled, radius**2), np.sqrt(np.abs(radius**2 - filled)))


@quietly
def crust_thickness(mass: Real, radius: Real, length: Real, density: Real, porosity: Real) -> Real:
    """Thickness of an even crust in a round bore.

    Parameters
    ----------
    mass : of the crust [kg]
    radius : of the bare bore [m]
    length : of the bore that is covered [m]
    density : of the solid metal [kg/m^3]
    porosity : share of the crust that is void [1]

    Returns
    -------
    thickness : [m]

    Range
    -----
    As for the radius that is left; nan otherwise.

    Source
    ------
    Exact: volume of an annulus.

    Example
    -------
    >>> round(float(crust_thickness(0.010, 0.015, 0.1, 1740.0, 0.0)) * 1e3, 2)
    0.62
    """
    return radius - crusted_radius(mass, radius, length, density, porosity)


@quietly
def closing_mass(radius: Real, length: Real, density: Real, porosity: Real) -> Real:
    """Mass of a crust that just closes a bore.

    Parameters
    ----------
    radius : of the bare bore [m]
    length : of the bore that is covered [m]
    density : of the solid metal [kg/m^3]
    porosity : share of the crust that is void [1]

    Returns
    -------
    mass : [kg]

    Range
    -----
    Porosity 0 to below 1, the rest above zero; nan otherwise.

    Source
    ------
    Exact: volume of a cylinder.

    Example
    -------
    >>> round(float(closing_mass(0.010, 0.018, 7134.0, 0.0)) * 1e3, 1)
    40.3
    """
    whole = np.pi * radius**2 * length * density * (1 - porosity)
    return kept(_is_crust(porosity) & positive(radius, length, density), whole)


@quietly
def crust_temperature_drop(
    heat: Real, length: Real, outer_radius: Real, inner_radius: Real, conductivity: Real
) -> Real:
    """Excess of the face of a crust over the wall it sits on.

    Parameters
    ----------
    heat : that passes the crust [W]
    length : of the bore that is covered [m]
    outer_radius : of the crust, at the wall [m]
    inner_radius : of the bore left open [m]
    conductivity : of the crust with its pores [W/m/K]

    Returns
    -------
    drop : [K]

    Range
    -----
    Inner radius up to the outer one, all above zero; nan otherwise. Steady, no heat along the crust.

    Source
    ------
    Conduction through a round wall, q ln(r2 / r1) / (2 pi k L) [incropera], chapter 3.

    Example
    -------
    >>> round(float(crust_temperature_drop(15.0, 0.1, 0.015, 0.012, 50.0)), 3)
    0.107
    """
    drop = heat * np.divide(np.log(np.divide(outer_radius, inner_radius)), 2 * np.pi * conductivity * length)
    inside = positive(length, inner_radius, conductivity) & np.less_equal(inner_radius, outer_radius)
    return kept(inside, drop)


@quietly
def crust_choking_thickness(
    conductivity: Real, flux_by_pressure: Real, pressure_by_temperature: Real, specific_heat_of_landing: Real
) -> Real:
    """Thickness at which a crust is as much in the way of its growth as the vapour's path is.

    Parameters
    ----------
    conductivity : of the crust with its pores [W/m/K]
    flux_by_pressure : mass that lands by the excess of pressure over saturation [kg/m^2/s/Pa]
    pressure_by_temperature : slope of the saturation pressure at the wall [Pa/K]
    specific_heat_of_landing : heat of condensation [J/kg]

    Returns
    -------
    thickness : [m]

    Range
    -----
    All above zero; nan otherwise.

    Source
    ------
    Exact, from the balance of heat at the face: k / (flux by pressure * slope * heat).

    Example
    -------
    >>> round(float(crust_choking_thickness(80.0, 2e-6, 0.3, 5.6e6)), 1)
    23.8
    """
    inside = positive(conductivity, flux_by_pressure, pressure_by_temperature, specific_heat_of_landing)
    return kept(
        inside,
        np.divide(conductivity, flux_by_pressure * pressure_by_temperature * specific_heat_of_landing),
    )


@quietly
def crust_growth(
    time: Real, first_flux: Real, density: Real, porosity: Real, choking_thickness: Real
) -> Real:
    """Thickness of a crust after a time, on a wall of steady temperature under vapour of steady pressure.

    Parameters
    ----------
    time : since the wall was bare [s]
    first_flux : mass that lands on the bare wall [kg/m^2/s]
    density : of the solid metal [kg/m^3]
    porosity : share of the crust that is void [1]
    choking_thickness : at which the crust halves its own growth [m]

    Returns
    -------
    thickness : [m]

    Range
    -----
    Time and flux not below zero, porosity 0 to below 1, the rest above zero; nan otherwise. Crust thin
    beside the radius, growth slow beside conduction, saturation linear over the drop in the crust.

    Source
    ------
    Exact for a flux in proportion to the pressure above saturation at the face, which warms as the crust
    grows: s + s^2 / (2 s0) = flux time / density.

    Example
    -------
    >>> round(float(crust_growth(3600.0, 3e-4, 1740.0, 0.2, 0.02)) * 1e3, 3)
    0.761
    """
    bare = np.divide(first_flux * time, density * (1 - porosity))
    root = np.sqrt(1 + 2 * np.divide(bare, choking_thickness))
    inside = _is_crust(porosity) & not_negative(time, first_flux) & positive(density, choking_thickness)
    return kept(inside, np.divide(2 * bare, 1 + root))


def _is_crust(porosity: Real) -> Mask:
    """Whether a share of voids leaves a crust."""
    return not_negative(porosity) & np.less(porosity, 1.0)
