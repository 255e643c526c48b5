# SPDX-License-Identifier: MIT
"""The Larson-Miller parameter there and back; hotter never lives longer."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retortwright.physics.creep import larson_miller, rupture_time


def test_a_worked_parameter() -> None:
    # published: 600 degC, 100000 h, C = 20 gives 21.83 in thousands of kelvin (a unit test of an open calculator)
    assert larson_miller(873.15, 1e5, 20.0) / 1e3 == pytest.approx(21.83, abs=0.005)


def test_equal_parameters_are_equal_lives() -> None:
    # published: a glossary of founding, 34000 (degF, C = 20) is 4 h at 650 degC and 1400 h at 550 degC
    one, other = larson_miller(923.15, 4.0, 20.0), larson_miller(823.15, 1400.0, 20.0)
    assert one * 1.8 == pytest.approx(34000, rel=0.01)
    assert other * 1.8 == pytest.approx(34000, rel=0.01)


@given(st.floats(700.0, 1400.0), st.floats(1e-2, 1e6))
def test_there_and_back(temperature: float, hours: float) -> None:
    found = rupture_time(larson_miller(temperature, hours, 20.0), temperature, 20.0)
    assert found == pytest.approx(hours, rel=1e-9)


@given(st.floats(1.5e4, 3e4), st.floats(700.0, 1400.0), st.floats(0.0, 300.0))
def test_hotter_never_lives_longer(parameter: float, temperature: float, more: float) -> None:
    one, other = (float(rupture_time(parameter, each, 20.0)) for each in (temperature, temperature + more))
    assert np.isnan(one) or other <= one


def test_outside_the_range_there_is_no_number() -> None:
    assert np.isnan(larson_miller(873.15, 0.0, 20.0))
    assert np.isnan(rupture_time(25000.0, 300.0, 20.0))
    assert np.isnan(rupture_time(-1.0, 900.0, 20.0))
