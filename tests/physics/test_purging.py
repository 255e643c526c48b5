# SPDX-License-Identifier: MIT
"""Purging by flow and by cycles."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.purging import cycles_needed, left_by_cycles, left_by_flow, volumes_needed


def test_three_cycles_to_a_kilopascal() -> None:
    # exact: (1e3 / 1e5)^3 = 1e-6, of air 0.2 ppm oxygen
    assert left_by_cycles(1e3, 1e5, 3) == pytest.approx(1e-6)
    assert left_by_cycles(1e3, 1e5, 3) * 0.2095e6 == pytest.approx(0.2, abs=0.05)


def test_five_and_ten_volumes_by_flow() -> None:
    # exact: e^-5 of air is 0.14 % oxygen, e^-10 is 10 ppm
    five, ten = (left_by_flow(1e-6, volumes * 500.0, 0.5e-3) for volumes in (5.0, 10.0))
    assert five * 0.2095 * 100 == pytest.approx(0.14, abs=0.005)
    assert ten * 0.2095 * 1e6 == pytest.approx(10, abs=0.5)


def test_needed_and_left_are_inverse() -> None:
    # exact
    share = np.array([1e-2, 1e-4, 1e-6])
    assert left_by_cycles(200.0, 8e4, cycles_needed(share, 200.0, 8e4)) == pytest.approx(share)
    assert left_by_flow(2e-6, volumes_needed(share) * 250.0, 0.5e-3) == pytest.approx(share)


def test_outside_the_range_is_no_number() -> None:
    assert np.isnan(left_by_cycles(1e5, 1e3, 1))
    assert np.isnan(cycles_needed(0.0, 1e3, 1e5))
    assert np.isnan(volumes_needed(2.0))
    assert np.isnan(left_by_flow(1e-6, 10.0, 0.0))
