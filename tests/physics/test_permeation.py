# SPDX-License-Identifier: MIT
"""Permeation through walls and hoses, and hydrogen through hot metal."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.constants import GAS_CONSTANT
from retortwright.physics.permeation import (
    activated,
    metal_wall_hydrogen,
    permeation_delay,
    tube_wall_hydrogen,
    tube_wall_permeation,
    wall_permeation,
)

BARRER = 3.3464e-16  # mol/m/s/Pa: 1e-10 cm3(STP) cm / (cm2 s cmHg)


def test_a_barrer_is_what_it_is_called() -> None:
    # exact: 1e-10 cm3 at 273.15 K and 1 atm, through 1 cm, over 1 cm2, by 1 cmHg = 1333.22 Pa
    mole = 101325.0 * 1e-6 / (GAS_CONSTANT * 273.15)
    assert pytest.approx(1e-10 * mole * 1e-2 / (1e-4 * 101325.0 / 76), rel=1e-4) == BARRER


def test_a_thin_hose_is_a_flat_wall() -> None:
    # exact: the limit of a thin wall
    hose = tube_wall_permeation(1e-13, 0.01, 0.01002, 2.0, 2e4, 0.0)
    flat = wall_permeation(1e-13, np.pi * 0.01001 * 2.0, 1e-5, 2e4, 0.0)
    assert hose == pytest.approx(flat, rel=1e-6)
    hot = tube_wall_hydrogen(1e-10, 0.01, 0.01002, 2.0, 5e3, 10.0)
    assert hot == pytest.approx(metal_wall_hydrogen(1e-10, np.pi * 0.01001 * 2.0, 1e-5, 5e3, 10.0), rel=1e-6)


def test_oxygen_through_a_metre_of_silicone() -> None:
    # exact: hand-worked. 660 Barrer, 6 x 10 mm, 1 m, 0.2095 atm: 2 pi / ln(10/6) = 12.300 m/m
    flow = tube_wall_permeation(660 * BARRER, 6e-3, 10e-3, 1.0, 0.2095 * 101325.0, 0.0)
    argon = 0.2e-3 / 60 * 101325.0 / (GAS_CONSTANT * 293.15)  # mol/s in 0.2 L/min
    assert flow == pytest.approx(660 * 3.3464e-16 * 12.300 * 21227.6, rel=1e-4)
    assert flow / argon * 1e6 == pytest.approx(416, abs=0.5)  # ppm; some 400 ppm is a usual figure


def test_hydrogen_through_hot_iron() -> None:
    # published: Tanabe, Yamanishi, Imoto 1984, abstract: 2.88e-5 mol/m/s/MPa^0.5 exp(-32.12 kJ/mol / R T);
    # worked by hand for 100 cm2 of 2 mm iron at 800 degC and 5 kPa outside: 7e-3 mbar L/s at 20 degC
    permeability = 2.88e-8 * np.exp(-32120.0 / (GAS_CONSTANT * 1073.15))
    flow = metal_wall_hydrogen(permeability, 1e-2, 2e-3, 5e3, 0.0)
    assert flow * GAS_CONSTANT * 293.15 * 10 == pytest.approx(7e-3, abs=0.5e-3)


def test_hydrogen_goes_both_ways_and_rests_in_balance() -> None:
    # exact: antisymmetry, and no flow between equal pressures
    inward = tube_wall_hydrogen(1e-10, 0.02, 0.025, 0.1, 900.0, 100.0)
    assert inward == pytest.approx(-tube_wall_hydrogen(1e-10, 0.02, 0.025, 0.1, 100.0, 900.0))
    assert tube_wall_hydrogen(1e-10, 0.02, 0.025, 0.1, 300.0, 300.0) == 0.0
    # exact: Sieverts, four times the pressure drives twice the flow into vacuum
    quarter = tube_wall_hydrogen(1e-10, 0.02, 0.025, 0.1, 100.0, 0.0)
    assert tube_wall_hydrogen(1e-10, 0.02, 0.025, 0.1, 400.0, 0.0) == pytest.approx(2 * quarter)


def test_activation_turns_round() -> None:
    # exact: from one temperature to another and back
    assert activated(350.0, 300.0, 4e4) * activated(300.0, 350.0, 4e4) == pytest.approx(1.0)
    assert activated(300.0, 300.0, 4e4) == 1.0


def test_outside_the_range_is_no_number() -> None:
    assert np.isnan(activated(0.0, 300.0, 4e4))
    assert np.isnan(tube_wall_permeation(1e-13, 0.01, 0.01, 1.0, 1.0, 0.0))
    assert np.isnan(metal_wall_hydrogen(1e-10, 1.0, 1e-3, -1.0, 0.0))
    assert np.isnan(permeation_delay(1e-3, 0.0))
