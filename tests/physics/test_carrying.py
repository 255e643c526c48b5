# SPDX-License-Identifier: MIT
"""Vapour carried by a gas: Stefan's law without flow, saturation with much, the balance in between."""

from __future__ import annotations

import numpy as np
from scipy.integrate import solve_ivp

from retortwright.physics.carrying import carried_flux
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.physics.vaporisation import stefan_flux

_TOTAL, _SPREAD, _HOT, _LONG = 1e4, 2e-3, 700.0, 0.1


def test_a_gas_that_stands_still_gives_stefans_law() -> None:
    near, far = np.array([10.0, 1e3, 9.9e3, 5e3]), np.array([0.0, 200.0, 0.0, 5e3])
    found = carried_flux(_TOTAL, near, far, _SPREAD, _HOT, _LONG, 0.0)
    np.testing.assert_allclose(
        found, stefan_flux(_TOTAL, near, far, _SPREAD, _HOT, _LONG), rtol=1e-12
    )  # exact


def test_a_fast_gas_is_saturated_at_the_near_end() -> None:
    near = np.array([10.0, 1e3, 9e3])
    found = carried_flux(_TOTAL, near, 0.0, _SPREAD, _HOT, _LONG, 50.0)
    np.testing.assert_allclose(
        found, 50.0 * near / (_TOTAL - near), rtol=1e-9
    )  # exact: the limit of much gas


def test_the_profile_that_belongs_to_it_begins_where_it_should() -> None:
    dense = _TOTAL / (GAS_CONSTANT * _HOT)
    for gas, near, far in ((0.05, 3e3, 100.0), (0.5, 8e3, 0.0)):
        flux = float(carried_flux(_TOTAL, near, far, _SPREAD, _HOT, _LONG, gas))

        def slope(_: float, share: np.ndarray, flux: float = flux, gas: float = gas) -> np.ndarray:
            return ((flux + gas) * share - flux) / (dense * _SPREAD)

        back = solve_ivp(slope, (_LONG, 0.0), [far / _TOTAL], rtol=1e-11, atol=1e-13)
        np.testing.assert_allclose(back.y[0, -1], near / _TOTAL, rtol=1e-8)  # exact: the balance itself


def test_more_gas_carries_more_and_never_less_than_diffuses() -> None:
    found = carried_flux(_TOTAL, 2e3, 0.0, _SPREAD, _HOT, _LONG, np.geomspace(1e-4, 10.0, 12))
    assert np.all(np.diff(found) > 0.0)
    assert found[0] > stefan_flux(_TOTAL, 2e3, 0.0, _SPREAD, _HOT, _LONG)


def test_boiling_vapour_and_wrong_ends_give_nothing() -> None:
    assert np.isnan(carried_flux(_TOTAL, _TOTAL, 0.0, _SPREAD, _HOT, _LONG, 0.1))
    assert np.isnan(carried_flux(_TOTAL, 100.0, 200.0, _SPREAD, _HOT, _LONG, 0.1))
    assert np.isnan(carried_flux(_TOTAL, 200.0, 100.0, _SPREAD, _HOT, _LONG, -0.1))
