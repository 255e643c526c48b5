# SPDX-License-Identifier: MIT
"""Flat and dished ends against printed values; the stress of pressure inside a tube."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics import ends

ATMOSPHERE = 101325.0


def test_a_flat_disc_under_an_atmosphere() -> None:
    # published: Timoshenko and Woinowsky-Krieger, circular plates, radius 50 mm, 3 mm, 200 GPa: 34.8 MPa and 0.0816 mm
    # carried at the rim (in the middle), 21.1 MPa and 0.0200 mm held at it (at the rim); tables 24 of Roark agree
    assert ends.supported_end_stress(ATMOSPHERE, 0.3, 3e-3, 50e-3) / 1e6 == pytest.approx(34.8, abs=0.05)
    assert ends.clamped_end_stress(ATMOSPHERE, 0.3, 3e-3, 50e-3) / 1e6 == pytest.approx(21.1, abs=0.05)
    carried = ends.supported_end_deflection(ATMOSPHERE, 200e9, 0.3, 3e-3, 50e-3)
    assert carried * 1e3 == pytest.approx(0.0816, abs=5e-5)
    held = ends.clamped_end_deflection(ATMOSPHERE, 200e9, 0.3, 3e-3, 50e-3)
    assert held * 1e3 == pytest.approx(0.02, abs=5e-5)


def test_half_a_sphere_has_half_the_stress_of_a_tube() -> None:
    # exact: p r / 2 t
    assert ends.dished_end_stress(1e5, 2e-3, 0.05, 0.05) == pytest.approx(1e5 * 0.05 / 4e-3, rel=1e-12)


def test_the_knuckle_of_a_common_dish() -> None:
    # published: ASME VIII-1 appendix 1-4, factor for L / r = 16.67: 1.77
    found = float(ends.dished_end_stress(1e5, 2e-3, 0.1, 0.006))
    assert found / (1e5 * 0.1 / 4e-3) == pytest.approx(1.77, abs=0.005)


def test_a_thin_tube_under_pressure() -> None:
    # exact: for a thin wall p r / t to the middle of the wall
    found = ends.bursting_stress(1e5, 0.05, 0.0501)
    assert found == pytest.approx(1e5 * 0.05005 / 1e-4, rel=1e-5)


def test_outside_the_range_there_is_no_number() -> None:
    assert np.isnan(ends.supported_end_stress(-1.0, 0.3, 3e-3, 0.05))
    assert np.isnan(ends.clamped_end_stress(1e5, 0.3, 0.06, 0.05))
    assert np.isnan(ends.dished_end_stress(1e5, 2e-3, 0.05, 0.06))
    assert np.isnan(ends.bursting_stress(1e5, 0.05, 0.05))
    assert np.isnan(ends.clamped_end_deflection(1e5, 0.0, 0.3, 3e-3, 0.05))
