# SPDX-License-Identifier: MIT
"""The pace of a face that recedes: a plate, a rod, a ball."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.receding import receding_face_pace


@pytest.mark.parametrize(
    ("ways", "volume"), [(1.0, lambda r: r), (2.0, lambda r: r**2), (3.0, lambda r: r**3)]
)
def test_it_is_what_an_evenly_moving_face_uncovers(ways: float, volume: object) -> None:
    time, step = np.linspace(0.05, 0.95, 19), 1e-6
    left = lambda at: volume(1.0 - at)  # type: ignore[operator]  # noqa: E731
    uncovered = (left(time - step) - left(time + step)) / (2 * step) / 100.0
    np.testing.assert_allclose(receding_face_pace(left(time), 100.0, ways), uncovered, rtol=1e-8)  # exact


def test_all_is_gone_at_the_end_and_no_sooner() -> None:
    left, step = 1.0, 0.01
    for _ in range(int(100.0 / step)):
        left = max(left - step * float(receding_face_pace(max(left, 0.0), 100.0, 2.0)), 0.0)
    assert left < 1e-5  # exact: 0


def test_outside_its_range_there_is_nothing() -> None:
    for left, time, ratio in ((-0.1, 1.0, 2.0), (1.1, 1.0, 2.0), (0.5, 0.0, 2.0), (0.5, 1.0, 0.9)):
        assert np.isnan(receding_face_pace(left, time, ratio))
