# SPDX-License-Identifier: MIT
"""The wall that a pressure asks for, turned round and back; reach and area by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retortwright.physics.collapse import long_tube_collapse
from retortwright.physics.ovality import out_of_round_collapse
from retortwright.physics.reinforcement import arm_reach, needed_wall, spare_area, wall_reach


def folds(wall: float, strength: float, diameter: float, deviation: float) -> float:
    radius = (diameter - wall) / 2
    elastic = long_tube_collapse(1.5e11, 0.3, wall, radius)
    return float(out_of_round_collapse(elastic, strength, wall, radius, deviation))


@given(st.floats(1e4, 1e6), st.floats(1e7, 3e8), st.floats(0.01, 0.2), st.floats(0.0, 0.005))
def test_there_and_back(pressure: float, strength: float, diameter: float, oval: float) -> None:
    wall = float(needed_wall(pressure, 1.5e11, 0.3, strength, diameter, oval * diameter))
    if np.isnan(wall):  # more than is thin
        assert folds(0.11 * diameter, strength, diameter, oval * diameter) < pressure
    else:
        assert folds(wall, strength, diameter, oval * diameter) == pytest.approx(pressure, rel=1e-3)


@given(st.floats(1e4, 3e5), st.floats(1.0, 2.0))
def test_more_pressure_wants_more_wall(pressure: float, more: float) -> None:
    one, other = (float(needed_wall(each, 1.5e11, 0.3, 1e8, 0.05, 1e-4)) for each in (pressure, pressure * more))
    assert other >= one * (1 - 1e-5)


def test_a_round_tube_of_weak_metal_by_hand() -> None:
    # exact: where it yields long before it buckles, p r / s: 0.4 MPa, 40 MPa, 50 mm outside: t = 0.01 (25 - t / 2) mm
    assert needed_wall(4e5, 1e15, 0.3, 4e7, 0.05, 0.0) * 1e3 == pytest.approx(0.2488, rel=2e-3)


def test_reach() -> None:
    # exact: half of 10 mm; sqrt(25 * 0.4) = 3.16 mm; half of 4 mm; 2.5 times 1 mm; sqrt(2 * 0.2) = 0.63 mm
    assert wall_reach(25e-3, 1.65e-3, 10e-3, 1.0) == pytest.approx(5e-3)
    assert wall_reach(25e-3, 0.4e-3, 10e-3, 1.0) == pytest.approx(3.162e-3, rel=1e-3)
    assert wall_reach(25e-3, 1.65e-3, 10e-3, 4e-3) == pytest.approx(2e-3)
    assert arm_reach(12e-3, 1e-3, 1.65e-3) == pytest.approx(2.5e-3)
    assert arm_reach(2e-3, 0.2e-3, 5e-3) == pytest.approx(0.5e-3)


def test_area_to_spare() -> None:
    # exact: 2 * 5 * (1.65 - 0.5) mm2; none where more is needed than there is
    assert spare_area(1.65e-3, 0.5e-3, 5e-3) * 1e6 == pytest.approx(11.5)
    assert spare_area(0.4e-3, 0.5e-3, 5e-3) == 0.0


def test_outside_the_range_there_is_no_number() -> None:
    assert np.isnan(needed_wall(-1.0, 1.5e11, 0.3, 1e8, 0.05, 0.0))
    assert np.isnan(needed_wall(1e9, 1.5e11, 0.3, 1e8, 0.05, 0.0))
    assert np.isnan(wall_reach(0.0, 1e-3, 1e-2, 1.0))
    assert np.isnan(arm_reach(1e-2, 0.0, 1e-3))
    assert np.isnan(spare_area(1e-3, -1e-3, 1e-2))
