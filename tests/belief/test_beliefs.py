# SPDX-License-Identifier: MIT
"""Draws: stratified, each input by its own name, with ends where a band says they are."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retortwright.belief.beliefs import Belief, Draws, column, quantile
from retortwright.ground.units import Band

NAMES, COUNTS, SEEDS = st.text(max_size=20), st.integers(1, 300), st.integers(0, 10**6)


def belief(name: str, low: float, best: float, high: float, **more: float) -> Belief:
    return Belief(name, Band(low, best, high), "1", "table", "t/s/n", "a-book", **more)  # type: ignore[arg-type]


@given(NAMES, COUNTS, SEEDS)
def test_a_column_has_one_draw_in_each_stratum(name: str, samples: int, seed: int) -> None:
    drawn = column(name, samples, seed)
    # exact: sorted, the i-th draw lies in the i-th of equal strata
    np.testing.assert_array_equal(np.floor(np.sort(drawn) * samples), np.arange(samples))
    assert drawn.min() >= 0
    assert drawn.max() < 1


@given(NAMES, NAMES, SEEDS)
def test_a_column_depends_on_name_number_and_seed_alone(one: str, other: str, seed: int) -> None:
    first = column(one, 64, seed).copy()
    column(other, 64, seed)
    column.cache_clear()
    column(other, 64, seed + 1)
    np.testing.assert_array_equal(column(one, 64, seed), first)
    assert not np.array_equal(column(one, 64, seed + 1), first)
    assert (one == other) == np.array_equal(column(other, 64, seed), first)


def test_columns_of_two_names_are_not_alike() -> None:
    drawn = np.array([column(f"input {number}", 256, 1) for number in range(40)])
    # exact: independent draws correlate by about 1/sqrt(256); six times that among 780 pairs is no chance
    assert np.max(np.abs(np.corrcoef(drawn) - np.eye(40))) < 6 / 16


def test_a_column_cannot_be_written_on() -> None:
    with pytest.raises(ValueError, match="read-only"):
        column("any", 8, 1)[0] = 0.5


@given(
    st.floats(-1e3, 1e3), st.floats(0.0, 1e2), st.floats(0.0, 1e2),
    st.floats(0.0, 1.0),
)  # fmt: skip
def test_ends_are_the_5_and_95_percent_points(best: float, below: float, above: float, share: float) -> None:
    band = Band(best - below, best, best + above)
    ends = quantile(band, np.array([0.05, 0.5, 0.95]))
    # exact: by what a band means
    np.testing.assert_allclose(ends, [band.low, band.best, band.high], rtol=1e-9, atol=1e-9)
    some, more = quantile(band, np.array([share, min(share + 0.01, 1.0)]))
    assert more >= some - 1e-9 * (1 + abs(best))


def test_a_wide_band_runs_in_the_logarithm() -> None:
    band = Band(1.0, 10.0, 100.0)
    # exact: halfway in share between the middle and an end is the geometric mean of the two
    np.testing.assert_allclose(quantile(band, np.array([0.275, 0.725])), [10**0.5, 10**1.5], rtol=1e-12)
    assert quantile(band, np.array([0.0])) > 0


def test_samples_of_a_belief_fill_its_band() -> None:
    values = Draws(samples=1000).values(belief("x", 2.0, 3.0, 5.0))
    # exact: 5, 50 and 95 % points of stratified draws, to a stratum
    np.testing.assert_allclose(np.quantile(values, [0.05, 0.5, 0.95]), [2.0, 3.0, 5.0], atol=0.01)


def test_adding_a_belief_or_a_remedy_leaves_the_others_alone() -> None:
    draws, emissivity = Draws(seed=4), belief("emissivity", 0.5, 0.7, 0.9)
    before = draws.values(emissivity)
    for number in range(50):
        draws.values(belief(f"more {number}", 0.0, 1.0, 2.0))
    np.testing.assert_array_equal(draws.values(emissivity), before)
    narrowed = draws.narrowed("more 3", 0.2)
    np.testing.assert_array_equal(narrowed.values(emissivity), before)
    assert not np.array_equal(narrowed.values(belief("more 3", 0.0, 1.0, 2.0)), before)


@pytest.mark.parametrize("factor", [0.0, 0.2, 1.0, 3.0, 10.0])
def test_narrowing_and_widening_scale_about_the_middle(factor: float) -> None:
    straight, wide = belief("a", 1.0, 2.0, 2.5), belief("b", 1.0, 4.0, 9.0)
    for draws in (Draws(width=factor), Draws(widths={"a": factor, "b": factor}), Draws().narrowed("a", factor)):
        band = draws.band_of(straight)
        # exact: each side times the factor
        assert (band.low, band.best, band.high) == pytest.approx((2 - factor, 2, 2 + 0.5 * factor), abs=1e-12)
    band = Draws(width=factor).band_of(wide)
    # exact: a wide band in its logarithm, so that it never crosses zero
    assert (band.low, band.high) == pytest.approx((4.0 * 0.25**factor, 4.0 * 2.25**factor), rel=1e-12)


def test_widths_multiply() -> None:
    draws = Draws(width=0.5).narrowed("a", 0.5).narrowed("a", 0.4)
    # exact: 0.5 x 0.5 x 0.4
    assert draws.band_of(belief("a", 1.0, 2.0, 3.0)).high == pytest.approx(2.1, rel=1e-14)


def test_without_spread_there_is_one_number() -> None:
    values = Draws(width=0.0).values(belief("a", 1.0, 4.0, 9.0))
    # exact: the middle, to rounding of the logarithm
    np.testing.assert_allclose(values, 4.0, rtol=1e-15)
    assert np.ptp(values) == 0


def test_draws_stay_within_what_is_possible() -> None:
    values = Draws(width=10.0).values(belief("e", 0.5, 0.75, 0.9, lowest=0.01, highest=0.999))
    assert values.min() == 0.01
    assert values.max() == 0.999


def test_picked_samples_keep_their_values() -> None:
    whole, some = Draws(), Draws().picked(np.array([3, 200, 17]))
    wide = belief("a", 1.0, 4.0, 9.0)
    assert some.size == 3
    np.testing.assert_array_equal(some.values(wide), whole.values(wide)[[3, 200, 17]])
