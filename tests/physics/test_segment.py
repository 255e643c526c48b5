# SPDX-License-Identifier: MIT
"""The part of a circle below a level."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.segment import segment_area


def test_closed_forms() -> None:
    # exact: nothing, a quarter turn less its triangle, half, all
    depths = np.array([0.0, 1 - np.sqrt(0.5), 1.0, 2.0]) * 3
    expected = np.array([0.0, np.pi / 4 - 0.5, np.pi / 2, np.pi]) * 9
    assert segment_area(3.0, depths) == pytest.approx(expected, rel=1e-12, abs=1e-12)


def test_both_parts_make_the_circle() -> None:
    # exact: what lies below a level and what lies above it
    depth = np.linspace(0.0, 2.0, 21)
    both = np.asarray(segment_area(1.0, depth)) + np.asarray(segment_area(1.0, 2.0 - depth))
    assert both == pytest.approx(np.full(21, np.pi), rel=1e-12)


def test_outside_there_is_no_number() -> None:
    assert np.all(np.isnan(segment_area(np.array([1.0, 1.0, 0.0]), np.array([-0.1, 2.1, 0.0]))))
