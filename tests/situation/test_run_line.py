# SPDX-License-Identifier: MIT
"""The table of what a way passes: the steady picture again, both ways round, and with argon in the way."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.physics.constants import ATMOSPHERE
from retortwright.physics.vaporisation import hard_sphere_diffusivity, stefan_flux
from retortwright.rig.reading import rig_of
from retortwright.situation.forecast import Forecast, forecast_of
from retortwright.situation.run_in_time import RunInTime, run_in_time
from retortwright.situation.run_line import Sweeping, swept_by
from situation.crossings import MIDDLE, RUBIDIUM, situation

_ARGON = RUBIDIUM.text.replace(
    'running = ["furnace", "tape", "pump"]', 'running = ["furnace", "tape", "argon"]'
).replace(
    "[plant]", '[plant]\nargon = { on = "V1", purity = "99.999 %", hose = "1 m nylon", flow = "0.2 L/min" }'
)


@cache
def _run() -> RunInTime:
    found = run_in_time(situation(RUBIDIUM, Draws(samples=16)))
    assert isinstance(found, RunInTime), found
    return found


def _still() -> Sweeping:
    stream = _run().crossing.vapour.stream
    whole = np.full(16, ATMOSPHERE)
    return Sweeping(
        whole, 0.0 * whole, stream.temperature, stream.gas.diameter, 0.039948, (0.05, 4e-4), (1e-6, 4e-4)
    )


def test_at_the_pressure_of_the_steady_picture_it_passes_what_that_passes() -> None:
    run, vapour = _run(), _run().crossing.vapour
    found = np.exp(run.parts.passing.at(np.log(vapour.stream.over_charge), np.arange(16)))
    np.testing.assert_allclose(found, vapour.most, rtol=0.05)  # exact, but for straight lines between places


def test_the_pressure_that_drives_a_flow_is_the_one_that_gives_it() -> None:
    passing, which = _run().parts.passing, np.arange(16)
    for pressure in (5.0, 300.0, 2e4):
        flow = np.exp(passing.at(np.full(16, np.log(pressure)), which))
        carries = flow > 1e-25  # where a wall is as hot as that saturates, nothing passes
        np.testing.assert_allclose(passing.pressure(flow)[carries], pressure, rtol=1e-6)
    assert np.all(passing.pressure(np.zeros(16)) == 0.0)


def test_more_pressure_never_passes_less() -> None:
    table = _run().parts.passing.logarithm
    assert np.min(np.diff(table, axis=0)) >= -1e-9


def test_still_argon_lets_through_what_stefan_says() -> None:
    run, argon, stream = _run(), _still(), _run().crossing.vapour.stream
    swept = swept_by(run.parts.passing, stream, argon)
    spread = hard_sphere_diffusivity(
        ATMOSPHERE, stream.temperature, stream.gas.molar_mass, 0.039948, argon.diameter
    )
    for place in range(13):
        over = np.exp(swept.first + swept.step * place)
        if over >= ATMOSPHERE:
            break
        exact = 4e-4 * stefan_flux(ATMOSPHERE, over, 0.0, spread, stream.temperature, 0.05)
        np.testing.assert_allclose(
            np.exp(swept.logarithm[place]), exact, rtol=1e-3
        )  # exact for a line of no length


def test_boiling_pushes_the_argon_before_it() -> None:
    run = _run()
    swept = swept_by(run.parts.passing, run.crossing.vapour.stream, _still())
    which = np.arange(16)
    boils = np.exp(swept.at(np.full(16, np.log(3 * ATMOSPHERE)), which))
    stays = np.exp(swept.at(np.full(16, np.log(0.3 * ATMOSPHERE)), which))
    assert np.all(boils > 50 * stays)


def test_argon_that_flows_carries_more_than_diffuses() -> None:
    run = _run()
    still = replace(_still(), line=(0.05, 4e-4))
    blown = replace(still, flow=np.full(16, 1e-3))
    slow, fast = (swept_by(run.parts.passing, run.crossing.vapour.stream, each) for each in (still, blown))
    assert np.all(fast.logarithm[:9] > slow.logarithm[:9])


def test_a_run_in_argon_is_slower_and_does_not_say_where_it_lands() -> None:
    rig = rig_of(_ARGON, "argon.toml")
    found, vacuum = (forecast_of(situation(each, MIDDLE)) for each in (rig, RUBIDIUM))
    assert isinstance(found, Forecast), found
    assert isinstance(vacuum, Forecast)
    assert found.figures["left"].values[-1, 0] < vacuum.figures["left"].values[-1, 0]
    assert found.limits["line"].max() == 1.0
    assert not any(name.startswith("to-") for name in found.figures)
    assert any("argon" in note for note in found.notes)
    assert found.figures["product"].values[-1, 0] == pytest.approx(
        max(
            found.figures["left"].values[-1, 0]
            - (vacuum.figures["left"].values[-1, 0] - vacuum.figures["product"].values[-1, 0]),
            0.0,
        ),
        abs=5e-5,
    )
