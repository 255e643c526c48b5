# SPDX-License-Identifier: MIT
"""Small matrices, many at once: one for each point, along the first axis."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Array

__all__ = ["solved", "times"]


def times(weights: Array, matrix: Array) -> Array:
    """A row of weights for each point times a matrix, which is the same for all points or not.

    >>> times(np.array([[1.0, 2.0]]), np.array([[3.0], [4.0]]))
    array([[11.]])
    """
    if matrix.ndim == 2:
        return np.asarray(weights @ matrix)
    return np.asarray(np.matmul(weights[:, None, :], matrix)[:, 0])


def solved(matrix: Array, right: Array) -> Array:
    """Solutions of linear systems; right sides are vectors or matrices, one for each point.

    Nothing moves where a matrix or its right side is not finite; where one is singular it is the
    shortest of the solutions, or what comes nearest to one.

    >>> solved(np.array([[[2.0]], [[0.0]]]), np.array([[1.0], [0.0]]))
    array([[0.5],
           [0. ]])
    """
    columns = right[:, :, None] if right.ndim == 2 else right
    fine = np.asarray(np.isfinite(matrix).all((1, 2)) & np.isfinite(columns).all((1, 2)))
    if not fine.all():
        matrix = np.where(fine[:, None, None], matrix, np.eye(matrix.shape[1]))
        columns = np.where(fine[:, None, None], columns, 0.0)
    try:
        found = np.linalg.solve(matrix, columns)
    except np.linalg.LinAlgError:
        found = np.matmul(np.linalg.pinv(matrix, rcond=1e-15), columns)
    return np.asarray(found[:, :, 0] if right.ndim == 2 else found)
