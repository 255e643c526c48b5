# SPDX-License-Identifier: MIT
"""The sweep over a tree of cells against a general solver of linear systems."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retortwright.ground.arrays import Array
from retortwright.physics.fins import (
    half_cell_resistance,
    series_conductance,
    solve_tree,
    solve_tree_with_loops,
)


class Network:
    """A tree of conducting cells with losses, links that close loops, and a heat into each cell."""

    def __init__(self, seed: int, cells: int, samples: int, links: int) -> None:
        chance = np.random.default_rng(seed)
        self.parent = np.array([-1, *(int(chance.integers(0, cell)) for cell in range(1, cells))])
        size = (cells, samples)
        self.upward, self.downward = (-np.exp(chance.normal(0.0, 3.0, size)) for _ in range(2))
        self.upward[0] = self.downward[0] = 0.0
        self.diagonal = np.exp(chance.normal(0.0, 2.0, size)) - self.upward
        np.subtract.at(self.diagonal, self.parent[1:], self.downward[1:])
        self.load = chance.normal(0.0, 10.0, size)
        pairs = [chance.choice(cells, 2, replace=False) for _ in range(links if cells > 1 else 0)]
        self.loops = [(int(left), int(right)) for left, right in pairs]
        self.strength = np.exp(chance.normal(0.0, 2.0, (len(self.loops), samples)))

    @property
    def tree(self) -> tuple[Array, Array, Array, Array, Array]:
        return self.parent, self.diagonal, self.upward, self.downward, self.load

    def by_general_solver(self, with_loops: bool) -> Array:
        cells, samples = self.load.shape
        found = np.empty((cells, samples))
        for sample in range(samples):
            matrix = np.diag(self.diagonal[:, sample])
            for cell in range(1, cells):
                matrix[cell, self.parent[cell]] += self.upward[cell, sample]
                matrix[self.parent[cell], cell] += self.downward[cell, sample]
            for (left, right), strength in zip(self.loops, self.strength[:, sample], strict=True):
                if with_loops:
                    matrix[[left, right], [left, right]] += strength
                    matrix[[left, right], [right, left]] -= strength
            found[:, sample] = np.linalg.solve(matrix, self.load[:, sample])
        return found


SEEDS, CELLS = st.integers(0, 2**32 - 1), st.integers(1, 60)


@given(SEEDS, CELLS)
def test_any_tree_is_solved_as_by_a_general_solver(seed: int, cells: int) -> None:
    network = Network(seed, cells, 3, 0)
    # exact: the same linear system
    expected = network.by_general_solver(with_loops=False)
    ours = solve_tree(*network.tree)
    np.testing.assert_allclose(ours, expected, rtol=0, atol=1e-10 * np.max(np.abs(expected)))


@given(SEEDS, CELLS, st.integers(1, 6))
def test_any_tree_with_loops_is_solved_as_by_a_general_solver(seed: int, cells: int, links: int) -> None:
    network = Network(seed, cells, 2, links)
    # exact: the same linear system; loops may share cells, cross each other and stand twice
    expected = network.by_general_solver(with_loops=True)
    ours = solve_tree_with_loops(*network.tree, network.loops, network.strength)
    np.testing.assert_allclose(ours, expected, rtol=0, atol=1e-9 * np.max(np.abs(expected)))


def test_a_loop_matters() -> None:
    network = Network(5, 40, 1, 2)
    with_loops = solve_tree_with_loops(*network.tree, network.loops, network.strength)
    assert np.max(np.abs(with_loops - solve_tree(*network.tree))) > 1e-3
    # exact: a link that conducts nothing changes nothing
    without = solve_tree_with_loops(*network.tree, network.loops, 0 * network.strength)
    np.testing.assert_array_equal(without, solve_tree(*network.tree))


def test_what_is_given_stays_as_it_was() -> None:
    network, again = Network(7, 30, 2, 2), Network(7, 30, 2, 2)
    solve_tree_with_loops(*network.tree, network.loops, network.strength)
    for ours, before in zip(network.tree, again.tree, strict=True):
        np.testing.assert_array_equal(ours, before)


def test_a_chain_of_cells_is_a_rod_with_insulated_tip() -> None:
    # published: Sukhatme, A Textbook on Heat Transfer, example 2.13(b), p. 73: tip 90.06 degC of a pin of
    # 3 x 30 mm, k = 15, h = 10, from 120 degC in air of 20 degC
    cells, width, section, film_area = 300, 1e-4, np.pi * 0.003**2 / 4, np.pi * 0.003 * 1e-4
    half = half_cell_resistance(width, 15.0, section)
    between = float(series_conductance(half, half, 0.0))
    diagonal = np.full((cells, 1), 10.0 * film_area + 2 * between)
    diagonal[0] += 1.0 / half - between  # held at the base
    diagonal[-1] -= between
    load = np.zeros((cells, 1))
    load[0] = 100.0 / half
    along = np.full((cells, 1), -between)
    tip = solve_tree(np.arange(-1, cells - 1), diagonal, along, along, load)[-1, 0]
    assert tip + 20.0 == pytest.approx(90.06, abs=0.005)


def test_resistances_in_series() -> None:
    # exact: two halves make a whole cell, L / (k A)
    half = half_cell_resistance(0.01, 20.0, 1e-4)
    assert series_conductance(half, half, 0.0) == pytest.approx(20.0 * 1e-4 / 0.01, rel=1e-14)
    assert series_conductance(0.0, 0.0, 4.0) == pytest.approx(0.25, rel=1e-14)


def test_outside_the_range_there_is_no_number() -> None:
    for value in (
        half_cell_resistance(np.array([0.0, -1.0]), 20.0, 1e-4),
        half_cell_resistance(0.01, np.array([0.0, -1.0]), 1e-4),
        half_cell_resistance(0.01, 20.0, np.array([0.0, np.nan])),
        series_conductance(np.array([0.0, -2.0]), 0.0, np.array([0.0, 1.0])),
    ):
        assert np.isnan(value).all()
