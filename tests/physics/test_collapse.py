# SPDX-License-Identifier: MIT
"""Collapse of tubes against printed values, and where the two forms have no meaning."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.collapse import long_tube_collapse, short_tube_collapse

INCH, PSI = 0.0254, 6894.757


def test_the_long_tube_of_the_formulas() -> None:
    # published: worksheet after Roark's Formulas, table 35 case 19a: 1357 psi (to the middle of the wall)
    found = long_tube_collapse(29e6 * PSI, 0.29, 0.375 * INCH, 6.75 * INCH)
    assert found / PSI == pytest.approx(1357, abs=0.5)


def test_the_short_tube() -> None:
    # published: Windenburg and Trilling 1934 at t/D 0.002, L/D 1, 30e6 psi: 14.2 psi
    found = short_tube_collapse(30e6 * PSI, 0.3, 0.002, 1.0, 1.0)
    assert found / PSI == pytest.approx(14.2, abs=0.05)


def test_a_food_can_and_a_drawn_tube_at_800_degrees() -> None:
    # exact: by hand, carbon steel with 0.09 of 210 GPa: 1.5 kPa; 25.4 x 1.65 mm of 304 with 126 GPa: 92 MPa and less
    can = long_tube_collapse(0.09 * 210e9, 0.3, 0.25e-3, 76e-3 / 2 - 0.125e-3)
    assert can == pytest.approx(1.5e3, abs=50)
    tube = long_tube_collapse(1.26e11, 0.3, 1.65e-3, (25.4e-3 - 1.65e-3) / 2)
    assert tube == pytest.approx(92e6, rel=0.01)


def test_outside_the_range_there_is_no_number() -> None:
    assert np.isnan(long_tube_collapse(-1.0, 0.3, 1e-3, 0.1))
    assert np.isnan(long_tube_collapse(2e11, 0.5, 1e-3, 0.1))
    assert np.isnan(long_tube_collapse(2e11, 0.3, 0.03, 0.1))
    assert np.isnan(short_tube_collapse(2e11, 0.3, 1e-3, 0.1, 0.004))
    assert np.isfinite(short_tube_collapse(2e11, 0.3, 1e-3, 0.1, 0.005))
