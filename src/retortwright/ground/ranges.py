# SPDX-License-Identifier: MIT
"""What formulas share: a result outside its range is nan, and nothing is said on the way there."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array, Real

__all__ = ["Mask", "each", "kept", "not_negative", "plain", "positive", "quietly"]

Mask = NDArray[np.bool_]

# Decorates a formula: what it computes outside its range becomes nan anyway, so numpy need not warn.
quietly = np.errstate(invalid="ignore", divide="ignore", over="ignore", under="ignore")


def positive(*values: Real) -> Mask:
    """Where all of these lie above zero.

    >>> bool(positive(1.0, 0.0))
    False
    """
    inside: Any = True
    for value in values:
        inside = inside & np.greater(value, 0 * value)
    return inside  # type: ignore[no-any-return]


def not_negative(*values: Real) -> Mask:
    """Where none of these lies below zero, and all are numbers.

    >>> bool(not_negative(1.0, 0.0))
    True
    """
    inside: Any = True
    for value in values:
        inside = inside & np.greater_equal(value, 0 * value)
    return inside  # type: ignore[no-any-return]


def kept(inside: Mask, value: Real) -> Real:
    """The value where it is inside its range, nan elsewhere.

    >>> kept(np.array([True, False]), np.array([1.0, 2.0]))
    array([ 1., nan])
    """
    return np.where(inside, value, np.nan)


def plain(ratios: Real) -> Array:
    """Dimensionless numbers as an ordinary array, whatever they were carried in.

    >>> plain(2.0)
    array(2.)
    """
    return np.array([float(one) for one in np.ravel(ratios)]).reshape(np.shape(ratios))


def each(function: Callable[..., float], *ratios: Real) -> Real:
    """A function of plain numbers, taken at each element of dimensionless arrays that go together.

    >>> each(max, np.array([1.0, 4.0]), 2.0)
    array([2., 4.])
    """
    shape = np.broadcast_shapes(*(np.shape(ratio) for ratio in ratios))
    columns = [np.ravel(np.broadcast_to(plain(ratio), shape)) for ratio in ratios]
    values = [function(*map(float, row)) for row in zip(*columns, strict=True)]
    return np.array(values, dtype=float).reshape(shape)
