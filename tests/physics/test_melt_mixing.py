# SPDX-License-Identifier: MIT
"""A melt of several species: its potentials against the binary ones and against differences, its composition."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.ground.arrays import Array
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.physics.melt_mixing import Mixing
from retortwright.physics.melts import excess_gibbs, first_potential, second_potential

PAIRS = [(0, 1), (1, 2), (3, 0), (2, 3)]
W, V = np.array([[-6.0, -1.5, 0.7, -3.0]]), np.array([[1.2, 0.0, -0.9, 2.5]])
SHARE = np.array([[0.4, 0.25, 0.2, 0.15]])


def mixing() -> Mixing:
    return Mixing.of_pairs(4, PAIRS, W, V)


def whole(moles: Array) -> float:
    """Excess Gibbs energy over R T of so many moles, pair by pair as the module's docstring has it."""
    share = moles / moles.sum()
    parts = [
        share[i] * share[j] * (W[0, n] + V[0, n] * (1 + share[j] - share[i]) / 2)
        for n, (i, j) in enumerate(PAIRS)
    ]
    return float(moles.sum() * sum(parts))


@pytest.mark.parametrize("share", [0.01, 0.3, 0.8])
def test_two_species_are_a_binary_melt(share: float) -> None:
    kelvin, w, v = 900.0, -21000.0, 6000.0
    thermal = GAS_CONSTANT * kelvin
    pair = Mixing.of_pairs(2, [(0, 1)], np.array([[w / thermal]]), np.array([[v / thermal]]))
    logs = np.log([1 - share, share])
    found = (logs + pair.log_activity(np.array([[1 - share, share]]))[0]) * thermal
    # exact: the binary potentials of the same excess Gibbs energy
    assert found[0] == pytest.approx(first_potential(kelvin, share, 0.0, w, v), rel=1e-12)
    assert found[1] == pytest.approx(second_potential(kelvin, share, 0.0, w, v), rel=1e-12)
    shares = np.array([1 - share, share])
    assert float(shares @ (found - logs * thermal)) == pytest.approx(excess_gibbs(share, w, v), rel=1e-12)


def test_the_order_of_a_pair_is_that_of_its_slope() -> None:
    one = Mixing.of_pairs(2, [(0, 1)], np.array([[-3.0]]), np.array([[2.0]]))
    other = Mixing.of_pairs(2, [(1, 0)], np.array([[-1.0]]), np.array([[-2.0]]))
    share = np.array([[0.3, 0.7]])
    assert one.log_activity(share) == pytest.approx(other.log_activity(share), rel=1e-12)  # exact: w+v, -v


def test_activities_are_slopes_of_the_excess_energy() -> None:
    found = mixing().log_activity(SHARE)[0]
    step = 1e-5
    slopes = [(whole(SHARE[0] + step * e) - whole(SHARE[0] - step * e)) / (2 * step) for e in np.eye(4)]
    assert found == pytest.approx(np.array(slopes), abs=1e-8)  # exact: partial molar quantities


def test_bending_is_the_slope_of_the_activities() -> None:
    found, step = mixing().bending(SHARE)[0], 1e-6

    def logs(moles: Array) -> Array:
        return mixing().log_activity((moles / moles.sum())[None])[0]

    slopes = [(logs(SHARE[0] + step * e) - logs(SHARE[0] - step * e)) / (2 * step) for e in np.eye(4)]
    assert found == pytest.approx(np.array(slopes), abs=1e-7)  # exact: derivative
    assert found == pytest.approx(found.T, abs=1e-12)  # exact: symmetric
    assert found @ SHARE[0] == pytest.approx(np.zeros(4), abs=1e-12)  # exact: Gibbs and Duhem


@pytest.mark.parametrize(
    "start", [[-1.4, -1.4, -1.4, -1.4], [-0.01, -9.0, -9.0, -9.0], [-600.0, -600, -600, 0]]
)
def test_the_composition_suits_the_levels_wherever_it_starts(start: list[float]) -> None:
    levels = np.log(SHARE) + mixing().log_activity(SHARE) + 0.7
    logs, excess, uneven = mixing().settled(levels, np.array([start], float), 30)
    assert np.exp(logs) == pytest.approx(SHARE, rel=1e-9)  # exact: the levels were made from it
    assert excess == pytest.approx([0.7], abs=1e-12)
    assert uneven[0] < 1e-12


def test_its_response_is_how_the_composition_moves() -> None:
    atoms = np.array([[1.0, 0.0], [0.0, 1.0], [2.0, 1.0], [1.0, 3.0]])
    potentials = np.array([[0.3, -0.2]])
    standard = potentials @ atoms.T - np.log(SHARE) - mixing().log_activity(SHARE)

    def held(at: Array) -> Array:
        logs, _, _ = mixing().settled(at @ atoms.T - standard, np.log(SHARE), 30)
        return np.exp(logs) @ atoms

    step, mean = 1e-5, SHARE @ atoms
    slopes = [(held(potentials + step * e) - held(potentials - step * e))[0] / (2 * step) for e in np.eye(2)]
    found = mixing().response(SHARE, atoms)[0] - np.outer(mean, mean)
    assert found == pytest.approx(np.array(slopes), abs=1e-8)  # exact: derivative


@pytest.mark.parametrize(("w", "one"), [(1.9, True), (2.1, False), (-20.0, True)])
def test_a_melt_parts_where_its_energy_bends_down(w: float, one: bool) -> None:
    pair = Mixing.of_pairs(2, [(0, 1)], np.array([[w]]), np.zeros((1, 1)))
    assert bool(pair.stays_one(np.array([[0.5, 0.5]]))[0]) is one  # exact: a regular melt parts above 2 R T
