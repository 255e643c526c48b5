# SPDX-License-Identifier: MIT
"""The ramp of colours: even for the eye, darker all the way, and the scale around it."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.report.drawing.temperature_scale import STEPS, UNKNOWN, ramp, scale_of


def lab(colour: str) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """L*, a*, b* of a colour on screen, the other way round than the ramp is made."""
    parts = np.array([int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)])
    light = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    # exact: primaries and white of IEC 61966-2-1
    matrix = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
    x, y, z = (matrix @ light) / np.array([0.9505, 1.0, 1.089])
    f = [
        part ** (1 / 3) if part > (6 / 29) ** 3 else part / (3 * (6 / 29) ** 2) + 4 / 29 for part in (x, y, z)
    ]
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def test_the_ramp_is_even_and_gets_darker() -> None:
    colours = np.array([lab(colour) for colour in ramp()])
    assert len(colours) == STEPS
    steps = np.linalg.norm(np.diff(colours, axis=0), axis=1)
    assert steps.max() < 1.5 * steps.mean()  # exact: equal but for rounding to 255 levels
    assert np.diff(colours[::6, 0]).max() < -0.5


@pytest.mark.parametrize("lost", [0, 1, 2])
def test_the_ramp_is_told_apart_without_one_colour_of_the_eye(lost: int) -> None:
    # practice: a tenth of the ramp differs by more than the eye just notices (about 2.3) with one opponent axis blind
    colours = np.array([lab(colour) for colour in ramp()])
    seen = np.delete(colours, lost, axis=1) if lost else colours[:, 1:]
    apart = np.linalg.norm(np.diff(seen[:: STEPS // 10], axis=0), axis=1)
    assert apart.min() > 3.0


def test_the_scale_has_round_ends_that_hold_all() -> None:
    scale = scale_of(np.array([[195.0, 300.0], [np.nan, 970.0]]))
    # exact: -78.15 and 696.85 degC
    assert (scale.low, scale.high) == (-100.0, 700.0)
    assert scale.ticks() == [-100.0, 0.0, 100.0, 200.0, 300.0, 400.0, 500.0, 600.0, 700.0]
    assert scale.colour(195.0) == ramp()[round((-78.15 + 100) / 800 * (STEPS - 1))]
    assert scale.colour(1e4) == ramp()[-1]


def test_no_temperature_no_colour() -> None:
    assert scale_of(np.array([300.0])).colour(float("nan")) == UNKNOWN
    assert scale_of(np.array([np.nan])).ticks()[0] == 0.0
