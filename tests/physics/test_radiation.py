# SPDX-License-Identifier: MIT
"""Radiation of grey walls."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.constants import STEFAN_BOLTZMANN
from retortwright.physics.radiation import (
    grey_body_flux,
    net_flux_concentric_cylinders,
    net_flux_parallel_plates,
)


@pytest.mark.parametrize(
    ("celsius", "kilowatts", "half_digit"),
    [(200, 1.94, 0.005), (400, 8.98, 0.005), (600, 26.0, 0.05), (800, 59.8, 0.05), (900, 85.6, 0.05)],
)
def test_loss_of_an_oxidised_wall_to_a_room(celsius: float, kilowatts: float, half_digit: float) -> None:
    # exact: Stefan-Boltzmann law, emissivity 0.8, room 20 degC, worked out independently
    flux = grey_body_flux(celsius + 273.15, 293.15, 0.8)
    assert flux / 1e3 == pytest.approx(kilowatts, abs=half_digit)


def test_parallel_plates_worked_by_hand() -> None:
    # exact: 1/0.8 + 1/0.5 - 1 = 2.25; sigma (800^4 - 400^4) = 21774.24 W/m^2
    assert net_flux_parallel_plates(800.0, 400.0, 0.8, 0.5) == pytest.approx(21774.24 / 2.25, rel=1e-6)
    # exact: black plates exchange all, swapped plates the opposite
    assert net_flux_parallel_plates(800.0, 400.0, 1.0, 1.0) == pytest.approx(21774.24, rel=1e-6)
    assert net_flux_parallel_plates(400.0, 800.0, 0.5, 0.8) == pytest.approx(-21774.24 / 2.25, rel=1e-6)


def test_cylinders_lie_between_plates_and_a_large_room() -> None:
    # exact: equal radii are plates, a far wall is a room
    near = net_flux_concentric_cylinders(800.0, 400.0, 0.8, 0.5, 0.01, 0.01)
    assert near == pytest.approx(net_flux_parallel_plates(800.0, 400.0, 0.8, 0.5), rel=1e-12)
    far = net_flux_concentric_cylinders(800.0, 400.0, 0.8, 0.5, 0.01, 1e9)
    assert far == pytest.approx(grey_body_flux(800.0, 400.0, 0.8), rel=1e-9)
    # exact: 1/0.8 + 0.5 (1/0.5 - 1) = 1.75
    middle = net_flux_concentric_cylinders(800.0, 400.0, 0.8, 0.5, 0.01, 0.02)
    assert middle == pytest.approx(21774.24 / 1.75, rel=1e-6)


def test_equal_temperatures_exchange_nothing() -> None:
    temperature = np.array([0.0, 300.0, 1200.0])
    # exact: second law
    assert np.all(grey_body_flux(temperature, temperature, 0.7) == 0)
    assert np.all(net_flux_parallel_plates(temperature, temperature, 0.7, 0.2) == 0)


def test_outside_the_range_there_is_no_number() -> None:
    assert np.isnan(grey_body_flux(-1.0, 300.0, 0.5))
    assert np.isnan(grey_body_flux(500.0, 300.0, np.array([0.0, 1.1, -1.0]))).all()
    assert np.isnan(net_flux_parallel_plates(500.0, -1.0, 0.5, 0.5))
    assert np.isnan(net_flux_parallel_plates(500.0, 300.0, 0.5, 5.0))
    inner = np.array([0.0, 0.02, -1.0])
    assert np.isnan(net_flux_concentric_cylinders(500.0, 300.0, 0.5, 0.5, inner, 0.01)).all()


def test_the_small_difference_is_linear() -> None:
    # exact: 4 sigma T^3 per kelvin
    slope = (grey_body_flux(500.01, 500.0, 1.0) - grey_body_flux(499.99, 500.0, 1.0)) / 0.02
    assert slope == pytest.approx(4 * STEFAN_BOLTZMANN * 500.0**3, rel=1e-6)
