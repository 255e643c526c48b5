# SPDX-License-Identifier: MIT
"""Mitred bends against molecules followed one by one and against the straight tube."""

from __future__ import annotations

import numpy as np
import pytest

from physics.molecules import standard_error, through_elbow
from retortwright.physics.clausing import tube_transmission
from retortwright.physics.elbow import elbow_extra_length, elbow_transmission

# exact: 3 million molecules each, none of them used for the table; angle in degrees, legs, transmission.
FOLLOWED = [
    (90.0, 1.5, 10.0, 0.167579), (90.0, 3.0, 20.0, 0.094360), (90.0, 1.0, 5.0, 0.272932),
    (90.0, 2.0, 8.0, 0.184841), (60.0, 2.0, 8.0, 0.184384), (30.0, 2.0, 8.0, 0.188405),
    (45.0, 1.5, 1.5, 0.412984), (75.0, 1.5, 1.5, 0.414035), (45.0, 4.0, 4.0, 0.217181),
    (75.0, 4.0, 4.0, 0.214169), (75.0, 2.0, 6.0, 0.216576),
]  # fmt: skip


@pytest.mark.parametrize(("angle", "first", "second", "transmission"), FOLLOWED)
def test_legs_and_angles_between_those_of_the_table(
    angle: float, first: float, second: float, transmission: float
) -> None:
    # exact: above; standard error 0.1 to 0.2 %
    assert elbow_transmission(first, second, np.radians(angle)) == pytest.approx(transmission, rel=0.005)


def test_against_molecules_followed_here() -> None:
    share = through_elbow(2.0, 2.0, np.pi / 2, 400_000, np.random.default_rng(11))
    # exact: within three standard errors, two thirds of a percent
    assert elbow_transmission(2.0, 2.0, np.pi / 2) == pytest.approx(share, abs=3 * standard_error(share, 400_000))


def test_molecules_in_a_bend_of_no_angle() -> None:
    share = through_elbow(1.0, 1.0, 0.0, 400_000, np.random.default_rng(12))
    # published: Cole 1977, L/R = 2 (recalled), within three standard errors
    assert share == pytest.approx(0.514231, abs=3 * standard_error(share, 400_000))


@pytest.mark.parametrize("leg", [1.0, 2.5, 7.0, 30.0])
def test_without_an_angle_it_is_a_tube(leg: float) -> None:
    assert elbow_extra_length(leg, leg, 0.0) == 0.0  # exact
    assert elbow_transmission(leg, leg, 0.0) == pytest.approx(float(tube_transmission(2 * leg)), rel=1e-12)  # exact


def test_both_ways_are_alike() -> None:
    legs = np.array([2.0, 5.0])
    assert np.diff(elbow_transmission(legs, legs[::-1], 1.2)) == pytest.approx(0.0, abs=1e-15)  # exact


def test_outside_the_range_is_nan() -> None:
    assert np.isnan(elbow_transmission(np.array([0.9, 1001.0, np.nan]), 5.0, 1.0)).all()
    assert np.isnan(elbow_transmission(5.0, 5.0, np.array([-0.1, 1.6, np.nan]))).all()
