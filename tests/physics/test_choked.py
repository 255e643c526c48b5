# SPDX-License-Identifier: MIT
"""Choked flow against the closed forms of a perfect gas and printed values."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.choked import (
    choked_flux_coefficient,
    choked_mass_flux,
    choked_over_molecular,
    critical_pressure_ratio,
    isentropic_flux_share,
    sonic_exit_pressure,
    sonic_mass_flow,
)
from retortwright.physics.constants import GAS_CONSTANT

AIR, CAESIUM, MAGNESIUM = 0.0289647, 0.1329055, 0.024305
MONATOMIC = 5 / 3


def test_coefficients() -> None:
    # exact: closed form, in agreement with the ideal-gas values of ISO 9300
    assert choked_flux_coefficient(np.array([1.4, MONATOMIC])) == pytest.approx([0.68473, 0.72618], abs=0.5e-5)


def test_critical_ratios() -> None:
    # exact: closed form, printed in every text on gas dynamics
    assert critical_pressure_ratio(np.array([1.4, MONATOMIC])) == pytest.approx([0.5283, 0.4871], abs=0.5e-4)


def test_choked_over_molecular() -> None:
    assert choked_over_molecular(np.array([1.4, MONATOMIC])) == pytest.approx([1.716, 1.820], abs=0.6e-3)  # exact


def test_choked_air_of_a_handbook() -> None:
    # published: 20 L/s for each cm^2 at 20 C, a handbook's round figure (recalled); 19.86 is exact
    litres = choked_mass_flux(1.0, 293.15, AIR, 1.4) * 1e-4 * GAS_CONSTANT * 293.15 / AIR * 1e3
    assert litres == pytest.approx(19.86, abs=0.005)


@pytest.mark.parametrize(
    ("temperature", "molar_mass", "flux"), [(900.0, CAESIUM, 3.060e-3), (1200.0, MAGNESIUM, 1.133e-3)]
)
def test_metal_vapours(temperature: float, molar_mass: float, flux: float) -> None:
    assert choked_mass_flux(1.0, temperature, molar_mass, MONATOMIC) == pytest.approx(flux, abs=0.6e-6)  # exact


@pytest.mark.parametrize("ratio", [0.0, 0.2, 0.487])
def test_below_the_critical_ratio_nothing_more_comes(ratio: float) -> None:
    assert isentropic_flux_share(ratio, MONATOMIC) == pytest.approx(1.0, abs=1e-12)  # exact


def test_near_balance_bernoulli() -> None:
    # exact: flux = sqrt(2 density (p - p')) for a small difference
    drop = 1e-6
    share = np.sqrt(2 * drop) / choked_flux_coefficient(1.4)
    assert isentropic_flux_share(1 - drop, 1.4) == pytest.approx(share, rel=1e-5)
    assert isentropic_flux_share(1.0, 1.4) == 0.0


def test_flow_is_largest_at_the_critical_ratio() -> None:
    ratios = np.linspace(0.4871, 1.0, 50)
    assert np.all(np.diff(isentropic_flux_share(ratios, MONATOMIC)) <= 0)
    edge = isentropic_flux_share(critical_pressure_ratio(MONATOMIC) + 1e-4, MONATOMIC)
    assert edge == pytest.approx(1.0, abs=1e-6)  # exact: flat at its top


def test_pressure_in_a_sonic_mouth() -> None:
    # exact: without friction the mouth of a nozzle has the critical pressure
    flux = choked_mass_flux(100.0, 900.0, CAESIUM, MONATOMIC)
    expected = 100 * critical_pressure_ratio(MONATOMIC)
    assert sonic_exit_pressure(flux, 900.0, CAESIUM, MONATOMIC) == pytest.approx(expected, rel=1e-12)


def test_sonic_limit_is_area_times_flux() -> None:
    flux = choked_mass_flux(100.0, 900.0, CAESIUM, MONATOMIC)
    assert sonic_mass_flow(0.004, 100.0, 900.0, CAESIUM, MONATOMIC) == pytest.approx(np.pi * 1.6e-5 * flux)  # exact


@pytest.mark.parametrize("ratio", [1.0, 1.71, np.nan])
def test_no_such_gas(ratio: float) -> None:
    assert np.isnan(critical_pressure_ratio(ratio))
    assert np.isnan(choked_flux_coefficient(ratio))
    assert np.isnan(choked_over_molecular(ratio))
    assert np.isnan(choked_mass_flux(1.0, 300.0, AIR, ratio))
    assert np.isnan(isentropic_flux_share(0.5, ratio))
    assert np.isnan(sonic_exit_pressure(1.0, 300.0, AIR, ratio))


def test_outside_the_range_is_nan() -> None:
    assert np.isnan(isentropic_flux_share(np.array([-0.1, 1.1, np.nan]), 1.4)).all()
    assert np.isnan(choked_mass_flux(np.array([-1.0, np.nan]), 300.0, AIR, 1.4)).all()
    assert np.isnan(sonic_mass_flow(0.0, 1.0, 300.0, AIR, 1.4))
    assert np.isnan(sonic_exit_pressure(-1.0, 300.0, AIR, 1.4))
