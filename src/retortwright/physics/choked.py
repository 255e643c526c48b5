# SPDX-License-Identifier: MIT
"""How much an ideal gas can pass at most: isentropic flow to the speed of sound."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import Mask, kept, not_negative, positive, quietly
from retortwright.physics.constants import GAS_CONSTANT

__all__ = [
    "choked_flux_coefficient",
    "choked_mass_flux",
    "choked_over_molecular",
    "critical_pressure_ratio",
    "isentropic_flux_share",
    "sonic_exit_pressure",
    "sonic_mass_flow",
]

_MOST_HEAT_CAPACITY_RATIO = 1.7  # 5/3 of a monatomic gas, and what people round it to


@quietly
def critical_pressure_ratio(heat_capacity_ratio: Real) -> Real:
    """Outlet over inlet pressure below which nothing more is gained.

    Parameters
    ----------
    heat_capacity_ratio : at constant pressure over at constant volume; 5/3 of a monatomic gas [1]

    Returns
    -------
    pressure_ratio : [1]

    Range
    -----
    Heat capacity ratio above 1 to 1.7; nan outside.

    Source
    ------
    Isentropic flow, (2 / (g + 1))^(g / (g - 1)) [shapiro-1953], chapter 4.

    Example
    -------
    >>> round(float(critical_pressure_ratio(1.4)), 4)
    0.5283
    """
    g = heat_capacity_ratio
    return kept(_is_gas(g), np.power(np.divide(2.0, g + 1), np.divide(g, g - 1)))


@quietly
def choked_flux_coefficient(heat_capacity_ratio: Real) -> Real:
    """Choked mass flux times sqrt(R T / M) over the inlet pressure.

    Parameters
    ----------
    heat_capacity_ratio : at constant pressure over at constant volume; 5/3 of a monatomic gas [1]

    Returns
    -------
    coefficient : [1]

    Range
    -----
    Heat capacity ratio above 1 to 1.7; nan outside.

    Source
    ------
    Critical flow function of an ideal gas [iso-9300].

    Example
    -------
    >>> round(float(choked_flux_coefficient(5 / 3)), 5)
    0.72618
    """
    g = heat_capacity_ratio
    return kept(_is_gas(g), np.sqrt(g) * np.power(np.divide(2.0, g + 1), np.divide(g + 1, 2 * (g - 1))))


@quietly
def choked_mass_flux(pressure: Real, temperature: Real, molar_mass: Real, heat_capacity_ratio: Real) -> Real:
    """Largest isentropic mass flux out of a gas at rest.

    Parameters
    ----------
    pressure : at rest [Pa]
    temperature : at rest [K]
    molar_mass : of the molecules [kg/mol]
    heat_capacity_ratio : at constant pressure over at constant volume; 5/3 of a monatomic gas [1]

    Returns
    -------
    flux : [kg/m^2/s]

    Range
    -----
    Pressure not below zero, temperature and molar mass above zero, heat capacity ratio above 1 to
    1.7; nan otherwise. A sharp-edged hole passes 0.83 to 0.86 of it.

    Source
    ------
    Critical flow of an ideal gas, C p sqrt(M / R T) [iso-9300].

    Example
    -------
    >>> f"{choked_mass_flux(1.0, 900.0, 0.1329055, 5 / 3):.3e}"
    '3.060e-03'
    """
    speed = np.sqrt(np.divide(GAS_CONSTANT * temperature, molar_mass))
    flux = np.divide(choked_flux_coefficient(heat_capacity_ratio) * pressure, speed)
    return kept(positive(temperature, molar_mass) & not_negative(pressure), flux)


@quietly
def choked_over_molecular(heat_capacity_ratio: Real) -> Real:
    """Isentropic choked flux over free-molecular effusion from the same gas.

    Parameters
    ----------
    heat_capacity_ratio : at constant pressure over at constant volume; 5/3 of a monatomic gas [1]

    Returns
    -------
    ratio : [1]

    Range
    -----
    Heat capacity ratio above 1 to 1.7; nan outside.

    Source
    ------
    Exact, from the two fluxes: sqrt(2 pi) times the coefficient of [iso-9300].

    Example
    -------
    >>> round(float(choked_over_molecular(5 / 3)), 3)
    1.82
    """
    ratio = np.sqrt(2 * np.pi) * choked_flux_coefficient(heat_capacity_ratio)
    return kept(_is_gas(heat_capacity_ratio), ratio)


@quietly
def isentropic_flux_share(pressure_ratio: Real, heat_capacity_ratio: Real) -> Real:
    """Isentropic mass flux at a pressure ratio, as a share of the choked one.

    Parameters
    ----------
    pressure_ratio : outlet over inlet pressure [1]
    heat_capacity_ratio : at constant pressure over at constant volume; 5/3 of a monatomic gas [1]

    Returns
    -------
    share : 1 at and below the critical ratio [1]

    Range
    -----
    Pressure ratio 0 to 1, heat capacity ratio above 1 to 1.7; nan outside.

    Source
    ------
    Isentropic flow through a nozzle [shapiro-1953], chapter 4.

    Example
    -------
    >>> round(float(isentropic_flux_share(0.9, 1.4)), 3)
    0.617
    """
    g = heat_capacity_ratio
    ratio = np.maximum(pressure_ratio, critical_pressure_ratio(g))
    slowed = np.power(ratio, np.divide(2.0, g)) - np.power(ratio, np.divide(g + 1, g))
    share = np.divide(np.sqrt(2 * np.divide(g, g - 1) * np.maximum(slowed, 0.0)), choked_flux_coefficient(g))
    return kept(not_negative(pressure_ratio) & np.less_equal(pressure_ratio, 1.0), share)


@quietly
def sonic_mass_flow(
    radius: Real, pressure: Real, temperature: Real, molar_mass: Real, heat_capacity_ratio: Real
) -> Real:
    """Sonic limit of a tube: what no pump behind it can exceed.

    Parameters
    ----------
    radius : of the narrowest place [m]
    pressure : of the gas at rest before it [Pa]
    temperature : of the gas at rest before it [K]
    molar_mass : of the molecules [kg/mol]
    heat_capacity_ratio : at constant pressure over at constant volume; 5/3 of a monatomic gas [1]

    Returns
    -------
    flow : [kg/s]

    Range
    -----
    Radius above zero and the range of the choked mass flux; nan otherwise. Friction, and rarefaction
    above all, keep a real tube below it.

    Source
    ------
    Area times the critical flux [iso-9300].

    Example
    -------
    >>> f"{sonic_mass_flow(0.004, 100.0, 900.0, 0.1329055, 5 / 3):.3e}"
    '1.538e-05'
    """
    flux = choked_mass_flux(pressure, temperature, molar_mass, heat_capacity_ratio)
    return kept(positive(radius), np.pi * radius**2 * flux)


@quietly
def sonic_exit_pressure(
    mass_flux: Real, temperature: Real, molar_mass: Real, heat_capacity_ratio: Real
) -> Real:
    """Pressure in the mouth of a tube where a given flux leaves at the speed of sound.

    Below it a lower pressure outside draws nothing more.

    Parameters
    ----------
    mass_flux : through the mouth [kg/m^2/s]
    temperature : of the gas at rest [K]
    molar_mass : of the molecules [kg/mol]
    heat_capacity_ratio : at constant pressure over at constant volume; 5/3 of a monatomic gas [1]

    Returns
    -------
    pressure : [Pa]

    Range
    -----
    Flux not below zero, temperature and molar mass above zero, heat capacity ratio above 1 to 1.7;
    nan otherwise. Adiabatic tube, gas dense enough to be a continuum at the mouth.

    Source
    ------
    Flux = p sqrt(g M / R T) at Mach 1 with T = 2 T0 / (g + 1) [shapiro-1953], chapter 6.

    Example
    -------
    >>> round(float(sonic_exit_pressure(0.306, 900.0, 0.1329055, 5 / 3)), 1)
    48.7
    """
    g = heat_capacity_ratio
    sonic_temperature = np.divide(2 * temperature, g + 1)
    pressure = mass_flux * np.sqrt(np.divide(GAS_CONSTANT * sonic_temperature, g * molar_mass))
    return kept(positive(temperature, molar_mass) & not_negative(mass_flux) & _is_gas(g), pressure)


def _is_gas(heat_capacity_ratio: Real) -> Mask:
    """Whether a heat capacity ratio is that of a gas."""
    inside: Mask = np.greater(heat_capacity_ratio, 1.0) & np.less_equal(
        heat_capacity_ratio, _MOST_HEAT_CAPACITY_RATIO
    )
    return inside
