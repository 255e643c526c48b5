# SPDX-License-Identifier: MIT
"""Crusts against volumes, worked examples and the growth that was integrated."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]

from retortwright.physics.crusts import (
    closing_mass,
    crust_choking_thickness,
    crust_growth,
    crust_temperature_drop,
    crust_thickness,
    crusted_radius,
)


def test_magnesium_in_a_sleeve() -> None:
    # practice: 10 g on 100 mm of a sleeve of 30 mm make about 0.6 mm of solid metal
    assert crust_thickness(0.010, 0.015, 0.1, 1740.0, 0.0) == pytest.approx(0.6e-3, abs=0.05e-3)


def test_zinc_closes_a_throat() -> None:
    # practice: 40 g close a throat of 20 mm; solid metal of 7134 kg/m3 then fills 18 mm of its length
    assert closing_mass(0.010, 0.018, 7134.0, 0.0) == pytest.approx(0.040, rel=0.02)


def test_a_closing_crust_leaves_nothing_open() -> None:
    mass = float(closing_mass(0.008, 0.05, 1740.0, 0.3))
    # exact: the two are one another's limit
    assert crusted_radius(mass * (1 - 1e-12), 0.008, 0.05, 1740.0, 0.3) == pytest.approx(0.0, abs=1e-8)
    assert np.isnan(crusted_radius(mass * 1.001, 0.008, 0.05, 1740.0, 0.3))


def test_pores_make_it_thicker() -> None:
    solid, porous = (crust_thickness(0.001, 0.015, 0.1, 1740.0, share) for share in (0.0, 0.5))
    # exact: thin crusts are as thick as their volume over the wall
    assert porous == pytest.approx(2 * solid, rel=0.01)


def test_drop_across_a_thin_crust() -> None:
    # exact: a plane wall in the limit
    drop = crust_temperature_drop(15.0, 0.1, 0.015, 0.0149, 50.0)
    assert drop == pytest.approx(15.0 * 1e-4 / (50.0 * 2 * np.pi * 0.01495 * 0.1), rel=1e-4)


def test_growth_begins_with_the_bare_wall_and_ends_with_the_root_of_time() -> None:
    # exact: both limits
    assert crust_growth(1.0, 1e-4, 1740.0, 0.2, 1.0) == pytest.approx(1e-4 / (1740.0 * 0.8), rel=1e-6)
    late = crust_growth(np.array([1e8, 4e8]), 1e-3, 1740.0, 0.0, 1e-6)
    assert late[1] / late[0] == pytest.approx(2.0, rel=1e-3)


def test_growth_is_the_balance_integrated() -> None:
    conductivity, by_pressure, slope, heat, excess = 1.0, 1e-3, 5.0, 5e6, 30.0
    choking = float(crust_choking_thickness(conductivity, by_pressure, slope, heat))

    def grows(_: float, thickness: list[float]) -> list[float]:
        flux = by_pressure * excess  # saturation at the face: excess - slope * (flux heat s / k)
        for _ in range(200):
            drop = flux * heat * thickness[0] / conductivity
            flux = 0.9 * flux + 0.1 * by_pressure * (excess - slope * drop)
        return [flux / 1740.0]

    run = solve_ivp(grows, (0.0, 20.0), [0.0], rtol=1e-8, atol=1e-12)
    # exact: the same balance stepped in time
    assert crust_growth(20.0, by_pressure * excess, 1740.0, 0.0, choking) == pytest.approx(
        run.y[0][-1], rel=1e-3
    )


def test_outside_the_range_is_unknown() -> None:
    assert np.isnan(crust_thickness(0.01, 0.015, 0.1, 1740.0, 1.0))
    assert np.isnan(crust_growth(-1.0, 1e-4, 1740.0, 0.2, 1.0))
    assert np.isnan(crust_temperature_drop(15.0, 0.1, 0.012, 0.015, 50.0))
    assert np.isnan(closing_mass(0.01, 0.0, 7134.0, 0.0))
    assert np.isnan(crust_choking_thickness(0.0, 1e-6, 1.0, 5e6))
