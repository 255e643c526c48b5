# SPDX-License-Identifier: MIT
"""Leaks as they are measured, stated and converted."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly

__all__ = [
    "molecular_leak_ratio",
    "pressure_by_warming",
    "rate_of_rise",
    "rate_of_rise_at",
    "standard_flow",
    "viscous_leak_ratio",
]


@quietly
def rate_of_rise(volume: Real, first: Real, last: Real, time: Real) -> Real:
    """Leak of an isolated volume by the rise of its pressure.

    Parameters
    ----------
    volume : that is isolated [m^3]
    first : pressure at the start [Pa]
    last : pressure at the end [Pa]
    time : between them [s]

    Returns
    -------
    leak : everything that came in: leak, outgassing and permeation [Pa m^3/s]

    Range
    -----
    Volume and time above zero, pressures not below zero; nan otherwise. One temperature.

    Source
    ------
    Definition by pressure change, V (p2 - p1) / t [en-1779].

    Example
    -------
    >>> f"{rate_of_rise(3e-3, 1.0, 13.0, 600.0):.1e}"
    '6.0e-05'
    """
    leak = volume * (last - first) / time
    return kept(positive(volume, time) & not_negative(first, last), leak)


@quietly
def rate_of_rise_at(
    volume: Real,
    first: Real,
    last: Real,
    time: Real,
    first_temperature: Real,
    last_temperature: Real,
    stated_temperature: Real,
) -> Real:
    """Leak of an isolated volume whose temperature changes meanwhile.

    Parameters
    ----------
    volume : that is isolated [m^3]
    first : pressure at the start [Pa]
    last : pressure at the end [Pa]
    time : between them [s]
    first_temperature : of the gas at the start [K]
    last_temperature : of the gas at the end [K]
    stated_temperature : at which the leak is stated [K]

    Returns
    -------
    leak : negative where gas is lost [Pa m^3/s]

    Range
    -----
    Pressures not below zero, the rest above zero; nan otherwise.

    Source
    ------
    Ideal gas in the definition by pressure change [en-1779].

    Example
    -------
    >>> f"{rate_of_rise_at(0.5e-3, 1.3e5, 1.3e5, 3600.0, 293.15, 294.15, 293.15):.1e}"
    '-6.1e-05'
    """
    gained = np.divide(last, last_temperature) - np.divide(first, first_temperature)
    leak = volume * stated_temperature * gained / time
    inside = positive(volume, time, first_temperature, last_temperature, stated_temperature)
    return kept(inside & not_negative(first, last), leak)


@quietly
def pressure_by_warming(pressure: Real, temperature: Real, warmer: Real) -> Real:
    """Rise of the pressure of a closed volume that grows warmer.

    Parameters
    ----------
    pressure : at the start [Pa]
    temperature : at the start [K]
    warmer : by how much it grows warmer; negative where it cools [K]

    Returns
    -------
    rise : [Pa]

    Range
    -----
    Temperature above zero, at the end too, pressure not below zero; nan otherwise.

    Source
    ------
    Exact: ideal gas in a closed volume.

    Example
    -------
    >>> round(float(pressure_by_warming(1.3e5, 293.15, 1.0)), 1)
    443.5
    """
    inside = positive(temperature, temperature + warmer) & not_negative(pressure)
    return kept(inside, pressure * np.divide(warmer, temperature))


@quietly
def standard_flow(
    throughput: Real, temperature: Real, standard_temperature: Real, standard_pressure: Real
) -> Real:
    """Flow of a gas as the volume that it would take in a standard state.

    Parameters
    ----------
    throughput : pressure times volume in a time [Pa m^3/s]
    temperature : of the gas whose volume is meant [K]
    standard_temperature : of the standard state [K]
    standard_pressure : of the standard state [Pa]

    Returns
    -------
    flow : [m^3/s]

    Range
    -----
    Temperatures and standard pressure above zero; nan otherwise.

    Source
    ------
    Exact: ideal gas.

    Example
    -------
    >>> round(float(standard_flow(0.1, 293.15, 273.15, 101325.0)) * 60e6, 2)
    55.18
    """
    flow = np.divide(throughput, standard_pressure) * np.divide(standard_temperature, temperature)
    return kept(positive(temperature, standard_temperature, standard_pressure), flow)


@quietly
def viscous_leak_ratio(viscosity: Real, other_viscosity: Real) -> Real:
    """Leak of another gas over that of the first through the same viscous hole.

    Parameters
    ----------
    viscosity : of the first gas [Pa s]
    other_viscosity : of the other gas [Pa s]

    Returns
    -------
    ratio : [1]

    Range
    -----
    Both above zero; nan otherwise. Laminar leaks, as a rule above 1e-5 Pa m^3/s.

    Source
    ------
    Hagen and Poiseuille: inverse to the viscosity [dushman-1962], chapter 2.

    Example
    -------
    >>> round(float(viscous_leak_ratio(19.6e-6, 18.2e-6)), 2)
    1.08
    """
    return kept(positive(viscosity, other_viscosity), np.divide(viscosity, other_viscosity))


@quietly
def molecular_leak_ratio(molar_mass: Real, other_molar_mass: Real) -> Real:
    """Leak of another gas over that of the first through the same molecular hole.

    Parameters
    ----------
    molar_mass : of the first gas [kg/mol]
    other_molar_mass : of the other gas [kg/mol]

    Returns
    -------
    ratio : [1]

    Range
    -----
    Both above zero; nan otherwise. Molecular leaks, as a rule below 1e-7 Pa m^3/s.

    Source
    ------
    Kinetic theory: inverse to the root of the molar mass [dushman-1962], chapter 2.

    Example
    -------
    >>> round(float(molecular_leak_ratio(4.0026e-3, 28.9647e-3)), 3)
    0.372
    """
    return kept(positive(molar_mass, other_molar_mass), np.sqrt(np.divide(molar_mass, other_molar_mass)))
