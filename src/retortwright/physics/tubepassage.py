# SPDX-License-Identifier: MIT
"""Flow of a gas through a round tube of any length, from free-molecular to viscous and choked.

The tube proper and its two ends resist one after the other. The tube passes what its flow
coefficient says; the ends pass what a hole passes, corrected by the factor that makes the sum exact
where the gas is molecular. In creeping flow the sum is exact too: the ends then count as 3 pi / 8
radii of tube. A tube into vacuum, one radius long, comes out within 1.3 % of what is recalled of
direct simulation [varoutis-2008] at rarefaction 0.1, 1 and 10.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly
from retortwright.physics.clausing import tube_transmission
from retortwright.physics.gas import effusion_flux, most_probable_speed, rarefaction
from retortwright.physics.orifice import orifice_ratio
from retortwright.physics.transition import poiseuille_coefficient, thermal_creep_coefficient

__all__ = ["TubeFlow", "long_tube_mass_flow", "mean_viscosity", "transpired_pressure", "tube_flow"]

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(10)
_STEPS = 3
_LAMINAR = 2000.0  # Reynolds number below which flow in a tube stays laminar


@dataclass(frozen=True, slots=True)
class TubeFlow:
    """Flow through a tube, positive from the first end to the second."""

    mass_flow: Real
    molar_flow: Real
    reynolds: Real


@quietly
def long_tube_mass_flow(
    radius: Real,
    length: Real,
    inlet_pressure: Real,
    outlet_pressure: Real,
    temperature: Real,
    viscosity: Real,
    molar_mass: Real,
    accommodation: Real,
) -> Real:
    """Mass flow through a tube of one temperature, so long that its ends do not matter.

    Parameters
    ----------
    radius : of the tube [m]
    length : of the tube [m]
    inlet_pressure : at one end [Pa]
    outlet_pressure : at the other end [Pa]
    temperature : of tube and gas [K]
    viscosity : of the gas [Pa s]
    molar_mass : of its molecules [kg/mol]
    accommodation : share of the molecules that leave the wall diffusely [1]

    Returns
    -------
    flow : [kg/s]

    Range
    -----
    Pressures not below zero, accommodation 0.5 to 1, the rest above zero; nan otherwise. Laminar
    flow. At a length of 20 radii the ends take a tenth of it.

    Source
    ------
    Integral of the flow coefficient over the pressure [sharipov-seleznev-1998], section 4.

    Example
    -------
    >>> f"{long_tube_mass_flow(0.004, 0.4, 100.0, 0.0, 600.0, 3e-5, 0.1329055, 1.0):.3e}"
    '1.309e-06'
    """
    step = (inlet_pressure - outlet_pressure) / 2
    middle = (inlet_pressure + outlet_pressure) / 2
    mean: Real = 0.0
    for node, weight in zip(_NODES, _WEIGHTS, strict=True):
        thin = rarefaction(radius, middle + node * step, viscosity, temperature, molar_mass)
        mean = mean + weight / 2 * poiseuille_coefficient(thin, accommodation)
    speed = most_probable_speed(temperature, molar_mass)
    flow = np.divide(np.pi * radius**3 * 2 * step, length * speed) * mean
    return kept(positive(radius, length) & not_negative(inlet_pressure, outlet_pressure), flow)


@quietly
def mean_viscosity(
    inlet_temperature: Real, outlet_temperature: Real, inlet_viscosity: Real, outlet_viscosity: Real
) -> Real:
    """Viscosity at the mean temperature that resists like the gas along a tube with a gradient.

    Parameters
    ----------
    inlet_temperature : at one end [K]
    outlet_temperature : at the other end [K]
    inlet_viscosity : of the gas at one end [Pa s]
    outlet_viscosity : of the gas at the other end [Pa s]

    Returns
    -------
    viscosity : [Pa s]

    Range
    -----
    All above zero; nan otherwise. Temperature linear along the tube.

    Source
    ------
    Exact for Poiseuille flow: the mean of viscosity times temperature, over the mean temperature, by
    Simpson's rule with a power law between the ends.

    Example
    -------
    >>> round(float(mean_viscosity(300.0, 900.0, 2e-5, 4.8e-5)) * 1e5, 2)
    3.68
    """
    middle = (inlet_temperature + outlet_temperature) / 2
    power = _viscosity_power(inlet_temperature, outlet_temperature, inlet_viscosity, outlet_viscosity)
    between = inlet_viscosity * _raised(np.divide(middle, inlet_temperature), power)
    ends = inlet_viscosity * inlet_temperature + outlet_viscosity * outlet_temperature
    inside = positive(inlet_temperature, outlet_temperature, inlet_viscosity, outlet_viscosity)
    return kept(inside, np.divide(ends + 4 * between * middle, 6 * middle))


@quietly
def transpired_pressure(
    radius: Real,
    pressure: Real,
    temperature: Real,
    other_temperature: Real,
    viscosity: Real,
    other_viscosity: Real,
    molar_mass: Real,
) -> Real:
    """Pressure at the other end of a tube with a gradient of temperature when nothing flows.

    Parameters
    ----------
    radius : of the tube [m]
    pressure : at this end [Pa]
    temperature : at this end [K]
    other_temperature : at the other end [K]
    viscosity : of the gas at this end [Pa s]
    other_viscosity : of the gas at the other end [Pa s]
    molar_mass : of its molecules [kg/mol]

    Returns
    -------
    pressure : at the other end [Pa]

    Range
    -----
    Pressure not below zero, the rest above zero; nan otherwise. Diffuse wall, monatomic gas. Exact
    for a molecular gas and in the limit of a dense one, within 0.5 % of the equation in between up to
    a ratio of temperatures of 4.

    Source
    ------
    dp / p = (G_T / G_P) dT / T [sharipov-seleznev-1998], section 5, in four steps of the midpoint rule.

    Example
    -------
    >>> round(float(transpired_pressure(0.005, 0.01, 300.0, 1123.15, 2.3e-5, 5.9e-5, 0.039948)), 4)
    0.0192
    """
    step = np.log(np.divide(other_temperature, temperature)) / _STEPS
    power = _viscosity_power(temperature, other_temperature, viscosity, other_viscosity)

    def held(pressure: Real, steps: float) -> Real:
        hotter = np.exp(steps * step)
        thicker = viscosity * _raised(hotter, power)
        thin = rarefaction(radius, pressure, thicker, temperature * hotter, molar_mass)
        ratio: Real = np.divide(thermal_creep_coefficient(thin), poiseuille_coefficient(thin, 1.0))
        return ratio

    reached: Real = 1.0 * pressure
    for past in range(_STEPS):
        half = reached * np.exp(step / 2 * held(reached, past))
        reached = reached * np.exp(step * held(half, past + 0.5))
    return kept(not_negative(pressure) & positive(radius, temperature, other_temperature), reached)


@quietly
def tube_flow(
    radius: Real,
    length: Real,
    inlet_pressure: Real,
    outlet_pressure: Real,
    inlet_temperature: Real,
    outlet_temperature: Real,
    inlet_viscosity: Real,
    outlet_viscosity: Real,
    molar_mass: Real,
    accommodation: Real,
    heat_capacity_ratio: Real,
) -> TubeFlow:
    """Flow through a tube with open ends, each at its own pressure and temperature.

    Parameters
    ----------
    radius : of the tube [m]
    length : of the tube [m]
    inlet_pressure : before the first end [Pa]
    outlet_pressure : before the second end [Pa]
    inlet_temperature : of the first end and the gas there [K]
    outlet_temperature : of the second end and the gas there [K]
    inlet_viscosity : of the gas at the first end [Pa s]
    outlet_viscosity : of the gas at the second end [Pa s]
    molar_mass : of its molecules [kg/mol]
    accommodation : share of the molecules that leave the wall diffusely [1]
    heat_capacity_ratio : at constant pressure over at constant volume; 5/3 of a monatomic gas [1]

    Returns
    -------
    mass_flow : from the first end to the second [kg/s]
    molar_flow : from the first end to the second [mol/s]
    reynolds : of the flow in the tube [1]

    Range
    -----
    Pressures not below zero, length up to 10000 radii, accommodation 0.5 to 1, heat capacity ratio
    above 1 to 1.7, Reynolds number to 2000, the rest above zero; nan otherwise. Exact for a
    molecular gas and for creeping flow of one temperature; into vacuum some 3 % in between. A long
    tube with ends of unlike temperature, up to a ratio of 3: within 3 % of the equation as a rule,
    10 % where a rarefied gas goes from cold to hot into vacuum, 5 % near balance.

    Source
    ------
    Tube and ends in series: flow coefficient of the tube [sharipov-seleznev-1998], transmission of
    [clausing-1932], ends in creeping flow [dagan-1982], ends into vacuum [fujimoto-usami-1984].

    Example
    -------
    >>> flow = tube_flow(0.005, 0.2, 116.0, 0.0, 600.0, 600.0, 1.8e-5, 1.8e-5, 0.0854678, 1.0, 5 / 3)
    >>> round(float(flow.mass_flow) * 60e3, 2)
    0.37
    """
    mean_temperature = (inlet_temperature + outlet_temperature) / 2
    viscosity = mean_viscosity(inlet_temperature, outlet_temperature, inlet_viscosity, outlet_viscosity)
    inlet = (inlet_pressure, inlet_temperature, mean_temperature, inlet_viscosity)
    outlet = (outlet_pressure, outlet_temperature, mean_temperature, outlet_viscosity)
    first, second = (transpired_pressure(radius, *end, viscosity, molar_mass) for end in (inlet, outlet))
    forward = np.greater_equal(first, second)
    high, low = np.maximum(first, second), np.minimum(first, second)
    bore = long_tube_mass_flow(
        radius, length, high, low, mean_temperature, viscosity, molar_mass, accommodation
    )
    pressure = np.where(forward, inlet_pressure, outlet_pressure)
    temperature = np.where(forward, inlet_temperature, outlet_temperature)
    thickness = np.where(forward, inlet_viscosity, outlet_viscosity)
    thin = rarefaction(radius, pressure, thickness, temperature, molar_mass)
    ratio = orifice_ratio(thin, np.divide(low, high), heat_capacity_ratio)
    hole = np.pi * radius**2 * effusion_flux(pressure, temperature, molar_mass) * ratio
    slender = np.divide(length, radius)
    ends = np.divide(1.0, tube_transmission(slender)) - 3 * slender / 8
    ends = 1 + np.divide(ends - 1, 1 + thin)
    flow = np.divide(bore * hole, hole + ends * bore)
    flow = np.where(np.greater(high, low), flow, 0 * bore)
    reynolds = np.divide(2 * flow, np.pi * radius * viscosity)
    inside = positive(radius, length, heat_capacity_ratio) & np.less_equal(reynolds, _LAMINAR)
    mass_flow = kept(inside, np.where(forward, 1.0, -1.0) * flow)
    return TubeFlow(mass_flow, np.divide(mass_flow, molar_mass), kept(inside, reynolds))


def _viscosity_power(temperature: Real, other: Real, viscosity: Real, other_viscosity: Real) -> Real:
    """Power of the temperature with which the viscosity grows between two ends; 0 between like ones."""
    hotter = np.log(np.divide(other, temperature))
    alike = np.less(np.abs(hotter), 1e-6)
    return np.where(alike, 0.0, np.divide(np.log(np.divide(other_viscosity, viscosity)), hotter))


def _raised(ratio: Real, power: Real) -> Real:
    """A ratio to a power, for numbers that may carry units."""
    raised: Real = np.exp(power * np.log(ratio))
    return raised
