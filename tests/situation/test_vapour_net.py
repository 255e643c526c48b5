# SPDX-License-Identifier: MIT
"""A condensing stream through a net of conductances, against the definition of its solution."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retortwright.ground.arrays import Array
from retortwright.situation.vapour_net import Net, Spread, net_along


def paths(seed: int) -> tuple[Array, Array, Array]:
    """Resistance, saturation and supply of some paths by chance: falling, rising again, with ties."""
    chance = np.random.default_rng(seed)
    places, samples = int(chance.integers(2, 40)), 5
    resistance = np.cumsum(chance.random((places, samples)) + 1e-3, axis=0)
    saturation = np.exp(-chance.random(samples) * 3 * resistance) * chance.random((places, samples))
    saturation = np.round(saturation, int(chance.integers(1, 12)))
    supply = 10.0 ** chance.uniform(-3, 3, samples)
    return resistance, saturation, supply


def net_of(seed: int, film: float | None = None) -> tuple[Net, Array, Array]:
    """One of them as a net that begins at the first place, its saturation, and a guess of where something lands."""
    resistance, saturation, supply = paths(seed)
    chance = np.random.default_rng(seed + 1)
    films = 10.0 ** chance.uniform(-2, 2, saturation[1:].shape) if film is None else np.full(saturation[1:].shape, film)
    first = np.maximum(saturation[0], 1e-3)
    return Net(np.diff(resistance, axis=0), films, supply, first), saturation[1:], chance.random(films.shape) < 0.5


def found(seed: int, film: float | None = None) -> tuple[Net, Array, Spread]:
    """What lands in it."""
    net, heights, guess = net_of(seed, film)
    return net, heights, net_along(net, heights, guess)


def by_definition(resistance: Array, saturation: Array, supply: Array) -> Array:
    """The greatest convex minorant of the saturation by its max-min formula, for every pair of places."""
    with np.errstate(divide="ignore", invalid="ignore"):
        falls = (saturation[:, None] - saturation[None, :]) / (resistance[None, :] - resistance[:, None])
    ahead = np.arange(len(resistance))[None, :, None] > np.arange(len(resistance))[:, None, None]
    falls = np.where(ahead, falls, -np.inf)
    steepest = np.maximum.accumulate(falls[:, ::-1], axis=1)[:, ::-1]
    least = np.minimum.accumulate(steepest, axis=0)
    places = np.arange(len(resistance) - 1)
    return np.clip(least[places, places + 1], 0.0, supply)


@settings(max_examples=100, deadline=None)
@given(st.integers(0, 10**9))
def test_walls_that_take_all_at_once_leave_the_greatest_convex_potential_under_saturation(seed: int) -> None:
    resistance, saturation, supply = paths(seed)
    saturation[0] = np.maximum(saturation[0], 1e-3)
    _, _, spread = found(seed, 1e9)
    # exact: the obstacle problem, pair by pair, but for the rounding of potentials times so great a film
    np.testing.assert_allclose(spread.flow, by_definition(resistance, saturation, supply), rtol=1e-5, atol=5e-5)


@settings(max_examples=100, deadline=None)
@given(st.integers(0, 10**9))
def test_every_place_is_in_balance_and_nothing_comes_back(seed: int) -> None:
    net, heights, spread = found(seed)
    flow, scale = spread.flow, 1e-8 * np.maximum(net.supply, net.first / net.resistance[0])
    landed = flow - np.concatenate([flow[1:], np.zeros((1, flow.shape[1]))])
    # exact: what lands is the film times how far the potential is above saturation, or nothing
    own = np.maximum(net.film * (spread.potential - heights), 0.0)
    assert np.all(np.abs(landed - own)[:-1] < scale)
    leaks = 1e-8 * net.supply * np.maximum(spread.potential[-1] / net.first, 1.0)
    assert np.all(np.abs(landed - own)[-1] < leaks + scale)
    between = spread.potential[:-1] - spread.potential[1:]
    assert np.all(np.abs(between - flow[1:] * net.resistance[1:]) < net.resistance[1:] * scale)
    assert np.all(landed >= 0.0)
    start = spread.potential[0] + flow[0] * net.resistance[0]
    # exact: the supply enters, or what the potential at the start drives
    assert np.all((np.abs(flow[0] - net.supply) < scale) | (np.abs(start - net.first) < 1e-8 * net.first))
    assert np.all(flow[0] <= net.supply)
    assert np.all(start <= net.first * (1.0 + 1e-8))


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**9))
def test_any_guess_of_where_something_lands_leads_to_the_same(seed: int) -> None:
    net, heights, guess = net_of(seed)
    for other in (~guess, np.ones_like(guess), np.zeros_like(guess)):
        np.testing.assert_allclose(
            net_along(net, heights, other).potential, net_along(net, heights, guess).potential, rtol=1e-7, atol=1e-9
        )  # exact: one answer


def test_one_sample_alone_is_the_one_among_others() -> None:
    net, heights, guess = net_of(5)
    whole = net_along(net, heights, guess)
    for one in range(heights.shape[1]):
        some = np.array([one])
        alone = net_along(net.part(some), heights[:, some], guess[:, some])
        np.testing.assert_array_equal(alone.flow[:, 0], whole.flow[:, one])  # exact: the same sums


def little(seed: int) -> tuple[Net, Array, Spread, Array, Spread]:
    """A net, and the same with saturation a little higher at one place on which something lands."""
    net, heights, guess = net_of(seed, 3.0)
    spread = net_along(net, heights, guess)
    change = np.zeros_like(heights)
    change[int(np.argmax(spread.wet[:, 0]))] = 1e-7
    return net, heights, spread, change, net_along(net, heights + change, spread.wet)


@pytest.mark.parametrize("seed", [1, 2, 3, 8])
def test_slopes_are_those_of_small_changes(seed: int) -> None:
    net, _, spread, change, later = little(seed)
    same = np.all(spread.wet == later.wet, axis=0) & (spread.driven == later.driven)
    assert np.any(same)
    grown = (later.potential - spread.potential)[:, same] / 1e-7
    answer = spread.answer(net, np.where(spread.wet, change, 0.0))[:, same] / 1e-7
    np.testing.assert_allclose(answer, grown, rtol=1e-5, atol=1e-6)  # exact: differences
    place = int(np.argmax(change[:, 0] > 0.0))
    wet = spread.wet[place, same]
    own = (spread.own(net) * net.film)[place, same]
    np.testing.assert_allclose(own[wet], answer[place][wet], rtol=1e-9)  # exact: the same for one place
