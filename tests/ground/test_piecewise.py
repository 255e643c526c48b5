# SPDX-License-Identifier: MIT
"""Curves looked up on shelves against numpy's own interpolation."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retortwright.ground.piecewise import Piecewise


@given(st.integers(0, 2**32 - 1), st.integers(2, 60))
def test_any_curve_is_that_of_numpy(seed: int, count: int) -> None:
    chance = np.random.default_rng(seed)
    points = np.cumsum(np.exp(chance.normal(0.0, 3.0, count)))
    values = chance.normal(0.0, 1.0, (3, count))
    at = np.concatenate([points, chance.uniform(points[0] - 1, points[-1] + 1, 200)])
    curves = Piecewise(points, values)
    for which in range(3):
        # exact: the same straight pieces, the ends held
        expected = np.interp(at, points, values[which])
        scale = np.max(np.abs(np.diff(values[which]) / np.diff(points))) * points[-1] + 10.0
        np.testing.assert_allclose(curves.at(at, which), expected, rtol=0, atol=1e-13 * scale)


def test_a_slope_is_that_of_its_piece() -> None:
    curve = Piecewise(np.array([1.0, 2.0, 4.0]), np.array([[0.0, 3.0, 1.0]]))
    value, slope = curve.sloped(np.array([0.5, 1.5, 3.0, 5.0]))
    np.testing.assert_allclose(value, [0.0, 1.5, 2.0, 1.0])  # exact
    np.testing.assert_allclose(slope, [0.0, 3.0, -1.0, 0.0])  # exact


def test_many_close_points_far_apart() -> None:
    points = np.concatenate([np.linspace(0.0, 1e-6, 50), [1e4]])
    curve = Piecewise(points, np.arange(51.0)[None, :])
    at = np.array([3e-7, 9.9e-7, 5000.0])
    np.testing.assert_allclose(curve.at(at), np.interp(at, points, np.arange(51.0)), rtol=1e-9)  # exact


def test_between_two_curves_and_not_a_number() -> None:
    curves = Piecewise(np.array([0.0, 1.0]), np.array([[0.0, 1.0], [10.0, 30.0]]))
    value, slope = curves.blended(np.array([[0.5, 0.5, np.nan]]), np.array([[0]]), np.array([0.0, 0.25, 0.5]))
    assert value[0, 0] == pytest.approx(0.5)  # exact
    assert value[0, 1] == pytest.approx(0.5 + 0.25 * 19.5)  # exact
    assert slope[0, 1] == pytest.approx(1.0 + 0.25 * 19.0)  # exact
    assert np.isnan(value[0, 2])
