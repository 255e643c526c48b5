# SPDX-License-Identifier: MIT
"""Film coefficients of tubes against worked examples, limits and symmetries."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics import air, nusselt
from retortwright.physics.convection import (
    combined_coefficient,
    forced_film_coefficient,
    free_film_coefficient,
    inclined_coefficient,
    rayleigh_number,
)

ROOM = 101325.0
UPRIGHT = np.pi / 2


def test_large_level_pipe() -> None:
    # published: Holman, example 7.5, p. 334: 0.3048 m pipe, 250 degC in 15 degC, Ra = 1.57e8,
    # 1.49 kW/m by 0.53 Ra^(1/4); Churchill and Chu's form gives 1.63 kW/m with his properties (computed)
    assert rayleigh_number(235.0, 405.65, 0.3048, ROOM) == pytest.approx(1.57e8, rel=0.01)
    by_his_air = nusselt.nusselt_horizontal_cylinder(1.57e8, 0.687) * 0.03406 * np.pi * 235.0
    assert by_his_air == pytest.approx(1630.0, abs=5.0)
    ours = free_film_coefficient(523.15, 288.15, 0.3048, 6.0, 0.0, ROOM) * np.pi * 0.3048 * 235.0
    assert ours == pytest.approx(1630.0, rel=0.01)
    assert ours == pytest.approx(1490.0, rel=0.10)


def test_fine_wire() -> None:
    # published: Holman, example 7.4: 0.02 mm wire at 54 degC in air of 0 degC, 0.5 m: 0.836 W (recalled)
    rayleigh = rayleigh_number(54.0, 300.15, 2e-5, ROOM)
    coefficient = nusselt.nusselt_fine_wire(rayleigh) * air.thermal_conductivity(300.15) / 2e-5
    assert coefficient * np.pi * 2e-5 * 0.5 * 54.0 == pytest.approx(0.836, rel=0.005)


def test_level_tube_is_the_horizontal_cylinder() -> None:
    # exact: the blend degenerates
    rayleigh = rayleigh_number(200.0, 393.15, 0.0127, ROOM)
    expected = nusselt.nusselt_horizontal_cylinder(rayleigh, air.prandtl_number(393.15))
    expected *= air.thermal_conductivity(393.15) / 0.0127
    assert free_film_coefficient(493.15, 293.15, 0.0127, 0.3, 0.0, ROOM) == pytest.approx(expected, rel=1e-12)


def test_upright_tube_is_the_upright_cylinder() -> None:
    # exact: the blend degenerates
    rayleigh = rayleigh_number(200.0, 393.15, 0.3, ROOM)
    expected = nusselt.nusselt_upright_cylinder(rayleigh, air.prandtl_number(393.15), 0.3 / 0.0127)
    expected *= air.thermal_conductivity(393.15) / 0.3
    for inclination in (UPRIGHT, -UPRIGHT):
        ours = free_film_coefficient(493.15, 293.15, 0.0127, 0.3, inclination, ROOM)
        assert ours == pytest.approx(expected, rel=1e-12)


def test_no_inclination_lies_outside_the_limits() -> None:
    angles = np.linspace(-UPRIGHT, UPRIGHT, 91)
    for level, upright in ((10.0, 4.0), (4.0, 10.0), (7.0, 7.0)):
        blend = inclined_coefficient(level, upright, angles)
        # exact: weights that add to one
        assert np.all(blend >= min(level, upright) * (1 - 1e-12))
        assert np.all(blend <= max(level, upright) * (1 + 1e-12))
        np.testing.assert_allclose(blend, blend[::-1], rtol=1e-13)


def test_flow_across_alone_goes_as_the_fourth_root_of_its_gravity() -> None:
    # exact: h cos^(1/4) when nothing flows along the axis
    assert inclined_coefficient(10.0, 0.0, 1.0) == pytest.approx(10.0 * np.cos(1.0) ** 0.25, rel=1e-12)


@pytest.mark.parametrize("inclination", [0.0, 0.6, UPRIGHT])
def test_a_cold_wall_does_what_a_hot_one_does(inclination: float) -> None:
    # exact: only the difference and the film temperature matter
    hot = free_film_coefficient(330.0, 280.0, 0.02, 0.3, inclination, ROOM)
    assert free_film_coefficient(280.0, 330.0, 0.02, 0.3, inclination, ROOM) == pytest.approx(hot, rel=1e-13)


@pytest.mark.parametrize("inclination", [0.0, 0.6, UPRIGHT])
def test_equal_temperatures_are_no_trouble(inclination: float) -> None:
    near = np.array([-1e-3, -1e-9, 0.0, 1e-9, 1e-3])
    film = free_film_coefficient(293.15 + near, 293.15, 0.02, 0.3, inclination, ROOM)
    assert np.all(np.isfinite(film) & (film > 0.1))
    heat = film * near
    assert np.all(np.diff(heat) > 0)
    # exact: no difference, no heat
    assert heat[2] == 0.0


def test_thin_air_cools_less() -> None:
    # exact: in laminar flow close to the square root of the pressure
    full, quarter = free_film_coefficient(500.0, 300.0, 0.05, 0.3, 0.0, np.array([1e5, 2.5e4]))
    assert 0.45 < quarter / full < 0.55


def test_large_arrays_give_what_small_ones_give() -> None:
    random = np.random.default_rng(7)
    wall = 300.0 + 700.0 * random.random((90, 256))
    room = 290.0 + 10.0 * random.random(256)
    diameter = 0.01 + 0.03 * random.random((90, 1))
    angle = UPRIGHT * random.random((90, 1))
    speed = 2.0 * random.random(256)
    free = free_film_coefficient(wall, room, diameter, 0.3, angle, ROOM)
    forced = forced_film_coefficient(wall, room, diameter, speed, ROOM)
    assert free.shape == forced.shape == wall.shape
    for row in (0, 31, 32, 63, 64, 89):
        # exact: the same numbers
        one = free_film_coefficient(wall[row], room, diameter[row], 0.3, angle[row], ROOM)
        np.testing.assert_array_equal(free[row], one)
        np.testing.assert_array_equal(
            forced[row], forced_film_coefficient(wall[row], room, diameter[row], speed, ROOM)
        )
    flat = free_film_coefficient(wall.ravel(), 293.15, 0.02, 0.3, 0.0, ROOM)
    assert flat.shape == (wall.size,)
    assert flat[-1] == free_film_coefficient(wall[-1, -1], 293.15, 0.02, 0.3, 0.0, ROOM)


def test_stream_across_a_tube() -> None:
    # published: Incropera et al., example 7.3 (7.4): 12.7 mm cylinder at 128.4 degC in air of 26.2 degC at
    # 10 m/s, properties of the free stream there (nu 15.89e-6, k 0.0263, Pr 0.707): Churchill-Bernstein at
    # film temperature Re = 6071, Pr = 0.70, k = 0.0300: 40.6 x 0.0300 / 0.0127 = 96 W/m^2/K
    ours = forced_film_coefficient(401.55, 299.35, 0.0127, 10.0, ROOM)
    assert ours == pytest.approx(96.0, rel=0.01)


def test_no_stream_no_forced_convection() -> None:
    # exact: zero without a stream, unknown where the correlation ends
    assert forced_film_coefficient(400.0, 300.0, 0.01, 0.0, ROOM) == 0.0
    assert np.isnan(forced_film_coefficient(400.0, 300.0, 0.01, 1e-4, ROOM))
    assert np.isnan(forced_film_coefficient(400.0, 300.0, 0.01, -1.0, ROOM))


def test_combined_is_at_least_the_larger() -> None:
    # exact: fourth powers add
    assert combined_coefficient(3.0, 4.0) == pytest.approx((3.0**4 + 4.0**4) ** 0.25, rel=1e-13)
    assert combined_coefficient(0.0, 12.0) == pytest.approx(12.0, rel=1e-13)
    assert np.isnan(combined_coefficient(-1.0, 12.0))


def test_outside_the_range_there_is_no_number() -> None:
    assert np.isnan(free_film_coefficient(3000.0, 300.0, 0.02, 0.3, 0.0, ROOM))
    assert np.isnan(free_film_coefficient(40.0, 290.0, 0.02, 0.3, 0.0, ROOM))
    assert np.isnan(free_film_coefficient(400.0, 300.0, np.array([0.0, -0.02]), 0.3, 0.0, ROOM)).all()
    assert np.isnan(free_film_coefficient(400.0, 300.0, 0.02, 0.0, 0.5, ROOM))
    assert np.isnan(free_film_coefficient(400.0, 300.0, 0.02, 0.3, 0.5, 0.0))
    assert np.isnan(rayleigh_number(10.0, 300.0, 0.0, ROOM))
