# SPDX-License-Identifier: MIT
"""What comes over with a metal as it distils: what stays in the pot, and what the walls of the line take up."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly

__all__ = ["impurity_left", "share_past_wall", "simple_distillate"]


@quietly
def impurity_left(product_left: Real, volatility: Real) -> Real:
    """Share of an impurity that is left in a pot from which the vapour is taken away as it forms.

    Parameters
    ----------
    product_left : share of the product still in the pot [1]
    volatility : impurity over product in the vapour, over the same in the pot [1]

    Returns
    -------
    left : share of the impurity still in the pot [1]

    Range
    -----
    Product left from 0 to 1, volatility not below zero and the same all along; pot and vapour well mixed;
    nan otherwise.

    Source
    ------
    Rayleigh's law of simple distillation, ln(n / n0) = a ln(m / m0) [rayleigh-1902], restated.

    Example
    -------
    >>> round(float(impurity_left(0.1, 0.2)), 4)
    0.631
    """
    inside = not_negative(product_left, volatility) & np.less_equal(product_left, 1.0)
    return kept(inside, np.power(product_left, volatility))


@quietly
def simple_distillate(first: Real, last: Real, volatility: Real) -> Real:
    """Impurity in a cut of a simple distillation, over what there was in the pot at the start.

    Parameters
    ----------
    first : share of the product that has come over when the cut begins [1]
    last : the same when it ends [1]
    volatility : impurity over product in the vapour, over the same in the pot [1]

    Returns
    -------
    ratio : impurity over product in the cut, over the same in the pot at the start [1]

    Range
    -----
    From 0 to 1, the cut ending after it begins, volatility not below zero and the same all along; pot and
    vapour well mixed; nan otherwise.

    Source
    ------
    Rayleigh's law of simple distillation between two cuts [rayleigh-1902], restated.

    Example
    -------
    >>> round(float(simple_distillate(0.05, 0.9, 0.2)), 4)
    0.4222
    """
    inside = not_negative(first, volatility) & np.less(first, last) & np.less_equal(last, 1.0)
    came = np.power(1.0 - first, volatility) - np.power(1.0 - last, volatility)
    return kept(inside, np.divide(came, last - first))


@quietly
def share_past_wall(
    sherwood: Real, diffusivity: Real, molar_density: Real, length: Real, molar_flow: Real
) -> Real:
    """Share of a trace in a stream that gets past a stretch of tube whose wall takes up all that comes to it.

    Parameters
    ----------
    sherwood : of the stream in the tube; 3.66 where it has settled [1]
    diffusivity : of the trace in the stream [m^2/s]
    molar_density : of the stream [mol/m^3]
    length : of the stretch [m]
    molar_flow : of the stream [mol/s]

    Returns
    -------
    share : that goes on, of what is above saturation at the wall [1]

    Range
    -----
    Laminar; flow above zero, the rest not below zero; nan otherwise. Near the start of a tube more is taken.

    Source
    ------
    Balance of the trace along the tube, exp(-pi Sh D n L / N); Sh as Nu of a settled laminar stream in a
    tube of even wall [incropera], section 8.4.

    Example
    -------
    >>> round(float(share_past_wall(3.66, 3e-3, 0.042, 0.02, 2e-5)), 3)
    0.235
    """
    inside = positive(molar_flow) & not_negative(sherwood, diffusivity, molar_density, length)
    return kept(inside, np.exp(-np.pi * sherwood * np.divide(diffusivity * molar_density * length, molar_flow)))
