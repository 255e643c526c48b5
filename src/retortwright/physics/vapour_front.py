# SPDX-License-Identifier: MIT
"""A dead or rising arm that fills with vapour: the gas at its end, the front before it, what enters.

The vapour sweeps the gas into the cold end and condenses as far as the gas begins. What condenses runs
back and boils off again, as long as the rising vapour lets it.
"""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly
from retortwright.physics.choked import choked_over_molecular
from retortwright.physics.constants import GAS_CONSTANT, STANDARD_GRAVITY
from retortwright.physics.gas import effusion_flux, rarefaction
from retortwright.physics.orifice import orifice_ratio_into_vacuum

__all__ = [
    "diffusing_vapour_conductivity",
    "front_thickness",
    "gas_plug_length",
    "most_entering_flow",
    "reflux_limit_of_bore",
    "reflux_limit_of_film",
]

_FULLEST = 62.8  # rarefaction from which a hole passes as a continuum
_STEADIEST = 3.2  # Kutateladze number of a wide bore
_NEARLY = 1e-6


@quietly
def gas_plug_length(
    amount: Real,
    total_pressure: Real,
    vapour_pressure: Real,
    front_temperature: Real,
    end_temperature: Real,
    radius: Real,
) -> Real:
    """Length of a closed arm that its gas keeps free of vapour, with a flat front.

    Parameters
    ----------
    amount : of gas in the arm [mol]
    total_pressure : of the vapour before the front [Pa]
    vapour_pressure : of the metal over the wall behind the front [Pa]
    front_temperature : of the gas at the front [K]
    end_temperature : of the gas at the closed end; linear in between [K]
    radius : of the bore [m]

    Returns
    -------
    length : from the closed end to the front [m]

    Range
    -----
    Amount and vapour pressure not below zero, vapour pressure below the total pressure, the rest above
    zero; nan otherwise. A front thin beside the length: see its thickness.

    Source
    ------
    Flat front of a gas-loaded heat pipe [edwards-marcus-1972]: n R T / (A (P - p)), with T the mean
    that counts the gas, (T1 - T2) / ln(T1 / T2).

    Example
    -------
    >>> round(float(gas_plug_length(1e-7, 100.0, 0.0, 500.0, 300.0, 0.005)), 4)
    0.0414
    """
    step = np.log(np.divide(front_temperature, end_temperature))
    alike = np.less(np.abs(step), _NEARLY)
    mean = end_temperature * np.where(alike, 1 + step / 2, np.divide(np.expm1(step), step))
    room = np.pi * radius**2 * (total_pressure - vapour_pressure)
    inside = positive(front_temperature, end_temperature, radius) & not_negative(amount, vapour_pressure)
    inside = inside & np.less(vapour_pressure, total_pressure)
    return kept(inside, np.divide(amount * GAS_CONSTANT * mean, room))


@quietly
def diffusing_vapour_conductivity(
    diffusivity: Real, total_pressure: Real, vapour_pressure: Real, temperature: Real, molar_heat: Real
) -> Real:
    """Heat that vapour carries through gas as it diffuses and condenses, as a conductivity of the gas.

    Parameters
    ----------
    diffusivity : of the vapour in the gas [m^2/s]
    total_pressure : of gas and vapour [Pa]
    vapour_pressure : of the vapour, saturated along the wall [Pa]
    temperature : there [K]
    molar_heat : of condensation [J/mol]

    Returns
    -------
    conductivity : [W/m/K]

    Range
    -----
    Vapour pressure not below zero and below the total pressure, the rest above zero; nan otherwise.

    Source
    ------
    Stefan's diffusion along a saturated wall with Clausius and Clapeyron's slope, the exchange that makes
    the front of [edwards-marcus-1972] thick: D P / (P - p) * p L^2 / (R^2 T^3).

    Example
    -------
    >>> round(float(diffusing_vapour_conductivity(0.2, 100.0, 50.0, 540.0, 7.5e4)), 2)
    10.33
    """
    swept = np.divide(diffusivity * total_pressure, total_pressure - vapour_pressure)
    slope = np.divide(vapour_pressure * molar_heat**2, GAS_CONSTANT**2 * temperature**3)
    inside = positive(diffusivity, temperature, molar_heat) & not_negative(vapour_pressure)
    return kept(inside & np.less(vapour_pressure, total_pressure), swept * slope)


@quietly
def front_thickness(
    wall_conductance: Real, vapour_conductivity: Real, radius: Real, loss_by_length: Real
) -> Real:
    """Length over which the temperature of an arm fades behind the front.

    Parameters
    ----------
    wall_conductance : conductivity of the wall times its section [W m/K]
    vapour_conductivity : of the diffusing vapour [W/m/K]
    radius : of the bore [m]
    loss_by_length : of the outside to the room [W/m/K]

    Returns
    -------
    thickness : to 1/e of the excess over the room [m]

    Range
    -----
    Wall conductance, vapour conductivity not below zero, radius and loss above zero; nan otherwise. The
    vapour conductivity at half the vapour's pressure stands for the whole front. Where the result is no
    small part of the gas plug the flat front is too sharp a picture.

    Source
    ------
    Fin whose section conducts by wall and by diffusing vapour, after [edwards-marcus-1972]:
    sqrt((k A + k_v pi R^2) / G).

    Example
    -------
    >>> round(float(front_thickness(7e-4, 10.0, 0.005, 0.6)), 4)
    0.0498
    """
    carried = wall_conductance + vapour_conductivity * np.pi * radius**2
    inside = not_negative(wall_conductance, vapour_conductivity) & positive(radius, loss_by_length)
    return kept(inside, np.sqrt(np.divide(carried, loss_by_length)))


