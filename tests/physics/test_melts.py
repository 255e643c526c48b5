# SPDX-License-Identifier: MIT
"""Chemical potentials of a binary melt and the pressure of a gas over it: slopes, limits, ranges."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retortwright.physics.constants import GAS_CONSTANT
from retortwright.physics.melts import equilibrium_pressure, excess_gibbs, first_potential, second_potential

STEP = 1e-5
kelvins = st.floats(500, 1600)
shares = st.floats(0.01, 0.99)
energies = st.floats(-80_000, 20_000)
pures = st.floats(-900_000, -300_000)


def gibbs(kelvin: float, share: float, pures: tuple[float, float], w: float, v: float) -> float:
    """Of a mole of melt, written out from the ideal mixing of the cations."""
    mixing = GAS_CONSTANT * kelvin * (share * np.log(share) + (1 - share) * np.log(1 - share))
    whole = (1 - share) * pures[0] + share * pures[1] + mixing + excess_gibbs(share, w, v)
    return float(whole)


@given(kelvins, shares, pures, pures, energies, energies)
def test_potentials_are_the_ends_of_the_tangent(
    kelvin: float, share: float, one: float, other: float, w: float, v: float
) -> None:
    high, low = (gibbs(kelvin, share + step, (one, other), w, v) for step in (STEP, -STEP))
    here, slope = gibbs(kelvin, share, (one, other), w, v), (high - low) / (2 * STEP)
    # exact: the tangent of the Gibbs energy meets the pure salts at their potentials
    assert float(first_potential(kelvin, share, one, w, v)) == pytest.approx(here - share * slope, abs=0.5)
    assert float(second_potential(kelvin, share, other, w, v)) == pytest.approx(
        here + (1 - share) * slope, abs=0.5
    )


@given(kelvins, shares, pures, pures, energies, energies)
def test_potentials_add_up_to_the_gibbs_energy(
    kelvin: float, share: float, one: float, other: float, w: float, v: float
) -> None:
    first = float(first_potential(kelvin, share, one, w, v))
    second = float(second_potential(kelvin, share, other, w, v))
    # exact: Euler's sum of partial molar quantities
    expected = gibbs(kelvin, share, (one, other), w, v)
    assert (1 - share) * first + share * second == pytest.approx(expected, rel=1e-12)


@given(kelvins, shares, energies, energies)
def test_gibbs_duhem(kelvin: float, share: float, w: float, v: float) -> None:
    places = np.array([share - STEP, share + STEP])
    first, second = (np.diff(each(kelvin, places, 0.0, w, v)) for each in (first_potential, second_potential))
    # exact: what one potential gains the other loses, in the ratio of the moles
    balance = float((1 - share) * first[0] + share * second[0]) / (2 * STEP)
    assert balance == pytest.approx(0, abs=0.1)


def test_a_pure_salt_has_its_own_gibbs_energy() -> None:
    assert float(first_potential(900.0, 0.0, -400e3, -5000.0, 800.0)) == -400e3  # exact
    assert float(second_potential(900.0, 1.0, -800e3, -5000.0, 800.0)) == -800e3  # exact


def test_a_trace_sees_the_whole_interaction() -> None:
    trace = 1e-9
    ideal = GAS_CONSTANT * 900.0 * np.log(trace)
    # exact: Henry's law, w over a solvent of the first salt, w + v over one of the second
    assert float(second_potential(900.0, trace, 0.0, -7000.0, 900.0)) == pytest.approx(ideal - 7000, abs=1e-3)
    found = float(first_potential(900.0, 1 - trace, 0.0, -7000.0, 900.0))
    assert found == pytest.approx(ideal - 7000 + 900, abs=1e-3)


@pytest.mark.parametrize("share", [-0.01, 1.01, np.nan])
def test_a_share_outside_its_range_is_no_number(share: float) -> None:
    for found in (
        excess_gibbs(share, 1.0, 0.0),
        first_potential(900.0, share, 0.0, 1.0, 0.0),
        second_potential(900.0, share, 0.0, 1.0, 0.0),
    ):
        assert np.isnan(found)


def test_a_salt_that_is_not_there_has_no_potential() -> None:
    assert np.isnan(first_potential(900.0, 1.0, 0.0, 0.0, 0.0))
    assert np.isnan(second_potential(900.0, 0.0, 0.0, 0.0, 0.0))
    assert np.isnan(first_potential(0.0, 0.5, 0.0, 0.0, 0.0))


@given(kelvins, st.floats(1e-8, 1e7))
def test_pressure_turns_back_into_a_potential(kelvin: float, pressure: float) -> None:
    potential = GAS_CONSTANT * kelvin * np.log(pressure / 1e5) - 70e3
    found = float(equilibrium_pressure(kelvin, potential, -70e3, 1e5))
    assert found == pytest.approx(pressure, rel=1e-10)  # exact: its inverse


def test_a_dimer_goes_with_the_square() -> None:
    pressures = [float(equilibrium_pressure(900.0, 2 * each, -20e3, 1e5)) for each in (-9000.0, -4000.0)]
    atoms = [float(equilibrium_pressure(900.0, each, 0.0, 1e5)) for each in (-9000.0, -4000.0)]
    # exact: mass action
    assert pressures[1] / pressures[0] == pytest.approx((atoms[1] / atoms[0]) ** 2, rel=1e-12)
