# SPDX-License-Identifier: MIT
"""Properties of dry air at the pressures of a room, where only the density knows the pressure."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.physics.constants import GAS_CONSTANT

__all__ = [
    "AIR_MOLAR_MASS",
    "UNITS",
    "AirProperties",
    "air_properties",
    "density",
    "kinematic_viscosity",
    "prandtl_number",
    "specific_heat",
    "thermal_conductivity",
    "thermal_diffusivity",
    "viscosity",
]

AIR_MOLAR_MASS = 0.0289644  # at sea level [us-standard-atmosphere-1976]

_VISCOSITY_FACTOR = 1.458e-6
_SUTHERLAND_TEMPERATURE = 110.4
_CONDUCTIVITY_FACTOR = 2.64638e-3
_CONDUCTIVITY_TEMPERATURE = 245.4
_CONDUCTIVITY_DECAY = 12.0 * 2.302585092994046  # 10^(-12 K/T) as exp(-_CONDUCTIVITY_DECAY/T)

# Published in kJ/kg/K over powers of T in K; here in J/kg/K over powers of T/1000 K.
_HEAT_UNIT = 1.0
_HEAT_SCALE = 1000.0
_HEAT = (1061.3, -432.82, 1023.4, -647.47, 138.64)

_COLDEST = 170.0
_HOTTEST = 1500.0
_VACUUM = 0.0

UNITS = {
    "AIR_MOLAR_MASS": "kg/mol",
    "_COLDEST": "K",
    "_CONDUCTIVITY_DECAY": "K",
    "_CONDUCTIVITY_FACTOR": "W/m/K^1.5",
    "_CONDUCTIVITY_TEMPERATURE": "K",
    "_HEAT_SCALE": "K",
    "_HEAT_UNIT": "J/kg/K",
    "_HOTTEST": "K",
    "_SUTHERLAND_TEMPERATURE": "K",
    "_VACUUM": "Pa",
    "_VISCOSITY_FACTOR": "Pa s/K^0.5",
}


@dataclass(frozen=True, slots=True)
class AirProperties:
    """What a film of air needs, at one temperature and pressure."""

    viscosity: Real
    thermal_conductivity: Real
    specific_heat: Real
    density: Real


def air_properties(temperature: Real, pressure: Real) -> AirProperties:
    """Four properties of dry air at once, for those who need them all.

    Parameters
    ----------
    temperature : of the air [K]
    pressure : absolute [Pa]

    Returns
    -------
    viscosity : dynamic [Pa s]
    thermal_conductivity : [W/m/K]
    specific_heat : at constant pressure [J/kg/K]
    density : [kg/m^3]

    Range
    -----
    170 to 1500 K, pressure above zero; nan otherwise.
    Near one atmosphere: viscosity and conductivity of air so thin that molecules seldom meet are less.

    Source
    ------
    As each property alone [us-standard-atmosphere-1976] [zografos-1987].

    Example
    -------
    >>> round(float(air_properties(300.0, 101325.0).thermal_conductivity), 5)
    0.02625
    """
    within = _within(temperature)
    root = within * np.sqrt(within)
    return AirProperties(
        viscosity=_VISCOSITY_FACTOR * root / (within + _SUTHERLAND_TEMPERATURE),
        thermal_conductivity=_conductivity(within, root),
        specific_heat=_heat(within),
        density=_absolute(pressure) * AIR_MOLAR_MASS / (GAS_CONSTANT * within),
    )


def viscosity(temperature: Real) -> Real:
    """Dynamic viscosity of air.

    Parameters
    ----------
    temperature : of the air [K]

    Returns
    -------
    viscosity : [Pa s]

    Range
    -----
    170 to 1500 K; nan otherwise. Lower than the reference equation of [lemmon-jacobsen-2004]
    by at most 1 % to 400 K, 3 % to 700 K, 5 % to 1100 K and 7 % at 1500 K.

    Source
    ------
    Sutherland's formula with the constants of [us-standard-atmosphere-1976], eq. (51).

    Example
    -------
    >>> round(float(viscosity(288.15)), 9)
    1.7894e-05
    """
    within = _within(temperature)
    return _VISCOSITY_FACTOR * within * np.sqrt(within) / (within + _SUTHERLAND_TEMPERATURE)


def thermal_conductivity(temperature: Real) -> Real:
    """Thermal conductivity of air.

    Parameters
    ----------
    temperature : of the air [K]

    Returns
    -------
    conductivity : [W/m/K]

    Range
    -----
    170 to 1500 K; nan otherwise. Within 1.4 % of the reference equation of [lemmon-jacobsen-2004]
    from 250 to 1100 K; lower by up to 3 % at 170 K and 4 % at 1500 K.

    Source
    ------
    The formula of [us-standard-atmosphere-1976], eq. (53).

    Example
    -------
    >>> round(float(thermal_conductivity(288.15)), 6)
    0.025326
    """
    within = _within(temperature)
    return _conductivity(within, within * np.sqrt(within))


def specific_heat(temperature: Real) -> Real:
    """Specific heat of air at constant pressure.

    Parameters
    ----------
    temperature : of the air [K]

    Returns
    -------
    heat : [J/kg/K]

    Range
    -----
    170 to 1500 K; nan otherwise; the source gives 100 to 3000 K. Within 1 % of the reference
    equation of [lemmon-2000] from 200 to 1200 K, within 2 % everywhere.

    Source
    ------
    Polynomial of the fourth degree [zografos-1987], table 1.

    Example
    -------
    >>> round(float(specific_heat(300.0)), 1)
    1007.2
    """
    return _heat(_within(temperature))


def density(temperature: Real, pressure: Real) -> Real:
    """Density of air as a perfect gas.

    Parameters
    ----------
    temperature : of the air [K]
    pressure : absolute [Pa]

    Returns
    -------
    density : [kg/m^3]

    Range
    -----
    170 to 1500 K, pressure above zero; nan otherwise.

    Source
    ------
    Perfect gas, rho = p M / (R T), with M of [us-standard-atmosphere-1976], eq. (42).

    Example
    -------
    >>> round(float(density(288.15, 101325.0)), 3)
    1.225
    """
    return _absolute(pressure) * AIR_MOLAR_MASS / (GAS_CONSTANT * _within(temperature))


def kinematic_viscosity(temperature: Real, pressure: Real) -> Real:
    """Kinematic viscosity of air.

    Parameters
    ----------
    temperature : of the air [K]
    pressure : absolute [Pa]

    Returns
    -------
    viscosity : [m^2/s]

    Range
    -----
    170 to 1500 K, pressure above zero; nan otherwise.

    Source
    ------
    Definition: dynamic viscosity by density.

    Example
    -------
    >>> round(float(kinematic_viscosity(288.15, 101325.0)), 8)
    1.461e-05
    """
    return viscosity(temperature) / density(temperature, pressure)


def thermal_diffusivity(temperature: Real, pressure: Real) -> Real:
    """Thermal diffusivity of air.

    Parameters
    ----------
    temperature : of the air [K]
    pressure : absolute [Pa]

    Returns
    -------
    diffusivity : [m^2/s]

    Range
    -----
    170 to 1500 K, pressure above zero; nan otherwise.

    Source
    ------
    Definition: conductivity by density and specific heat.

    Example
    -------
    >>> round(float(thermal_diffusivity(300.0, 101325.0)), 7)
    2.22e-05
    """
    air = air_properties(temperature, pressure)
    return air.thermal_conductivity / (air.density * air.specific_heat)


def prandtl_number(temperature: Real) -> Real:
    """Prandtl number of air.

    Parameters
    ----------
    temperature : of the air [K]

    Returns
    -------
    number : [1]

    Range
    -----
    170 to 1500 K; nan otherwise.

    Source
    ------
    Definition: viscosity times specific heat by conductivity.

    Example
    -------
    >>> round(float(prandtl_number(300.0)), 3)
    0.708
    """
    return viscosity(temperature) * specific_heat(temperature) / thermal_conductivity(temperature)


def _within(temperature: Real) -> Real:
    """The temperature where it lies in the range, nan elsewhere."""
    given = np.asanyarray(temperature)
    return np.where((given >= _COLDEST) & (given <= _HOTTEST), given, np.nan)


def _absolute(pressure: Real) -> Real:
    """The pressure where it is above zero, nan elsewhere."""
    given = np.asanyarray(pressure)
    return np.where(given > _VACUUM, given, np.nan)


def _conductivity(temperature: Real, root: Real) -> Real:
    """Thermal conductivity from T and T^1.5."""
    decay = np.exp(-_CONDUCTIVITY_DECAY / temperature)
    return _CONDUCTIVITY_FACTOR * root / (temperature + _CONDUCTIVITY_TEMPERATURE * decay)


def _heat(temperature: Real) -> Real:
    """The polynomial of the specific heat."""
    x = temperature / _HEAT_SCALE
    a, b, c, d, e = _HEAT
    return _HEAT_UNIT * (a + x * (b + x * (c + x * (d + x * e))))
