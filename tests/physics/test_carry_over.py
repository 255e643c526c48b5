# SPDX-License-Identifier: MIT
"""What stays in the pot and what the wall takes up, beside sums by hand."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retortwright.physics.carry_over import impurity_left, share_past_wall, simple_distillate


def test_as_volatile_as_the_product_it_stays_in_proportion() -> None:
    # exact: a volatility of one parts nothing
    assert impurity_left(0.3, 1.0) == pytest.approx(0.3)
    assert simple_distillate(0.1, 0.7, 1.0) == pytest.approx(1.0)


def test_what_boils_along_step_by_step() -> None:
    # exact: the differential balance dn/n = a dm/m, summed in 20 000 small steps
    left, product = 1.0, 1.0
    for _ in range(20000):
        step = 0.8 / 20000
        left -= left * 0.35 * step / (product - step / 2)
        product -= step
    assert impurity_left(0.2, 0.35) == pytest.approx(left, rel=1e-4)


def test_the_cuts_make_up_the_whole() -> None:
    # exact: heads, heart, tails and what is left in the pot are all there was
    edges = [0.0, 0.05, 0.9, 1.0]
    cuts = [(b - a) * float(simple_distillate(a, b, 3.0)) for a, b in pairwise(edges)]
    assert sum(cuts) == pytest.approx(1.0)


@given(st.floats(0.01, 0.95), st.floats(0.01, 0.04), st.floats(0.0, 0.999))
def test_a_later_cut_of_what_is_less_volatile_is_never_cleaner(
    last: float, later: float, volatility: float
) -> None:
    sooner, then = simple_distillate(0.0, last, volatility), simple_distillate(0.0, last + later, volatility)
    assert float(then) >= float(sooner) * (1 - 1e-12)


def test_half_the_length_takes_the_root() -> None:
    # exact: an exponential
    whole, half = share_past_wall(3.66, 1e-3, 0.05, 0.04, 2e-5), share_past_wall(3.66, 1e-3, 0.05, 0.02, 2e-5)
    assert float(half) ** 2 == pytest.approx(float(whole))


def test_heat_in_the_same_tube() -> None:
    # exact: the mean temperature of a stream in a tube of even wall, exp(-Nu k pi L / (m cp)) [incropera], with
    # n D in the place of k / cp: 3.66 pi 2e-5 0.5 / 1e-4
    assert share_past_wall(3.66, 2e-5, 1.0, 0.5, 1e-4) == pytest.approx(np.exp(-3.66 * np.pi * 0.1))


@pytest.mark.parametrize(
    "made",
    [
        impurity_left(1.1, 0.2),
        impurity_left(0.5, -0.1),
        simple_distillate(0.5, 0.4, 1.0),
        simple_distillate(0.5, 1.1, 1.0),
        share_past_wall(3.66, 1e-3, 0.05, 0.02, 0.0),
        share_past_wall(-1.0, 1e-3, 0.05, 0.02, 1e-5),
    ],
)
def test_outside_the_range_there_is_no_number(made: float) -> None:
    assert np.isnan(made)
