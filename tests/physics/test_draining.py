# SPDX-License-Identifier: MIT
"""Draining against printed limits, mass balances and the exact flow of a half-full tube."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad  # type: ignore[import-untyped]

from retortwright.physics.constants import STANDARD_GRAVITY
from retortwright.physics.draining import (
    capillary_rise,
    draining_film,
    draining_time,
    film_flow,
    film_left,
    held_slug_length,
    least_draining_radius,
    rivulet_flow,
)

LIQUID = (5e-4, 1400.0)  # viscosity, density
STEEP = np.radians(5.0)


@pytest.mark.parametrize(
    ("density", "tension", "bore"),
    [
        (1843.0, 0.0695, 3.6),
        (1460.0, 0.085, 4.5),
        (828.0, 0.110, 6.7),
        (927.0, 0.191, 8.4),
        (516.0, 0.396, 16.0),
    ],
)
def test_smallest_bore(density: float, tension: float, bore: float) -> None:
    # exact: worked out apart from Bretherton's 0.842 for Cs, Rb, K, Na, Li at the melting point
    assert 2e3 * least_draining_radius(density, tension) == pytest.approx(bore, rel=0.02)


def test_smallest_radius_by_the_capillary_length() -> None:
    # published: Lamstaes and Eggers 2016, abstract: 0.918 capillary lengths
    length = np.sqrt(0.0728 / (998.0 * STANDARD_GRAVITY))
    assert least_draining_radius(998.0, 0.0728) / length == pytest.approx(0.918, abs=5e-4)


def test_water_rises() -> None:
    # practice: 14.9 mm of water in a tube of 1 mm radius, in every textbook
    assert capillary_rise(1e-3, 998.0, 0.0728, 1.0) == pytest.approx(14.9e-3, abs=5e-5)
    assert capillary_rise(1e-3, 998.0, 0.0728, -1.0) == pytest.approx(-14.9e-3, abs=5e-5)


def test_upright_slug_is_twice_a_rise_at_most() -> None:
    # exact: fully wetting above, fully pressed back below
    slug = held_slug_length(1e-3, np.pi / 2, 998.0, 0.0728, 2.0)
    assert slug == pytest.approx(2 * capillary_rise(1e-3, 998.0, 0.0728, 1.0))


def test_film_keeps_its_volume() -> None:
    # exact: what is lost from the wall above a place runs past it, dV/dt = -q
    def volume(time: float) -> float:
        return float(quad(lambda place: float(draining_film(place, time, *LIQUID, STEEP)), 1e-12, 0.2)[0])

    lost = (volume(59.9) - volume(60.1)) / 0.2
    past = float(film_flow(float(draining_film(0.2, 60.0, *LIQUID, STEEP)), 1.0, *LIQUID, STEEP))
    assert lost == pytest.approx(past, rel=1e-4)


def test_film_left_is_the_sum() -> None:
    thickness = quad(lambda place: float(draining_film(place, 60.0, *LIQUID, STEEP)), 0.0, 0.3)[0]
    # exact: integral along the tube
    expected = 2 * np.pi * 0.005 * thickness * 1400.0
    assert film_left(0.005, 0.3, 60.0, *LIQUID, STEEP) == pytest.approx(expected, rel=1e-6)


def test_film_left_on_a_line() -> None:
    # practice: 30 um on 10 x 300 mm of line keep 0.4 g of rubidium
    assert 2 * np.pi * 0.005 * 0.3 * 30e-6 * 1460.0 * 1e3 == pytest.approx(0.4, abs=0.05)
    kept = 1e3 * float(film_left(0.005, 0.3, 60.0, 5e-4, 1460.0, STEEP))
    assert kept == pytest.approx(0.4, abs=0.1)


def test_time_is_the_film_turned_round() -> None:
    thickness = float(draining_film(0.1, 77.0, *LIQUID, STEEP))
    # exact: one equation solved both ways
    assert draining_time(thickness, 0.1, *LIQUID, STEEP) == pytest.approx(77.0)


def test_half_full_tube_is_half_of_a_full_one() -> None:
    viscosity, density, radius = 0.5, 1400.0, 0.005
    flow = rivulet_flow(radius, np.pi / 2, viscosity, density, STEEP)
    full = np.pi * radius**4 * density * STANDARD_GRAVITY * np.sin(STEEP) / (8 * viscosity)
    # exact: Hagen and Poiseuille; the level middle of a full tube feels no drag
    assert flow.volume_flow == pytest.approx(full / 2)


def test_thin_rivulet_is_a_film_of_its_depths() -> None:
    viscosity, density, radius, half = 5e-4, 1400.0, 0.005, 0.05
    depth = quad(
        lambda angle: (radius * (np.cos(angle) - np.cos(half))) ** 3 * radius * np.cos(angle), -half, half
    )[0]
    by_films = density * STANDARD_GRAVITY * np.sin(STEEP) * depth / (3 * viscosity)
    # exact: in the limit of a thin rivulet the rule is 35/36 of it
    found = rivulet_flow(radius, half, viscosity, density, STEEP).volume_flow
    assert found == pytest.approx(by_films * 35 / 36, rel=2e-3)


def test_fast_flow_is_unknown() -> None:
    assert np.isnan(rivulet_flow(0.01, 1.5, *LIQUID, STEEP).volume_flow)
    assert np.isnan(film_flow(1e-3, 0.03, *LIQUID, 1.5))
    assert np.isnan(draining_film(0.1, 60.0, *LIQUID, 0.0))
    assert np.isnan(held_slug_length(0.003, -0.1, 1400.0, 0.08, 0.5))
    assert np.isnan(capillary_rise(0.003, 1400.0, 0.08, 1.1))
