# SPDX-License-Identifier: MIT
"""Evaporation against printed constants and kinetic limits, and diffusion against measured pairs."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.vaporisation import (
    bubble_pressure_ratio,
    evaporation_flux,
    evaporation_flux_share,
    facing_flux_share,
    hard_sphere_diffusivity,
    hertz_knudsen_flux,
    stefan_flux,
)

TORR = 101325.0 / 760.0
MAGNESIUM, CAESIUM, POTASSIUM = 0.024305, 0.1329055, 0.0390983
RATIOS = np.linspace(0.0, 1.0, 41)


def test_constant_in_the_units_of_the_book() -> None:
    # published: Dushman 1962, chapter 1: 0.05833 P(torr) sqrt(M/T) g/cm2/s (recalled)
    flux = hertz_knudsen_flux(TORR, 0.0, 300.0, 0.1, 1.0)
    assert flux * 0.1 / np.sqrt(100.0 / 300.0) == pytest.approx(0.05833, abs=5e-6)


@pytest.mark.parametrize(
    ("pressure", "temperature", "molar_mass", "flux"),
    [
        (10.0, 772.7, MAGNESIUM, 7.76e-3),
        (100.0, 534.1, CAESIUM, 0.218),
        (100.0, 601.1, POTASSIUM, 0.112),
    ],
)
def test_largest_flux(pressure: float, temperature: float, molar_mass: float, flux: float) -> None:
    # exact: worked out apart from the equation of Hertz and Knudsen, three digits
    assert hertz_knudsen_flux(pressure, 0.0, temperature, molar_mass, 1.0) == pytest.approx(flux, rel=0.005)


def test_flux_turns_with_the_pressures() -> None:
    # exact: equilibrium gives nothing, and more vapour than saturation condenses
    flux = hertz_knudsen_flux(100.0, np.array([100.0, 150.0]), 600.0, 0.04, 0.5)
    assert flux[0] == 0.0
    assert flux[1] == pytest.approx(-hertz_knudsen_flux(50.0, 0.0, 600.0, 0.04, 0.5))


def test_into_deep_vacuum() -> None:
    # published: Safarian and Engh 2013, abstract: 0.844 of the largest flux
    assert evaporation_flux_share(0.0, 1.0) == pytest.approx(0.844, abs=5e-4)


def test_weak_evaporation() -> None:
    # published: Safarian and Engh 2013: coefficient 1.66; the balances give 32 pi / (32 + 9 pi)
    share = evaporation_flux_share(1 - 1e-5, 1.0) / 1e-5
    assert share == pytest.approx(1.66, abs=0.01)
    # exact: the limit of the balances
    assert share == pytest.approx(32 * np.pi / (32 + 9 * np.pi), rel=1e-3)


def test_no_more_leaves_once_the_vapour_is_nearly_as_fast_as_sound() -> None:
    # exact: at the speed of sound, pressure ratio 0.206, the flux can grow no more
    assert evaporation_flux_share(0.206, 1.0) == evaporation_flux_share(0.0, 1.0)
    assert evaporation_flux_share(0.3, 1.0) < evaporation_flux_share(0.0, 1.0)


def test_the_balances_alone_are_near() -> None:
    # published: Anisimov 1968 and later: 0.82 of the largest flux (recalled); the others worked out apart
    for ratio, alone in ((0.2062, 0.8202), (0.38805, 0.76820), (0.81255, 0.29449)):
        found = evaporation_flux_share(ratio, 1.0)
        assert alone <= found <= 1.03 * alone


def test_share_falls_as_the_back_pressure_rises() -> None:
    for coefficient in (1.0, 0.5, 0.05):
        share = np.asarray(evaporation_flux_share(RATIOS, coefficient))
        # exact: monotone, and nothing evaporates into saturated vapour
        assert np.all(np.diff(share) <= 0.0)
        assert share[-1] == pytest.approx(0.0, abs=1e-9)


def test_a_poor_surface_evaporates_as_if_nothing_collided() -> None:
    # exact: with few molecules leaving, the vapour stays at rest and those that fall back count as they are
    share = np.asarray(evaporation_flux_share(RATIOS, 1e-5))
    assert share == pytest.approx(1e-5 * (1 - RATIOS), rel=2e-5, abs=1e-12)


def test_a_coefficient_mixes_in_what_the_surface_throws_back() -> None:
    # exact: what leaves is a p_sat + (1 - a) of what falls back, which makes a saturated surface of its own
    a, ratio = 0.4, 0.5
    share = float(evaporation_flux_share(ratio, a))
    stock = (a - share * (1 - a)) / a + 0.0  # leaving - falling = share, leaving = a + (1 - a) falling
    assert evaporation_flux_share(ratio / stock, 1.0) * stock == pytest.approx(share, rel=1e-6)


def test_near_condenser_gives_the_limit_without_collisions() -> None:
    # published: Safarian and Engh 2013: the largest flux comes back within one free path
    assert facing_flux_share(0.0, 0.0, 1.0) == 1.0
    assert facing_flux_share(1e9, 0.0, 1.0) == pytest.approx(0.844, abs=5e-4)
    assert facing_flux_share(0.0, 0.3, 0.5) == pytest.approx(0.35)


def test_flux_is_the_share_of_the_largest() -> None:
    flux = evaporation_flux(100.0, 50.0, 601.1, POTASSIUM, 1.0)
    # exact: product
    assert flux == pytest.approx(evaporation_flux_share(0.5, 1.0) * 0.11155, rel=1e-3)


def test_thin_vapour_diffuses_by_fick() -> None:
    # exact: for small pressures the logarithm is their difference
    flux = stefan_flux(1e5, 10.0, 4.0, 2e-4, 700.0, 0.1)
    assert flux == pytest.approx(2e-4 * 6.0 / (8.314463 * 700.0 * 0.1), rel=1e-4)


def test_boiling_has_no_diffusion() -> None:
    assert np.isnan(stefan_flux(100.0, 100.0, 0.0, 0.1, 700.0, 0.1))
    assert np.isfinite(stefan_flux(100.0, 99.9, 0.0, 0.1, 700.0, 0.1))


@pytest.mark.parametrize(("other", "diffusivity"), [(0.0201797, 0.20), (0.083798, 0.068), (0.131293, 0.057)])
def test_rubidium_in_rare_gases_needs_a_diameter_that_grows(other: float, diffusivity: float) -> None:
    # published: Chrapkiewicz and others 2014, abstract: cm2/s at 0 degC and one atmosphere
    size = {0.0201797: 3.22e-10, 0.083798: 4.36e-10, 0.131293: 4.52e-10}[other]
    found = hard_sphere_diffusivity(101325.0, 273.15, 0.0854678, other, size) * 1e4
    assert found == pytest.approx(diffusivity, rel=0.01)


def test_self_diffusion_of_argon() -> None:
    # practice: 0.157 cm2/s at 0 degC, recalled; the sphere of its viscosity is 15 % low, as hard spheres are
    found = hard_sphere_diffusivity(101325.0, 273.15, 0.039948, 0.039948, 3.659e-10) * 1e4
    assert found == pytest.approx(0.157, rel=0.17)
    assert found < 0.157


def test_diffusivity_scales() -> None:
    # exact: as 1 / p, T^1.5, and symmetric in the two gases
    base = hard_sphere_diffusivity(100.0, 500.0, 0.02, 0.09, 4e-10)
    assert hard_sphere_diffusivity(200.0, 500.0, 0.09, 0.02, 4e-10) == pytest.approx(base / 2)
    assert hard_sphere_diffusivity(100.0, 2000.0, 0.02, 0.09, 4e-10) == pytest.approx(base * 8)


def test_boiling_at_a_depth() -> None:
    # exact: hydrostatics
    assert bubble_pressure_ratio(200.0, 100.0, 1400.0, 0.0) == 2.0
    assert bubble_pressure_ratio(200.0, 100.0, 1400.0, 0.0101) < 1.0


def test_outside_the_range_is_unknown() -> None:
    assert np.isnan(evaporation_flux_share(1.01, 1.0))
    assert np.isnan(evaporation_flux_share(-0.01, 1.0))
    assert np.isnan(evaporation_flux_share(0.5, 0.0))
    assert np.isnan(evaporation_flux(0.0, 0.0, 600.0, 0.04, 1.0))
    assert np.isnan(hertz_knudsen_flux(1.0, 0.0, 600.0, 0.04, 1.1))
