# SPDX-License-Identifier: MIT
"""The verdict rule, case by case."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.assess.finding import judged
from retortwright.ground.words import worst


@pytest.mark.parametrize(
    ("values", "worse", "verdict", "settled"),
    [
        ([300.0, 310.0, 320.0], "high", "holds", True),
        ([300.0, 310.0, 365.0], "high", "thin", False),
        ([361.0, 362.0, 365.0], "high", "thin", True),
        ([300.0, 310.0, 420.0], "high", "fails", False),
        ([410.0, 415.0, 420.0], "high", "fails", True),
        ([500.0, 510.0, 520.0], "low", "holds", True),
        ([410.0, 510.0, 520.0], "low", "thin", False),
        ([390.0, 510.0, 520.0], "low", "fails", False),
        ([300.0, float("nan"), 320.0], "high", "unknown", False),
        ([410.0, float("nan"), 420.0], "high", "fails", True),
        ([float("nan")] * 3, "high", "unknown", False),
    ],
)
def test_the_worse_end_decides(values: list[float], worse: str, verdict: str, settled: bool) -> None:
    many = np.repeat(np.array(values), 40)  # so that the 5 and 95 % points are the outer values
    found = judged(many, 400.0, 40.0, worse)
    assert (found.verdict, found.settled) == (verdict, settled)  # exact: the rule


def test_the_margin_is_what_is_left_to_the_reserve() -> None:
    found = judged(np.full(10, 350.0), 400.0, 40.0, "high")
    assert found.margin == pytest.approx(10.0)  # exact
    assert judged(np.full(10, 450.0), 400.0, 40.0, "low").margin == pytest.approx(10.0)  # exact


def test_at_the_limit_itself() -> None:
    # exact: up to the limit less the reserve holds; up to the limit is thin; beyond it fails
    assert judged(np.full(5, 360.0), 400.0, 40.0, "high").verdict == "holds"
    assert judged(np.full(5, 400.0), 400.0, 40.0, "high").verdict == "thin"
    assert judged(np.full(5, 400.0 + 1e-9), 400.0, 40.0, "high").verdict == "fails"


def test_a_limit_that_is_not_known_is_unknown() -> None:
    assert judged(np.full(5, 300.0), float("nan"), 40.0, "high").verdict == "unknown"


def test_gravity() -> None:
    # exact: fails, unknown, thin, holds
    assert worst(["holds", "thin", "unknown"]) == "unknown"
    assert worst(["unknown", "fails"]) == "fails"
    assert worst([]) == "unknown"
