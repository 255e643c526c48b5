# SPDX-License-Identifier: MIT
"""Pumps, hoses and the emptying of a volume."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retortwright.ground.arrays import Array
from retortwright.physics.pumping import (
    base_pressure,
    effective_speed,
    pump_down,
    pump_down_time,
    pump_throughput,
)

TABLE = np.geomspace(1e-3, 1e5, 17)


def steps(a_decade: int) -> Array:
    """Times from zero over 0.01 s to 10 h."""
    return np.concatenate([[0.0], np.geomspace(0.01, 36000.0, round(6.56 * a_decade) + 1)])


def test_five_litres_at_two_litres_a_second() -> None:
    # exact: V / S ln(1013 / 1) = 17.3 s
    assert pump_down_time(5e-3, 2e-3, 101300.0, 100.0, 0.0) == pytest.approx(17.3, abs=0.05)


def test_constant_speed_follows_the_closed_form() -> None:
    # exact: with constant speed and load the pressure falls exponentially to its base
    speeds = np.full((17, 1), 1e-3)
    times = np.linspace(0.0, 5.0, 40)
    run = pump_down(times, 0.5e-3, 1e5, 0.5, 1e-5, 0.0, TABLE, speeds)
    base = base_pressure(1e-5, 1e-3, 0.5)
    assert base == pytest.approx(0.51)
    assert run.pressure[:, 0] == pytest.approx(base + (1e5 - base) * np.exp(-times / 0.5), rel=1e-12)


@given(
    volume=st.floats(1e-4, 1e-2), speed=st.floats(1e-5, 1e-2), load=st.floats(0.0, 1e-3),
    decaying=st.floats(0.0, 1e-1), ultimate=st.floats(0.0, 10.0),
)  # fmt: skip
def test_gas_is_conserved(volume: float, speed: float, load: float, decaying: float, ultimate: float) -> None:
    # exact: what was there and came in is there still or was pumped, to 1e-6
    speeds = np.outer(speed * TABLE / (TABLE + 3.0) + 0.1 * speed, np.ones(1))
    times = steps(20)
    run = pump_down(times, volume, 1e5, ultimate, load, decaying, TABLE, speeds)
    came = load * times[-1] + decaying * np.log(times[-1] / times[1])
    left = volume * (run.pressure[-1, 0] - 1e5) + run.pumped[-1, 0]
    assert left == pytest.approx(came, rel=1e-6, abs=1e-6 * 1e5 * volume)


def test_forty_steps_a_decade_are_enough() -> None:
    # exact: against ten times finer steps, within 1 % of the pressure at every common time
    speeds = np.outer(1e-3 * TABLE / (TABLE + 30.0) + 5e-5, np.ones(1))
    coarse, fine = (
        pump_down(steps(many), 0.5e-3, 1e5, 0.3, 1e-6, 1e-2, TABLE, speeds).pressure for many in (40, 400)
    )
    at = np.interp(np.log(steps(40)[1:]), np.log(steps(400)[1:]), np.log(fine[1:, 0]))
    assert np.exp(at) == pytest.approx(coarse[1:, 0], rel=0.01)


def test_more_load_a_poorer_hose_and_more_volume_never_help() -> None:
    # exact: monotone
    speeds = np.outer(1e-3 * TABLE / (TABLE + 30.0) + 5e-5, np.ones(1))
    plain = pump_down(steps(20), 0.5e-3, 1e5, 0.3, 1e-6, 1e-2, TABLE, speeds).pressure
    for worse in (
        pump_down(steps(20), 0.5e-3, 1e5, 0.3, 2e-6, 1e-2, TABLE, speeds),
        pump_down(steps(20), 0.5e-3, 1e5, 0.3, 1e-6, 2e-2, TABLE, speeds),
        pump_down(steps(20), 0.5e-3, 1e5, 0.3, 1e-6, 1e-2, TABLE, 0.5 * speeds),
        pump_down(steps(20), 1.0e-3, 1e5, 0.3, 1e-6, 1e-2, TABLE, speeds),
    ):
        assert np.all(worse.pressure >= plain * (1 - 1e-12))


def test_a_hose_takes_most_of_the_speed() -> None:
    # exact: resistances in series; a passage as good as the pump halves it
    assert effective_speed(1e-3, 1e-3) == pytest.approx(0.5e-3)
    assert effective_speed(1.0, 1e-4) == pytest.approx(1e-4, rel=2e-4)


def test_at_its_ultimate_pressure_a_pump_takes_nothing() -> None:
    assert pump_throughput(1e-3, 0.5, 0.5) == 0.0  # exact: the definition
    assert pump_throughput(1e-3, 0.2, 0.5) < 0.0


def test_outside_the_range_is_no_number() -> None:
    assert np.isnan(pump_down_time(5e-3, 2e-3, 1e5, 0.5, 0.5))
    assert np.isnan(effective_speed(0.0, 1e-3))
    assert np.isnan(base_pressure(-1e-5, 1e-3, 0.5))
    assert np.all(np.isnan(pump_down(steps(2), -1.0, 1e5, 0.3, 0.0, 0.0, TABLE, np.ones((17, 1))).pressure))
