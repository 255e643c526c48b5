# SPDX-License-Identifier: MIT
"""Small systems, many at once: the right solutions, and nothing where there is none."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.ground.matrices import solved, times


def test_each_point_has_its_own_matrix() -> None:
    random = np.random.default_rng(1)
    matrix, right = random.normal(size=(5, 3, 3)), random.normal(size=(5, 3))
    found = solved(matrix, right)
    assert np.einsum("nij,nj->ni", matrix, found) == pytest.approx(right, rel=1e-9)  # exact
    columns = random.normal(size=(5, 3, 2))
    assert np.matmul(matrix, solved(matrix, columns)) == pytest.approx(columns, rel=1e-9)  # exact


def test_one_bad_point_leaves_the_others_alone() -> None:
    matrix = np.array([[[2.0, 0.0], [0.0, 4.0]], [[1.0, 1.0], [1.0, 1.0]], [[np.nan, 0.0], [0.0, 1.0]]])
    found = solved(matrix, np.array([[2.0, 4.0], [2.0, 2.0], [1.0, 1.0]]))
    assert found[0] == pytest.approx([1.0, 1.0])  # exact
    assert found[1] == pytest.approx([1.0, 1.0])  # exact: the shortest of the solutions
    assert found[2] == pytest.approx([0.0, 0.0])


def test_weights_of_each_point() -> None:
    weights, shared = np.array([[1.0, 2.0], [3.0, 4.0]]), np.array([[1.0, 0.0], [0.0, 10.0]])
    assert times(weights, shared) == pytest.approx(np.array([[1.0, 20.0], [3.0, 40.0]]))  # exact
    own = np.stack([shared, 2 * shared])
    assert times(weights, own) == pytest.approx(np.array([[1.0, 20.0], [6.0, 80.0]]))  # exact
