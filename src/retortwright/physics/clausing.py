# SPDX-License-Identifier: MIT
"""Free-molecular transmission of a round tube: the share of molecules that pass, of those that enter.

The wall is diffuse. A ring of wall at z sends a molecule on to the far end with a chance s(z) that
obeys Clausing's integral equation. Written for the departure u of s from one half, the equation
belongs to a quadratic form, and the transmission is its extreme value; a few trial functions then
give nine digits. Every kernel below is written so that nothing cancels in a long tube.
"""

from __future__ import annotations

import numpy as np
from numpy.polynomial import legendre

from retortwright.ground.arrays import Array, Real
from retortwright.ground.ranges import each, kept, positive, quietly

__all__ = ["berman_transmission", "long_tube_transmission", "santeler_transmission", "tube_transmission"]

_TRIALS = 6
_NODES, _WEIGHTS = legendre.leggauss(8)
_LAYER = 2.0  # radii over which the end of a tube is felt, for the trial functions
_FIRST_PANEL = 0.5


def tube_transmission(length_ratio: Real) -> Real:
    """Free-molecular transmission of a round tube with diffuse walls.

    Parameters
    ----------
    length_ratio : length over radius [1]

    Returns
    -------
    transmission : [1]

    Range
    -----
    Length ratio 0 to 10000; nan outside. Numerical error below 1e-7 of the value.

    Source
    ------
    Integral equation of [clausing-1932]; in six digits the values of [cole-1977], table 1.

    Example
    -------
    >>> round(float(tube_transmission(2.0)), 6)
    0.514231
    """
    return each(_solve, length_ratio)


@quietly
def long_tube_transmission(length_ratio: Real) -> Real:
    """Limit of the transmission for very long tubes; 33 % too high at 10 radii, 6 % at 100.

    Parameters
    ----------
    length_ratio : length over radius [1]

    Returns
    -------
    transmission : [1]

    Range
    -----
    Length ratio of 100 or more; nan below.

    Source
    ------
    Knudsen and Smoluchowski, 8 R / 3 L [clausing-1932].

    Example
    -------
    >>> round(float(long_tube_transmission(1000.0)), 6)
    0.002667
    """
    return kept(np.greater_equal(length_ratio, 100.0), np.divide(8 / 3, length_ratio))


@quietly
def santeler_transmission(length_ratio: Real) -> Real:
    """Approximate transmission of a round tube, for use where a formula must be short.

    Parameters
    ----------
    length_ratio : length over radius [1]

    Returns
    -------
    transmission : [1]

    Range
    -----
    Length ratio not below zero; nan otherwise. Within 0.7 % of the exact value.

    Source
    ------
    Correction of the series formula [santeler-1986].

    Example
    -------
    >>> round(float(santeler_transmission(2.0)), 4)
    0.5143
    """
    correction = 1 + np.divide(1.0, 3 + 3 * length_ratio / 7)
    return kept(np.greater_equal(length_ratio, 0.0), np.divide(1.0, 1 + 3 * length_ratio / 8 * correction))


@quietly
def berman_transmission(length_ratio: Real) -> Real:
    """Approximate transmission of a round tube in closed form, from a linear trial function.

    Parameters
    ----------
    length_ratio : length over radius [1]

    Returns
    -------
    transmission : [1]

    Range
    -----
    Length ratio above zero to 1000; nan otherwise. Within 0.08 % of the exact value up to 100.

    Source
    ------
    Variational result [berman-1965], eq. (11), with y the length in diameters.

    Example
    -------
    >>> round(float(berman_transmission(2.0)), 4)
    0.5142
    """
    y = length_ratio / 2
    root = np.sqrt(1 + y**2)
    logarithm = np.log(y + root)
    upper = ((2 - y**2) * root + y**3 - 2) ** 2
    lower = 4.5 * (y * root - logarithm)
    value = 1 + y**2 - y * root - np.divide(upper, lower)
    return kept(positive(length_ratio) & np.less_equal(length_ratio, 1000.0), value)


def _solve(length: float) -> float:
    """Transmission of a tube of unit radius."""
    if not 0 <= length <= 1e4:
        return float("nan")
    if length < 1e-9:
        return 1.0
    quadratic, linear = _wall_pairs(length), np.zeros(_TRIALS + 1)
    place, weight = _panels(length / 2, _FIRST_PANEL)
    trial = _trials(place, length)
    near, far = _ring_to_end(place), _ring_to_end(length - place)
    quadratic = quadratic + 2 * (trial * ((near + far) * weight)[:, None]).T @ trial
    linear = ((far - near) * weight) @ trial
    departure = np.linalg.lstsq(quadratic, linear, rcond=1e-13)[0]
    return float(0.5 * (1 + _end_to_end(length)) - 2 * linear @ departure)


def _wall_pairs(length: float) -> Array:
    """Exchange between rings of wall, as a quadratic form in differences of the trial functions."""
    apart, apart_weight = _panels(length, _FIRST_PANEL)
    share, share_weight = _panels(1.0, 2 * _FIRST_PANEL / length)
    room = (length - apart)[:, None] / 2
    place = room * share
    weight = (_ring_to_ring(apart) * apart_weight)[:, None] * room * share_weight * 2
    difference = _trials(place, length) - _trials(place + apart[:, None], length)
    flat = difference.reshape(-1, difference.shape[-1])
    return np.asarray((flat * weight.ravel()[:, None]).T @ flat)


def _trials(place: Array, length: float) -> Array:
    """Trial functions, odd about the middle: straight, and features of either end."""
    straight = (1 - 2 * place / length)[..., None]
    ends = (legendre.legvander(2 * x / (x + _LAYER) - 1, _TRIALS)[..., 1:] for x in (place, length - place))
    near, far = ends
    return np.concatenate([straight, near - far], axis=-1)


def _panels(length: float, first: float) -> tuple[Array, Array]:
    """Gauss nodes and weights on panels that double in width from zero on."""
    count = max(1, int(np.ceil(np.log2(1 + length / first))))
    edges = (2.0 ** np.arange(count + 1) - 1) * length / (2.0**count - 1)
    width = np.diff(edges)[:, None] / 2
    return (edges[:-1, None] + width * (1 + _NODES)).ravel(), (width * _WEIGHTS).ravel()


def _ring_to_ring(apart: Array) -> Array:
    """Chance to go from a ring of wall to another one, by unit of width, unit radius."""
    root = np.hypot(apart, 2.0)
    return np.asarray((6 * apart**2 + 32) / (root**3 * (root**3 + apart * (apart**2 + 6))))


def _ring_to_end(apart: Array) -> Array:
    """Chance to go from a ring of wall straight out through an end."""
    root = np.hypot(apart, 2.0)
    return np.asarray(2 / (root * (apart**2 + 2 + apart * root)))


def _end_to_end(length: float) -> float:
    """Chance to go from one end straight out through the other."""
    return float(2 / (2 + length**2 + length * np.hypot(length, 2.0)))
