# SPDX-License-Identifier: MIT
"""Heat along a rod or tube wall that loses heat on the way, where a closed form exists."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Array, Real

__all__ = [
    "convective_tip_temperature",
    "fin_decay",
    "infinite_rod_heat",
    "insulated_tip_heat",
    "insulated_tip_temperature",
    "length_like_infinite",
    "long_fin_distance",
    "long_fin_heat",
]


def fin_decay(perimeter: Real, section: Real, conductivity: Real, film_coefficient: Real) -> Real:
    """How fast the excess temperature fades along a rod: it falls e-fold over the inverse of this.

    Parameters
    ----------
    perimeter : that loses heat [m]
    section : area of metal that conducts [m^2]
    conductivity : of the metal [W/m/K]
    film_coefficient : of the loss [W/m^2/K]

    Returns
    -------
    decay : [1/m]

    Range
    -----
    All above zero; nan otherwise. Constant coefficients, one temperature over the section.

    Source
    ------
    m = sqrt(h P / (k A)) [incropera], eq. (3.70).

    Example
    -------
    >>> round(float(fin_decay(9.4248e-3, 7.0686e-6, 15.0, 10.0)) * 0.03, 4)
    0.8944
    """
    loss = _positive(film_coefficient) * _positive(perimeter)
    return np.sqrt(loss / (_positive(conductivity) * _positive(section)))


def infinite_rod_heat(
    excess: Real, perimeter: Real, section: Real, conductivity: Real, film_coefficient: Real
) -> Real:
    """Heat into the base of a very long rod.

    Parameters
    ----------
    excess : of the base temperature over that of the air [K]
    perimeter : that loses heat [m]
    section : area of metal that conducts [m^2]
    conductivity : of the metal [W/m/K]
    film_coefficient : of the loss [W/m^2/K]

    Returns
    -------
    heat : [W]

    Range
    -----
    All but the excess above zero; nan otherwise. Rod longer than `length_like_infinite`.

    Source
    ------
    q = sqrt(h P k A) theta [incropera], eq. (3.85).

    Example
    -------
    >>> round(float(infinite_rod_heat(75.0, 0.015708, 1.9635e-5, 398.0, 100.0)), 1)
    8.3
    """
    loss = _positive(film_coefficient) * _positive(perimeter)
    return np.sqrt(loss * _positive(conductivity) * _positive(section)) * np.asanyarray(excess)  # type: ignore[no-any-return]


def length_like_infinite(decay: Real) -> Real:
    """Length from which a rod takes 99 % of the heat of an infinite one.

    Parameters
    ----------
    decay : of the rod, as `fin_decay` gives it [1/m]

    Returns
    -------
    length : [m]

    Range
    -----
    Decay above zero; nan otherwise.

    Source
    ------
    Exact: tanh(m L) = 0.99; the rule L = 2.65 / m of [incropera], example 3.9.

    Example
    -------
    >>> round(float(length_like_infinite(10.0)), 4)
    0.2647
    """
    return np.arctanh(0.99) / _positive(decay)  # type: ignore[no-any-return]


def insulated_tip_temperature(
    base_temperature: Real, air_temperature: Real, length: Real, decay: Real
) -> Real:
    """Temperature of the tip of a rod whose end loses nothing.

    Parameters
    ----------
    base_temperature : [K]
    air_temperature : [K]
    length : of the rod [m]
    decay : of the rod, as `fin_decay` gives it [1/m]

    Returns
    -------
    temperature : [K]

    Range
    -----
    Length not below zero, decay above zero; nan otherwise.

    Source
    ------
    theta / theta_base = 1 / cosh(m L) [incropera], eq. (3.80).

    Example
    -------
    >>> round(float(insulated_tip_temperature(393.15, 293.15, 0.03, 29.814)) - 273.15, 1)
    90.1
    """
    # 1 / cosh from exp(-m L), which no length makes overflow
    fade = np.exp(-_not_negative(length) * _positive(decay))
    excess = np.asanyarray(base_temperature) - air_temperature
    return air_temperature + excess * (2.0 * fade / (1.0 + fade * fade))


def insulated_tip_heat(infinite_heat: Real, length: Real, decay: Real) -> Real:
    """Heat into the base of a rod whose end loses nothing.

    Parameters
    ----------
    infinite_heat : of the same rod without end, as `infinite_rod_heat` gives it [W]
    length : of the rod [m]
    decay : of the rod, as `fin_decay` gives it [1/m]

    Returns
    -------
    heat : [W]

    Range
    -----
    Length not below zero, decay above zero; nan otherwise.

    Source
    ------
    q = sqrt(h P k A) theta tanh(m L) [incropera], eq. (3.81).

    Example
    -------
    >>> round(float(insulated_tip_heat(10.0, 0.1, 10.0)), 3)
    7.616
    """
    return np.asanyarray(infinite_heat) * np.tanh(_not_negative(length) * _positive(decay))


def convective_tip_temperature(
    base_temperature: Real, air_temperature: Real, length: Real, decay: Real, tip_loss: Real
) -> Real:
    """Temperature of the tip of a rod whose end loses heat as its side does.

    Parameters
    ----------
    base_temperature : [K]
    air_temperature : [K]
    length : of the rod [m]
    decay : of the rod, as `fin_decay` gives it [1/m]
    tip_loss : film coefficient at the tip by conductivity [1/m]

    Returns
    -------
    temperature : [K]

    Range
    -----
    Length and tip loss not below zero, decay above zero; nan otherwise.

    Source
    ------
    theta / theta_base = 1 / (cosh(m L) + (h / m k) sinh(m L)) [incropera], eq. (3.75) at x = L.

    Example
    -------
    >>> round(float(convective_tip_temperature(393.15, 293.15, 0.03, 29.814, 0.6667)) - 273.15, 2)
    88.96
    """
    fade = np.exp(-_not_negative(length) * _positive(decay))
    ratio = _not_negative(tip_loss) / _positive(decay)
    excess = np.asanyarray(base_temperature) - air_temperature
    spread = (1.0 + fade * fade) + ratio * (1.0 - fade * fade)
    return air_temperature + excess * (2.0 * fade / spread)


def long_fin_heat(
    temperature: Array, conductivity: Array, loss: Array, perimeter: Real, section: Real
) -> Array:
    """Heat that a very long fin carries where it has a given temperature, for any loss and conductivity.

    q dq = P A k f dT along the fin, f the loss in W/m^2 at T; so q^2 = 2 P A times the integral of
    k f dT from the air's temperature on. The integral is that of straight lines between the nodes.

    Parameters
    ----------
    temperature : nodes along the first axis, rising from that of the air to that of the base [K]
    conductivity : of the metal at the nodes [W/m/K]
    loss : flux from the surface at the nodes, zero at the first [W/m^2]
    perimeter : that loses heat [m]
    section : area of metal that conducts [m^2]

    Returns
    -------
    heat : at each node; the last is what enters at the base [W]

    Range
    -----
    Nodes not falling, conductivity, perimeter and section above zero, loss not below zero; nan otherwise.
    Long enough to come down to the temperature of the air.

    Source
    ------
    Exact but for the nodes: the first integral of the fin equation [kern-kraus], for constant
    coefficients `infinite_rod_heat`.

    Example
    -------
    >>> nodes = np.array([293.15, 393.15])
    >>> long_fin_heat(nodes, np.full(2, 20.0), 10.0 * (nodes - 293.15), 0.04, 3e-5).round(3).tolist()
    [0.0, 1.549]
    """
    nodes, flux = np.asanyarray(temperature), _not_negative(loss)
    work = _positive(conductivity) * flux
    step = nodes[1:] - nodes[:-1]
    step = np.where(step >= 0 * step, step, np.nan)
    total = np.cumsum(0.5 * (work[1:] + work[:-1]) * step, axis=0)
    total = np.concatenate([0 * total[:1], total])
    return np.asanyarray(np.sqrt(2.0 * _positive(perimeter) * _positive(section) * total))


def long_fin_distance(temperature: Array, conductivity: Array, heat: Array, section: Real) -> Array:
    """Distance from the base of a very long fin to where it has a given temperature.

    Parameters
    ----------
    temperature : nodes along the first axis, rising to that of the base [K]
    conductivity : of the metal at the nodes [W/m/K]
    heat : carried at the nodes, as `long_fin_heat` gives it [W]
    section : area of metal that conducts [m^2]

    Returns
    -------
    distance : of each node from the base; nan where no heat flows any more [m]

    Range
    -----
    Nodes not falling, conductivity and section above zero; nan otherwise.

    Source
    ------
    Exact but for the nodes: Fourier's law, dx = k A dT / q.

    Example
    -------
    >>> nodes = np.linspace(293.15, 393.15, 1001)
    >>> carried = long_fin_heat(nodes, np.full(1001, 20.0), 10.0 * (nodes - 293.15), 0.04, 3e-5)
    >>> round(float(long_fin_distance(nodes, np.full(1001, 20.0), carried, 3e-5)[500]) * 1e3, 2)
    26.85
    """
    nodes, carried = np.asanyarray(temperature), np.asanyarray(heat)
    carried = np.where(carried > 0 * carried, carried, np.nan)
    per_kelvin = _positive(conductivity) * _positive(section) / carried
    step = nodes[1:] - nodes[:-1]
    step = np.where(step >= 0 * step, step, np.nan)
    pieces = 0.5 * (per_kelvin[1:] + per_kelvin[:-1]) * step
    from_base = np.cumsum(pieces[::-1], axis=0)[::-1]
    return np.concatenate([from_base, 0 * from_base[-1:]])


def _positive(value: Real) -> Array:
    """The value where it is above zero, nan elsewhere."""
    given = np.asanyarray(value)
    return np.where(given > 0 * given, given, np.nan)


def _not_negative(value: Real) -> Array:
    """The value where it is not below zero, nan elsewhere."""
    given = np.asanyarray(value)
    return np.where(given >= 0 * given, given, np.nan)
