# SPDX-License-Identifier: MIT
"""Conductances: volume that a passage takes over in a time, by the pressure difference across it."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly
from retortwright.physics.annulus import annulus_transmission
from retortwright.physics.clausing import tube_transmission
from retortwright.physics.elbow import elbow_transmission
from retortwright.physics.gas import mean_speed, most_probable_speed
from retortwright.physics.tubetrain import cone_transmission

__all__ = [
    "annulus_conductance",
    "cone_conductance",
    "elbow_conductance",
    "long_tube_conductance",
    "orifice_conductance",
    "passage_conductance",
    "poiseuille_conductance",
    "slip_conductance",
    "tube_conductance",
]


@quietly
def orifice_conductance(area: Real, temperature: Real, molar_mass: Real) -> Real:
    """Free-molecular conductance of a hole in a thin wall.

    Parameters
    ----------
    area : of the hole [m^2]
    temperature : of the gas [K]
    molar_mass : of its molecules [kg/mol]

    Returns
    -------
    conductance : [m^3/s]

    Range
    -----
    All above zero; nan otherwise.

    Source
    ------
    Kinetic theory, area times mean speed over 4 [dushman-1962], chapter 2.

    Example
    -------
    >>> round(float(orifice_conductance(1e-4, 293.15, 0.0289647)) * 1e3, 2)
    11.57
    """
    return kept(positive(area), area * mean_speed(temperature, molar_mass) / 4)


@quietly
def passage_conductance(area: Real, transmission: Real, temperature: Real, molar_mass: Real) -> Real:
    """Free-molecular conductance of any passage of known transmission.

    Parameters
    ----------
    area : of its inlet [m^2]
    transmission : share of the molecules entering that inlet which pass [1]
    temperature : of the gas [K]
    molar_mass : of its molecules [kg/mol]

    Returns
    -------
    conductance : [m^3/s]

    Range
    -----
    Transmission 0 to 1, the rest above zero; nan otherwise.

    Source
    ------
    Definition of the transmission [clausing-1932].

    Example
    -------
    >>> round(float(passage_conductance(1e-4, 0.5, 293.15, 0.0289647)) * 1e3, 2)
    5.79
    """
    inside = not_negative(transmission) & np.less_equal(transmission, 1.0)
    return kept(inside, orifice_conductance(area, temperature, molar_mass) * transmission)


@quietly
def tube_conductance(radius: Real, length: Real, temperature: Real, molar_mass: Real) -> Real:
    """Free-molecular conductance of a round tube of any length.

    Parameters
    ----------
    radius : of the tube [m]
    length : of the tube [m]
    temperature : of the gas [K]
    molar_mass : of its molecules [kg/mol]

    Returns
    -------
    conductance : [m^3/s]

    Range
    -----
    Length zero to 10000 radii, the rest above zero; nan otherwise.

    Source
    ------
    Transmission of [clausing-1932].

    Example
    -------
    >>> round(float(tube_conductance(0.005, 0.1, 293.15, 0.0289647)) * 1e3, 4)
    0.9936
    """
    transmission = tube_transmission(np.divide(length, radius))
    return passage_conductance(np.pi * radius**2, transmission, temperature, molar_mass)


@quietly
def long_tube_conductance(radius: Real, length: Real, temperature: Real, molar_mass: Real) -> Real:
    """Free-molecular conductance of a round tube, ends neglected; too high for every real tube.

    Parameters
    ----------
    radius : of the tube [m]
    length : of the tube [m]
    temperature : of the gas [K]
    molar_mass : of its molecules [kg/mol]

    Returns
    -------
    conductance : [m^3/s]

    Range
    -----
    Length of 100 radii or more, where it is less than 6 % too high; nan below.

    Source
    ------
    2 pi R^3 v / 3 L [dushman-1962], chapter 2.

    Example
    -------
    >>> round(float(long_tube_conductance(0.005, 1.0, 293.15, 0.0289647)) * 1e3, 4)
    0.1212
    """
    conductance = np.divide(2 * np.pi * radius**3 * mean_speed(temperature, molar_mass), 3 * length)
    return kept(positive(radius) & np.greater_equal(np.divide(length, radius), 100.0), conductance)


@quietly
def annulus_conductance(
    inner_radius: Real, outer_radius: Real, length: Real, temperature: Real, molar_mass: Real
) -> Real:
    """Free-molecular conductance of the gap between two concentric tubes.

    Parameters
    ----------
    inner_radius : of the gap [m]
    outer_radius : of the gap [m]
    length : of the gap [m]
    temperature : of the gas [K]
    molar_mass : of its molecules [kg/mol]

    Returns
    -------
    conductance : [m^3/s]

    Range
    -----
    Inner radius zero to 0.95 of the outer one, length 0.01 outer radii to 120 gaps, the rest above
    zero; nan otherwise.

    Source
    ------
    Definition of the transmission [clausing-1932]; exchange in the gap as posed by [berman-1969].

    Example
    -------
    >>> round(float(annulus_conductance(0.005, 0.01, 0.05, 293.15, 0.0289647)) * 1e3, 2)
    5.67
    """
    radius_ratio, length_ratio = np.divide(inner_radius, outer_radius), np.divide(length, outer_radius)
    transmission = annulus_transmission(radius_ratio, length_ratio)
    area = np.pi * (outer_radius**2 - inner_radius**2)
    return passage_conductance(area, transmission, temperature, molar_mass)


@quietly
def cone_conductance(
    inlet_radius: Real, outlet_radius: Real, length: Real, temperature: Real, molar_mass: Real
) -> Real:
    """Free-molecular conductance of a cone, the same in both directions.

    Parameters
    ----------
    inlet_radius : of one end [m]
    outlet_radius : of the other end [m]
    length : along the axis [m]
    temperature : of the gas [K]
    molar_mass : of its molecules [kg/mol]

    Returns
    -------
    conductance : [m^3/s]

    Range
    -----
    All above zero, length up to 60 times the smaller radius; nan otherwise.

    Source
    ------
    Definition of the transmission [clausing-1932].

    Example
    -------
    >>> round(float(cone_conductance(0.02, 0.01, 0.04, 293.15, 0.0289647)) * 1e3, 2)
    26.08
    """
    transmission = cone_transmission(inlet_radius, outlet_radius, length)
    return passage_conductance(np.pi * inlet_radius**2, transmission, temperature, molar_mass)


@quietly
def elbow_conductance(
    radius: Real, first_leg: Real, second_leg: Real, angle: Real, temperature: Real, molar_mass: Real
) -> Real:
    """Free-molecular conductance of a round tube with one mitred bend.

    Parameters
    ----------
    radius : of the tube [m]
    first_leg : along the axis to the mitre [m]
    second_leg : along the axis from the mitre [m]
    angle : by which the axis turns [rad]
    temperature : of the gas [K]
    molar_mass : of its molecules [kg/mol]

    Returns
    -------
    conductance : [m^3/s]

    Range
    -----
    Legs 1 to 1000 radii, angle zero to a quarter turn, the rest above zero; nan otherwise. Within 1 %.

    Source
    ------
    Straight tube of [clausing-1932] with the extra length of [retortwright-elbows].

    Example
    -------
    >>> round(float(elbow_conductance(0.005, 0.05, 0.05, 1.5707963, 293.15, 0.0289647)) * 1e3, 3)
    0.95
    """
    transmission = elbow_transmission(np.divide(first_leg, radius), np.divide(second_leg, radius), angle)
    return passage_conductance(np.pi * radius**2, transmission, temperature, molar_mass)


@quietly
def poiseuille_conductance(radius: Real, length: Real, mean_pressure: Real, viscosity: Real) -> Real:
    """Conductance of a long round tube for a viscous gas that sticks to the wall.

    Parameters
    ----------
    radius : of the tube [m]
    length : of the tube [m]
    mean_pressure : of its two ends [Pa]
    viscosity : of the gas [Pa s]

    Returns
    -------
    conductance : [m^3/s]

    Range
    -----
    Pressure not below zero, the rest above zero; nan otherwise. Laminar flow, rarefaction above 500
    for 1 %; the flow coefficient of the transition has no such limit.

    Source
    ------
    Hagen and Poiseuille, pi R^4 p / 8 viscosity L [dushman-1962], chapter 2.

    Example
    -------
    >>> round(float(poiseuille_conductance(0.005, 1.0, 100.0, 18.2e-6)) * 1e3, 3)
    1.349
    """
    conductance = np.divide(np.pi * radius**4 * mean_pressure, 8 * viscosity * length)
    return kept(positive(radius, length, viscosity) & not_negative(mean_pressure), conductance)


@quietly
def slip_conductance(
    radius: Real,
    length: Real,
    mean_pressure: Real,
    viscosity: Real,
    temperature: Real,
    molar_mass: Real,
    slip: Real,
) -> Real:
    """Conductance of a long round tube for a viscous gas that slips along the wall.

    Parameters
    ----------
    radius : of the tube [m]
    length : of the tube [m]
    mean_pressure : of its two ends [Pa]
    viscosity : of the gas [Pa s]
    temperature : of the gas [K]
    molar_mass : of its molecules [kg/mol]
    slip : velocity slip coefficient; 1.018 at a diffuse wall [1]

    Returns
    -------
    conductance : [m^3/s]

    Range
    -----
    Slip not below zero, the rest above zero; nan otherwise. Laminar flow, rarefaction above 10 for
    1.5 %.

    Source
    ------
    Poiseuille flow with slip, 1 + 4 slip / rarefaction [sharipov-seleznev-1998], section 4.

    Example
    -------
    >>> round(float(slip_conductance(0.005, 1.0, 100.0, 18.2e-6, 293.15, 0.0289647, 1.018)) * 1e3, 3)
    1.431
    """
    path = np.divide(viscosity * most_probable_speed(temperature, molar_mass), mean_pressure)
    sticking = poiseuille_conductance(radius, length, mean_pressure, viscosity)
    slipping = sticking * (1 + np.divide(4 * slip * path, radius))
    return kept(positive(mean_pressure) & not_negative(slip), slipping)
