# SPDX-License-Identifier: MIT
"""Convection to air from the outside of tubes, plates and lids.

Low down: Nusselt numbers of dimensionless numbers, each with the range of its source. On top: the
film coefficients of a tube in still air and in a stream, with the properties of air taken at the
film temperature, the mean of wall and air.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.physics.air import air_properties
from retortwright.physics.constants import STANDARD_GRAVITY
from retortwright.physics.nusselt import (
    nusselt_cylinder_in_crossflow,
    nusselt_horizontal_cylinder,
    nusselt_upright_cylinder,
)

__all__ = [
    "combined_coefficient",
    "forced_film_coefficient",
    "free_film_coefficient",
    "inclined_coefficient",
    "rayleigh_number",
]

_AT_ONCE = 8192  # numbers that fit into the cache together with what is made of them


def rayleigh_number(difference: Real, film_temperature: Real, length: Real, pressure: Real) -> Real:
    """Rayleigh number of a wall in air.

    Parameters
    ----------
    difference : of wall and air temperature, of either sign [K]
    film_temperature : mean of wall and air [K]
    length : the characteristic one of the correlation it is for [m]
    pressure : absolute [Pa]

    Returns
    -------
    number : [1]

    Range
    -----
    Film 170 to 1500 K, pressure and length above zero; nan otherwise.

    Source
    ------
    Definition: g |dT| L^3 / (T nu alpha), with the expansion 1/T of a perfect gas [incropera], eq. (9.25).

    Example
    -------
    >>> round(float(rayleigh_number(50.0, 300.0, 0.1, 101325.0)) / 1e6, 2)
    4.7
    """
    air = air_properties(film_temperature, pressure)
    prandtl = air.viscosity * air.specific_heat / air.thermal_conductivity
    reach = _positive(length)
    ratio = air.density / air.viscosity
    lift = STANDARD_GRAVITY * np.abs(difference) / film_temperature
    return lift * ratio * ratio * prandtl * reach * reach * reach


def inclined_coefficient(level: Real, upright: Real, inclination: Real) -> Real:
    """Film coefficient of an inclined cylinder in free convection, from those of the two limits.

    The blend is ours. In laminar flow a film coefficient goes as the fourth root of gravity. So the
    flow across the tube, driven by g cos(a), would give h_level cos(a)^(1/4), the flow along it
    h_upright sin(a)^(1/4), and their eighth powers are added:
    h^8 = h_level^8 cos^2(a) + h_upright^8 sin^2(a). The weights add to one: level and upright come
    out exactly, and no inclination lies outside the two.

    Parameters
    ----------
    level : coefficient of the same cylinder lying level [W/m^2/K]
    upright : coefficient of the same cylinder standing upright [W/m^2/K]
    inclination : of the axis to the horizontal, of either sign [rad]

    Returns
    -------
    coefficient : [W/m^2/K]

    Range
    -----
    All inclinations. Not fitted to measurements.

    Source
    ------
    Exact in both limits; between them an interpolation made for this project.

    Example
    -------
    >>> round(float(inclined_coefficient(10.0, 5.0, 0.7854)), 2)
    9.17
    """
    across, along = np.cos(inclination), np.sin(inclination)
    total = _eighth(level) * across * across + _eighth(upright) * along * along
    return np.sqrt(np.sqrt(np.sqrt(total)))


def free_film_coefficient(
    wall_temperature: Real,
    air_temperature: Real,
    diameter: Real,
    length: Real,
    inclination: Real,
    pressure: Real,
) -> Real:
    """Film coefficient of free convection from a tube in still air.

    Parameters
    ----------
    wall_temperature : of the tube's outside, warmer or colder than the air [K]
    air_temperature : far from the tube [K]
    diameter : outer [m]
    length : of the whole straight tube, along which the air rises if it is not level [m]
    inclination : of its axis to the horizontal, of either sign [rad]
    pressure : absolute [Pa]

    Returns
    -------
    coefficient : averaged over the surface [W/m^2/K]

    Range
    -----
    Film temperature 170 to 1500 K, sizes and pressure above zero, Rayleigh number to 1e12 over the
    diameter and 1e13 over the length; nan otherwise. At equal temperatures it stays finite: the
    coefficient of conduction alone, in both correlations their constant term.
    Published scatter about 20 %; end faces and drafts are not in it.

    Source
    ------
    Level: [churchill-chu-1975]. Upright: [lefevre-ede-1956] joined to turbulence as in
    `nusselt_upright_cylinder`. Between them: `inclined_coefficient`.

    Example
    -------
    >>> round(float(free_film_coefficient(473.15, 293.15, 0.0254, 0.3, 0.0, 101325.0)), 2)
    9.64
    """
    given = (wall_temperature, air_temperature, diameter, length, inclination, pressure)
    return _by_rows(_free_film, *given)


def forced_film_coefficient(
    wall_temperature: Real, air_temperature: Real, diameter: Real, speed: Real, pressure: Real
) -> Real:
    """Film coefficient of a tube in a stream of air across it.

    Parameters
    ----------
    wall_temperature : of the tube's outside [K]
    air_temperature : of the stream [K]
    diameter : outer [m]
    speed : of the stream before the tube [m/s]
    pressure : absolute [Pa]

    Returns
    -------
    coefficient : averaged over the surface [W/m^2/K]

    Range
    -----
    Film temperature 170 to 1500 K, diameter and pressure above zero, Re Pr above 0.2 (1 mm/s on
    10 mm), Re to 1e7; nan otherwise. Without a stream, speed zero, there is no forced convection: zero.

    Source
    ------
    [churchill-bernstein-1977], properties at the film temperature.

    Example
    -------
    >>> round(float(forced_film_coefficient(473.15, 293.15, 0.0254, 2.0, 101325.0)), 1)
    29.7
    """
    return _by_rows(_forced_film, wall_temperature, air_temperature, diameter, speed, pressure)


def combined_coefficient(free: Real, forced: Real) -> Real:
    """Film coefficient where free convection and a stream across a tube act together.

    Parameters
    ----------
    free : coefficient of free convection alone [W/m^2/K]
    forced : coefficient of the stream alone [W/m^2/K]

    Returns
    -------
    coefficient : [W/m^2/K]

    Range
    -----
    Both not below zero; nan otherwise. For a stream across the buoyant flow or with it; one that
    blows down against it can give less than either alone.

    Source
    ------
    Sum of the fourth powers, the exponent recommended for cylinders in transverse flow [incropera],
    eq. (9.64) and the text below it.

    Example
    -------
    >>> round(float(combined_coefficient(10.0, 10.0)), 2)
    11.89
    """
    still, moved = np.asanyarray(free), np.asanyarray(forced)
    still = np.where(still >= 0 * still, still, np.nan)
    moved = np.where(moved >= 0 * moved, moved, np.nan)
    still, moved = still * still, moved * moved
    return np.sqrt(np.sqrt(still * still + moved * moved))  # type: ignore[no-any-return]


def _positive(size: Real) -> Real:
    """The size where it is above zero, nan elsewhere."""
    given = np.asanyarray(size)
    return np.where(given > 0 * given, given, np.nan)


def _eighth(value: Real) -> Real:
    """The eighth power by three squarings."""
    square = value * value
    fourth = square * square
    return fourth * fourth


def _free_film(
    wall: Real, air: Real, diameter: Real, length: Real, inclination: Real, pressure: Real
) -> Real:
    """Free convection from a tube, in one piece."""
    wall = np.asanyarray(wall)
    film, difference = 0.5 * (wall + air), np.abs(wall - air)
    width, height = _positive(diameter), _positive(length)
    known = air_properties(film, pressure)
    prandtl = known.viscosity * known.specific_heat / known.thermal_conductivity
    ratio = known.density / known.viscosity
    driving = STANDARD_GRAVITY * difference / film * (ratio * ratio) * prandtl  # Rayleigh number by L^3
    level = nusselt_horizontal_cylinder(driving * (width * width * width), prandtl)
    upright = nusselt_upright_cylinder(driving * (height * height * height), prandtl, height / width)
    return known.thermal_conductivity * inclined_coefficient(level / width, upright / height, inclination)


def _forced_film(wall: Real, air: Real, diameter: Real, speed: Real, pressure: Real) -> Real:
    """A stream across a tube, in one piece."""
    width, stream = _positive(diameter), np.asanyarray(speed)
    known = air_properties(0.5 * (np.asanyarray(wall) + air), pressure)
    prandtl = known.viscosity * known.specific_heat / known.thermal_conductivity
    nusselt = nusselt_cylinder_in_crossflow(known.density * stream * width / known.viscosity, prandtl)
    moving = np.where(stream == 0 * stream, 0.0, nusselt)
    return moving * known.thermal_conductivity / width


def _by_rows(formula: Callable[..., Real], *given: Real) -> Real:
    """A formula of large arrays, worked out over a few rows at a time.

    The numbers are the same; temporary arrays that stay in the cache make it nearly twice as fast.
    """
    shape = np.broadcast_shapes(*(np.shape(one) for one in given))
    rows = max(1, _AT_ONCE // int(np.prod(shape[1:], dtype=np.int64) or 1)) if shape else 1
    if not shape or shape[0] <= rows:
        return formula(*given)
    cut = [np.asanyarray(one) for one in given]
    varies = [one.ndim == len(shape) and one.shape[0] > 1 for one in cut]
    pieces = [
        formula(*(one[at : at + rows] if differs else one for one, differs in zip(cut, varies, strict=True)))
        for at in range(0, shape[0], rows)
    ]
    return np.concatenate(pieces)
