# SPDX-License-Identifier: MIT
"""Transmission of round tubes against printed values and an independent solution."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from retortwright.physics.clausing import (
    berman_transmission,
    long_tube_transmission,
    santeler_transmission,
    tube_transmission,
)

# published: Cole, IMA J. Appl. Math. 20 (1977) 107, six digits as recalled and as confirmed by a
# separate collocation solution; length over radius, transmission.
COLE = [
    (0.1, 0.952399), (0.5, 0.801271), (1.0, 0.671984), (2.0, 0.514231), (3.0, 0.420055),
    (4.0, 0.356573), (5.0, 0.310525), (10.0, 0.190942), (20.0, 0.109321), (50.0, 0.048476), (100.0, 0.025276),
]  # fmt: skip


@pytest.mark.parametrize(("length_ratio", "transmission"), COLE)
def test_six_digits(length_ratio: float, transmission: float) -> None:
    assert tube_transmission(length_ratio) == pytest.approx(transmission, abs=0.5e-6)  # published: above


def test_orifice_and_very_short_tube() -> None:
    assert tube_transmission(0.0) == 1.0  # exact
    # exact: half of what meets the wall comes on; W = 1 - x / 2 + x^2 / 4 to second order
    assert tube_transmission(0.001) == pytest.approx(1 - 0.0005 + 0.25e-6, abs=1e-9)


def test_the_long_tube_is_neared_from_below() -> None:
    long = np.array([100.0, 300.0, 1000.0, 10000.0])
    share = tube_transmission(long) * 3 * long / 8
    assert np.all(np.diff(share) > 0)
    assert share[-1] == pytest.approx(1.0, abs=0.001)  # exact: limit 8 R / 3 L, less a logarithm over L
    assert np.all(share < 1)


@pytest.mark.parametrize("length", [1.0, 6.0])
def test_against_quadrature_of_the_integral_equation(length: float) -> None:
    """The equation solved by iteration on a grid with a general integrator, sharing no kernel with us."""
    places = np.linspace(0, length, 201)

    def ring_to_disc(x: float) -> float:  # exact: view factor of a ring of wall to an end
        return 0.5 * ((x * x + 2) / np.sqrt(x * x + 4) - x)

    share = 1 - places / length
    kernel = np.abs(places[:, None] - places)
    kernel = 0.5 * (1 - kernel * (kernel**2 + 6) / (kernel**2 + 4) ** 1.5)
    weight = np.full(201, length / 200)
    weight[[0, -1]] /= 2
    near = np.array([ring_to_disc(x) for x in places])
    balance = np.diag(near + near[::-1] + (kernel * weight).sum(1)) - kernel * weight
    share = np.linalg.solve(balance, near[::-1])
    straight = 1 + length**2 / 2 - length * np.sqrt(1 + length**2 / 4)
    by_wall = quad(lambda x: 2 * ring_to_disc(x) * np.interp(x, places, share), 0, length, limit=400)[0]
    assert tube_transmission(length) == pytest.approx(straight + by_wall, rel=2e-5)


def test_approximations_stay_within_what_they_state() -> None:
    lengths = np.geomspace(0.01, 100, 25)
    exact = tube_transmission(lengths)
    santeler, berman = santeler_transmission(lengths) / exact - 1, berman_transmission(lengths) / exact - 1
    assert np.max(np.abs(santeler)) < 0.007  # published: Santeler 1986 states 0.7 % (recalled)
    assert np.max(np.abs(santeler)) > 0.005  # and it is no better than that
    assert np.max(np.abs(berman)) < 0.0008
    assert np.max(np.abs(berman)) > 0.0005
    assert long_tube_transmission(100.0) / exact[-1] == pytest.approx(1.055, abs=0.001)


def test_outside_the_range_is_nan() -> None:
    assert np.isnan(tube_transmission(np.array([-0.1, 1.1e4, np.nan, np.inf]))).all()
    assert np.isnan(santeler_transmission(-0.1))
    assert np.isnan(berman_transmission(np.array([0.0, 1001.0]))).all()
    assert np.isnan(long_tube_transmission(99.0))
