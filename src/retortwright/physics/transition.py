# SPDX-License-Identifier: MIT
"""Flow coefficients of a long round tube at any rarefaction, with the minimum that Knudsen found.

The coefficients are solutions of the linearised kinetic equation, computed once by
tools/solve_tube_kinetics.py. In their terms a long tube passes

    mass flow = pi R^3 / v0 * (-G_P dp/dx + G_T p / T dT/dx)

with v0 the most probable speed.
"""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, quietly
from retortwright.physics.transition_table import CREEP, LEAST_ACCOMMODATION, POISEUILLE, RAREFACTION_ENDS

__all__ = [
    "knudsen_coefficient",
    "molecular_coefficient",
    "poiseuille_coefficient",
    "slip_coefficient",
    "thermal_creep_coefficient",
]

_LOW, _HIGH = RAREFACTION_ENDS
_MIDDLE = (np.log(_HIGH) + np.log(_LOW)) / 2
_HALF_WIDTH = (np.log(_HIGH) - np.log(_LOW)) / 2
_POISEUILLE_TAIL = 0.545  # of (G_P - rarefaction / 4) over the inverse of the rarefaction, diffuse wall
_CREEP_TAIL = 1.54  # of rarefaction * G_T over the inverse of the rarefaction


@quietly
def poiseuille_coefficient(rarefaction: Real, accommodation: Real) -> Real:
    """Flow by pressure through a long round tube, at any rarefaction.

    Parameters
    ----------
    rarefaction : radius over the equivalent free path [1]
    accommodation : share of the molecules that leave the wall diffusely [1]

    Returns
    -------
    coefficient : [1]

    Range
    -----
    Rarefaction not below zero; accommodation 0.5 to 1; nan outside. Numerical error below 1e-4 of
    the value. Other models of collision differ by up to 1.3 % near rarefaction 1. Laminar flow.

    Source
    ------
    Linearised BGK equation, own solution; agrees with [cercignani-sernagiotto-1966] within 0.04 %
    and with [porodnov-1979] within 1.1 %, both in [karniadakis-2005], table 15.5.

    Example
    -------
    >>> [round(float(poiseuille_coefficient(d, 1.0)), 3) for d in (0.0, 0.3, 10.0)]
    [1.505, 1.376, 3.564]
    """
    d, a = rarefaction, accommodation
    specular = np.divide(2 - a, a)
    share = np.divide(2 * a - 1 - LEAST_ACCOMMODATION, 1 - LEAST_ACCOMMODATION)
    columns = [_clenshaw(share, row) for row in POISEUILLE]
    inner = _clenshaw(_place(d), columns)
    lowest, highest = _clenshaw(-1.0, columns), _clenshaw(1.0, columns)
    thinner = _thin(d, molecular_coefficient(1.0), lowest)
    denser = highest - _POISEUILLE_TAIL * (1 / _HIGH - np.divide(1.0, d))
    rest = np.where(np.less(d, _LOW), thinner, np.where(np.greater(d, _HIGH), denser, inner))
    inside = not_negative(d) & np.greater_equal(a, LEAST_ACCOMMODATION) & np.less_equal(a, 1.0)
    return kept(inside, specular * rest + d / 4)


@quietly
def thermal_creep_coefficient(rarefaction: Real) -> Real:
    """Flow by a gradient of temperature along a long round tube with diffuse wall.

    Parameters
    ----------
    rarefaction : radius over the equivalent free path [1]

    Returns
    -------
    coefficient : [1]

    Range
    -----
    Rarefaction not below zero; nan otherwise. Monatomic gas; numerical error below 1e-4.

    Source
    ------
    Linearised S-model, own solution; the model and its use [sharipov-seleznev-1998], section 4.

    Example
    -------
    >>> [round(float(thermal_creep_coefficient(d)), 3) for d in (0.0, 1.0, 100.0)]
    [0.752, 0.397, 0.012]
    """
    d = rarefaction
    inner = np.divide(_clenshaw(_place(d), list(CREEP)), 1 + 2 * d)
    lowest = np.divide(_clenshaw(-1.0, list(CREEP)), 1 + 2 * _LOW)
    highest = np.divide(_clenshaw(1.0, list(CREEP)), 1 + 2 * _HIGH)
    thinner = _thin(d, molecular_coefficient(1.0) / 2, lowest)
    denser = np.divide(highest * _HIGH + _CREEP_TAIL * (1 / _HIGH - np.divide(1.0, d)), d)
    value = np.where(np.less(d, _LOW), thinner, np.where(np.greater(d, _HIGH), denser, inner))
    return kept(not_negative(d), value)


