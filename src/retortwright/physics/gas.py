# SPDX-License-Identifier: MIT
"""A dilute gas at rest: its speeds, free paths, rarefaction in a passage, and amounts of flow."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly
from retortwright.physics.constants import BOLTZMANN, GAS_CONSTANT

__all__ = [
    "effusion_flux",
    "equivalent_free_path",
    "mean_free_path",
    "mean_speed",
    "molar_flow_of_throughput",
    "most_probable_speed",
    "number_density",
    "rarefaction",
    "throughput_of_molar_flow",
]


@quietly
def mean_speed(temperature: Real, molar_mass: Real) -> Real:
    """Mean thermal speed of the molecules of a gas.

    Parameters
    ----------
    temperature : of the gas [K]
    molar_mass : of its molecules [kg/mol]

    Returns
    -------
    speed : [m/s]

    Range
    -----
    Temperature and molar mass above zero; nan otherwise.

    Source
    ------
    Kinetic theory, v = sqrt(8 R T / pi M) [dushman-1962], chapter 1.

    Example
    -------
    >>> round(float(mean_speed(293.15, 0.0289647)), 1)
    462.9
    """
    speed = np.sqrt(np.divide(8 * GAS_CONSTANT * temperature, np.pi * molar_mass))
    return kept(positive(temperature, molar_mass), speed)


@quietly
def most_probable_speed(temperature: Real, molar_mass: Real) -> Real:
    """Most probable thermal speed, the scale of speed in rarefied flow.

    Parameters
    ----------
    temperature : of the gas [K]
    molar_mass : of its molecules [kg/mol]

    Returns
    -------
    speed : [m/s]

    Range
    -----
    Temperature and molar mass above zero; nan otherwise.

    Source
    ------
    Kinetic theory, v0 = sqrt(2 R T / M) [sharipov-seleznev-1998], section 1.

    Example
    -------
    >>> round(float(most_probable_speed(293.15, 0.0289647)), 1)
    410.2
    """
    speed = np.sqrt(np.divide(2 * GAS_CONSTANT * temperature, molar_mass))
    return kept(positive(temperature, molar_mass), speed)


@quietly
def number_density(pressure: Real, temperature: Real) -> Real:
    """Molecules in a volume of ideal gas.

    Parameters
    ----------
    pressure : of the gas [Pa]
    temperature : of the gas [K]

    Returns
    -------
    density : [1/m^3]

    Range
    -----
    Pressure not below zero, temperature above zero; nan otherwise.

    Source
    ------
    Ideal gas, n = p / k T [dushman-1962], chapter 1.

    Example
    -------
    >>> f"{number_density(101325.0, 273.15):.4e}"
    '2.6868e+25'
    """
    density = np.divide(pressure, BOLTZMANN * temperature)
    return kept(positive(temperature) & not_negative(pressure), density)


@quietly
def mean_free_path(pressure: Real, temperature: Real, collision_diameter: Real) -> Real:
    """Mean way of a hard-sphere molecule between two collisions with its like.

    Parameters
    ----------
    pressure : of the gas [Pa]
    temperature : of the gas [K]
    collision_diameter : distance of two centres at a collision [m]

    Returns
    -------
    path : [m]

    Range
    -----
    All above zero; nan otherwise.

    Source
    ------
    Kinetic theory, k T / (sqrt(2) pi d^2 p) [dushman-1962], chapter 1.

    Example
    -------
    >>> round(float(mean_free_path(0.1, 293.15, 3.7e-10)), 4)
    0.0665
    """
    target = np.pi * collision_diameter**2
    path = np.divide(BOLTZMANN * temperature, np.sqrt(2.0) * target * pressure)
    return kept(positive(pressure, temperature, collision_diameter), path)


@quietly
def equivalent_free_path(pressure: Real, viscosity: Real, temperature: Real, molar_mass: Real) -> Real:
    """Free path that a gas has by its viscosity, the scale of length in rarefied flow.

    Parameters
    ----------
    pressure : of the gas [Pa]
    viscosity : of the gas [Pa s]
    temperature : of the gas [K]
    molar_mass : of its molecules [kg/mol]

    Returns
    -------
    path : [m]

    Range
    -----
    All above zero; nan otherwise.

    Source
    ------
    viscosity * v0 / p [sharipov-seleznev-1998], section 1.

    Example
    -------
    >>> round(float(equivalent_free_path(0.1, 18.2e-6, 293.15, 0.0289647)), 4)
    0.0747
    """
    path = np.divide(viscosity * most_probable_speed(temperature, molar_mass), pressure)
    return kept(positive(pressure, viscosity, temperature, molar_mass), path)


@quietly
def rarefaction(radius: Real, pressure: Real, viscosity: Real, temperature: Real, molar_mass: Real) -> Real:
    """Rarefaction parameter: radius of a passage over the equivalent free path.

    Parameters
    ----------
    radius : of the passage [m]
    pressure : of the gas [Pa]
    viscosity : of the gas [Pa s]
    temperature : of the gas [K]
    molar_mass : of its molecules [kg/mol]

    Returns
    -------
    rarefaction : [1]

    Range
    -----
    Pressure not below zero, the rest above zero; nan otherwise. Far below 1 the gas is molecular,
    far above 1 viscous.

    Source
    ------
    R p / (viscosity * v0) [sharipov-seleznev-1998], section 1.

    Example
    -------
    >>> round(float(rarefaction(0.005, 100.0, 18.2e-6, 293.15, 0.0289647)), 2)
    66.97
    """
    ratio = np.divide(radius * pressure, viscosity * most_probable_speed(temperature, molar_mass))
    inside = positive(radius, viscosity, temperature, molar_mass) & not_negative(pressure)
    return kept(inside, ratio)


@quietly
def effusion_flux(pressure: Real, temperature: Real, molar_mass: Real) -> Real:
    """Mass that strikes a wall, or leaves through a hole into free-molecular vacuum.

    Parameters
    ----------
    pressure : of the gas [Pa]
    temperature : of the gas [K]
    molar_mass : of its molecules [kg/mol]

    Returns
    -------
    flux : [kg/m^2/s]

    Range
    -----
    Pressure not below zero, the rest above zero; nan otherwise.

    Source
    ------
    Kinetic theory, p sqrt(M / 2 pi R T) [dushman-1962], chapter 1.

    Example
    -------
    >>> round(float(effusion_flux(100.0, 534.1, 0.1329055)), 3)
    0.218
    """
    flux = pressure * np.sqrt(np.divide(molar_mass, 2 * np.pi * GAS_CONSTANT * temperature))
    return kept(positive(temperature, molar_mass) & not_negative(pressure), flux)


@quietly
def molar_flow_of_throughput(throughput: Real, temperature: Real) -> Real:
    """Amount of gas in a flow that is stated as pressure times volume.

    Parameters
    ----------
    throughput : pressure times volume in a time [Pa m^3/s]
    temperature : at which the volume is meant [K]

    Returns
    -------
    flow : [mol/s]

    Range
    -----
    Temperature above zero; nan otherwise.

    Source
    ------
    Ideal gas, n = Q / R T [dushman-1962], chapter 1.

    Example
    -------
    >>> f"{molar_flow_of_throughput(1e-5, 293.15):.3e}"
    '4.103e-09'
    """
    flow = np.divide(throughput, GAS_CONSTANT * temperature)
    return kept(positive(temperature), flow)


@quietly
def throughput_of_molar_flow(molar_flow: Real, temperature: Real) -> Real:
    """Pressure times volume of a flow of gas.

    Parameters
    ----------
    molar_flow : of the gas [mol/s]
    temperature : at which the volume is meant [K]

    Returns
    -------
    throughput : [Pa m^3/s]

    Range
    -----
    Temperature above zero; nan otherwise.

    Source
    ------
    Ideal gas, Q = n R T [dushman-1962], chapter 1.

    Example
    -------
    >>> round(float(throughput_of_molar_flow(1.0, 273.15)), 1)
    2271.1
    """
    throughput = molar_flow * GAS_CONSTANT * temperature
    return kept(positive(temperature), throughput)
