# SPDX-License-Identifier: MIT
"""Air that hot metal takes up: the metal it eats, and the leak that a batch can bear."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly
from retortwright.physics.constants import GAS_CONSTANT

__all__ = ["bearable_leak", "impurity_taken", "metal_eaten"]


@quietly
def metal_eaten(
    molar_flow: Real,
    oxygen_share: Real,
    nitrogen_share: Real,
    metal_per_oxygen: Real,
    metal_per_nitrogen: Real,
    molar_mass: Real,
) -> Real:
    """Metal that a flow of air turns into oxide and nitride, all of the air being taken up.

    Parameters
    ----------
    molar_flow : of air [mol/s]
    oxygen_share : of the molecules of this air that are O2 [1]
    nitrogen_share : of the molecules of this air that are N2 [1]
    metal_per_oxygen : atoms of metal to one of oxygen in the oxide that forms [1]
    metal_per_nitrogen : atoms of metal to one of nitrogen; zero where no nitride forms [1]
    molar_mass : of the metal [kg/mol]

    Returns
    -------
    rate : [kg/s]

    Range
    -----
    Molar mass above zero, the rest not below zero, shares to 1; nan otherwise.

    Source
    ------
    Exact: stoichiometry, with two atoms to a molecule of either gas.

    Example
    -------
    >>> round(float(metal_eaten(4.103e-9, 0.2095, 0.7808, 2.0, 0.0, 0.0854678)) * 3600e6, 2)
    1.06
    """
    atoms = 2 * (oxygen_share * metal_per_oxygen + nitrogen_share * metal_per_nitrogen)
    inside = positive(molar_mass) & not_negative(molar_flow, oxygen_share, nitrogen_share)
    inside = inside & not_negative(metal_per_oxygen, metal_per_nitrogen)
    inside = inside & np.less_equal(oxygen_share, 1.0) & np.less_equal(nitrogen_share, 1.0)
    return kept(inside, molar_flow * atoms * molar_mass)


@quietly
def impurity_taken(molar_flow: Real, share: Real, atoms: Real, molar_mass: Real) -> Real:
    """Mass of one element that comes in with a flow of gas.

    Parameters
    ----------
    molar_flow : of the gas [mol/s]
    share : of its molecules that carry the element [1]
    atoms : of the element in such a molecule [1]
    molar_mass : of the element [kg/mol]

    Returns
    -------
    rate : [kg/s]

    Range
    -----
    Molar mass above zero, the rest not below zero, share to 1; nan otherwise.

    Source
    ------
    Exact: stoichiometry.

    Example
    -------
    >>> round(float(impurity_taken(4.103e-9, 0.2095, 2.0, 0.0159994)) * 3600e6, 3)
    0.099
    """
    inside = positive(molar_mass) & not_negative(molar_flow, share, atoms) & np.less_equal(share, 1.0)
    return kept(inside, molar_flow * share * atoms * molar_mass)


@quietly
def bearable_leak(allowed_mass: Real, time: Real, temperature: Real, mass_per_mole_of_air: Real) -> Real:
    """Leak of air that brings no more than an allowed mass in some time.

    Parameters
    ----------
    allowed_mass : of an element taken up, or of metal lost [kg]
    time : that the metal is hot [s]
    temperature : at which the leak is stated [K]
    mass_per_mole_of_air : of the element brought or the metal eaten [kg/mol]

    Returns
    -------
    leak : [Pa m^3/s]

    Range
    -----
    Time, temperature and mass per mole above zero, allowed mass not below zero; nan otherwise.

    Source
    ------
    Exact: stoichiometry and ideal gas, m R T / (t k).

    Example
    -------
    >>> f"{bearable_leak(0.5e-6, 4 * 3600.0, 293.15, 2 * 0.2095 * 0.0159994):.2e}"
    '1.26e-05'
    """
    leak = np.divide(allowed_mass * GAS_CONSTANT * temperature, time * mass_per_mole_of_air)
    inside = positive(time, temperature, mass_per_mole_of_air) & not_negative(allowed_mass)
    return kept(inside, leak)
