# SPDX-License-Identifier: MIT
"""Films from tables against the correlations they are made of."""

from __future__ import annotations

import numpy as np

from retortwright.physics.convection import (
    combined_coefficient,
    forced_film_coefficient,
    free_film_coefficient,
)
from retortwright.situation.exchange import OpenAir, picked
from retortwright.situation.films import fanned_air, still_air

SIZES = np.array([[0.0127, 0.3, 0.0], [0.0254, 0.4, 1.0], [0.0127, 0.3, 0.0]])
ROOM = np.array([290.0, 293.0, 297.0])
WALL = np.array([[200.0, 293.5, 320.0], [310.0, 500.0, 1200.0], [280.0, 293.0, 700.0]])
STILL = still_air(SIZES, (289.0, 298.0), np.array([1.0, 0.8, 1.2]))
FANNED = fanned_air(STILL, SIZES[:, 0], ROOM, np.array([0.5, 1.0, 2.0]), np.array([1.0, 0.9, 1.1]))


def free() -> np.ndarray:
    """By the correlation itself."""
    size, long, slope = (SIZES[:, n : n + 1] for n in range(3))
    return STILL.factor * np.asarray(free_film_coefficient(WALL, ROOM, size, long, slope, 101325.0))


def test_still_air() -> None:
    far = np.abs(WALL - ROOM) > 15.0
    # exact: the correlation; the straight line between two rooms errs more the closer the wall is to them
    np.testing.assert_allclose(STILL(WALL, ROOM)[far], free()[far], rtol=5e-3)


def test_a_fan() -> None:
    forced = np.asarray(
        forced_film_coefficient(WALL, ROOM, SIZES[:, :1], np.array([0.5, 1.0, 2.0]), 101325.0)
    )
    both = np.asarray(combined_coefficient(STILL(WALL, ROOM), np.array([1.0, 0.9, 1.1]) * forced))
    # exact: the same correlation
    np.testing.assert_allclose(FANNED(WALL, ROOM), both, rtol=1e-4)


def test_slopes() -> None:
    for film in (STILL, FANNED):
        value, slope = film.sloped(WALL, ROOM)
        # exact: straight pieces
        change = (film(WALL + 1e-6, ROOM) - film(WALL - 1e-6, ROOM)) / 2e-6
        np.testing.assert_allclose(slope, change, rtol=0, atol=1e-3 * np.max(np.abs(value)))


def test_heat_and_slope_to_open_air() -> None:
    air = OpenAir("air", np.arange(3), np.full((3, 1), 0.01), np.full((3, 1), 0.5), ROOM, FANNED)
    heat, slope = air.heat(WALL)
    assert np.all(np.sign(heat) == np.sign(WALL - ROOM))  # exact
    warm = np.abs(WALL - ROOM) > 20.0
    change = (air.heat(WALL + 0.01)[0] - air.heat(WALL - 0.01)[0]) / 0.02
    # exact: the slope of the heat away from the room's own temperature
    np.testing.assert_allclose(slope[warm], change[warm], rtol=0.05)


def test_some_of_the_samples() -> None:
    keep = np.array([True, False, True])
    # exact: a sample alone is the same
    np.testing.assert_array_equal(
        picked(FANNED, keep)(WALL[:, keep], ROOM[keep]), FANNED(WALL, ROOM)[:, keep]
    )