@quietly
def molecular_coefficient(accommodation: Real) -> Real:
    """Flow by pressure through a long round tube in the limit of no collisions in the gas.

    Parameters
    ----------
    accommodation : share of the molecules that leave the wall diffusely [1]

    Returns
    -------
    coefficient : [1]

    Range
    -----
    Accommodation above zero to 1; nan outside.

    Source
    ------
    Exact, 8 (2 - a) / (3 sqrt(pi) a) [sharipov-seleznev-1998], section 4.

    Example
    -------
    >>> round(float(molecular_coefficient(1.0)), 4)
    1.5045
    """
    a = accommodation
    value = 8 / (3 * np.sqrt(np.pi)) * np.divide(2 - a, a)
    return kept(np.greater(a, 0.0) & np.less_equal(a, 1.0), value)


@quietly
def slip_coefficient(rarefaction: Real, slip: Real) -> Real:
    """Flow by pressure through a long round tube of a slightly rarefied gas.

    Parameters
    ----------
    rarefaction : radius over the equivalent free path [1]
    slip : velocity slip coefficient; 1.018 at a diffuse wall [1]

    Returns
    -------
    coefficient : [1]

    Range
    -----
    Rarefaction of 10 or more, where it is within 1.5 %; nan below.

    Source
    ------
    Poiseuille flow with slip at the wall, rarefaction / 4 + slip [sharipov-seleznev-1998], section 4.

    Example
    -------
    >>> round(float(slip_coefficient(10.0, 1.018)), 3)
    3.518
    """
    return kept(np.greater_equal(rarefaction, 10.0), rarefaction / 4 + slip)


@quietly
def knudsen_coefficient(rarefaction: Real) -> Real:
    """Flow by pressure through a long round tube by the interpolation of Knudsen's experiments.

    Its minimum, 0.95 of the molecular value, is shallower than the 0.915 of the kinetic equation.

    Parameters
    ----------
    rarefaction : radius over the equivalent free path [1]

    Returns
    -------
    coefficient : [1]

    Range
    -----
    Rarefaction not below zero; nan otherwise. Within 6 % of the kinetic equation.

    Source
    ------
    [knudsen-1909], with his (1 + 1.00 x) / (1 + 1.24 x), x = diameter * p / (viscosity sqrt(R T / M)).

    Example
    -------
    >>> round(float(knudsen_coefficient(0.3)) / 1.5045, 3)
    0.951
    """
    x = 2 * np.sqrt(2.0) * rarefaction
    mixed = np.divide(1 + x, 1 + 1.24 * x) * molecular_coefficient(1.0)
    return kept(not_negative(rarefaction), rarefaction / 4 + mixed)


def _place(rarefaction: Real) -> Real:
    """Where a rarefaction lies in the table, from -1 to 1."""
    place: Real = np.clip((np.log(rarefaction) - _MIDDLE) / _HALF_WIDTH, -1.0, 1.0)
    return place


def _thin(rarefaction: Real, limit: Real, lowest: Real) -> Real:
    """A coefficient below the table: it nears its limit like d ln d."""
    logarithm = np.log(np.divide(np.maximum(rarefaction, 1e-300), _LOW))
    value: Real = limit + rarefaction * (logarithm + (lowest - limit) / _LOW)
    return value


def _clenshaw(place: Real, coefficients: list[Real]) -> Real:
    """Sum of a Chebyshev series, lowest order first."""
    later: Real = 0.0 * place
    latest: Real = 0.0 * place
    total: Real
    for coefficient in coefficients[:0:-1]:
        later, latest = coefficient + 2 * place * later - latest, later
    total = coefficients[0] + place * later - latest
    return total
