# SPDX-License-Identifier: MIT
"""Tubes out of round: first yield lies where the stress reaches the yield stress, below both perfect limits."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retortwright.physics.ovality import out_of_round_collapse, out_of_round_stress, squash_pressure

WALL, RADIUS = 1.5e-3, 29.4e-3


def test_the_stress_at_collapse_is_the_yield_stress() -> None:
    # exact: the two formulas are one equation
    folds = float(out_of_round_collapse(73e5, 57e6, WALL, RADIUS, 0.15e-3))
    assert out_of_round_stress(folds, 73e5, WALL, RADIUS, 0.15e-3) == pytest.approx(57e6, rel=1e-9)


def test_a_round_tube_yields_or_buckles() -> None:
    # exact: the lesser of the two
    assert out_of_round_collapse(73e5, 57e6, WALL, RADIUS, 0.0) == pytest.approx(
        float(squash_pressure(57e6, WALL, RADIUS)), rel=1e-9
    )
    assert out_of_round_collapse(1e5, 57e6, WALL, RADIUS, 0.0) == pytest.approx(1e5, rel=1e-9)


def test_hoop_stress_of_an_atmosphere_on_round_tubes() -> None:
    # exact: p r / t of 25.4 x 1.65, 60.3 x 2.8 and 76 x 0.25 mm: 0.73, 1.04 and 15.3 MPa
    for outside, wall, stress in ((25.4e-3, 1.65e-3, 0.73), (60.3e-3, 2.8e-3, 1.04), (76e-3, 0.25e-3, 15.35)):
        found = out_of_round_stress(101325.0, 1e12, wall, (outside - wall) / 2, 0.0)
        assert found / 1e6 == pytest.approx(stress, abs=0.006)


@given(
    st.floats(1e4, 1e9),
    st.floats(1e6, 5e8),
    st.floats(1e-4, 5e-3),
    st.floats(0.02, 0.1),
    st.floats(0.0, 2e-3),
)
def test_it_never_bears_more_than_a_perfect_tube(
    elastic: float, yields: float, wall: float, radius: float, deviation: float
) -> None:
    folds = float(out_of_round_collapse(elastic, yields, wall, radius, deviation))
    assert 0 < folds <= min(elastic, float(squash_pressure(yields, wall, radius))) * (1 + 1e-9)


@given(st.floats(0.0, 1e-3), st.floats(1.0, 3.0))
def test_less_round_never_bears_more(deviation: float, more: float) -> None:
    one, other = (
        float(out_of_round_collapse(73e5, 57e6, WALL, RADIUS, each)) for each in (deviation, deviation * more)
    )
    assert other <= one * (1 + 1e-12)


def test_outside_the_range_there_is_no_number() -> None:
    assert np.isnan(out_of_round_stress(8e6, 73e5, WALL, RADIUS, 0.0))
    assert np.isnan(out_of_round_collapse(73e5, 57e6, WALL, RADIUS, -1e-6))
    assert np.isnan(squash_pressure(57e6, 0.04, RADIUS))
