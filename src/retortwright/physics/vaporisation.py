# SPDX-License-Identifier: MIT
"""How fast a metal evaporates: into vacuum, against a back pressure, through a gas, and when it boils.

Over a wide surface the vapour collides with itself; part of it falls back, and it leaves at the speed
of sound at most. What it does within a few free paths of the surface follows from the balances of mass,
momentum and energy across that layer, with a half-Maxwellian that falls back [anisimov-1968]. They
alone give 0.820 of the largest flux into vacuum; kinetic solutions give 0.844 [safarian-engh-2013], and
the share is stretched to end there.
"""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Array, Real
from retortwright.ground.ranges import kept, not_negative, plain, positive, quietly
from retortwright.physics.constants import AVOGADRO, BOLTZMANN, GAS_CONSTANT, STANDARD_GRAVITY
from retortwright.physics.gas import effusion_flux

__all__ = [
    "bubble_pressure_ratio",
    "evaporation_flux",
    "evaporation_flux_share",
    "facing_flux_share",
    "hard_sphere_diffusivity",
    "hertz_knudsen_flux",
    "stefan_flux",
]

_INTO_VACUUM = 0.844  # share of the largest flux that leaves over a wide surface
_SONIC = np.sqrt(5 / 6)  # speed of sound over the most probable speed, monatomic
_PLACES = 4001
_HALVINGS = 50


@quietly
def hertz_knudsen_flux(
    saturation_pressure: Real,
    back_pressure: Real,
    temperature: Real,
    molar_mass: Real,
    evaporation_coefficient: Real,
) -> Real:
    """Mass that leaves a surface where the vapour does not collide with itself.

    Parameters
    ----------
    saturation_pressure : at the surface [Pa]
    back_pressure : of the same vapour before the surface [Pa]
    temperature : of surface and vapour [K]
    molar_mass : of the molecules [kg/mol]
    evaporation_coefficient : share of the largest flux that a surface gives; 1 of a clean metal [1]

    Returns
    -------
    flux : negative where more condenses [kg/m^2/s]

    Range
    -----
    Pressures not below zero, temperature and molar mass above zero, coefficient above zero to 1; nan
    otherwise. A condenser within one free path of the surface; see the share over a wide one.

    Source
    ------
    Hertz and Knudsen, a (p_sat - p) sqrt(M / 2 pi R T) [dushman-1962], chapter 1.

    Example
    -------
    >>> round(float(hertz_knudsen_flux(100.0, 0.0, 534.1, 0.1329055, 1.0)), 3)
    0.218
    """
    outward = effusion_flux(saturation_pressure, temperature, molar_mass)
    back = effusion_flux(back_pressure, temperature, molar_mass)
    a = evaporation_coefficient
    return kept(positive(a) & np.less_equal(a, 1.0), a * (outward - back))


@quietly
def evaporation_flux_share(pressure_ratio: Real, evaporation_coefficient: Real) -> Real:
    """Flux of evaporation from a wide surface into its own vapour, over the largest that kinetics allow.

    Parameters
    ----------
    pressure_ratio : of the vapour beyond its layer of collisions, over that of saturation [1]
    evaporation_coefficient : share of the largest flux that a surface gives; 1 of a clean metal [1]

    Returns
    -------
    share : of saturation pressure times sqrt(M / 2 pi R T) [1]

    Range
    -----
    Pressure ratio 0 to 1, coefficient above zero to 1; nan outside. Monatomic vapour, plane surface.
    With coefficient 1: 1.668 of the difference of pressures at its weakest (kinetic theory 1.66), and
    0.844 below the ratio of 0.24, where the vapour leaves nearly as fast as sound. In between, an
    interpolation of our own that is at most 3 % above the balances alone.

    Source
    ------
    Balances across the layer [anisimov-1968], in the form of [ytrehus-1977]; both limits as
    [safarian-engh-2013] gives them. A coefficient below 1 mixes with what the surface throws back,
    diffuse and at its own temperature.

    Example
    -------
    >>> [round(float(evaporation_flux_share(ratio, 1.0)), 3) for ratio in (0.0, 0.5, 0.99)]
    [0.844, 0.696, 0.017]
    """
    ratio, a = np.broadcast_arrays(plain(pressure_ratio), plain(evaporation_coefficient))
    inside = (ratio >= 0) & (ratio <= 1) & (a > 0) & (a <= 1)
    low, high = np.zeros(ratio.shape), np.ones(ratio.shape)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        stock = a + np.interp(middle, _RATIOS, _SHARES) * (1 - a)
        below = middle * a < ratio * stock
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    share = np.interp((low + high) / 2, _RATIOS, _SHARES)
    return kept(inside, a * share / (a + share * (1 - a)))


