# SPDX-License-Identifier: MIT
"""What formulas share: ranges that end in nan, silence on the way, numbers one by one."""

from __future__ import annotations

import warnings

import numpy as np
import pytest

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import each, kept, not_negative, plain, positive, quietly


def test_masks() -> None:
    values = np.array([-1.0, 0.0, 1.0, np.nan])
    assert positive(values).tolist() == [False, False, True, False]  # exact
    assert not_negative(values).tolist() == [False, True, True, False]  # exact
    assert positive(values, -values).tolist() == [False, False, False, False]
    assert positive(2.0, np.array([1.0, -1.0])).tolist() == [True, False]


def test_kept_is_nan_elsewhere() -> None:
    found = kept(np.array([True, False]), 3.0)
    assert found.tolist()[0] == 3.0  # type: ignore[union-attr]
    assert np.isnan(found.tolist()[1])  # type: ignore[union-attr]


def test_each_broadcasts() -> None:
    def area(width: float, height: float) -> float:
        assert isinstance(width, float)
        return width * height

    found = each(area, np.array([1.0, 2.0, 3.0]), np.array([[1.0], [10.0]]))
    assert np.array_equal(found, [[1.0, 2.0, 3.0], [10.0, 20.0, 30.0]])  # exact
    assert each(area, 2.0, 3.0) == 6.0
    assert np.shape(each(area, 2.0, 3.0)) == ()


def test_plain_keeps_the_shape() -> None:
    assert np.shape(plain(np.ones((2, 3)))) == (2, 3)
    assert np.shape(plain(1.0)) == ()


def test_quietly_says_nothing() -> None:
    @quietly
    def inverse(value: Real) -> Real:
        return np.divide(1.0, value)  # type: ignore[no-any-return]

    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert inverse(0.0) == np.inf
    with np.errstate(divide="warn"), pytest.warns(RuntimeWarning):
        np.divide(1.0, 0.0)
