# SPDX-License-Identifier: MIT
"""The solution block by block against a general solver of linear systems."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from retortwright.belief.beliefs import Draws
from retortwright.ground.arrays import Array
from retortwright.situation.balance import closed, heat_balance
from retortwright.situation.balance import solved as solved_balance
from retortwright.situation.blocks import Block, Slopes, solve_blocks
from retortwright.situation.bore import Bore
from situation.rigs import BENCH, solved

SEEDS, CELLS = st.integers(0, 2**32 - 1), st.integers(1, 60)


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

    def runs(self, seed: int) -> list[list[int]]:
        """The cells in runs, each from a cell on toward one of its children, cut by chance."""
        chance = np.random.default_rng(seed)
        taken: set[int] = set()
        runs = []
        for cell in range(len(self.parent)):
            if cell in taken:
                continue
            run = [cell]
            for other in range(cell + 1, len(self.parent)):
                if self.parent[other] == run[-1] and other not in taken and chance.random() < 0.8:
                    run.append(other)
            taken |= set(run)
            runs.append(run)
        return runs


@settings(deadline=None)
@given(SEEDS, CELLS)
def test_any_tree_in_any_blocks_is_solved_as_by_a_general_solver(seed: int, cells: int) -> None:
    network = Network(seed, cells, 3, 0)
    blocks, bores, full = [], [], {}
    for number, run in enumerate(network.runs(seed)):
        own = np.array(run)
        blocks.append(Block(own, int(network.parent[run[0]]), number))
        bores.append(Bore(own, len(run), 0, np.zeros((1, len(run), len(run))), np.ones((1, 3))))
        if number % 2 == 0:
            full[number] = np.zeros((3, len(run), len(run)))
    slopes = Slopes(network.diagonal, network.upward, network.downward, full)
    ours = solve_blocks(blocks, bores, network.parent, slopes, network.load)
    # exact: the same linear system, dense blocks and trees mixed
    expected = network.by_general_solver(with_loops=False)
    np.testing.assert_allclose(ours, expected, rtol=0, atol=1e-9 * np.max(np.abs(expected)))


def test_the_slopes_of_a_rig_are_those_of_its_balance() -> None:
    """A step small enough to be straight: the matrix times the change is the change of the balance."""
    found = solved(BENCH, Draws(samples=2))
    wall = found.wall.sloped(None)
    at = found.picture.temperature
    balance = heat_balance(wall, at)
    change = np.random.default_rng(3).normal(0.0, 1e-3, at.shape)
    again = heat_balance(wall, at + change)
    load = balance.residual - again.residual
    back = solved_balance(balance, load)
    # exact up to what the slopes leave out: the film's own slope, a bore's far end on another wall
    assert np.max(np.abs(back - change)) < 0.35 * np.max(np.abs(change))


def test_what_is_given_stays_as_it_was() -> None:
    found = solved(BENCH, Draws(samples=2))
    wall = found.wall.sloped(None)
    balance = heat_balance(wall, found.picture.temperature)
    before = balance.slopes.diagonal.copy(), balance.residual.copy()
    solved_balance(balance, balance.residual)
    np.testing.assert_array_equal(balance.slopes.diagonal, before[0])
    np.testing.assert_array_equal(balance.residual, before[1])


def test_loops_are_closed() -> None:
    network = Network(5, 40, 2, 3)
    found = solved(BENCH, Draws(samples=2))
    assert found.wall.loops == []  # the bench has no by-pass; a by-pass closes in the tests of closure
    blocks = [Block(np.arange(40), -1, -1)]
    slopes = Slopes(network.diagonal, network.upward, network.downward, {})
    loads = np.zeros((40, 4, 2))
    loads[:, 0] = network.load
    for number, (left, right) in enumerate(network.loops):
        loads[left, number + 1], loads[right, number + 1] = 1.0, -1.0
    ours = closed(solve_blocks(blocks, [], network.parent, slopes, loads), network.loops, network.strength)
    # exact: the same linear system with its loops
    expected = network.by_general_solver(with_loops=True)
    np.testing.assert_allclose(ours, expected, rtol=0, atol=1e-9 * np.max(np.abs(expected)))
