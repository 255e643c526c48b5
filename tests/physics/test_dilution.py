# SPDX-License-Identifier: MIT
"""Argon in a room."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.dilution import displaced_share


def test_a_little_gas_takes_its_own_volume() -> None:
    # exact: to first order, 100 L in 100 m3
    assert float(displaced_share(1e-5, 1e4, 100.0, 0.0)) == pytest.approx(1e-3, rel=1e-3)


def test_with_fresh_air_it_comes_to_the_ratio_of_flows() -> None:
    # exact: steady state q / (q + v)
    assert float(displaced_share(1e-3, 1e9, 50.0, 9e-3)) == pytest.approx(0.1, rel=1e-9)


def test_more_time_more_share_and_never_all() -> None:
    shares = displaced_share(1e-3, np.array([0.0, 1e3, 1e5, 1e8]), 50.0, 0.0)
    assert shares[0] == 0.0  # exact
    assert np.all(np.diff(shares) > 0.0)
    assert np.all(shares <= 1.0)


@pytest.mark.parametrize(
    "given", [(0.0, 1.0, 1.0, 0.0), (1.0, -1.0, 1.0, 0.0), (1.0, 1.0, 0.0, 0.0), (1.0, 1.0, 1.0, -0.5)]
)
def test_outside_its_range_there_is_no_number(given: tuple[float, float, float, float]) -> None:
    with np.errstate(divide="ignore", invalid="ignore"):
        assert np.isnan(displaced_share(*map(np.array, given)))
