# SPDX-License-Identifier: MIT
"""Flow of a gas through a thin round hole, from free-molecular to choked."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly
from retortwright.physics.choked import choked_flux_coefficient, isentropic_flux_share
from retortwright.physics.gas import effusion_flux, rarefaction

__all__ = ["orifice_mass_flow", "orifice_ratio", "orifice_ratio_into_vacuum"]

_DENSEST = 2000.0  # end of the experiments behind the fit, as a rarefaction parameter
_FULLEST = 62.8  # where the fit is largest; there the gas counts as a continuum
_MONATOMIC = 5.0 / 3.0
_SHARPNESS = 8.0  # of the change from the limit of friction to that of inertia


@quietly
def orifice_ratio_into_vacuum(rarefaction: Real) -> Real:
    """Flow of a monatomic gas through a thin hole into vacuum, over free-molecular effusion.

    Parameters
    ----------
    rarefaction : radius of the hole over the equivalent free path before it [1]

    Returns
    -------
    ratio : [1]

    Range
    -----
    Rarefaction 0 to 2000, the Knudsen numbers 2e-4 and up of the experiments; nan outside.
    Within 1.2 % of what is recalled of direct simulation.

    Source
    ------
    Fit to experiments [fujimoto-usami-1984], with coefficients recalled; the simulation is
    [sharipov-2004].

    Example
    -------
    >>> round(float(orifice_ratio_into_vacuum(1.0)), 3)
    1.124
    """
    d = rarefaction
    excess = np.divide(0.4733 * d**2 + 0.6005 * np.power(d, 1.5), d**2 + 4.559 * d + 3.094)
    return kept(not_negative(d) & np.less_equal(d, _DENSEST), 1 + excess)


@quietly
def orifice_ratio(rarefaction: Real, pressure_ratio: Real, heat_capacity_ratio: Real) -> Real:
    """Flow through a thin hole between two pressures, over free-molecular effusion into vacuum.

    Parameters
    ----------
    rarefaction : radius of the hole over the equivalent free path before it [1]
    pressure_ratio : pressure behind the hole over that before it [1]
    heat_capacity_ratio : at constant pressure over at constant volume; 5/3 of a monatomic gas [1]

    Returns
    -------
    ratio : [1]

    Range
    -----
    Rarefaction not below zero, pressure ratio 0 to 1, heat capacity ratio above 1 to 1.7; nan
    outside. Exact where the gas is molecular and in creeping flow; into vacuum the fit above, beyond
    its end the constant value of a continuum. In between, at pressure ratios from 0.1 to 1, an
    interpolation of our own that no published value was compared with: hold it for within 10 %.

    Source
    ------
    Into vacuum [fujimoto-usami-1984]; creeping flow, R^3 dp / 3 viscosity [dagan-1982], eq. (1);
    isentropic flow [shapiro-1953]; the other gases by their critical flux [iso-9300].

    Example
    -------
    >>> round(float(orifice_ratio(1.0, 0.5, 5 / 3)), 3)
    0.641
    """
    molecular = 1 - pressure_ratio
    dense = orifice_ratio_into_vacuum(_FULLEST)
    monatomic = orifice_ratio_into_vacuum(np.minimum(rarefaction, _DENSEST)) - 1
    other_gas = np.divide(choked_flux_coefficient(heat_capacity_ratio), choked_flux_coefficient(_MONATOMIC))
    continuum = dense * other_gas * isentropic_flux_share(pressure_ratio, heat_capacity_ratio)
    by_inertia = np.divide(monatomic, dense - 1) * (continuum - molecular)
    by_friction = molecular * (1 + pressure_ratio) * rarefaction / (3 * np.sqrt(np.pi))
    lower = np.minimum(by_inertia, by_friction)
    part = np.divide(lower, np.maximum(by_inertia, by_friction))
    excess = lower * np.power(1 + np.where(lower > 0, part, 0.0) ** _SHARPNESS, -1 / _SHARPNESS)
    return kept(not_negative(rarefaction), molecular + excess)


@quietly
def orifice_mass_flow(
    radius: Real,
    inlet_pressure: Real,
    outlet_pressure: Real,
    temperature: Real,
    viscosity: Real,
    molar_mass: Real,
    heat_capacity_ratio: Real,
) -> Real:
    """Mass flow through a thin round hole, from free-molecular to choked.

    Parameters
    ----------
    radius : of the hole [m]
    inlet_pressure : before the hole [Pa]
    outlet_pressure : behind the hole [Pa]
    temperature : of the gas [K]
    viscosity : of the gas [Pa s]
    molar_mass : of its molecules [kg/mol]
    heat_capacity_ratio : at constant pressure over at constant volume; 5/3 of a monatomic gas [1]

    Returns
    -------
    flow : [kg/s]

    Range
    -----
    Outlet pressure from zero to the inlet pressure, the rest above zero, heat capacity ratio above 1
    to 1.7; nan otherwise. Bands as for the ratio of an orifice.

    Source
    ------
    Effusion [dushman-1962] times the ratio of an orifice.

    Example
    -------
    >>> f"{orifice_mass_flow(0.002, 100.0, 0.0, 900.0, 3e-5, 0.1329055, 5 / 3):.2e}"
    '3.15e-06'
    """
    hole = rarefaction(radius, inlet_pressure, viscosity, temperature, molar_mass)
    ratio = orifice_ratio(hole, np.divide(outlet_pressure, inlet_pressure), heat_capacity_ratio)
    flow = np.pi * radius**2 * effusion_flux(inlet_pressure, temperature, molar_mass) * ratio
    return kept(positive(radius, inlet_pressure) & not_negative(outlet_pressure), flow)
