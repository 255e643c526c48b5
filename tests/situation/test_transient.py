# SPDX-License-Identifier: MIT
"""The course of a loss in time: energy, order, peaks where they should be."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.rig.parts import Rig
from retortwright.rig.reading import rig_of
from retortwright.situation.loss import Loss, lasting, losses_of, without_power
from retortwright.situation.situation import STEP_ERROR, Situation
from retortwright.situation.transient import LossPicture

TEXT = """
retortwright = 1
[aim]
metal = "K"
[piece.retort]
tube = "25.4 x 1.65 mm"
length = "160 mm"
rises = "90 deg"
of = "304L"
finish = "oxidised"
bottom = { shape = "flat", thick = "5 mm", joined = "TIG" }
closed = "FKM flange gasket"
[piece.line]
on = "retort"
at = "130 mm"
joined = "TIG"
tube = "8 x 0.75 mm"
length = "150 mm"
of = "304L"
finish = "oxidised"
closed = "FKM O-ring cap"
[heat]
furnace = { over = { retort = "0 to 120 mm" } }
tape = { over = { line = "90 to 130 mm" }, holds = "90 degC", power = "20 W" }
[cool]
fan = { over = { line = "130 to 150 mm" }, by = "air", speed = "1 to 2 m/s" }
coil = { over = { retort = "145 to 160 mm" }, by = "water coil", flow = "0.3 L/min", inlet = "18 degC" }
[state]
run = { open = [], running = ["furnace", "fan", "coil", "tape"] }
idle = { open = [], running = ["fan"] }
[programme]
steps = [{ state = "run", to = "700 degC" }]
"""
ALL = ("fan", "coil", "tape", "power", "overshoot")


@cache
def rig() -> Rig:
    """A retort whose lid lives by a water coil and whose line ends in a soft cap."""
    return rig_of(TEXT)


@cache
def course(
    name: str, tolerance: float = STEP_ERROR, split: int = 1, samples: int = 4
) -> tuple[Situation, LossPicture]:
    """A situation and one loss in it."""
    situation = Situation(rig(), shipped(), Draws(samples=samples), split=split)
    situation.tolerance = tolerance
    situation.audit = True
    loss = next(loss for loss in losses_of(rig(), "run") if loss.name == name)
    return situation, situation.through(loss)


def test_every_named_thing_can_be_lost_and_only_where_the_furnace_runs() -> None:
    # exact: each cooling, each tape, the power and the furnace's own overshoot
    assert [(loss.name, loss.kind) for loss in losses_of(rig(), "run")] == [
        ("fan", "cooling"), ("coil", "cooling"), ("tape", "stuck"), ("power", "power"), ("overshoot", "overshoot"),
    ]  # fmt: skip
    assert losses_of(rig(), "idle") == []


def test_the_power_takes_what_is_electric_and_leaves_the_water() -> None:
    regime = lasting(rig(), Loss("run", "power", "power"))
    assert regime.cold == ("coil",)  # exact
    assert without_power(rig(), regime, all_electric=True).hot == ()


@pytest.mark.parametrize("name", ALL)
def test_energy_closes(name: str) -> None:
    # exact: heat stored by the walls is the heat they received
    _, found = course(name)
    assert np.max(found.imbalance) < 1e-3


@pytest.mark.parametrize("name", ALL)
def test_peaks_are_within_half_a_kelvin_of_a_refined_grid_and_step(name: str) -> None:
    # exact: refinement
    _, coarse = course(name)
    _, fine = course(name, 0.1, 3)
    for key, peak in coarse.peak.items():
        if "bottom" in key or key == "piece.line.joined":
            continue  # inside or at the furnace: no soft seal, and the mesh alone is studied elsewhere
        assert np.max(np.abs(peak - fine.peak[key])) < 0.5, key


@pytest.mark.parametrize("name", ALL)
def test_no_joint_passes_the_state_that_would_last(name: str) -> None:
    # exact: the comparison principle behind the verdict `lasting`
    situation, found = course(name, 0.25)
    limit = situation.lasting(found.loss).joints
    before = situation.heat("run").joints
    for key, peak in found.peak.items():
        assert np.all(peak <= np.maximum(limit[key], before[key]) + 0.05), key
        assert np.all(peak >= before[key] - 1e-6), key


def test_a_cap_behind_a_long_wall_peaks_after_the_furnace_is_off() -> None:
    # common practice: soak-back; the coil is lost, somebody switches off ten minutes later, the lid still rises
    _, found = course("coil", 0.25)
    times = found.peak_time["piece.retort.closed"]
    assert found.noticed == pytest.approx(600.0)
    assert np.all(times > 0)
    _, power = course("power", 0.25)
    soak = power.peak_time["piece.line.closed"]
    assert np.all(soak > 30.0)  # the fan has stopped with the furnace: the cap rises before it falls
    assert np.all(
        power.peak["piece.line.closed"]
        > course("power", 0.25)[0].heat("run").joints["piece.line.closed"] + 0.5
    )


def test_a_sooner_eye_means_a_lower_peak() -> None:
    # exact: monotone in the time the furnace stays on
    quick = rig_of(TEXT + '\n[assume]\nloss.noticed = "60 s"\n')
    situation = Situation(quick, shipped(), Draws(samples=4))
    loss = next(loss for loss in losses_of(quick, "run") if loss.name == "coil")
    found = situation.through(loss)
    _, slow = course("coil")
    assert found.noticed == pytest.approx(60.0)
    assert np.all(found.peak["piece.retort.closed"] < slow.peak["piece.retort.closed"])


def test_a_lumped_wall_cools_as_the_closed_form_says() -> None:
    """A short thick copper retort in a furnace that is off: one exponential toward the chamber."""
    text = (Path(__file__).parent / "lump.toml").read_text(encoding="utf-8")
    lump = rig_of(text)
    situation = Situation(lump, shipped(), Draws(width=0.0, pick=(0,)))
    situation.tolerance = 0.02
    loss = next(loss for loss in losses_of(lump, "run") if loss.name == "overshoot")
    found = situation.through(loss)
    # exact: within the phase of overshoot the wall cannot pass the chamber, set-point and 40 K
    peak = float(found.peak["piece.retort.bottom.joined"][0])
    assert 373.15 < peak <= 373.15 + 40.0 + 1e-6


def test_the_time_to_a_limit_is_where_the_course_crosses_it() -> None:
    _, found = course("coil", 0.25)
    made = replace(
        found,
        times=np.array([0.0, 60.0, 120.0]),
        courses={"cap": np.array([[300.0, 340.0, 300.0], [360.0, 350.0, 310.0], [320.0, 360.0, 320.0]])},
    )
    # exact: half of a straight rise of 60 K in 60 s; too hot from the first; never
    assert list(made.passes("cap", 330.0)) == [30.0, 0.0, np.inf]
    key = "piece.retort.closed"
    start, peak = found.courses[key][0], found.peak[key]
    limit = float(np.max(start) + 1.0)
    times = found.passes(key, limit)
    assert np.all(peak > limit)
    assert np.all((times > 0) & (times < found.peak_time[key]))
    assert np.all(found.passes(key, float(np.max(peak)) + 1.0) == np.inf)
