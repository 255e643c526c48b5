# SPDX-License-Identifier: MIT
"""Vapour that goes along a tube with a gas: how much diffuses, how much the gas carries."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Array, Real
from retortwright.ground.ranges import kept, not_negative, plain, positive, quietly
from retortwright.physics.constants import GAS_CONSTANT

__all__ = ["carried_flux"]

_HALVINGS = 60


@quietly
def carried_flux(
    total_pressure: Real,
    near_pressure: Real,
    far_pressure: Real,
    diffusivity: Real,
    temperature: Real,
    distance: Real,
    gas_flux: Real,
) -> Real:
    """Vapour that diffuses through a gas which itself flows the same way.

    Parameters
    ----------
    total_pressure : of gas and vapour [Pa]
    near_pressure : of the vapour at the near end [Pa]
    far_pressure : of the vapour at the far end, no higher [Pa]
    diffusivity : of the vapour in the gas at this pressure and temperature [m^2/s]
    temperature : of both [K]
    distance : from end to end [m]
    gas_flux : of the gas, away from the near end [mol/m^2/s]

    Returns
    -------
    flux : of the vapour [mol/m^2/s]

    Range
    -----
    Vapour pressures below the total, the far one not above the near one, flux of the gas not below zero,
    the rest above zero; nan otherwise. Even over the section: a tube much longer than wide. Where the gas
    stands still this is Stefan's law; where it flows fast, the vapour that saturates it at the near end.

    Source
    ------
    The same balance as Stefan's, N = y (N + G) - c D dy/dx with a gas that flows [bird-stewart-lightfoot],
    section on diffusion through a stagnant gas film; solved here for the number of Peclet by halving.

    Example
    -------
    >>> [round(float(carried_flux(1e4, 1e3, 0.0, 2e-3, 700.0, 0.1, gas)) * 1e3, 2) for gas in (0.0, 0.1, 10.0)]
    [3.62, 11.61, 1111.11]
    """
    slowest = np.divide(diffusivity * total_pressure, GAS_CONSTANT * temperature * distance)
    near, far, blown = np.broadcast_arrays(
        plain(np.divide(near_pressure, total_pressure)),
        plain(np.divide(far_pressure, total_pressure)),
        plain(np.divide(gas_flux, slowest)),
    )
    low = np.log((1 - far) / (1 - near))  # the number of Peclet of a gas that stands still
    high = low + blown / (1 - near)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        below = middle - _of_vapour(middle, near, far) < blown
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    inside = not_negative(far_pressure, near_pressure - far_pressure, gas_flux)
    inside = inside & positive(total_pressure - near_pressure, diffusivity, temperature, distance)
    return kept(inside, slowest * _of_vapour((low + high) / 2, near, far))


def _of_vapour(peclet: Array, near: Array, far: Array) -> Array:
    """The part of all that flows which is vapour, in units of the diffusion over the distance."""
    small = np.abs(peclet) < 1e-12
    ratio = np.where(small, 1.0, peclet / np.expm1(np.where(small, 1.0, peclet)))
    return np.asarray(peclet * near + (near - far) * ratio)
