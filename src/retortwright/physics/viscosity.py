# SPDX-License-Identifier: MIT
"""Viscosity of a dilute gas from kinetic theory.

The diameter of a collision is an argument. For metal vapours it is known to perhaps a tenth, the
viscosity then to a fifth: give the diameter its band.
"""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, positive, quietly
from retortwright.physics.constants import AVOGADRO, BOLTZMANN

__all__ = [
    "hard_sphere_diameter",
    "hard_sphere_viscosity",
    "lennard_jones_collision_integral",
    "lennard_jones_viscosity",
]

# Fourth-order Chapman-Enskog solution for hard spheres over the first order.
_HARD_SPHERE_FACTOR = 1.016034


@quietly
def hard_sphere_viscosity(temperature: Real, molar_mass: Real, collision_diameter: Real) -> Real:
    """Viscosity of a dilute gas of hard spheres.

    Parameters
    ----------
    temperature : of the gas [K]
    molar_mass : of its molecules [kg/mol]
    collision_diameter : distance of two centres at a collision [m]

    Returns
    -------
    viscosity : [Pa s]

    Range
    -----
    All above zero; nan otherwise. Real molecules are softer: their viscosity grows faster with
    temperature, so a diameter serves near the temperature for which it was found.

    Source
    ------
    Chapman and Enskog, 1.016 * 5 sqrt(m k T / pi) / (16 d^2) [chapman-cowling-1970], section 10.2.

    Example
    -------
    >>> round(float(hard_sphere_viscosity(273.15, 0.039948, 3.659e-10)) * 1e6, 1)
    21.2
    """
    momentum = np.sqrt(np.divide(molar_mass, AVOGADRO) * BOLTZMANN * temperature / np.pi)
    viscosity = np.divide(_HARD_SPHERE_FACTOR * 5 / 16 * momentum, collision_diameter**2)
    return kept(positive(temperature, molar_mass, collision_diameter), viscosity)


@quietly
def hard_sphere_diameter(temperature: Real, molar_mass: Real, viscosity: Real) -> Real:
    """Diameter of the hard spheres that have a measured viscosity.

    Parameters
    ----------
    temperature : of the gas [K]
    molar_mass : of its molecules [kg/mol]
    viscosity : at that temperature [Pa s]

    Returns
    -------
    diameter : distance of two centres at a collision [m]

    Range
    -----
    All above zero; nan otherwise. Atoms are soft: the diameter falls as the temperature rises.

    Source
    ------
    Chapman and Enskog's viscosity, solved for the diameter [chapman-cowling-1970], section 10.2.

    Example
    -------
    >>> round(float(hard_sphere_diameter(1000.0, 0.00694, 130.6e-7)) * 1e10, 2)
    4.16
    """
    momentum = np.sqrt(np.divide(molar_mass, AVOGADRO) * BOLTZMANN * temperature / np.pi)
    squared = np.divide(_HARD_SPHERE_FACTOR * 5 / 16 * momentum, viscosity)
    return kept(positive(temperature, molar_mass, viscosity), np.sqrt(squared))


@quietly
def lennard_jones_collision_integral(reduced_temperature: Real) -> Real:
    """Collision integral (2,2) of the Lennard-Jones 12-6 molecule, over that of a hard sphere.

    Parameters
    ----------
    reduced_temperature : temperature over the depth of the well as a temperature [1]

    Returns
    -------
    integral : [1]

    Range
    -----
    Reduced temperature 0.3 to 100, where the fit is within 0.064 %; nan outside.

    Source
    ------
    Fit with its published coefficients [neufeld-1972], table 1.

    Example
    -------
    >>> round(float(lennard_jones_collision_integral(1.0)), 3)
    1.593
    """
    t = reduced_temperature
    smooth = 1.16145 * np.power(t, -0.14874) + 0.52487 * np.exp(-0.77320 * t) + 2.16178 * np.exp(-2.43787 * t)
    wave = -6.435e-4 * np.power(t, 0.14874) * np.sin(18.0323 * np.power(t, -0.76830) - 7.27371)
    return kept(np.greater_equal(t, 0.3) & np.less_equal(t, 100.0), smooth + wave)


@quietly
def lennard_jones_viscosity(
    temperature: Real, molar_mass: Real, collision_diameter: Real, well_temperature: Real
) -> Real:
    """Viscosity of a dilute gas of Lennard-Jones molecules.

    Parameters
    ----------
    temperature : of the gas [K]
    molar_mass : of its molecules [kg/mol]
    collision_diameter : distance of two centres at which they neither draw nor push [m]
    well_temperature : depth of the well of the potential over the Boltzmann constant [K]

    Returns
    -------
    viscosity : [Pa s]

    Range
    -----
    All above zero, temperature 0.3 to 100 times that of the well; nan otherwise. Far above the well
    the molecule is too hard: with one usual pair of figures argon comes out 6 % low at 1000 K.

    Source
    ------
    Chapman and Enskog, first order [hirschfelder-1954], eq. (8.2-18), with the collision integral
    of [neufeld-1972].

    Example
    -------
    >>> round(float(lennard_jones_viscosity(300.0, 0.039948, 3.542e-10, 93.3)) * 1e6, 1)
    22.8
    """
    momentum = np.sqrt(np.divide(molar_mass, AVOGADRO) * BOLTZMANN * temperature / np.pi)
    integral = lennard_jones_collision_integral(np.divide(temperature, well_temperature))
    viscosity = np.divide(5 / 16 * momentum, collision_diameter**2 * integral)
    inside = positive(temperature, molar_mass, collision_diameter, well_temperature)
    return kept(inside, viscosity)
