# SPDX-License-Identifier: MIT
"""Vapour in one arm: how much can come, how far it comes; the steeper its fall, the less an arm takes."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.ground.arrays import Array
from retortwright.physics.choked import choked_mass_flux
from retortwright.situation.landing import VapourGas
from retortwright.situation.vapour_arms import ArmWall, Mouth, fall_of, sonic_flow, steepness_of
from retortwright.situation.vapour_exchange import HotVapour
from retortwright.situation.vapour_ways import Arm

CELLS, LENGTH, BORE = 50, 0.2, 0.02
WIDTH = LENGTH / CELLS
GAS = VapourGas(0.0854678, np.full(3, 6.25e-10))
MOUTH = Mouth(np.full(3, 50.0), np.full(3, 530.0), np.full(3, 76e3), np.full(3, np.inf))
SWEEP = np.linspace(0.0, 8.0, 1500)


def arm_wall(rest: float = 1.0, samples: int = 3) -> ArmWall:
    """An arm of fifty cells."""
    outward = np.linspace(WIDTH / 2, LENGTH - WIDTH / 2, CELLS)
    arm = Arm("arm", np.arange(CELLS), outward, LENGTH, BORE, 0, True, True)
    area, width = np.full(CELLS, np.pi * BORE * WIDTH), np.full(CELLS, WIDTH)
    gas = VapourGas(GAS.molar_mass, np.full(samples, 6.25e-10))
    return ArmWall(arm, area, width, gas, np.full(samples, rest), np.full(samples, 1000.0))


def mouth(samples: int) -> Mouth:
    """The same vapour before as many arms."""
    return Mouth(*(np.full(samples, each) for each in (50.0, 530.0, 76e3, np.inf)))


def taken(wall: ArmWall, fall: Array, walls: Array) -> Array:
    """Heat that walls at some temperatures take [W]."""
    cover, at = wall.filled(mouth(len(fall)), fall)
    film = wall.film * wall.area[:, None] * cover
    return -np.sum(HotVapour("vapour", wall.arm.cells, film, at).heat(walls)[0], axis=0)


def test_the_speed_of_sound_bounds_what_comes() -> None:
    area = np.pi / 4 * BORE**2
    flux = choked_mass_flux(50.0, 530.0, GAS.molar_mass, 5 / 3)
    wanted = float(flux) * area / GAS.molar_mass * 76e3
    assert sonic_flow(MOUTH.pressure, MOUTH.dew, GAS, area)[0] * 76e3 == pytest.approx(wanted)  # exact
    assert np.all(arm_wall().able(MOUTH, np.zeros(3)) <= wanted * (1 + 1e-12))


def test_an_arm_without_a_fall_is_filled_to_its_gas() -> None:
    wall = arm_wall(rest=5.0)
    # exact: gas of a tenth of the pressure is pushed into a tenth of the arm
    assert wall.reach(MOUTH, np.zeros(3)) == pytest.approx(0.9 * LENGTH)
    cover, at = wall.filled(MOUTH, np.zeros(3))
    assert np.all(cover[:45] == 1.0)
    assert np.all(cover[45:] < 1e-12)
    assert at[:45] == pytest.approx(530.0)


def test_the_stream_bounds_an_arm_from_which_nothing_returns() -> None:
    bounded = Mouth(MOUTH.pressure, MOUTH.dew, MOUTH.latent, np.full(3, 2.0))
    assert np.all(arm_wall().able(bounded, np.zeros(3)) == 2.0)  # exact


def test_vapour_is_colder_where_its_pressure_has_fallen() -> None:
    wall, fall = arm_wall(), np.full(3, 5.0)
    cover, temperature = wall.filled(MOUTH, fall)
    assert np.all(np.diff(temperature[cover[:, 0] > 0.03, 0]) < 0)
    # exact: Clausius and Clapeyron at the pressure in the middle of a cell that is filled
    share = 1.0 - 5.0 * wall.arm.outward[20]
    wanted = 1 / (1 / 530.0 - 8.314462618 / 76e3 * np.log(share))
    assert temperature[20, 0] == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("hotter", [0.0, 60.0, 150.0])
def test_an_arm_takes_less_the_steeper_and_without_a_step(hotter: float) -> None:
    fall = fall_of(SWEEP, LENGTH)
    walls = np.linspace(300.0 + hotter, 300.0, CELLS)[:, None] + np.zeros(len(SWEEP))
    heat = taken(arm_wall(samples=len(SWEEP)), fall, walls)
    assert np.all(np.diff(heat) <= 1e-12 * heat[0])  # exact: both film and dew point fall with the pressure
    assert (
        np.max(np.abs(np.diff(heat))) < 0.02 * heat[0]
    )  # exact: no step as the front passes from cell to cell
    slopes = np.diff(heat) / np.diff(SWEEP)
    assert np.max(np.abs(np.diff(slopes))) < 0.2 * np.max(np.abs(slopes))


def test_more_can_come_the_steeper() -> None:
    able = arm_wall(samples=len(SWEEP)).able(mouth(len(SWEEP)), fall_of(SWEEP, LENGTH))
    assert np.all(np.diff(able) >= 0.0)  # exact


def test_steepness_and_fall_are_inverse() -> None:
    assert steepness_of(fall_of(SWEEP, LENGTH), LENGTH) == pytest.approx(SWEEP, abs=1e-12)  # exact


def test_some_samples_are_those_of_the_whole() -> None:
    wall, fall = arm_wall(), np.array([1.0, 5.0, 20.0])
    some = np.array([2, 0])
    part = wall.part(some).filled(mouth(2), fall[some])
    np.testing.assert_array_equal(part[0], wall.filled(MOUTH, fall)[0][:, some])  # exact
