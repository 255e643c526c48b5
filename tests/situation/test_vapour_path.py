# SPDX-License-Identifier: MIT
"""The obstacle problem of a condensing stream, against the definition of its solution."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retortwright.ground.arrays import Array
from retortwright.situation.vapour_path import corners_of, entrance_potential, passing_flow


def paths(seed: int) -> tuple[Array, Array, Array]:
    """Resistance, saturation and supply of some paths by chance: falling, rising again, with ties."""
    chance = np.random.default_rng(seed)
    places, samples = int(chance.integers(2, 40)), 5
    resistance = np.cumsum(chance.random((places, samples)) + 1e-3, axis=0)
    saturation = np.exp(-chance.random(samples) * 3 * resistance) * chance.random((places, samples))
    saturation = np.round(saturation, int(chance.integers(1, 12)))
    supply = 10.0 ** chance.uniform(-3, 3, samples)
    return resistance, saturation, supply


def by_definition(resistance: Array, saturation: Array, supply: Array) -> Array:
    """The max-min formula of the greatest convex minorant, for every pair of places."""
    with np.errstate(divide="ignore", invalid="ignore"):
        falls = (saturation[:, None] - saturation[None, :]) / (resistance[None, :] - resistance[:, None])
    ahead = np.arange(len(resistance))[None, :, None] > np.arange(len(resistance))[:, None, None]
    falls = np.where(ahead, falls, -np.inf)
    steepest = np.maximum.accumulate(falls[:, ::-1], axis=1)[:, ::-1]
    least = np.minimum.accumulate(steepest, axis=0)
    places = np.arange(len(resistance) - 1)
    return np.clip(least[places, places + 1], 0.0, supply)


@settings(max_examples=150, deadline=None)
@given(st.integers(0, 10**9))
def test_the_flow_is_that_of_the_greatest_convex_minorant(seed: int) -> None:
    resistance, saturation, supply = paths(seed)
    # exact: the definition, pair by pair
    np.testing.assert_allclose(
        passing_flow(resistance, saturation, supply),
        by_definition(resistance, saturation, supply),
        rtol=1e-12,
    )


@settings(max_examples=80, deadline=None)
@given(st.integers(0, 10**9))
def test_nothing_comes_back_and_saturation_is_nowhere_passed(seed: int) -> None:
    resistance, saturation, supply = paths(seed)
    flow = passing_flow(resistance, saturation, supply)
    assert np.all(np.diff(flow, axis=0) <= 1e-12 * supply)  # exact
    entering = np.minimum(supply, flow[0])
    start = entrance_potential(resistance, saturation, entering)
    along = start - np.concatenate([0 * flow[:1], np.cumsum(flow * np.diff(resistance, axis=0), axis=0)])
    # exact: below saturation up to the coldest place, and at it wherever something lands
    coldest = np.argmin(saturation, axis=0)
    before = np.arange(len(resistance))[:, None] <= coldest
    assert np.all((along <= saturation + 1e-9) | ~before)
    lands = np.concatenate([flow[:1] < 0, flow[:-1] - flow[1:] > 1e-9 * supply, flow[-1:] < 0])
    assert np.all(np.abs(along - saturation)[lands] < 1e-9)


def test_one_sample_alone_is_the_one_among_others() -> None:
    resistance, saturation, supply = paths(5)
    whole = passing_flow(resistance, saturation, supply)
    for one in range(resistance.shape[1]):
        alone = passing_flow(resistance[:, [one]], saturation[:, [one]], supply[[one]])
        np.testing.assert_array_equal(alone[:, 0], whole[:, one])  # exact: the same sums


def test_corners_of_a_bent_line() -> None:
    places = np.array([[0.0], [1.0], [2.0], [3.0], [4.0]])
    corners, falls = corners_of(places, np.array([[16.0], [9.0], [8.0], [1.0], [0.0]]))
    assert corners.T.tolist() == [
        [False, True, False, True, True]
    ]  # exact: 8 lies on the line from 16 to 0... above it
    assert falls[corners].tolist() == pytest.approx([7.0, 4.0, 1.0])
