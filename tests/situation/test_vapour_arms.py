# SPDX-License-Identifier: MIT
"""Vapour in one arm: how much can come, how far it comes."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.choked import choked_mass_flux
from retortwright.situation.landing import VapourGas
from retortwright.situation.vapour_arms import ArmFill, ArmWall, Mouth, sonic_flow
from retortwright.situation.vapour_ways import Arm

CELLS, LENGTH, BORE = 50, 0.2, 0.02
WIDTH = LENGTH / CELLS
GAS = VapourGas(0.0854678, np.full(3, 6.25e-10))
MOUTH = Mouth(np.full(3, 50.0), np.full(3, 530.0), np.full(3, 76e3), np.full(3, np.inf))


def arm_wall(loss: float = 1.0, rest: float = 1.0) -> ArmWall:
    """An arm whose every cell gives away as much at the dew point [W]."""
    outward = np.linspace(WIDTH / 2, LENGTH - WIDTH / 2, CELLS)
    arm = Arm("arm", np.arange(CELLS), outward, LENGTH, BORE, 0, True, True)
    area, width = np.full(CELLS, np.pi * BORE * WIDTH), np.full(CELLS, WIDTH)
    spread = np.array([0.5, 1.0, 2.0])
    return ArmWall(
        arm, area, width, GAS, np.full(3, rest), np.full(3, 293.0), np.full(3, 1000.0),
        loss * spread * np.ones((CELLS, 1)),
    )  # fmt: skip


def filled(wall: ArmWall, mouth: Mouth = MOUTH) -> ArmFill:
    """An arm whose wall takes just what the guess says."""
    fill = ArmFill(wall, None)
    for _ in range(20):
        fill.sought(mouth, np.ones(3, dtype=bool))
        taken = np.exp(wall.guessed(mouth, fill.fall)) * wall.able(mouth, fill.fall)
        fill.seen(taken, mouth, np.ones(3, dtype=bool), np.ones(3, dtype=bool))
        if np.all(fill.fits):
            break
    return fill


def test_the_speed_of_sound_bounds_what_comes() -> None:
    area = np.pi / 4 * BORE**2
    flux = choked_mass_flux(50.0, 530.0, GAS.molar_mass, 5 / 3)
    wanted = float(flux) * area / GAS.molar_mass * 76e3
    assert sonic_flow(MOUTH.pressure, MOUTH.dew, GAS, area)[0] * 76e3 == pytest.approx(wanted)  # exact
    assert np.all(arm_wall().able(MOUTH, np.zeros(3)) <= wanted * (1 + 1e-12))


def test_an_arm_that_takes_little_is_filled_to_its_gas() -> None:
    fill = filled(arm_wall(loss=1e-3, rest=5.0))
    assert np.all(fill.fits)
    assert fill.fall.tolist() == [0.0, 0.0, 0.0]
    # exact: gas of a tenth of the pressure is pushed into a tenth of the arm
    assert fill.reach(MOUTH) == pytest.approx(0.9 * LENGTH)
    cover = fill.wall.cover(MOUTH, fill.fall)
    assert np.all(cover[:45] == 1.0)
    assert np.all(cover[45:] < 1e-12)


def test_an_arm_that_takes_more_takes_what_can_come() -> None:
    fill = filled(arm_wall(loss=10.0))
    assert np.all(fill.fits)
    assert np.all(fill.fall > 0)
    assert fill.heat == pytest.approx(fill.most, rel=0.01)
    assert np.all(np.diff(fill.reach(MOUTH)) < 0)  # exact: the more it gives away, the less far


def test_the_stream_bounds_an_arm_from_which_nothing_returns() -> None:
    bounded = Mouth(MOUTH.pressure, MOUTH.dew, MOUTH.latent, np.full(3, 2.0))
    fill = filled(arm_wall(loss=10.0), bounded)
    assert fill.heat == pytest.approx(2.0, rel=0.01)
    assert np.all(fill.reach(bounded) < filled(arm_wall(loss=10.0)).reach(MOUTH))


def test_vapour_is_colder_where_its_pressure_has_fallen() -> None:
    wall, fall = arm_wall(), np.full(3, 5.0)
    share, temperature = wall.share(fall), wall.temperature(MOUTH, fall)
    assert np.all(np.diff(temperature[share[:, 0] > 0, 0]) < 0)
    # exact: Clausius and Clapeyron at half the pressure
    half = int(np.argmin(np.abs(share[:, 0] - 0.5)))
    wanted = 1 / (1 / 530.0 - 8.314462618 / 76e3 * np.log(share[half, 0]))
    assert temperature[half, 0] == pytest.approx(wanted, rel=1e-9)


def test_what_is_seen_of_a_wall_that_still_moves_does_not_count() -> None:
    fill = ArmFill(arm_wall(loss=10.0), np.full(3, 3.0))
    moving = np.array([False, True, True])
    fill.seen(np.full(3, 5.0), MOUTH, moving, np.ones(3, dtype=bool))
    assert np.isinf(fill.off[0])
    assert np.all(np.isfinite(fill.off[1:]))
    assert not fill.fits[0]


def test_some_samples_are_those_of_the_whole() -> None:
    wall, fall = arm_wall(loss=10.0), np.array([1.0, 5.0, 20.0])
    some = np.array([2, 0])
    part = wall.part(some).guessed(MOUTH.part(some), fall[some])
    np.testing.assert_array_equal(part, wall.guessed(MOUTH, fall)[some])  # exact
