# SPDX-License-Identifier: MIT
"""Rods and fins against worked examples of textbooks and exact integrals."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from retortwright.physics import rod
from retortwright.physics.constants import STEFAN_BOLTZMANN
from retortwright.physics.radiation import grey_body_flux

PERIMETER, SECTION = np.pi * 0.005, np.pi * 0.005**2 / 4


@pytest.mark.parametrize(
    ("conductivity", "heat", "printed", "length"),
    [(398.0, 8.31, 8.3, 0.19), (180.0, 5.59, 5.6, 0.13), (14.0, 1.56, 1.6, 0.04)],
)
def test_very_long_rods(conductivity: float, heat: float, printed: float, length: float) -> None:
    # published: Incropera & DeWitt, example 3.9: 5 mm rods of copper, aluminium and stainless steel, 100 degC
    # in air of 25 degC, h = 100; 8.3, 5.6, 1.6 W and 0.19, 0.13, 0.04 m
    ours = rod.infinite_rod_heat(75.0, PERIMETER, SECTION, conductivity, 100.0)
    assert ours == pytest.approx(heat, abs=0.005)
    assert ours == pytest.approx(printed, abs=0.05)
    decay = rod.fin_decay(PERIMETER, SECTION, conductivity, 100.0)
    assert rod.length_like_infinite(decay) == pytest.approx(length, abs=0.005)


def test_pin_with_insulated_tip() -> None:
    # published: Sukhatme, A Textbook on Heat Transfer, example 2.13(b), p. 73: m L = 0.8944, tip 90.06 degC
    decay = rod.fin_decay(np.pi * 0.003, np.pi * 0.003**2 / 4, 15.0, 10.0)
    assert decay * 0.03 == pytest.approx(0.8944, abs=0.00005)
    tip = rod.insulated_tip_temperature(393.15, 293.15, 0.03, decay) - 273.15
    assert tip == pytest.approx(90.06, abs=0.005)


def test_insulated_tip_heat_is_what_the_side_loses() -> None:
    decay = rod.fin_decay(PERIMETER, SECTION, 14.0, 100.0)
    infinite = rod.infinite_rod_heat(75.0, PERIMETER, SECTION, 14.0, 100.0)
    # exact: integral of h P theta over the length, theta = 75 cosh m(L - x) / cosh m L
    x = np.linspace(0.0, 0.02, 20001)
    excess = 75.0 * np.cosh(decay * (0.02 - x)) / np.cosh(decay * 0.02)
    lost = np.trapezoid(100.0 * PERIMETER * excess, x)
    assert rod.insulated_tip_heat(infinite, 0.02, decay) == pytest.approx(lost, rel=1e-8)
    # exact: 99 % at the length that is like infinite
    share = rod.insulated_tip_heat(1.0, rod.length_like_infinite(decay), decay)
    assert share == pytest.approx(0.99, rel=1e-12)


def test_tips_by_a_general_solver() -> None:
    # exact: theta'' = m^2 theta with theta' = -(h/k) theta at the tip
    decay, tip_loss, length = 30.0, 2.0, 0.03
    found = solve_bvp(
        lambda x, y: np.vstack([y[1], decay**2 * y[0]]),
        lambda a, b: np.array([a[0] - 100.0, b[1] + tip_loss * b[0]]),
        np.linspace(0.0, length, 11), np.full((2, 11), 50.0), tol=1e-9,
    )
    ours = rod.convective_tip_temperature(393.15, 293.15, length, decay, tip_loss)
    assert ours - 293.15 == pytest.approx(found.y[0, -1], rel=1e-7)
    # exact: a tip that loses nothing
    none = rod.convective_tip_temperature(393.15, 293.15, length, decay, 0.0)
    assert none == pytest.approx(rod.insulated_tip_temperature(393.15, 293.15, length, decay), rel=1e-13)


def test_very_long_rods_do_not_overflow() -> None:
    assert rod.insulated_tip_temperature(393.15, 293.15, 1e4, 100.0) == pytest.approx(293.15, rel=1e-14)
    assert rod.convective_tip_temperature(393.15, 293.15, 1e4, 100.0, 1.0) == pytest.approx(293.15, rel=1e-14)


def test_long_fin_with_constant_coefficients_is_the_infinite_rod() -> None:
    nodes = np.array([298.15, 300.0, 350.0, 373.15])
    heat = rod.long_fin_heat(nodes, np.full(4, 398.0), 100.0 * (nodes - 298.15), PERIMETER, SECTION)
    # exact: the integrand is a straight line, so that any nodes do
    assert heat[-1] == pytest.approx(rod.infinite_rod_heat(75.0, PERIMETER, SECTION, 398.0, 100.0), rel=1e-12)
    assert heat[0] == 0.0


def test_long_fin_that_only_radiates() -> None:
    nodes = np.linspace(0.0, 1000.0, 2001)
    heat = rod.long_fin_heat(nodes, np.full(2001, 20.0), grey_body_flux(nodes, 0.0, 0.8), 0.04, 3e-5)
    # exact: q = sqrt(0.4 k A P eps sigma T^5) into empty space
    expected = np.sqrt(0.4 * 20.0 * 3e-5 * 0.04 * 0.8 * STEFAN_BOLTZMANN * 1000.0**5)
    assert heat[-1] == pytest.approx(expected, rel=1e-6)


def test_hot_tube_in_a_room() -> None:
    # exact: tube of 12.7 mm outside, 0.9 mm wall, k = 20, h = 10, emissivity 0.8, base 800 degC, room
    # 20 degC: 28.89 W; 500, 200, 100, 50 degC at 10.1, 37.0, 62.5, 94.7 mm, worked out independently
    nodes = np.linspace(293.15, 1073.15, 5001)
    perimeter, section = np.pi * 0.0127, np.pi / 4 * (0.0127**2 - 0.0109**2)
    conductivity = np.full(5001, 20.0)
    loss = 10.0 * (nodes - 293.15) + grey_body_flux(nodes, 293.15, 0.8)
    heat = rod.long_fin_heat(nodes, conductivity, loss, perimeter, section)
    assert heat[-1] == pytest.approx(28.89, abs=0.005)
    place = 1e3 * np.interp(
        np.array([500.0, 200.0, 100.0, 50.0]) + 273.15,
        nodes,
        rod.long_fin_distance(nodes, conductivity, heat, section),
    )
    np.testing.assert_allclose(place, [10.1, 37.0, 62.5, 94.7], rtol=0, atol=0.05)


def test_long_fin_for_many_samples() -> None:
    nodes = np.linspace(300.0, 900.0, 101)[:, None] * np.ones(3)
    loss = np.array([5.0, 10.0, 20.0]) * (nodes - 300.0)
    heat = rod.long_fin_heat(nodes, np.full((101, 3), 15.0), loss, 0.04, 3e-5)
    assert heat.shape == (101, 3)
    # exact: q goes as the square root of h
    np.testing.assert_allclose(heat[-1] / heat[-1, 0], np.sqrt([1.0, 2.0, 4.0]), rtol=1e-12)
    place = rod.long_fin_distance(nodes, np.full((101, 3), 15.0), heat, 3e-5)
    assert np.all(place[-1] == 0)
    assert np.isnan(place[0]).all()


def test_outside_the_range_there_is_no_number() -> None:
    ones, falling = np.ones(2), np.array([400.0, 300.0])
    for value in (
        rod.fin_decay(0.0, 1.0, 1.0, 1.0),
        rod.fin_decay(1.0, 0.0, 1.0, 1.0),
        rod.fin_decay(1.0, 1.0, -1.0, 1.0),
        rod.fin_decay(1.0, 1.0, 1.0, 0.0),
        rod.infinite_rod_heat(10.0, 1.0, 1.0, 0.0, 1.0),
        rod.length_like_infinite(np.array([0.0, -1.0])),
        rod.insulated_tip_temperature(400.0, 300.0, np.array([-1.0, 1.0]), np.array([1.0, 0.0])),
        rod.insulated_tip_heat(1.0, -1.0, 1.0),
        rod.convective_tip_temperature(400.0, 300.0, 1.0, 1.0, -1.0),
        rod.long_fin_heat(falling, ones, ones, 1.0, 1.0)[1],
        rod.long_fin_heat(falling[::-1], np.array([1.0, -1.0]), ones, 1.0, 1.0)[1],
        rod.long_fin_distance(falling, ones, ones, 1.0)[0],
    ):
        assert np.isnan(value).all()