@quietly
def evaporation_flux(
    saturation_pressure: Real,
    back_pressure: Real,
    temperature: Real,
    molar_mass: Real,
    evaporation_coefficient: Real,
) -> Real:
    """Mass that leaves a wide surface into its own vapour.

    Parameters
    ----------
    saturation_pressure : at the surface [Pa]
    back_pressure : of the same vapour beyond its layer of collisions [Pa]
    temperature : of the surface [K]
    molar_mass : of the molecules [kg/mol]
    evaporation_coefficient : share of the largest flux that a surface gives; 1 of a clean metal [1]

    Returns
    -------
    flux : [kg/m^2/s]

    Range
    -----
    Back pressure zero to saturation, which is above zero, and the range of the share; nan otherwise.

    Source
    ------
    Effusion [dushman-1962] times the share of [safarian-engh-2013].

    Example
    -------
    >>> round(float(evaporation_flux(100.0, 0.0, 534.1, 0.1329055, 1.0)), 3)
    0.184
    """
    share = evaporation_flux_share(np.divide(back_pressure, saturation_pressure), evaporation_coefficient)
    return kept(
        positive(saturation_pressure), share * effusion_flux(saturation_pressure, temperature, molar_mass)
    )


@quietly
def facing_flux_share(gap_ratio: Real, pressure_ratio: Real, evaporation_coefficient: Real) -> Real:
    """Share of the largest flux between a surface and a condenser at any distance before it.

    Parameters
    ----------
    gap_ratio : distance of the condenser over the free path of the vapour at saturation [1]
    pressure_ratio : of the vapour over the condenser, over that of saturation [1]
    evaporation_coefficient : share of the largest flux that a surface gives; 1 of a clean metal [1]

    Returns
    -------
    share : of saturation pressure times sqrt(M / 2 pi R T) [1]

    Range
    -----
    Gap not below zero and the range of the share over a wide surface; nan otherwise. Exact without
    collisions and far from the condenser. In between the two are mixed by gap over gap and free path,
    a rule of our own that no published value was compared with: off by no more than the two differ.

    Source
    ------
    Without collisions Hertz and Knudsen [dushman-1962]; with them [safarian-engh-2013].

    Example
    -------
    >>> [round(float(facing_flux_share(gap, 0.0, 1.0)), 3) for gap in (0.0, 1.0, 1000.0)]
    [1.0, 0.922, 0.844]
    """
    free = evaporation_coefficient * (1 - pressure_ratio)
    wide = evaporation_flux_share(pressure_ratio, evaporation_coefficient)
    layered = np.divide(gap_ratio, gap_ratio + 1)
    return kept(not_negative(gap_ratio), free + layered * (wide - free))


@quietly
def stefan_flux(
    total_pressure: Real,
    near_pressure: Real,
    far_pressure: Real,
    diffusivity: Real,
    temperature: Real,
    distance: Real,
) -> Real:
    """Vapour that diffuses through a gas that stands still.

    Parameters
    ----------
    total_pressure : of gas and vapour [Pa]
    near_pressure : of the vapour at the surface [Pa]
    far_pressure : of the vapour at the other end [Pa]
    diffusivity : of the vapour in the gas at this pressure and temperature [m^2/s]
    temperature : of both [K]
    distance : to the other end [m]

    Returns
    -------
    flux : [mol/m^2/s]

    Range
    -----
    Vapour pressures not below zero and below the total pressure, the rest above zero; nan otherwise. At
    the total pressure the metal boils, and diffusion sets no limit.

    Source
    ------
    Stefan, D P / (R T L) ln((P - p_far) / (P - p_near)) [bird-stewart-lightfoot], section on diffusion
    through a stagnant gas film.

    Example
    -------
    >>> round(float(stefan_flux(1e4, 1e3, 0.0, 2e-3, 700.0, 0.1)) * 1e3, 2)
    3.62
    """
    parted = np.log(np.divide(total_pressure - far_pressure, total_pressure - near_pressure))
    flux = np.divide(diffusivity * total_pressure, GAS_CONSTANT * temperature * distance) * parted
    inside = not_negative(near_pressure, far_pressure) & positive(diffusivity, temperature, distance)
    inside = inside & np.less(near_pressure, total_pressure) & np.less(far_pressure, total_pressure)
    return kept(inside, flux)


