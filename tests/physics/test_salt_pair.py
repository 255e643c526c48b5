# SPDX-License-Identifier: MIT
"""Which phases two salts form: the supporting line, the lever rule, limits by hand, what is unknown."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from retortwright.ground.arrays import Array
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.physics.melts import first_potential, second_potential
from retortwright.physics.salt_pair import PairState, SaltPair, Solid

SHARES = np.concatenate([[1e-6, 1e-3], np.linspace(0.013, 0.987, 60), [1 - 1e-3, 1 - 1e-6]])
EVERYWHERE = 1 / (1 + np.exp(-np.linspace(-25, 25, 2001)))  # shares of the second salt in a melt
FEWER = settings(max_examples=settings().max_examples // 4)  # a pair takes long to draw
COUNTS = [(1.0, 1.0), (2.0, 1.0), (1.0, 2.0), (0.5, 0.5), (3.0, 1.0), (2.0, 3.0)]


@dataclass(frozen=True, slots=True)
class Case:
    """Gibbs energies over the two pure liquids [J/mol of salt], and the interaction over R T."""

    kelvin: float
    first: float
    second: float
    doubles: tuple[tuple[tuple[float, float], float], ...]
    w: float
    v: float

    @property
    def solids(self) -> tuple[Solid, ...]:
        pure = [("A", 1.0, 0.0, self.first), ("B", 0.0, 1.0, self.second)]
        more = [(f"D{n}", *counts, sum(counts) * own) for n, (counts, own) in enumerate(self.doubles)]
        return tuple(Solid(name, one, other, np.array([gibbs])) for name, one, other, gibbs in pure + more)

    @property
    def interaction(self) -> tuple[float, float]:
        return self.w * GAS_CONSTANT * self.kelvin, self.v * GAS_CONSTANT * self.kelvin

    @property
    def one_melt(self) -> bool:
        """Whether the Gibbs energy of the melt bends upward at every composition."""
        return bool(
            np.all(1 / (EVERYWHERE * (1 - EVERYWHERE)) - 2 * (self.w - self.v) - 6 * self.v * EVERYWHERE > 0)
        )

    def pair(self, melts: bool = True) -> SaltPair:
        w, v = (np.array([each]) for each in self.interaction)
        zero = np.zeros(1)
        return SaltPair(np.array([self.kelvin]), (zero, zero) if melts else None, (w, v), self.solids)

    def turned(self) -> Case:
        """The same with the salts in the other order."""
        doubles = tuple(((other, one), own) for (one, other), own in self.doubles)
        return Case(self.kelvin, self.second, self.first, doubles, self.w + self.v, -self.v)


doubles = st.lists(st.tuples(st.sampled_from(COUNTS), st.floats(-30_000, 3_000)), max_size=2)
cases = st.builds(
    Case,
    kelvin=st.floats(600, 1600),
    first=st.floats(-15_000, 6_000),
    second=st.floats(-15_000, 6_000),
    doubles=doubles.map(tuple),
    w=st.floats(-10, 2.2),
    v=st.floats(-2, 2),
)


def at(pair: SaltPair, shares: Array) -> PairState:
    """States along shares, one axis."""
    found = pair.at(shares[:, None])
    return PairState(*(each[:, 0] for each in (found.first, found.second, found.molten, found.line)))


def melt_gibbs(case: Case, shares: Array) -> Array:
    """Gibbs energy of a mole of melt over the pure liquids."""
    ideal = GAS_CONSTANT * case.kelvin * (shares * np.log(shares) + (1 - shares) * np.log1p(-shares))
    return np.asarray(ideal + shares * (1 - shares) * (case.interaction[0] + case.interaction[1] * shares))


def lower_hull(x: Array, y: Array) -> tuple[Array, Array]:
    """The corners of the lower convex hull of points, by brute force."""
    order = np.lexsort((y, x))
    hull: list[tuple[float, float]] = []
    for point in zip(x[order], y[order], strict=True):
        while len(hull) > 1 and (hull[-1][0] - hull[-2][0]) * (point[1] - hull[-2][1]) <= (
            hull[-1][1] - hull[-2][1]
        ) * (point[0] - hull[-2][0]):
            hull.pop()
        if not hull or point[0] > hull[-1][0]:
            hull.append(point)
    corners = np.array(hull)
    return corners[:, 0], corners[:, 1]


@FEWER
@given(cases)
def test_no_phase_lies_below_the_line(case: Case) -> None:
    assume(case.one_melt)
    state = at(case.pair(), SHARES)
    for solid in case.solids:
        line = solid.first * state.first + solid.second * state.second
        assert np.all(line <= solid.gibbs + 1e-3)  # exact: the condition of an equilibrium
    melts = melt_gibbs(case, EVERYWHERE)
    lines = (1 - EVERYWHERE) * state.first[:, None] + EVERYWHERE * state.second[:, None]
    assert np.all(lines <= melts + 1e-3)


@FEWER
@given(cases)
def test_the_envelope_is_the_lower_hull(case: Case) -> None:
    assume(case.one_melt)
    state = at(case.pair(), SHARES)
    solids = list(case.solids)
    x = np.concatenate([[solid.share for solid in solids], EVERYWHERE])
    y = np.concatenate(
        [[solid.gibbs[0] / (solid.first + solid.second) for solid in solids], melt_gibbs(case, EVERYWHERE)]
    )
    brute = np.interp(SHARES, *lower_hull(x, y))
    found = (1 - SHARES) * state.first + SHARES * state.second
    assert np.all(found <= brute + 1e-3)  # exact: a chord lies above its curve ...
    assert np.all(found >= brute - 2.0)  # ... by no more than the grid is coarse


@FEWER
@given(cases)
def test_potentials_run_one_way_with_composition(case: Case) -> None:
    assume(case.one_melt)
    state = at(case.pair(), SHARES)
    assert np.all(np.diff(state.first) <= 1e-3)  # exact: the envelope is convex
    assert np.all(np.diff(state.second) >= -1e-3)


@FEWER
@given(cases)
def test_the_lever_rule_keeps_both_salts(case: Case) -> None:
    assume(case.one_melt)
    pair = case.pair()
    state = at(pair, SHARES)
    for place, number in enumerate(state.line):
        if number < 0:
            assert state.molten[place] == 1
            continue
        line = pair.lines[number]
        low, high = float(line.low[0]), float(line.high[0])
        melt, solid = {0: (low, high), 1: (high, low), -1: (0.0, 0.0)}[line.melt]
        if line.melt < 0:
            assert state.molten[place] == 0
            assert low <= SHARES[place] <= high
        else:
            whole = state.molten[place] * melt + (1 - state.molten[place]) * solid
            assert whole == pytest.approx(SHARES[place], abs=1e-9)  # exact: nothing is lost
            assert -1e-9 <= state.molten[place] <= 1 + 1e-9


@FEWER
@given(cases)
def test_the_order_of_the_salts_does_not_matter(case: Case) -> None:
    assume(case.one_melt)
    one, other = at(case.pair(), SHARES), at(case.turned().pair(), 1 - SHARES)
    # exact: the same melt with its salts named the other way round
    assert one.first == pytest.approx(other.second, abs=1e-2)
    assert one.second == pytest.approx(other.first, abs=1e-2)
    assert one.molten == pytest.approx(other.molten, abs=1e-6)


@FEWER
@given(cases, st.sampled_from(COUNTS))
def test_an_unstable_double_salt_changes_nothing(case: Case, counts: tuple[float, float]) -> None:
    assume(case.one_melt)
    without = at(case.pair(), SHARES)
    share = counts[1] / sum(counts)
    own = at(case.pair(), np.array([share]))
    above = float((1 - share) * own.first[0] + share * own.second[0]) + 50.0
    more = Case(case.kelvin, case.first, case.second, (*case.doubles, (counts, above)), case.w, case.v)
    found = at(more.pair(), SHARES)
    assert found.first == pytest.approx(without.first, abs=1e-9)  # exact
    assert found.second == pytest.approx(without.second, abs=1e-9)


@FEWER
@given(cases)
def test_solids_alone_are_the_hull_of_their_points(case: Case) -> None:
    state = at(case.pair(melts=False), SHARES)
    x = np.array([solid.share for solid in case.solids])
    y = np.array([solid.gibbs[0] / (solid.first + solid.second) for solid in case.solids])
    found = (1 - SHARES) * state.first + SHARES * state.second
    assert found == pytest.approx(np.interp(SHARES, *lower_hull(x, y)), abs=1e-6)  # exact
    assert np.all(state.molten == 0)


@settings(max_examples=5)
@given(cases)
def test_a_melt_that_would_part_is_not_answered(case: Case) -> None:
    parted = Case(case.kelvin, case.first, case.second, case.doubles, 2.5, 0.0)
    state = at(parted.pair(), SHARES)
    for each in (state.first, state.second, state.molten):
        assert np.all(np.isnan(each))  # exact: two layers from w = 2 R T on, which this does not compute


# ---- two salts by hand

FUSION, MELTS = (17_000.0, 26_000.0), (900.0, 1050.0)


def by_hand(kelvin: Array) -> SaltPair:
    """Two salts with constant heats of melting, no double salt, an ideal melt."""
    zero = np.zeros_like(kelvin)
    gibbs = [-heat * (1 - kelvin / melts) for heat, melts in zip(FUSION, MELTS, strict=True)]
    solids = (Solid("A", 1.0, 0.0, np.where(kelvin < MELTS[0], gibbs[0], np.nan)),
              Solid("B", 0.0, 1.0, np.where(kelvin < MELTS[1], gibbs[1], np.nan)))  # fmt: skip
    return SaltPair(kelvin, (zero, zero), (zero, zero), solids)


def dissolved(which: int, kelvin: float) -> float:
    """The share of a salt in the melt that is saturated with it."""
    return float(np.exp(-FUSION[which] / GAS_CONSTANT * (1 / kelvin - 1 / MELTS[which])))


def test_an_ideal_eutectic() -> None:
    kelvins = np.linspace(600, 890, 2901)
    sums = np.array([dissolved(0, kelvin) + dissolved(1, kelvin) for kelvin in kelvins])
    eutectic = float(np.interp(1.0, sums, kelvins))  # exact: both liquidus meet
    share = dissolved(1, eutectic)
    below, above = eutectic - 1.0, eutectic + 1.0
    state = by_hand(np.array([below, above])).at(share)
    assert state.molten.tolist() == [0.0, 1.0]


@pytest.mark.parametrize("kelvin", [820.0, 870.0, 899.0, 960.0, 1049.0])
def test_an_ideal_liquidus(kelvin: float) -> None:
    pair = by_hand(np.array([kelvin]))
    share = dissolved(1, kelvin)
    if share < 1:
        rich = 0.5 * (1 + share)
        state = pair.at(rich)
        # exact: ideal solubility, and the lever rule
        assert float(state.molten[0]) == pytest.approx((1 - rich) / (1 - share), rel=1e-9)
        assert float(state.second[0]) == pytest.approx(-FUSION[1] * (1 - kelvin / MELTS[1]), abs=1e-6)
        assert float(state.first[0]) == pytest.approx(GAS_CONSTANT * kelvin * np.log(1 - share), abs=1e-6)


def test_above_both_melting_points_all_is_molten() -> None:
    state = by_hand(np.array([1100.0])).at(SHARES[:, None])
    assert np.all(state.molten == 1)
    assert np.all(state.line == -1)
    ideal = GAS_CONSTANT * 1100.0 * np.log(SHARES)
    assert state.second[:, 0] == pytest.approx(ideal, rel=1e-12)  # exact: Raoult


def test_a_double_salt_melts_where_its_melt_is_as_low() -> None:
    """Congruent melting at 1000 K: just below it the solid, just above it the melt of the same composition."""
    w = -30_000.0
    melt = float(first_potential(1000.0, 0.5, 0.0, w, 0.0) + second_potential(1000.0, 0.5, 0.0, w, 0.0))
    steeper = 2 * GAS_CONSTANT * np.log(0.5) + 40.0  # falls slower than the melt, by 40 J/K a formula
    kelvin = np.array([999.0, 1001.0])
    double = Solid("D", 1.0, 1.0, melt + steeper * (kelvin - 1000.0))
    zero = np.zeros(2)
    pair = SaltPair(kelvin, (zero, zero), (np.full(2, w), zero), (double,))
    assert pair.at(0.5).molten == pytest.approx([0.0, 1.0], abs=1e-6)  # exact
    beside = pair.at(0.495).molten
    assert 0 < beside[0] < 1
    assert beside[1] == 1


def test_samples_one_by_one_are_the_batch() -> None:
    rng = np.random.default_rng(3)
    size = 12
    kelvin = rng.uniform(700, 1300, (3, size))
    liquids = (rng.normal(0, 500, (3, size)), rng.normal(0, 500, (3, size)))
    w, v = rng.uniform(-40_000, 2_000, size), rng.uniform(-2_000, 2_000, size)
    solids = tuple(
        Solid(name, one, other, rng.uniform(-9_000, 3_000, (3, size)) * (one + other))
        for name, one, other in (("A", 1.0, 0.0), ("B", 0.0, 1.0), ("D", 1.0, 1.0))
    )
    left = np.linspace(0.01, 0.99, 7)
    batch = SaltPair(kelvin, liquids, (w, v), solids).at(left[:, None, None])
    for row, column in np.ndindex(3, size):
        here = tuple(Solid(s.name, s.first, s.second, s.gibbs[row, column : column + 1]) for s in solids)
        own = (liquids[0][row, column : column + 1], liquids[1][row, column : column + 1])
        one = SaltPair(
            kelvin[row, column : column + 1], own, (w[column : column + 1], v[column : column + 1]), here
        ).at(left[:, None])
        assert np.array_equal(one.line[:, 0], batch.line[:, row, column])
        assert one.first[:, 0] == pytest.approx(batch.first[:, row, column], rel=1e-12, abs=1e-9)
        assert one.molten[:, 0] == pytest.approx(batch.molten[:, row, column], rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("melts", [True, False])
def test_at_a_double_salt_no_false_line_is_taken(melts: bool) -> None:
    """At its very composition all lines from it are as low, and only one of them is the next to hold."""
    doubles = (((1.0, 1.0), -20_000.0), ((2.0, 1.0), -17_000.0), ((1.0, 2.0), -17_000.0))
    pair = Case(700.0, -6000.0, -8000.0, doubles, -2.0, 0.0).pair(melts)
    for share in (1 / 3, 0.5, 2 / 3):
        here, beyond = pair.at(share), pair.at(share + 1e-7)
        assert here.first == pytest.approx(beyond.first, abs=1e-3)
        assert here.second == pytest.approx(beyond.second, abs=1e-3)


# ---- what is not known


def known(pair: SaltPair) -> Array:
    state = pair.at(SHARES[:, None])
    parts = [np.isfinite(each) for each in (state.first, state.second, state.molten)]
    assert all(np.array_equal(parts[0], each) for each in parts)
    return parts[0]


def test_a_liquid_that_is_not_known_leaves_nothing_known() -> None:
    pair = by_hand(np.array([850.0]))
    gone = SaltPair(pair.temperature, (np.zeros(1), np.full(1, np.nan)), pair.interaction, pair.solids)
    assert known(pair).all()
    assert not known(gone).any()


def test_a_double_salt_that_is_not_known_leaves_nothing_known() -> None:
    pair = by_hand(np.array([850.0, 860.0]))
    double = Solid("D", 1.0, 1.0, np.array([-20_000.0, np.nan]))
    with_double = SaltPair(pair.temperature, pair.liquids, pair.interaction, (*pair.solids, double))
    assert known(with_double).all(axis=0).tolist() == [True, False]
    alone = SaltPair(pair.temperature, None, pair.interaction, (*pair.solids, double))
    assert known(alone).all(axis=0).tolist() == [True, False]


def test_without_a_melt_a_salt_that_is_not_known_is_not_answered() -> None:
    pair = by_hand(np.array([850.0, 950.0]))
    alone = SaltPair(pair.temperature, None, pair.interaction, pair.solids)
    state = alone.at(0.5)
    assert np.isfinite(state.first).tolist() == [True, False]
    assert np.isfinite(state.molten).tolist() == [True, False]
