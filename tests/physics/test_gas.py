# SPDX-License-Identifier: MIT
"""A gas at rest against kinetic theory and printed constants."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.gas import (
    effusion_flux,
    equivalent_free_path,
    mean_free_path,
    mean_speed,
    molar_flow_of_throughput,
    most_probable_speed,
    number_density,
    rarefaction,
    throughput_of_molar_flow,
)

AIR = 0.0289647


def test_mean_speed_of_air() -> None:
    assert mean_speed(293.15, AIR) == pytest.approx(462.9, abs=0.05)  # exact: sqrt(8 R T / pi M)


def test_speeds_stand_in_a_fixed_ratio() -> None:
    ratio = mean_speed(700.0, 0.04) / most_probable_speed(700.0, 0.04)
    assert ratio == pytest.approx(2 / np.sqrt(np.pi), rel=1e-12)  # exact: from the Maxwell distribution


def test_loschmidt_number() -> None:
    # published: CODATA 2018, Loschmidt constant (273.15 K, 101.325 kPa) 2.686780111e25 1/m^3
    assert number_density(101325.0, 273.15) == pytest.approx(2.686780111e25, rel=1e-9)


def test_molar_volume() -> None:
    # published: CODATA 2018, molar volume of an ideal gas (273.15 K, 100 kPa) 22.71095464e-3 m^3/mol
    assert throughput_of_molar_flow(1.0, 273.15) / 1e5 == pytest.approx(22.71095464e-3, rel=1e-9)


def test_flow_there_and_back() -> None:
    flow = molar_flow_of_throughput(1e-5, 293.15)
    assert flow == pytest.approx(4.103e-9, abs=0.5e-12)  # exact: 1e-5 / (8.314463 * 293.15)
    assert throughput_of_molar_flow(flow, 293.15) == pytest.approx(1e-5, rel=1e-12)


def test_effusion_constant_of_the_handbooks() -> None:
    # published: Dushman, 0.05833 g/cm^2/s for 1 Torr, 1 g/mol and 1 K (recalled)
    in_handbook_units = effusion_flux(101325 / 760, 1.0, 1e-3) * 0.1
    assert in_handbook_units == pytest.approx(0.058330, abs=5e-6)


def test_effusion_is_density_times_speed_over_four() -> None:
    mass = number_density(50.0, 600.0) * 0.04 / 6.02214076e23
    assert effusion_flux(50.0, 600.0, 0.04) == pytest.approx(mass * mean_speed(600.0, 0.04) / 4, rel=1e-12)  # exact


def test_free_path_of_a_known_case() -> None:
    # exact: 1 / (sqrt(2) pi d^2 n) with n from the Loschmidt constant
    path = 1 / (np.sqrt(2) * np.pi * 3e-10**2 * 2.686780111e25)
    assert mean_free_path(101325.0, 273.15, 3e-10) == pytest.approx(path, rel=1e-9)


def test_rarefaction_is_radius_over_equivalent_path() -> None:
    path = equivalent_free_path(100.0, 18.2e-6, 293.15, AIR)
    assert rarefaction(0.005, 100.0, 18.2e-6, 293.15, AIR) == pytest.approx(0.005 / path, rel=1e-12)  # exact
    assert path == pytest.approx(18.2e-6 * 410.25 / 100, rel=1e-4)  # exact: viscosity * v0 / p


@pytest.mark.parametrize("bad", [0.0, -1.0, np.nan])
def test_outside_the_range_is_nan(bad: float) -> None:
    assert np.isnan(mean_speed(bad, AIR))
    assert np.isnan(mean_speed(300.0, bad))
    assert np.isnan(most_probable_speed(bad, AIR))
    assert np.isnan(number_density(1.0, bad))
    assert np.isnan(mean_free_path(1.0, 300.0, bad))
    assert np.isnan(equivalent_free_path(1.0, bad, 300.0, AIR))
    assert np.isnan(rarefaction(0.01, 1.0, bad, 300.0, AIR))
    assert np.isnan(effusion_flux(1.0, bad, AIR))
    assert np.isnan(molar_flow_of_throughput(1.0, bad))
    assert np.isnan(throughput_of_molar_flow(1.0, bad))


def test_negative_pressure_is_nan_and_none_is_none() -> None:
    assert np.isnan(effusion_flux(-1.0, 300.0, AIR))
    assert np.isnan(number_density(-1.0, 300.0))
    assert effusion_flux(0.0, 300.0, AIR) == 0.0
    assert rarefaction(0.01, 0.0, 1e-5, 300.0, AIR) == 0.0
