# SPDX-License-Identifier: MIT
"""Radiation down a bore: balances, known transmissions of tubes, a sum over all reflections."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.ground.arrays import Array
from retortwright.physics.bore_radiation import diffusive_bore_conductance, tube_exchange_matrix
from retortwright.physics.constants import STEFAN_BOLTZMANN
from retortwright.physics.view_factors import (
    view_factor_equal_discs,
    view_factor_ring_to_end,
    view_factor_ring_to_itself,
    view_factor_ring_to_ring,
)

UNEVEN = np.array([0.0, 0.002, 0.01, 0.03, 0.031, 0.08, 0.3])


def areas_of(edges: Array, radius: float) -> Array:
    """Areas of disc, rings, disc."""
    disc = np.pi * radius**2
    return np.concatenate([[disc], 2 * np.pi * radius * np.diff(edges), [disc]])


def transmitted(length: float, rings: int, emissivity: float) -> float:
    """Fraction that a bore with adiabatic walls lets pass, length by radius given."""
    areas = tube_exchange_matrix(np.linspace(0.0, length, rings + 1), 1.0, emissivity)
    leaving = np.diag(areas.sum(axis=1)) - areas
    wall = np.linalg.solve(leaving[1:-1, 1:-1], -leaving[1:-1, 0])
    return float(-(leaving[-1, 0] + leaving[-1, 1:-1] @ wall) / np.pi)


def view_factors(edges: Array, radius: float) -> Array:
    """View factors between disc, rings, disc, one by one."""
    count = len(edges) - 1
    width = np.diff(edges)
    factors = np.zeros((count + 2, count + 2))
    factors[0, -1] = factors[-1, 0] = view_factor_equal_discs(edges[-1] - edges[0], radius)
    for i in range(count):
        factors[i + 1, i + 1] = view_factor_ring_to_itself(width[i], radius)
        for end, distance in ((0, edges[i] - edges[0]), (-1, edges[-1] - edges[i + 1])):
            factors[i + 1, end] = view_factor_ring_to_end(width[i], distance, radius)
            factors[end, i + 1] = factors[i + 1, end] * 2 * width[i] / radius
        for j in range(i + 1, count):
            gap = edges[j] - edges[i + 1]
            factors[i + 1, j + 1] = view_factor_ring_to_ring(width[i], width[j], gap, radius)
            factors[j + 1, i + 1] = view_factor_ring_to_ring(width[j], width[i], gap, radius)
    return factors


@pytest.mark.parametrize("emissivity", [1e-3, 0.2, 0.8, 1.0])
def test_balance_of_the_enclosure(emissivity: float) -> None:
    exchange = tube_exchange_matrix(UNEVEN, 0.005, emissivity)
    emitting = areas_of(UNEVEN, 0.005) * np.r_[1.0, np.full(6, emissivity), 1.0]
    # exact: reciprocity, no negative exchange, all that is sent is taken somewhere
    np.testing.assert_array_equal(exchange, exchange.T)
    assert exchange.min() >= 0
    np.testing.assert_allclose(exchange.sum(axis=1), emitting, rtol=1e-10)


@pytest.mark.parametrize("emissivity", [0.3, 0.9])
def test_every_reflection_added_up(emissivity: float) -> None:
    # exact: what i sends to j directly, after one reflection, after two, ..., with view factors one by one
    factors = view_factors(UNEVEN, 0.005)
    taking = np.r_[1.0, np.full(6, emissivity), 1.0]
    total, bounce = np.zeros_like(factors), factors.copy()
    for _ in range(600):
        total += bounce
        bounce = bounce @ ((1 - taking)[:, None] * factors)
    expected = areas_of(UNEVEN, 0.005)[:, None] * taking[:, None] * total * taking
    exchange = tube_exchange_matrix(UNEVEN, 0.005, emissivity)
    np.testing.assert_allclose(exchange, expected, rtol=1e-9, atol=1e-18)


# published: transmission of tubes with diffuse walls, L/R and fraction (Cole 1977, after Clausing 1932)
@pytest.mark.parametrize(("length", "fraction"), [(1.0, 0.671984), (2.0, 0.514231), (10.0, 0.190942)])
def test_adiabatic_bore_passes_what_a_tube_passes(length: float, fraction: float) -> None:
    coarse, fine = (transmitted(length, int(length * parts), 1.0) for parts in (8, 16))
    # Rings an eighth and a sixteenth of a radius wide; the error falls as the square of the width.
    assert coarse == pytest.approx(fraction, rel=2e-3)
    assert (4 * fine - coarse) / 3 == pytest.approx(fraction, rel=1e-4)


@pytest.mark.parametrize(("parts", "stated"), [(2, 0.015), (4, 0.004), (10, 0.0006)])
def test_the_stated_errors_of_wide_rings(parts: int, stated: float) -> None:
    assert transmitted(10.0, 10 * parts, 1.0) / 0.190942 - 1 == pytest.approx(stated, rel=0.07)


def test_adiabatic_walls_hide_their_emissivity() -> None:
    # exact: a wall that gives back all it takes sends the same whether it reflects or glows
    assert transmitted(6.0, 24, 0.05) == pytest.approx(transmitted(6.0, 24, 1.0), rel=1e-10)


def test_heat_into_a_bore_from_a_glowing_cavity() -> None:
    # exact: all that a deep, cold, black bore of 10 mm takes from 800 degC: sigma T^4 pi r^2 = 5.91 W
    exchange = tube_exchange_matrix(np.linspace(0.0, 0.4, 41), 0.005, 1.0)
    power = STEFAN_BOLTZMANN * (1073.15**4 - 293.15**4)
    assert exchange[0, 1:].sum() * power == pytest.approx(5.9, abs=0.05)
    # exact: bare metal sends some back through the opening
    bare = tube_exchange_matrix(np.linspace(0.0, 0.4, 41), 0.005, 0.2)
    assert 0.5 < bare[0, 1:].sum() / exchange[0, 1:].sum() < 0.9


def test_many_emissivities_at_once() -> None:
    emissivity = np.array([0.1, 0.5, 1.0])
    together = tube_exchange_matrix(UNEVEN, 0.005, emissivity)
    assert together.shape == (3, 8, 8)
    for one, value in zip(together, emissivity, strict=True):
        # exact: the same numbers
        np.testing.assert_allclose(one, tube_exchange_matrix(UNEVEN, 0.005, value), rtol=1e-12)


def test_long_bores_conduct_by_diffusion() -> None:
    # exact: the fraction times the length tends to 8/3 radii; the stated excess in bores of finite length
    for diameters, excess in ((1.0, 1.6), (10.0, 0.22), (50.0, 0.05)):
        length = 2 * diameters
        rings = min(int(8 * length), 400)
        assert (8 / 3) / length / transmitted(length, rings, 1.0) - 1 == pytest.approx(excess, rel=0.03)
    # exact: derivative of (pi D^2/4)(4 D/3) sigma T^4
    hot, cold = STEFAN_BOLTZMANN * 800.01**4, STEFAN_BOLTZMANN * 799.99**4
    slope = (np.pi * 0.01**2 / 4) * (4 * 0.01 / 3) * (hot - cold) / 0.02
    assert diffusive_bore_conductance(800.0, 0.01) == pytest.approx(slope, rel=1e-8)


def test_outside_the_range_there_is_no_number() -> None:
    for edges, radius, emissivity in (
        (UNEVEN[::-1], 0.005, 0.5),
        (np.array([0.0, 0.1, 0.1]), 0.005, 0.5),
        (UNEVEN, -0.005, 0.5),
        (UNEVEN, 0.005, 0.0),
        (UNEVEN, 0.005, 1.2),
    ):
        assert np.isnan(tube_exchange_matrix(edges, radius, emissivity)).any()
    assert np.isnan(diffusive_bore_conductance(np.array([0.0, 300.0]), np.array([0.01, 0.0]))).all()
