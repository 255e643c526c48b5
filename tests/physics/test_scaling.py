# SPDX-License-Identifier: MIT
"""Metal lost to scale."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.scaling import parabolic_loss, runs_to_loss, scale_to_metal


def test_four_times_as_long_takes_twice_as_much() -> None:
    # exact
    assert parabolic_loss(1e-12, 14400.0) == pytest.approx(
        2 * float(parabolic_loss(1e-12, 3600.0)), rel=1e-12
    )


def test_iron_in_its_scale() -> None:
    # exact: FeO is 55.85 / 71.84 iron by mass
    assert scale_to_metal(55.845 / 71.844, 5700.0, 7870.0) == pytest.approx(0.563, abs=5e-4)


def test_a_fifth_of_a_wall() -> None:
    # exact
    assert runs_to_loss(2e-3, 0.2, 0.1e-3) == pytest.approx(4.0)


def test_outside_the_range_there_is_no_number() -> None:
    assert np.isnan(parabolic_loss(0.0, 1.0))
    assert np.isnan(scale_to_metal(1.1, 5700.0, 7870.0))
    assert np.isnan(runs_to_loss(2e-3, 1.2, 1e-4))
