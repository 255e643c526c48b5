# SPDX-License-Identifier: MIT
"""Gas that walks through a wall: through rubber and plastic as molecules, through hot metal as atoms."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly
from retortwright.physics.constants import GAS_CONSTANT

__all__ = [
    "activated",
    "metal_wall_hydrogen",
    "permeation_delay",
    "tube_wall_hydrogen",
    "tube_wall_permeation",
    "wall_permeation",
]


@quietly
def activated(temperature: Real, reference_temperature: Real, activation_energy: Real) -> Real:
    """How many times faster a thermally activated process runs than at a reference temperature.

    Parameters
    ----------
    temperature : at which it runs [K]
    reference_temperature : at which its speed is known [K]
    activation_energy : of the process [J/mol]

    Returns
    -------
    factor : [1]

    Range
    -----
    Temperatures above zero, activation energy not below zero; nan otherwise.

    Source
    ------
    Definition of an activation energy: exp(E / R (1 / T0 - 1 / T)).

    Example
    -------
    >>> round(float(activated(348.15, 298.15, 35e3)), 2)
    7.6
    """
    step = np.divide(activation_energy, GAS_CONSTANT) * (
        np.divide(1.0, reference_temperature) - np.divide(1.0, temperature)
    )
    return kept(positive(temperature, reference_temperature) & not_negative(activation_energy), np.exp(step))


@quietly
def wall_permeation(permeability: Real, area: Real, thickness: Real, outside: Real, inside: Real) -> Real:
    """Gas that permeates a flat wall of rubber, plastic or glass in the steady state, inward.

    Parameters
    ----------
    permeability : solubility times diffusivity of this gas in the wall [mol/m/s/Pa]
    area : of the wall [m^2]
    thickness : of the wall [m]
    outside : partial pressure of this gas outside [Pa]
    inside : partial pressure of this gas inside [Pa]

    Returns
    -------
    flow : positive inward [mol/s]

    Range
    -----
    Permeability and pressures not below zero, area and thickness above zero; nan otherwise.

    Source
    ------
    Henry's and Fick's laws, P A (p_out - p_in) / L [crank-park-1968], chapter 1.

    Example
    -------
    >>> f"{wall_permeation(2.2e-13, 1e-3, 2e-3, 21e3, 0.0):.2e}"
    '2.31e-09'
    """
    flow = permeability * area * (outside - inside) / thickness
    return kept(positive(area, thickness) & not_negative(permeability, outside, inside), flow)


@quietly
def tube_wall_permeation(
    permeability: Real, bore: Real, outer_diameter: Real, length: Real, outside: Real, inside: Real
) -> Real:
    """Gas that permeates the wall of a hose in the steady state, inward.

    Parameters
    ----------
    permeability : solubility times diffusivity of this gas in the wall [mol/m/s/Pa]
    bore : of the hose [m]
    outer_diameter : of the hose [m]
    length : of the hose [m]
    outside : partial pressure of this gas outside [Pa]
    inside : partial pressure of this gas inside [Pa]

    Returns
    -------
    flow : positive inward [mol/s]

    Range
    -----
    Outer diameter above the bore, permeability and pressures not below zero, the rest above zero;
    nan otherwise.

    Source
    ------
    Fick's law in a cylinder, 2 pi L P (p_out - p_in) / ln(D / d) [crank-park-1968], chapter 1.

    Example
    -------
    >>> f"{tube_wall_permeation(2.2e-13, 6e-3, 10e-3, 1.0, 21.2e3, 0.0):.2e}"
    '5.74e-08'
    """
    flow = 2 * np.pi * length * permeability * (outside - inside) / np.log(np.divide(outer_diameter, bore))
    inside_range = positive(bore, length) & np.greater(outer_diameter, bore)
    return kept(inside_range & not_negative(permeability, outside, inside), flow)


@quietly
def metal_wall_hydrogen(permeability: Real, area: Real, thickness: Real, outside: Real, inside: Real) -> Real:
    """Hydrogen that permeates a flat wall of metal in the steady state, inward.

    Parameters
    ----------
    permeability : of hydrogen in the metal at its temperature [mol/m/s/Pa^0.5]
    area : of the wall [m^2]
    thickness : of the wall [m]
    outside : pressure of hydrogen outside [Pa]
    inside : pressure of hydrogen inside [Pa]

    Returns
    -------
    flow : positive inward, negative where hydrogen leaves [mol/s]

    Range
    -----
    Permeability and pressures not below zero, area and thickness above zero; nan otherwise. Clean
    metal: an oxide skin lets 10 to 1000 times less pass, so that this is the most.

    Source
    ------
    Sieverts' and Fick's laws [san-marchi-2007], section 2.

    Example
    -------
    >>> f"{metal_wall_hydrogen(7.9e-10, 1e-2, 2e-3, 5e3, 0.0):.2e}"
    '2.79e-07'
    """
    flow = permeability * area * (np.sqrt(outside) - np.sqrt(inside)) / thickness
    return kept(positive(area, thickness) & not_negative(permeability, outside, inside), flow)


@quietly
def tube_wall_hydrogen(
    permeability: Real, bore: Real, outer_diameter: Real, length: Real, outside: Real, inside: Real
) -> Real:
    """Hydrogen that permeates the wall of a metal tube in the steady state, inward.

    Parameters
    ----------
    permeability : of hydrogen in the metal at its temperature [mol/m/s/Pa^0.5]
    bore : of the tube [m]
    outer_diameter : of the tube [m]
    length : of the tube [m]
    outside : pressure of hydrogen outside [Pa]
    inside : pressure of hydrogen inside [Pa]

    Returns
    -------
    flow : positive inward, negative where hydrogen leaves [mol/s]

    Range
    -----
    Outer diameter above the bore, permeability and pressures not below zero, the rest above zero;
    nan otherwise. Clean metal: an oxide skin lets 10 to 1000 times less pass.

    Source
    ------
    Sieverts' law and Fick's law in a cylinder [san-marchi-2007], section 2.

    Example
    -------
    >>> f"{tube_wall_hydrogen(1.5e-10, 22e-3, 25.4e-3, 0.1, 5e3, 0.0):.2e}"
    '4.64e-08'
    """
    roots = np.sqrt(outside) - np.sqrt(inside)
    flow = 2 * np.pi * length * permeability * roots / np.log(np.divide(outer_diameter, bore))
    inside_range = positive(bore, length) & np.greater(outer_diameter, bore)
    return kept(inside_range & not_negative(permeability, outside, inside), flow)


@quietly
def permeation_delay(thickness: Real, diffusivity: Real) -> Real:
    """Time until permeation through a wall is steady: its time lag.

    Parameters
    ----------
    thickness : of the wall [m]
    diffusivity : of the gas in the wall [m^2/s]

    Returns
    -------
    time : [s]

    Range
    -----
    Both above zero; nan otherwise.

    Source
    ------
    Time lag L^2 / 6 D [crank-park-1968], chapter 1.

    Example
    -------
    >>> round(float(permeation_delay(3e-3, 1e-10)) / 3600, 1)
    4.2
    """
    return kept(positive(thickness, diffusivity), np.divide(thickness**2, 6 * diffusivity))