@quietly
def hard_sphere_diffusivity(
    pressure: Real, temperature: Real, molar_mass: Real, other_molar_mass: Real, collision_diameter: Real
) -> Real:
    """Diffusivity of one gas in another, of hard spheres.

    Parameters
    ----------
    pressure : of the mixture [Pa]
    temperature : of the mixture [K]
    molar_mass : of one gas [kg/mol]
    other_molar_mass : of the other [kg/mol]
    collision_diameter : distance of the two unlike centres at a collision [m]

    Returns
    -------
    diffusivity : [m^2/s]

    Range
    -----
    All above zero; nan otherwise. First order: exact within 2 % for like masses, up to 13 % too low for a
    trace of a heavy gas in a light one. Real pairs are softer: a diameter serves near the temperature for
    which it was found.

    Source
    ------
    Chapman and Enskog, 3 / (8 n d^2) sqrt(k T / 2 pi m) with m the reduced mass
    [chapman-cowling-1970], section 14.2.

    Example
    -------
    >>> round(float(hard_sphere_diffusivity(101325.0, 273.15, 0.0854678, 0.083798, 4.35e-10)) * 1e4, 3)
    0.068
    """
    reduced = np.divide(molar_mass * other_molar_mass, molar_mass + other_molar_mass) / AVOGADRO
    speed = np.sqrt(np.divide(BOLTZMANN * temperature, 2 * np.pi * reduced))
    crowding = np.divide(pressure, BOLTZMANN * temperature) * collision_diameter**2
    inside = positive(pressure, temperature, molar_mass, other_molar_mass, collision_diameter)
    return kept(inside, np.divide(3 * speed, 8 * crowding))


@quietly
def bubble_pressure_ratio(
    vapour_pressure: Real, pressure_above: Real, liquid_density: Real, depth: Real
) -> Real:
    """All vapours of a melt over the pressure on it at a depth: above 1 it boils there.

    Parameters
    ----------
    vapour_pressure : sum over all vapours [Pa]
    pressure_above : of all gas over the melt [Pa]
    liquid_density : [kg/m^3]
    depth : below the surface [m]

    Returns
    -------
    ratio : [1]

    Range
    -----
    Pressure above it or depth above zero, none below zero, density above zero; nan otherwise. What
    surface tension adds for a first small bubble is left out: boiling may set in late, and bump.

    Source
    ------
    Definition of boiling; hydrostatic pressure.

    Example
    -------
    >>> round(float(bubble_pressure_ratio(1000.0, 100.0, 1500.0, 0.02)), 2)
    2.54
    """
    held = pressure_above + liquid_density * STANDARD_GRAVITY * depth
    inside = not_negative(vapour_pressure, pressure_above, depth) & positive(liquid_density, held)
    return kept(inside, np.divide(vapour_pressure, held))


def _layer() -> tuple[Array, Array]:
    """Pressure beyond the layer over that of saturation, rising, and the share of the flux.

    For each speed, over the most probable one, the half-Maxwellian that falls back carries mass,
    momentum and energy in the parts f, g, h. Its strength follows from the three balances, which make
    one quadratic equation.
    """
    speed = np.linspace(_SONIC, 0.0, _PLACES)
    root, thin = np.sqrt(np.pi), np.exp(-(speed**2))
    nodes, weights = np.polynomial.legendre.leggauss(16)
    bell = np.exp(-((speed[:, None] * (nodes + 1) / 2) ** 2)) @ weights / 2
    back = 1 - 2 / root * speed * bell  # the complementary error function
    f = thin - root * speed * back
    g = (2 * speed**2 + 1) * back - 2 / root * speed * thin
    h = (speed**2 + 2) / 2 * thin - root * speed / 2 * (speed**2 + 2.5) * back
    mass, momentum, energy = 2 * root * speed, 4 * speed**2 + 2, root * speed * (speed**2 + 2.5)
    square, linear = f * h - g * g, mass * h + energy * f + 2 * momentum * g
    constant = mass * energy - momentum**2
    strength = -2 * constant / (linear + np.sqrt(linear**2 - 4 * square * constant))
    share = np.maximum.accumulate((mass / (mass + strength * f))[::-1])[::-1]
    stretch = (_INTO_VACUUM / share[0] - 1) / share[0]
    return 1 / (momentum - strength * g), share * (1 + stretch * share)


_RATIOS, _SHARES = _layer()
