# SPDX-License-Identifier: MIT
"""Water as a coolant: boiling off, evaporating from a wet wall into air, flowing through a coil."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.physics.air import AIR_MOLAR_MASS, air_properties
from retortwright.physics.constants import ATMOSPHERE

__all__ = [
    "UNITS",
    "WATER_HEAT_CAPACITY",
    "WATER_MOLAR_MASS",
    "coolant_heat",
    "evaporative_flux",
    "latent_heat_of_water",
    "saturation_pressure_of_water",
    "vapour_diffusivity_in_air",
    "water_boil_off",
    "wet_bulb_temperature",
]

WATER_MOLAR_MASS = 0.018015268
WATER_HEAT_CAPACITY = 4.1765e6  # of a volume of liquid at 20 degC [wagner-pruss-2002]

_CRITICAL_TEMPERATURE = 647.096
_CRITICAL_PRESSURE = 22.064e6
_CRITICAL_DENSITY = 322.0
_TRIPLE_TEMPERATURE = 273.16
_BOILING_TEMPERATURE = 373.124
_SATURATION = (-7.85951783, 1.84408259, -11.7866497, 22.6807411, -15.9618719, 1.80122502)

_LIQUID = (1.99274064, 1.09965342, -0.510839303, -1.75493479, -45.5170352, -6.74694450e5)
_VAPOUR = (-2.03150240, -2.68302940, -5.38626492, -17.2991605, -44.7586581, -63.9201063)

_ICE_TEMPERATURE = 273.15
_DIFFUSIVITY = 2.178e-5
_WARMEST_FILM = 373.15

_DRY_AIR_HEAT = 1006.0
_VAPOUR_HEAT = 1860.0
_HALVINGS = 48  # of an interval of at most 100 K: to less than a picokelvin

UNITS = {
    "WATER_HEAT_CAPACITY": "J/m^3/K",
    "WATER_MOLAR_MASS": "kg/mol",
    "_BOILING_TEMPERATURE": "K",
    "_CRITICAL_DENSITY": "kg/m^3",
    "_CRITICAL_PRESSURE": "Pa",
    "_CRITICAL_TEMPERATURE": "K",
    "_DIFFUSIVITY": "m^2/s",
    "_DRY_AIR_HEAT": "J/kg/K",
    "_ICE_TEMPERATURE": "K",
    "_TRIPLE_TEMPERATURE": "K",
    "_VAPOUR_HEAT": "J/kg/K",
    "_WARMEST_FILM": "K",
}


def saturation_pressure_of_water(temperature: Real) -> Real:
    """Vapour pressure of liquid water.

    Parameters
    ----------
    temperature : of the water [K]

    Returns
    -------
    pressure : [Pa]

    Range
    -----
    273.16 to 647.096 K; nan otherwise. Not over ice.

    Source
    ------
    [wagner-pruss-1993], eq. (1), the release of IAPWS on saturation properties.

    Example
    -------
    >>> round(float(saturation_pressure_of_water(293.15)))
    2339
    """
    within = _liquid(temperature)
    total, _ = _saturation(1.0 - within / _CRITICAL_TEMPERATURE)
    return _CRITICAL_PRESSURE * np.exp(total * _CRITICAL_TEMPERATURE / within)


def latent_heat_of_water(temperature: Real) -> Real:
    """Heat of vaporization of water.

    Parameters
    ----------
    temperature : of water and vapour in equilibrium [K]

    Returns
    -------
    heat : [J/kg]

    Range
    -----
    273.16 to 647.096 K; nan otherwise.

    Source
    ------
    Clapeyron's equation, T dp/dT (v_vapour - v_liquid), with pressure and both densities of
    [wagner-pruss-1993], eqs. (1) to (3).

    Example
    -------
    >>> round(float(latent_heat_of_water(373.124)) / 1e3)
    2257
    """
    within = _liquid(temperature)
    tau = 1.0 - within / _CRITICAL_TEMPERATURE
    total, slope = _saturation(tau)
    pressure = _CRITICAL_PRESSURE * np.exp(total * _CRITICAL_TEMPERATURE / within)
    rise = -pressure * (total * _CRITICAL_TEMPERATURE / within + slope)  # T dp/dT
    liquid, vapour = _densities(tau)
    return rise * (1.0 / vapour - 1.0 / liquid) / _CRITICAL_DENSITY


def vapour_diffusivity_in_air(temperature: Real, pressure: Real) -> Real:
    """Diffusivity of water vapour in air.

    Parameters
    ----------
    temperature : of the film [K]
    pressure : absolute [Pa]

    Returns
    -------
    diffusivity : [m^2/s]

    Range
    -----
    273.15 to 373.15 K, pressure above zero; nan otherwise.

    Source
    ------
    [massman-1998].

    Example
    -------
    >>> round(float(vapour_diffusivity_in_air(298.15, 101325.0)) * 1e5, 2)
    2.55
    """
    given = np.asanyarray(temperature)
    within = np.where((given >= _ICE_TEMPERATURE) & (given <= _WARMEST_FILM), given, np.nan)
    return _DIFFUSIVITY * (within / _ICE_TEMPERATURE) ** 1.81 * (ATMOSPHERE / _absolute(pressure))


def evaporative_flux(
    wall_temperature: Real,
    air_temperature: Real,
    relative_humidity: Real,
    film_coefficient: Real,
    pressure: Real,
) -> Real:
    """Heat flux that evaporation takes from a wet wall.

    The vapour leaves through the same film as the heat (analogy of heat and mass transfer), carried
    along by its own stream: m = h / (c_p Le^(2/3)) (M_water / M_air) ln((p - p_air) / (p - p_wall)).
    A wall below the dew point gains heat: the flux is negative. Convection is not in it.

    Parameters
    ----------
    wall_temperature : of the wet surface [K]
    air_temperature : of the room [K]
    relative_humidity : of the room, over liquid water [1]
    film_coefficient : of convection at the same wall [W/m^2/K]
    pressure : absolute [Pa]

    Returns
    -------
    flux : [W/m^2]

    Range
    -----
    Wall and room from 273.16 K, wall below the boiling point at this pressure, mean of both not above
    373.15 K, humidity 0 to 1, coefficient not below zero; nan otherwise. Close to boiling the stream
    of vapour lifts the film off, and the coefficient given does not know.

    Source
    ------
    Analogy with the exponent 1/3 [incropera], eq. (6.60); diffusion through a resting gas, sec. 14.2.

    Example
    -------
    >>> round(float(evaporative_flux(333.15, 293.15, 0.5, 8.0, 101325.0)))
    2672
    """
    wall, air = np.asanyarray(wall_temperature), np.asanyarray(air_temperature)
    film = 0.5 * (wall + air)
    known = air_properties(film, pressure)
    diffusivity = known.thermal_conductivity / (known.density * known.specific_heat)
    lewis = diffusivity / vapour_diffusivity_in_air(film, pressure)
    transfer = _not_negative(film_coefficient) / (known.specific_heat * np.cbrt(lewis * lewis))
    around = _share(relative_humidity) * saturation_pressure_of_water(air)
    at_wall = saturation_pressure_of_water(wall)
    dry_here, dry_there = pressure - at_wall, pressure - around
    below = (dry_here > 0 * dry_here) & (dry_there > 0 * dry_there)
    drive = np.log(np.where(below, dry_there, np.nan) / np.where(below, dry_here, np.nan))
    mass = transfer * (WATER_MOLAR_MASS / AIR_MOLAR_MASS) * drive
    return mass * latent_heat_of_water(wall)


def wet_bulb_temperature(temperature: Real, relative_humidity: Real, pressure: Real) -> Real:
    """Wet-bulb temperature of air: what it cools to when it takes up all the water it can.

    Parameters
    ----------
    temperature : of the air [K]
    relative_humidity : over liquid water [1]
    pressure : absolute [Pa]

    Returns
    -------
    temperature : thermodynamic, of adiabatic saturation [K]

    Range
    -----
    Air from 273.16 K to below the boiling point at this pressure, humidity 0 to 1, wet bulb not below
    273.16 K; nan otherwise.

    Source
    ------
    The energy balance of adiabatic saturation [ashrae-fundamentals], psychrometrics.

    Example
    -------
    >>> round(float(wet_bulb_temperature(293.15, 0.5, 101325.0)) - 273.15, 1)
    13.8
    """
    saturated = saturation_pressure_of_water(temperature)
    air = np.where(saturated < pressure + 0 * saturated, temperature, np.nan)
    moisture = _moisture(_share(relative_humidity) * saturated, pressure)
    low, high = 0 * air + _TRIPLE_TEMPERATURE, air
    start = _surplus(low, air, moisture, pressure)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        surplus = _surplus(middle, air, moisture, pressure)
        warmer = surplus > 0 * surplus
        low, high = np.where(warmer, middle, low), np.where(warmer, high, middle)
    return np.where(start >= 0 * start, 0.5 * (low + high), np.nan)


def water_boil_off(heat: Real) -> Real:
    """Water that boils away at one atmosphere.

    Parameters
    ----------
    heat : that reaches water at its boiling point [W]

    Returns
    -------
    flow : of vapour [kg/s]

    Range
    -----
    Heat not below zero; nan otherwise. Water that is refilled cold takes some of the heat to warm up.

    Source
    ------
    Definition: heat by heat of vaporization, that at 373.124 K; `latent_heat_of_water`.

    Example
    -------
    >>> round(float(water_boil_off(100.0)) * 3.6e6, 1)
    159.5
    """
    return _not_negative(heat) / latent_heat_of_water(_BOILING_TEMPERATURE)


def coolant_heat(flow: Real, rise: Real) -> Real:
    """Heat that a stream of water takes along.

    Parameters
    ----------
    flow : volume of water in unit time, measured near 20 degC [m^3/s]
    rise : of its temperature from inlet to outlet [K]

    Returns
    -------
    heat : [W]

    Range
    -----
    Flow not below zero; nan otherwise. With the heat capacity of a volume at 20 degC, which falls by
    1.5 % to 60 degC.

    Source
    ------
    Definition: flow times heat capacity times rise; heat capacity of water from [wagner-pruss-2002].

    Example
    -------
    >>> round(float(coolant_heat(1e-3 / 60, 10.0)))
    696
    """
    return _not_negative(flow) * WATER_HEAT_CAPACITY * np.asanyarray(rise)


def _liquid(temperature: Real) -> Real:
    """The temperature where water can be a liquid, nan elsewhere."""
    given = np.asanyarray(temperature)
    return np.where((given >= _TRIPLE_TEMPERATURE) & (given <= _CRITICAL_TEMPERATURE), given, np.nan)


def _saturation(tau: Real) -> tuple[Real, Real]:
    """(T/Tc) ln(p/pc) at tau = 1 - T/Tc, and its slope by tau."""
    root, cube = np.sqrt(tau), tau * tau * tau
    a, b, c, d, e, f = _SATURATION
    total = tau * (a + root * b) + cube * (c + root * d + tau * e + cube * tau * root * f)
    steep = 3.0 * c + 3.5 * d * root + 4.0 * e * tau + 7.5 * f * cube * tau * root
    slope = a + 1.5 * b * root + tau * tau * steep
    return total, slope


def _densities(tau: Real) -> tuple[Real, Real]:
    """Densities of boiling liquid and of its vapour by the critical one."""
    x = np.cbrt(tau)  # the liquid is a series in it, the vapour an exponential of one
    half, x2 = np.sqrt(x), x * x
    x4 = x2 * x2
    x8 = x4 * x4
    x16 = x8 * x8
    x32 = x16 * x16
    a, b, c, d, e, f = _LIQUID
    far = x32 * x8 * x2 * x * (e + f * x32 * x32 * x2 * x)
    liquid = 1.0 + a * x + b * x2 + c * x4 * x + d * x16 + far
    a, b, c, d, e, f = _VAPOUR
    power = a * x + b * x2 + c * x4 + d * x8 * x + e * x16 * x2 * half + f * x32 * x2 * x * half
    return liquid, np.exp(power)


def _absolute(pressure: Real) -> Real:
    """The pressure where it is above zero, nan elsewhere."""
    given = np.asanyarray(pressure)
    return np.where(given > 0 * given, given, np.nan)


def _not_negative(value: Real) -> Real:
    """The value where it is not below zero, nan elsewhere."""
    given = np.asanyarray(value)
    return np.where(given >= 0 * given, given, np.nan)


def _share(value: Real) -> Real:
    """The value where it is from 0 to 1, nan elsewhere."""
    given = np.asanyarray(value)
    return np.where((given >= 0.0) & (given <= 1.0), given, np.nan)


def _moisture(vapour: Real, pressure: Real) -> Real:
    """Mass of vapour by mass of dry air."""
    return (WATER_MOLAR_MASS / AIR_MOLAR_MASS) * vapour / (pressure - vapour)


def _surplus(wet: Real, air: Real, moisture: Real, pressure: Real) -> Real:
    """Heat that the air gives in cooling to a wet bulb, less what its saturation takes."""
    given = (_DRY_AIR_HEAT + moisture * _VAPOUR_HEAT) * (air - wet)
    taken_up = _moisture(saturation_pressure_of_water(wet), pressure) - moisture
    return given - taken_up * latent_heat_of_water(wet)
