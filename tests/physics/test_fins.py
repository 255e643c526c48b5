# SPDX-License-Identifier: MIT
"""Resistances of cells of wall."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.fins import half_cell_resistance, series_conductance


def test_resistances_in_series() -> None:
    # exact: two halves make a whole cell, L / (k A)
    half = half_cell_resistance(0.01, 20.0, 1e-4)
    assert series_conductance(half, half, 0.0) == pytest.approx(20.0 * 1e-4 / 0.01, rel=1e-14)
    assert series_conductance(0.0, 0.0, 4.0) == pytest.approx(0.25, rel=1e-14)


def test_outside_the_range_there_is_no_number() -> None:
    for value in (
        half_cell_resistance(np.array([0.0, -1.0]), 20.0, 1e-4),
        half_cell_resistance(0.01, np.array([0.0, -1.0]), 1e-4),
        half_cell_resistance(0.01, 20.0, np.array([0.0, np.nan])),
        series_conductance(np.array([0.0, -2.0]), 0.0, np.array([0.0, 1.0])),
    ):
        assert np.isnan(value).all()
