# SPDX-License-Identifier: MIT
"""Many phases at once: by hand where it can be, and the conditions of equilibrium for random systems."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retortwright.ground.arrays import Array
from retortwright.physics.phase_equilibrium import PhaseEquilibrium
from retortwright.physics.phase_system import PhaseSystem

GAS = PhaseSystem(np.array([[1.0], [2.0]]), (2,))  # A and A2
# A, B, AB and an inert gas; a melt of A and B; A, B, AB and A2B as pure phases.
ATOMS = np.array(
    [[1, 0, 0], [0, 1, 0], [1, 1, 0], [0, 0, 1], [1, 0, 0], [0, 1, 0], [1, 0, 0], [0, 1, 0], [1, 1, 0], [2, 1, 0]],
    dtype=float,
)  # fmt: skip
MANY = PhaseSystem(ATOMS, (4, 2), ((4, 5),))
NEVER = np.full(10, np.inf)


def one(system: PhaseSystem, standard: Array, totals: list[float], *pair: float) -> PhaseEquilibrium:
    """A single point; `pair` is w and v of the one pair."""
    interactions = (np.array([[pair[0]]]), np.array([[pair[1]]])) if pair else None
    return PhaseEquilibrium.of(system, standard[None], np.array([totals]), interactions)


def standards(**levels: float) -> Array:
    """Species by place: those not named are not there."""
    names = ["gA", "gB", "gAB", "gI", "mA", "mB", "sA", "sB", "sAB", "sA2B"]
    found = NEVER.copy()
    for name, level in levels.items():
        found[names.index(name)] = level
    return found


def is_one(
    system: PhaseSystem, standard: Array, totals: Array, found: PhaseEquilibrium, share: float
) -> None:
    """The conditions of equilibrium, written out again for ideal phases: balance, evenness, stability."""
    good = found.converged
    assert good.mean() >= share
    moles, potentials = found.moles[good], found.potentials[good]
    balance = moles @ system.atoms
    assert balance == pytest.approx(totals[good], rel=1e-9)  # exact: every element, traces too
    level = potentials @ system.atoms.T - standard[good]
    start = 0
    for count in (*system.mixed, *([1] * (len(system.atoms) - sum(system.mixed)))):
        part = slice(start, start + count)
        start += count
        inside = moles[:, part]
        there = inside.sum(1) > 0
        with np.errstate(divide="ignore"):
            logs = np.log(inside / np.where(there, inside.sum(1), 1.0)[:, None])
        heavy = there[:, None] & (logs > -200)
        off = np.where(heavy, level[:, part] - np.where(heavy, logs, 0.0), 0.0)
        assert np.abs(off).max() < 1e-8  # exact: every species at the potential of its elements
        assert np.all(np.log(np.exp(level[:, part]).sum(1)) < 1e-8)  # exact: no phase would grow


def test_a_gas_that_pairs() -> None:
    """A2 <-> 2 A: x1^2 / x2 = K, half the atoms balance."""
    found = PhaseEquilibrium.of(GAS, np.array([[0.0, np.log(3.0)]]), np.array([[1.0]]))
    share = found.shares[0, 0]
    assert share**2 / (1 - share) == pytest.approx(3.0, rel=1e-10)  # exact: mass action
    assert found.moles[0] @ [1, 2] == pytest.approx(1.0, rel=1e-12)


def test_a_vapour_carries_as_much_as_its_pressure_allows() -> None:
    found = one(MANY, standards(gA=0.0, gB=0.0, gI=0.0, sA=-2.0, sB=-50.0), [1.0, 0.5, 1e-3])
    share = np.exp(-2.0)
    assert found.moles[0, 0] == pytest.approx(1e-3 * share / (1 - share), rel=1e-9)  # exact: x_A = exp(-2)
    assert found.moles[0, 6:8] == pytest.approx([1.0 - found.moles[0, 0], 0.5], rel=1e-9)


def test_a_compound_leaves_what_is_in_excess() -> None:
    found = one(MANY, standards(gA=0.0, gB=0.0, gI=0.0, sA=-9.0, sB=-9.0, sA2B=-60.0), [3.0, 1.0, 1e-6])
    assert found.moles[0, [6, 7, 9]] == pytest.approx([1.0, 0.0, 1.0], abs=1e-5)  # exact: 3 A + B -> A2B + A


@pytest.mark.parametrize("trace", [1e-3, 1e-9, 1e-13])
def test_a_trace_in_a_melt_keeps_its_activity(trace: float) -> None:
    levels = standards(gA=5.0, gB=5.0, gI=0.0, mA=0.0, mB=0.0)
    found = one(MANY, levels, [1.0, trace, 1e-7], -8.0, 3.0)
    share = trace / (1 + trace)
    ratio = found.shares[0, 1] / found.shares[0, 3]
    inert = 1 - found.shares[0, 0] - found.shares[0, 1]
    level = found.potentials[0, 1]
    assert found.converged[0]
    # exact: ln(a_B) of x1 x2 (w + v x2) is ln x + (1 - x)^2 (w + 2 v x)
    assert level == pytest.approx(np.log(share) + (1 - share) ** 2 * (6 * share - 8), abs=1e-6)
    assert ratio * inert == pytest.approx(np.exp(level - 5.0), rel=1e-5)


def test_two_solids_fix_the_potentials_between_them() -> None:
    levels = standards(gA=0.0, gB=0.0, gI=0.0, sA=-20.0, sB=-20.0, sAB=-50.0, sA2B=-75.0)
    found = one(MANY, levels, [1.5, 1.0, 1e-8])
    a = -75.0 - -50.0
    assert found.potentials[0, :2] == pytest.approx([a, -50.0 - a], abs=1e-9)  # exact: AB and A2B
    assert found.moles[0, 8:] == pytest.approx([0.5, 0.5], abs=1e-6)


def test_atoms_in_an_exact_ratio_leave_no_excess() -> None:
    levels = standards(gA=0.0, gB=3.0, gI=0.0, sAB=-40.0)
    found = one(MANY, levels, [1.0, 1.0, 1e-6])
    one_, other = found.moles[0, 0], found.moles[0, 1]
    assert found.converged[0]
    assert one_ == pytest.approx(other, rel=1e-6)  # exact: what leaves AB leaves it whole
    assert one_ * other == pytest.approx(np.exp(-40.0 - 3.0) * found.phase_moles[0, 0] ** 2, rel=1e-6)


def test_a_potential_that_nothing_fixes_is_marked() -> None:
    bound = standards(gA=0.0, gB=0.0, gAB=-5.0, gI=0.0, sA=3.0, sAB=-40.0)
    found = one(MANY, bound, [1.0, 1.0, 1e-6])
    assert found.converged[0]
    assert found.open[0, [0, 1, 6]].all()  # exact: AB alone fixes only the sum
    assert not found.open[0, [2, 3, 8]].any()
    assert not one(MANY, bound, [1.1, 1.0, 1e-6]).open[0].any()  # A in excess is there as a gas


def test_an_element_that_is_not_there_takes_its_species_along() -> None:
    levels = standards(gA=0.0, gB=0.0, gI=0.0, sA=-9.0, sB=-9.0, sAB=-90.0)
    found = one(MANY, levels, [1.0, 0.0, 1e-3])
    assert found.converged[0]
    assert found.moles[0, [1, 2, 7, 8]] == pytest.approx(np.zeros(4), abs=0)  # exact


def test_without_a_phase_for_an_element_there_is_no_number() -> None:
    found = one(MANY, standards(gA=0.0, gI=0.0, sA=-9.0), [1.0, 1.0, 1e-3])
    assert not found.converged[0]
    assert np.isnan(found.moles).all()


@pytest.mark.parametrize("totals", [[-1.0, 1.0, 1.0], [np.nan, 1.0, 1.0], [0.0, 0.0, 0.0]])
def test_amounts_that_are_none_have_no_equilibrium(totals: list[float]) -> None:
    found = one(MANY, standards(gA=0.0, gB=0.0, gI=0.0), totals)
    assert np.isnan(found.moles).all()


@pytest.mark.parametrize(("share", "one_phase"), [(0.11, True), (0.2, False), (0.5, False)])
def test_a_melt_that_would_part_has_no_number(share: float, one_phase: bool) -> None:
    """A regular melt with w = 2.6 R T: two melts from 12.4 % on, though it bends upward up to 26 %."""
    levels = standards(gA=9.0, gB=9.0, gI=0.0, mA=0.0, mB=0.0)
    found = one(MANY, levels, [1 - share, share, 1e-6], 2.6, 0.0)
    # exact: ln(x / (1 - x)) = w (2 x - 1) at either end, 2 x (1 - x) = 1 / w where it bends
    assert bool(found.converged[0]) is one_phase


def test_a_point_does_not_depend_on_its_company() -> None:
    random = np.random.default_rng(5)
    standard = random.uniform(-30, 5, (40, 10))
    totals = 10 ** random.uniform(-6, 0, (40, 3))
    together = PhaseEquilibrium.of(MANY, standard, totals)
    alone = [PhaseEquilibrium.of(MANY, standard[n : n + 1], totals[n : n + 1]) for n in range(0, 40, 7)]
    for place, each in zip(range(0, 40, 7), alone, strict=True):
        assert each.moles[0] == pytest.approx(
            together.moles[place], rel=1e-6, abs=1e-12, nan_ok=True
        )  # exact


@settings(max_examples=12, deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(2, 5), st.integers(0, 3))
def test_any_system_is_in_equilibrium(seed: int, elements: int, more: int) -> None:
    random = np.random.default_rng(seed)
    singles = np.eye(elements)
    gas = np.vstack([singles, random.integers(0, 3, (2 + more, elements))])
    melt, pure = singles[: 1 + more], np.vstack([singles, random.integers(0, 4, (4, elements))])
    gas, pure = gas[gas.sum(1) > 0], pure[pure.sum(1) > 0]
    system = PhaseSystem(np.vstack([gas, melt, pure]), (len(gas), len(melt)))
    size = system.atoms.sum(1)
    standard = random.uniform(-25, 10, (50, len(size))) * np.sqrt(size)
    totals = 10 ** random.uniform(-9, 0, (50, elements))
    found = PhaseEquilibrium.of(system, standard, totals)
    is_one(system, standard, totals, found, share=0.95)
