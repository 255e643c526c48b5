# SPDX-License-Identifier: MIT
"""Readings of gauges in other gases."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.gauging import gauge_reading, true_pressure


@pytest.mark.parametrize(("factor", "true"), [(1.0, 4.0), (0.5, 2.0), (1.7, 6.8)])
def test_four_pascal_shown(factor: float, true: float) -> None:
    # exact: 4 Pa as air are 2 Pa if hydrogen and 6.8 Pa if argon
    assert true_pressure(4.0, factor, 0.1, 100.0) == pytest.approx(true)
    assert gauge_reading(true, factor, 0.1, 100.0) == pytest.approx(4.0)


def test_a_blind_gauge_shows_nothing() -> None:
    assert np.isnan(gauge_reading(0.01, 1.0, 0.1, 100.0))
    assert np.isnan(gauge_reading(5e4, 1.7, 0.1, 100.0))
    assert np.isnan(true_pressure(500.0, 1.7, 0.1, 100.0))
