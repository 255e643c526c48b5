# SPDX-License-Identifier: MIT
"""Walls that swell unequally."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.mismatch import free_mismatch, glue_stress, joined_stress


def test_stainless_and_borosilicate_over_300_kelvin() -> None:
    # published: 17.3e-6 (304, handbooks) and 3.3e-6 (ISO 3585): 0.42 % over 300 K
    assert 100 * free_mismatch(17.3e-6, 3.3e-6, 593.15, 293.15) == pytest.approx(0.42, abs=0.005)


def test_a_short_lap_slips_as_geometry_says() -> None:
    # exact: where the walls are far stiffer than the glue, G d l / 2 h
    found = glue_stress(1e-3, 1e9, 1e-4, 0.2e-3, 1e12, 1e12)
    assert found == pytest.approx(1e9 * 1e-3 * 1e-4 / (2 * 0.2e-3), rel=1e-4)


def test_a_long_lap_comes_to_an_end() -> None:
    # exact: tanh goes to one: twice the length makes no difference
    one, other = (float(glue_stress(1e-3, 1e9, lap, 0.2e-3, 6e7, 2e8)) for lap in (0.2, 0.4))
    assert one == pytest.approx(other, rel=1e-9)


def test_two_equal_walls_share_the_strain() -> None:
    # exact: each takes half
    assert joined_stress(1e-3, 2e11, 2e11, 1e-3, 1e-3) == pytest.approx(1e8, rel=1e-12)


def test_outside_the_range_there_is_no_number() -> None:
    assert np.isnan(free_mismatch(0.0, 3e-6, 400.0, 300.0))
    assert np.isnan(glue_stress(-1e-3, 1e9, 0.01, 0.2e-3, 6e7, 2e8))
    assert np.isnan(joined_stress(1e-3, 2e11, 0.0, 1e-3, 1e-3))