@quietly
def most_entering_flow(
    radius: Real,
    pressure: Real,
    temperature: Real,
    viscosity: Real,
    molar_mass: Real,
    heat_capacity_ratio: Real,
) -> Real:
    """The most vapour that can enter an arm, whatever condenses in it.

    Parameters
    ----------
    radius : of the bore at its entrance [m]
    pressure : of the vapour at rest before it [Pa]
    temperature : of the vapour there [K]
    viscosity : of the vapour [Pa s]
    molar_mass : of its molecules [kg/mol]
    heat_capacity_ratio : at constant pressure over at constant volume; 5/3 of a monatomic gas [1]

    Returns
    -------
    flow : [kg/s]

    Range
    -----
    Pressure not below zero, heat capacity ratio above 1 to 1.7, the rest above zero; nan otherwise. An
    upper end: a sharp entrance passes 0.83 to 0.86 of it where the vapour is dense.

    Source
    ------
    Effusion where the vapour is thin [dushman-1962], the isentropic limit where it is dense
    [iso-9300], from one to the other as through a thin hole [fujimoto-usami-1984].

    Example
    -------
    >>> f"{most_entering_flow(0.005, 1e4, 900.0, 2e-5, 0.1329055, 5 / 3):.3e}"
    '2.404e-03'
    """
    thin = np.minimum(rarefaction(radius, pressure, viscosity, temperature, molar_mass), _FULLEST)
    dense = np.divide(orifice_ratio_into_vacuum(thin) - 1, orifice_ratio_into_vacuum(_FULLEST) - 1)
    ratio = 1 + dense * (choked_over_molecular(heat_capacity_ratio) - 1)
    return kept(
        positive(radius), np.pi * radius**2 * effusion_flux(pressure, temperature, molar_mass) * ratio
    )


@quietly
def reflux_limit_of_bore(
    radius: Real, vapour_density: Real, liquid_density: Real, entrance_constant: Real
) -> Real:
    """Vapour that can rise in a vertical bore while all of it runs back as liquid, by the bore.

    Parameters
    ----------
    radius : of the bore [m]
    vapour_density : [kg/m^3]
    liquid_density : [kg/m^3]
    entrance_constant : 0.725 of sharp ends to 1 of rounded ones [1]

    Returns
    -------
    flow : of vapour, above which liquid is held or thrown up [kg/s]

    Range
    -----
    Entrance constant 0.7 to 1, vapour less dense than liquid, all above zero; nan otherwise. Found with
    water and air near 1 bar in bores of some 13 to 50 mm; with metal vapour of some hundred pascal it is
    an extrapolation, good to perhaps a factor of 2.

    Source
    ------
    Flooding, sqrt(j_v) + sqrt(j_l) = C [wallis-1969], section 11.4, for equal flows of mass.

    Example
    -------
    >>> f"{reflux_limit_of_bore(0.005, 1.3e-3, 1400.0, 0.725):.1e}"
    '1.6e-05'
    """
    weight = STANDARD_GRAVITY * 2 * radius * vapour_density * (liquid_density - vapour_density)
    shared = 1 + np.power(np.divide(vapour_density, liquid_density), 0.25)
    flow = np.pi * radius**2 * entrance_constant**2 * np.sqrt(weight) / shared**2
    inside = np.greater_equal(entrance_constant, 0.7) & np.less_equal(entrance_constant, 1.0)
    inside = inside & positive(radius, vapour_density) & np.less(vapour_density, liquid_density)
    return kept(inside, flow)


@quietly
def reflux_limit_of_film(
    radius: Real, vapour_density: Real, liquid_density: Real, surface_tension: Real
) -> Real:
    """Vapour that can rise in a vertical bore while all of it runs back, by what tears the film off.

    Parameters
    ----------
    radius : of the bore [m]
    vapour_density : [kg/m^3]
    liquid_density : [kg/m^3]
    surface_tension : of the liquid [N/m]

    Returns
    -------
    flow : of vapour, above which liquid is held or thrown up [kg/s]

    Range
    -----
    Vapour less dense than liquid, all above zero; nan otherwise. Found with closed vertical pipes of
    water, freons and alcohols; with metal vapour of some hundred pascal good to perhaps a factor of 2.

    Source
    ------
    Kutateladze number 3.2 tanh^2(0.5 Bo^(1/4)) with Bo the bore over the capillary length
    [tien-chung-1979].

    Example
    -------
    >>> f"{reflux_limit_of_film(0.005, 1.3e-3, 1400.0, 0.085):.1e}"
    '1.9e-05'
    """
    lifted = liquid_density - vapour_density
    bore = 2 * radius * np.sqrt(np.divide(STANDARD_GRAVITY * lifted, surface_tension))
    number = _STEADIEST * np.tanh(0.5 * np.power(bore, 0.25)) ** 2
    lift = np.sqrt(vapour_density * np.sqrt(STANDARD_GRAVITY * surface_tension * lifted))
    shared = 1 + np.power(np.divide(vapour_density, liquid_density), 0.25)
    inside = positive(radius, vapour_density, surface_tension) & np.less(vapour_density, liquid_density)
    return kept(inside, np.pi * radius**2 * number * lift / shared**2)
