# SPDX-License-Identifier: MIT
"""Flow coefficients of long tubes against printed solutions of the kinetic equation and exact limits."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.transition import (
    knudsen_coefficient,
    molecular_coefficient,
    poiseuille_coefficient,
    slip_coefficient,
    thermal_creep_coefficient,
)

MOLECULAR = 8 / (3 * np.sqrt(np.pi))


def test_rarefied_end() -> None:
    # published: Cercignani, Sernagiotto 1966 in Karniadakis, Beskok, Aluru 2005, table 15.5, diffuse wall
    found = poiseuille_coefficient(np.array([0.01, 0.02, 0.04]), 1.0)
    assert found == pytest.approx([1.4768, 1.4608, 1.4391], abs=0.6e-3)


def test_partly_specular_walls() -> None:
    # published: Porodnov, Tukhvetov 1979 in the same table 15.5, rarefaction 0.01; 3 % was asked
    found = poiseuille_coefficient(0.01, np.array([0.94, 0.90, 0.84, 0.80, 0.6]))
    assert found == pytest.approx([1.657, 1.791, 2.026, 2.187, 3.374], rel=0.012)


def test_partly_specular_walls_further_on() -> None:
    # published: the same table 15.5 at rarefaction 0.02 and 0.04, accommodation 0.94 to 0.6
    found = poiseuille_coefficient(np.array([[0.02], [0.04]]), np.array([0.94, 0.90, 0.84, 0.80, 0.6]))
    assert found[0] == pytest.approx([1.635, 1.764, 1.983, 2.144, 3.255], rel=0.012)
    assert found[1] == pytest.approx([1.605, 1.728, 1.933, 2.085, 3.137], rel=0.012)


def test_middle() -> None:
    # exact: linearised BGK equation solved by discrete velocities in a separate program, four decimals
    found = poiseuille_coefficient(np.array([1.4, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0]), 1.0)
    assert found == pytest.approx([1.5333, 1.6577, 1.8800, 2.1116, 2.3483, 2.8303, 3.5641], abs=1.2e-4)


def test_limits() -> None:
    assert poiseuille_coefficient(0.0, 1.0) == pytest.approx(MOLECULAR, rel=1e-12)  # exact
    assert poiseuille_coefficient(0.0, 0.8) == pytest.approx(1.5 * MOLECULAR, rel=1e-12)  # exact: (2 - a) / a
    assert molecular_coefficient(0.8) == pytest.approx(1.5 * MOLECULAR, rel=1e-12)  # exact
    # published: velocity slip coefficient of the BGK equation 1.016 (recalled), second order apart
    assert poiseuille_coefficient(1e4, 1.0) - 2500 == pytest.approx(1.016, abs=0.0005)
    assert poiseuille_coefficient(10.0, 1.0) / slip_coefficient(10.0, 1.018) == pytest.approx(1.013, abs=0.001)


def test_minimum() -> None:
    d = np.geomspace(0.05, 2.0, 400)
    found = poiseuille_coefficient(d, 1.0)
    lowest = int(np.argmin(found))
    assert 0.2 < d[lowest] < 0.5  # published: Knudsen's minimum
    # published: 0.915 of the molecular value by the BGK equation (recalled)
    assert found[lowest] / MOLECULAR == pytest.approx(0.915, abs=0.0005)


def test_it_is_not_the_sum_of_its_limits() -> None:
    d = np.array([0.3, 1.0, 3.0])
    assert (d / 4 + MOLECULAR) / poiseuille_coefficient(d, 1.0) == pytest.approx([1.148, 1.203, 1.199], abs=0.002)


@pytest.mark.parametrize("accommodation", [0.5, 0.8, 1.0])
@pytest.mark.parametrize("edge", [1e-3, 1e2])
def test_no_step_at_the_ends_of_the_table(edge: float, accommodation: float) -> None:
    near = poiseuille_coefficient(edge * np.array([1 - 1e-9, 1 + 1e-9]), accommodation)
    assert near[0] == pytest.approx(near[1], rel=1e-7)  # exact: continuous
    near = thermal_creep_coefficient(edge * np.array([1 - 1e-9, 1 + 1e-9]))
    assert near[0] == pytest.approx(near[1], rel=1e-7)


def test_thin_end_below_the_table() -> None:
    # regression: tools/solve_tube_kinetics.py --check, solved at 1e-4 itself
    assert poiseuille_coefficient(1e-4, 1.0) == pytest.approx(1.503775, abs=5e-6)
    assert thermal_creep_coefficient(1e-4) == pytest.approx(0.751492, abs=5e-6)


def test_thermal_creep() -> None:
    assert thermal_creep_coefficient(0.0) == pytest.approx(MOLECULAR / 2, rel=1e-12)  # exact: half of the other
    # published: thermal slip coefficient of the S-model 1.175 (recalled)
    assert thermal_creep_coefficient(1e4) * 1e4 == pytest.approx(1.175, abs=0.001)
    # regression: tools/solve_tube_kinetics.py --check
    found = thermal_creep_coefficient(np.array([0.01, 0.1, 1.0, 10.0]))
    assert found == pytest.approx([0.721024, 0.620876, 0.396750, 0.102044], abs=1.5e-5)


def test_creep_holds_up_less_than_half() -> None:
    d = np.geomspace(1e-4, 1e3, 50)
    share = thermal_creep_coefficient(d) / poiseuille_coefficient(d, 1.0)
    assert np.all(np.diff(share) < 0)
    assert share[0] < 0.5


def test_knudsens_interpolation() -> None:
    # published: minimum 0.952 at diameter * pressure 4.3e-3 mbar cm in air of 20 C (Knudsen 1909 in a
    # handbook's rounding 192, 237, 135; recalled). 66.97 is the rarefaction at 1 mbar cm.
    product = np.linspace(2e-3, 8e-3, 601)
    share = knudsen_coefficient(product * 66.97) / MOLECULAR
    assert np.min(share) == pytest.approx(0.952, abs=0.002)
    assert product[int(np.argmin(share))] == pytest.approx(4.3e-3, abs=0.1e-3)
    kinetic = poiseuille_coefficient(product * 66.97, 1.0)
    assert np.max(np.abs(knudsen_coefficient(product * 66.97) / kinetic - 1)) < 0.06


def test_outside_the_range_is_nan() -> None:
    assert np.isnan(poiseuille_coefficient(np.array([-1e-9, np.nan]), 1.0)).all()
    assert np.isnan(poiseuille_coefficient(1.0, np.array([0.49, 1.01, np.nan]))).all()
    assert np.isnan(thermal_creep_coefficient(np.array([-1e-9, np.nan]))).all()
    assert np.isnan(molecular_coefficient(np.array([0.0, 1.1]))).all()
    assert np.isnan(slip_coefficient(9.9, 1.018))
    assert np.isnan(knudsen_coefficient(-0.1))
