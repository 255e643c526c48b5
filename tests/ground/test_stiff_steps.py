# SPDX-License-Identifier: MIT
"""Linearly implicit steps against exact solutions, a general stiff solver, and themselves one by one."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from retortwright.ground.arrays import Array
from retortwright.ground.stiff_steps import course_of


def _robertson(time: Array, state: Array, which: Array) -> Array:
    first, second, third = state
    slow, back, fast = 0.04 * first, 1e4 * second * third, 3e7 * second**2
    return np.array([back - slow, slow - back - fast, fast])


def _driven(time: Array, state: Array, which: Array) -> Array:
    first, second = state
    return np.array(
        [-2 * (first - np.cos(time)) - 0.3 * first**2, np.sin(time) * first - 0.5 * first * second]
    )


def _cooling(time: Array, state: Array, which: Array) -> Array:
    pace = np.array([1.0, 30.0, 1e6])[which]
    return np.array([-pace * (state[0] - np.sin(time)), pace * state[0]])


def test_the_error_of_equal_steps_falls_with_their_third_power() -> None:
    start, span = np.array([[0.3], [1.0]]), (0.0, 2.0)
    sharp = solve_ivp(
        lambda t, y: _driven(t, y, np.zeros(1)), span, start[:, 0], "DOP853", rtol=1e-12, atol=1e-12
    )
    errors = []
    for steps in (20, 40, 80):
        times = np.linspace(*span, steps + 1)  # a step between each two, for nothing is judged too rough
        found = course_of(_driven, start, times, np.ones((2, 1)), 1e9, (0, 1), 1.0)
        assert found.steps[0] == steps
        errors.append(np.max(np.abs(found.state[-1, :, 0] - sharp.y[:, -1])))
    ratios = np.array(errors[:-1]) / errors[1:]
    assert np.all((ratios > 6.5) & (ratios < 12.0))  # exact: 8 for third order


def test_one_step_over_a_stiff_decay_leaves_next_to_nothing() -> None:
    def decay(time: Array, state: Array, which: Array) -> Array:
        return -1e9 * state

    found = course_of(decay, np.ones((1, 1)), np.array([0.0, 1.0]), np.ones((1, 1)), 1e9, (0,), 2.0)
    assert found.steps[0] == 1
    assert abs(found.state[-1, 0, 0]) < 1e-8  # exact: 0, as an L-stable step has it


@pytest.mark.parametrize(("tolerance", "within"), [(1e-4, 3e-4), (1e-6, 5e-6)])
def test_a_stiff_reaction_agrees_with_a_general_solver(tolerance: float, within: float) -> None:
    start, end = np.array([1.0, 0.0, 0.0]), 4e3
    sharp = solve_ivp(
        lambda t, y: _robertson(t, y, np.zeros(1)), (0.0, end), start, "Radau", rtol=1e-10, atol=1e-14
    )
    scale = np.array([[1e-3], [1e-7], [1e-3]])
    found = course_of(_robertson, start[:, None], np.array([0.0, end]), scale, tolerance, (0, 1, 2), 1e-4)
    np.testing.assert_allclose(found.state[-1, :, 0], sharp.y[:, -1], rtol=within)
    assert found.steps[0] < 500
    assert abs(np.sum(found.state[-1]) - 1.0) < 1e-13  # exact: what a sum of states keeps, the steps keep


def test_a_sample_alone_goes_as_it_does_among_others() -> None:
    start = np.array([[1.0, 1.0, 1.0], [0.0, 0.0, 0.0]])
    times = np.array([0.0, 0.1, 1.0, 3.0])
    together = course_of(_cooling, start, times, np.ones((2, 3)), 1e-5, (0,), 1e-3)
    assert together.steps.min() < together.steps.max()  # each at a pace of its own
    for one in range(3):

        def alone(time: Array, state: Array, which: Array, one: int = one) -> Array:
            return _cooling(time, state, which + one)

        single = course_of(alone, start[:, one : one + 1], times, np.ones((2, 1)), 1e-5, (0,), 1e-3)
        np.testing.assert_allclose(single.state[:, :, 0], together.state[:, :, one], rtol=1e-9, atol=1e-12)
        assert single.steps[0] == together.steps[one]


def test_a_sum_of_what_flows_goes_along() -> None:
    start = np.array([[1.0, 1.0, 1.0], [0.0, 0.0, 0.0]])
    found = course_of(_cooling, start, np.array([0.0, 2.0]), np.ones((2, 3)), 1e-6, (0,), 1e-3)
    # exact: y + sum = 1 + pace * integral of sin where the sum is of pace * y: here y' + sum' = pace sin(t)
    gained = found.state[-1].sum(axis=0) - 1.0
    np.testing.assert_allclose(gained[:2], np.array([1.0, 30.0]) * (1 - np.cos(2.0)), rtol=1e-5)


def test_a_sample_without_rates_is_given_up_and_the_others_are_not() -> None:
    def broken(time: Array, state: Array, which: Array) -> Array:
        return np.where((which == 1) & (time > 0.5), np.nan, -state)

    found = course_of(broken, np.ones((1, 2)), np.array([0.0, 0.2, 1.0]), np.ones((1, 2)), 1e-5, (0,), 0.1)
    assert np.isfinite(found.state[1]).all()
    assert np.isnan(found.state[-1, 0, 1])
    assert found.state[-1, 0, 0] == pytest.approx(np.exp(-1.0), rel=1e-4)  # exact
