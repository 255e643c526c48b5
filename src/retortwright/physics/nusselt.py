# SPDX-License-Identifier: MIT
"""Nusselt numbers of free and forced convection on the outside of cylinders and plates."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real

__all__ = [
    "nusselt_cylinder_in_crossflow",
    "nusselt_cylinder_in_crossflow_by_bands",
    "nusselt_fine_wire",
    "nusselt_horizontal_cylinder",
    "nusselt_plate_facing_down",
    "nusselt_plate_facing_up",
    "nusselt_slender_cylinder",
    "nusselt_upright_cylinder",
    "nusselt_vertical_plate",
]

_NEXT_TO_NOTHING = 1e-300  # added to a number whose logarithm is taken; changes no other

# Re from, Re to, factor, exponent
_HILPERT = (
    (0.4, 4.0, 0.989, 0.330),
    (4.0, 40.0, 0.911, 0.385),
    (40.0, 4e3, 0.683, 0.466),
    (4e3, 4e4, 0.193, 0.618),
    (4e4, 4e5, 0.027, 0.805),
)


def nusselt_horizontal_cylinder(rayleigh: Real, prandtl: Real) -> Real:
    """Nusselt number of free convection around a horizontal cylinder.

    Parameters
    ----------
    rayleigh : over the diameter [1]
    prandtl : of the fluid at film temperature [1]

    Returns
    -------
    nusselt : over the diameter [1]

    Range
    -----
    Rayleigh number 0 to 1e12; nan otherwise. Below 1e-5, where nothing was measured, it is the
    constant 0.36 of the formula, times a difference of temperature that is then next to nothing.

    Source
    ------
    [churchill-chu-1975], eq. (10), the form for laminar and turbulent flow.

    Example
    -------
    >>> round(float(nusselt_horizontal_cylinder(0.69 * 2.63e9, 0.69)), 2)
    139.13
    """
    root = 0.60 + 0.387 * _sixth_root(_between(rayleigh, 0.0, 1e12), 0.559, prandtl)
    return root * root


def nusselt_vertical_plate(rayleigh: Real, prandtl: Real) -> Real:
    """Nusselt number of free convection along a vertical plate.

    Parameters
    ----------
    rayleigh : over the height [1]
    prandtl : of the fluid at film temperature [1]

    Returns
    -------
    nusselt : over the height [1]

    Range
    -----
    Rayleigh number 0 to 1e13; nan otherwise. Where the flow is still laminar it gives more than the
    laminar form of the same authors: by 17 % at 1e8, by a third at 1e9.

    Source
    ------
    [churchill-chu-1975-plate], eq. (9), the form for laminar and turbulent flow.

    Example
    -------
    >>> round(float(nusselt_vertical_plate(0.69 * 2.63e9, 0.69)), 2)
    147.16
    """
    root = 0.825 + 0.387 * _sixth_root(_between(rayleigh, 0.0, 1e13), 0.492, prandtl)
    return root * root


def nusselt_slender_cylinder(rayleigh: Real, prandtl: Real, slenderness: Real) -> Real:
    """Nusselt number of laminar free convection along an upright cylinder, slender or not.

    Parameters
    ----------
    rayleigh : over the length [1]
    prandtl : of the fluid at film temperature [1]
    slenderness : length by diameter [1]

    Returns
    -------
    nusselt : over the length [1]

    Range
    -----
    Rayleigh number 0 to 1e9 (laminar), slenderness above zero; nan otherwise.

    Source
    ------
    The closed form of the integral solution [lefevre-ede-1956].

    Example
    -------
    >>> round(float(nusselt_slender_cylinder(1e7, 0.7, 10.0)), 2)
    35.94
    """
    return _slender(_between(rayleigh, 0.0, 1e9), prandtl, slenderness)


def nusselt_upright_cylinder(rayleigh: Real, prandtl: Real, slenderness: Real) -> Real:
    """Nusselt number of free convection along an upright cylinder, laminar or turbulent.

    Parameters
    ----------
    rayleigh : over the length [1]
    prandtl : of the fluid at film temperature [1]
    slenderness : length by diameter [1]

    Returns
    -------
    nusselt : over the length [1]

    Range
    -----
    Rayleigh number 0 to 1e13, slenderness above zero; nan otherwise. Prandtl number of a gas.

    Source
    ------
    Laminar part [lefevre-ede-1956], turbulent part 0.10 Ra^(1/3) [incropera], eq. (9.24), joined by
    the sum of their sixth powers. The joint is ours; it adds 5 % at most at a Rayleigh number of 1e8.

    Example
    -------
    >>> round(float(nusselt_upright_cylinder(1e7, 0.7, 10.0)), 2)
    36.22
    """
    within = _between(rayleigh, 0.0, 1e13)
    laminar = _slender(within, prandtl, slenderness)
    square = laminar * laminar
    total = square * square * square + 1e-6 * within * within
    return np.exp(np.log(total) / 6.0)


def nusselt_fine_wire(rayleigh: Real) -> Real:
    """Nusselt number of free convection around a fine horizontal wire.

    Parameters
    ----------
    rayleigh : over the diameter [1]

    Returns
    -------
    nusselt : over the diameter [1]

    Range
    -----
    Rayleigh number 1e-10 to 1e-2; nan otherwise.

    Source
    ------
    [morgan-1975], the first band of his correlation; [holman], table 7.1.

    Example
    -------
    >>> round(float(nusselt_fine_wire(4.05e-5)), 3)
    0.375
    """
    return 0.675 * _between(rayleigh, 1e-10, 1e-2) ** 0.058


def nusselt_plate_facing_up(rayleigh: Real, prandtl: Real) -> Real:
    """Nusselt number of a hot horizontal plate that faces up, or a cold one that faces down.

    Parameters
    ----------
    rayleigh : over area by perimeter, of a disc a quarter of its diameter [1]
    prandtl : of the fluid at film temperature [1]

    Returns
    -------
    nusselt : over area by perimeter [1]

    Range
    -----
    Rayleigh number 1 to 1e11; nan otherwise. Laminar and turbulent branch meet with a step of 9 %.

    Source
    ------
    [vdi-heat-atlas], section F2, eqs. (7) to (9), after [stewartson-1958].

    Example
    -------
    >>> round(float(nusselt_plate_facing_up(1e5, 0.7)), 2)
    6.38
    """
    within = _between(rayleigh, 1.0, 1e11)
    driven = within * (1.0 + (0.322 / np.asanyarray(prandtl)) ** 0.55) ** (-20.0 / 11.0)
    return np.where(driven < 7e4, 0.766 * driven**0.2, 0.15 * driven ** (1.0 / 3.0))


def nusselt_plate_facing_down(rayleigh: Real, prandtl: Real) -> Real:
    """Nusselt number of a hot horizontal plate that faces down, or a cold one that faces up.

    Parameters
    ----------
    rayleigh : over area by perimeter, of a disc a quarter of its diameter [1]
    prandtl : of the fluid at film temperature [1]

    Returns
    -------
    nusselt : over area by perimeter [1]

    Range
    -----
    Rayleigh number 1e3 to 1e10; nan otherwise.

    Source
    ------
    [vdi-heat-atlas], section F2, the equation for the lower side.

    Example
    -------
    >>> round(float(nusselt_plate_facing_down(1e6, 0.7)), 2)
    7.69
    """
    within = _between(rayleigh, 1e3, 1e10)
    return 0.6 * (within * _damping(0.492, prandtl) ** (-16.0 / 9.0)) ** 0.2


def nusselt_cylinder_in_crossflow(reynolds: Real, prandtl: Real) -> Real:
    """Nusselt number of a cylinder in a stream across it.

    Parameters
    ----------
    reynolds : over the diameter, with the speed before the cylinder [1]
    prandtl : of the fluid at film temperature [1]

    Returns
    -------
    nusselt : over the diameter [1]

    Range
    -----
    Re Pr above 0.2 and Re to 1e7; nan otherwise. Its authors call it a lower bound: turbulence of
    the stream raises it.

    Source
    ------
    [churchill-bernstein-1977].

    Example
    -------
    >>> round(float(nusselt_cylinder_in_crossflow(6071.0, 0.7)), 1)
    40.6
    """
    given, prandtl = np.asanyarray(reynolds), np.asanyarray(prandtl)
    within = np.where((given * prandtl > 0.2) & (given <= 1e7), given, np.nan)
    root = np.cbrt(prandtl)
    damping = 1.0 + 0.4 ** (2.0 / 3.0) / (root * root)
    laminar = 0.62 * np.sqrt(within) * root / np.sqrt(np.sqrt(damping))
    eighth = np.sqrt(np.sqrt(np.sqrt(within / 282000.0)))
    square = eighth * eighth
    return 0.3 + laminar * (1.0 + square * square * eighth) ** 0.8  # type: ignore[no-any-return]


def nusselt_cylinder_in_crossflow_by_bands(reynolds: Real, prandtl: Real) -> Real:
    """Nusselt number of a cylinder in a stream across it, by powers of Re in five bands.

    Parameters
    ----------
    reynolds : over the diameter, with the speed before the cylinder [1]
    prandtl : of the fluid at film temperature [1]

    Returns
    -------
    nusselt : over the diameter [1]

    Range
    -----
    Re from 0.4 to 4e5, Pr from 0.7; nan otherwise.

    Source
    ------
    [hilpert-1933], with the cube root of Pr as in [incropera], eq. (7.52) and table 7.2.

    Example
    -------
    >>> round(float(nusselt_cylinder_in_crossflow_by_bands(6071.0, 0.7)), 1)
    37.3
    """
    given, prandtl = np.asanyarray(reynolds), np.asanyarray(prandtl)
    bands = [(given >= low) & (given < high) for low, high, _, _ in _HILPERT]
    factor = np.select(bands, [band[2] for band in _HILPERT], np.nan)
    power = np.select(bands, [band[3] for band in _HILPERT], np.nan)
    gas = np.where(prandtl >= 0.6, prandtl, np.nan)
    return factor * np.abs(given) ** power * np.cbrt(gas)  # type: ignore[no-any-return]


def _between(value: Real, low: float, high: float) -> Real:
    """The number where it lies in a range, nan elsewhere."""
    given = np.asanyarray(value)
    return np.where((given >= low) & (given <= high), given, np.nan)


def _damping(pivot: float, prandtl: Real) -> Real:
    """1 + (pivot/Pr)^(9/16), with the sixteenth root taken as four square roots."""
    root = np.sqrt(np.sqrt(np.sqrt(np.sqrt(pivot / np.asanyarray(prandtl)))))
    fourth = root * root * root * root
    return 1.0 + fourth * fourth * root  # type: ignore[no-any-return]


def _sixth_root(rayleigh: Real, pivot: float, prandtl: Real) -> Real:
    """The sixth root of Ra / [1 + (pivot/Pr)^(9/16)]^(16/9)."""
    logarithm = np.log(rayleigh + _NEXT_TO_NOTHING) / 6.0
    return np.exp(logarithm - (8.0 / 27.0) * np.log(_damping(pivot, prandtl)))


def _slender(rayleigh: Real, prandtl: Real, slenderness: Real) -> Real:
    """The form of Le Fevre and Ede, without its bound."""
    prandtl, long = np.asanyarray(prandtl), np.asanyarray(slenderness)
    long = np.where(long > 0.0, long, np.nan)
    plate = np.sqrt(np.sqrt(rayleigh * (7.0 * prandtl / (5.0 * (20.0 + 21.0 * prandtl)))))
    curvature = 4.0 * (272.0 + 315.0 * prandtl) / (35.0 * (64.0 + 63.0 * prandtl))
    return (4.0 / 3.0) * plate + curvature * long  # type: ignore[no-any-return]
