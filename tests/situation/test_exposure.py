# SPDX-License-Identifier: MIT
"""When there is a vacuum behind a wall, and how long it is how hot."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.reference.tables import shipped
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import read_rig, rig_of
from retortwright.situation.exposure import evacuated, governing, hottest, instances_of, spells_of
from retortwright.situation.situation import Situation

EXAMPLES = Path(__file__).parents[2] / "examples"
MIDDLE = Draws(samples=1, width=0.0, pick=(0,))


@cache
def situation_of(name: str, *edits: tuple[str, str]) -> Situation:
    rig = edited(read_rig(str(EXAMPLES / f"{name}.toml")), [Edit(*each) for each in edits])
    return Situation(rig, shipped(), MIDDLE)


def steps_under_vacuum(situation: Situation, row: str) -> list[str]:
    pieces = set(instances_of(situation, row))
    found = evacuated(situation)[: len(situation.rig.steps)]
    return [step.state for step, empty in zip(situation.rig.steps, found, strict=True) if empty & pieces]


def test_what_was_pumped_stays_empty_until_argon_fills_it() -> None:
    # practice: the rise with all valves shut is under vacuum, and so is the backfill when it begins
    rubidium = situation_of("rubidium-cells")
    assert steps_under_vacuum(rubidium, "retort") == [
        "pump-down",
        "dry",
        "rise",
        "distil",
        "cool",
        "backfill",
    ]


def test_without_a_pump_there_is_no_vacuum() -> None:
    # practice: its valve never opens
    shut = [(f"state.{name}.open", "[]") for name in ("pump-down", "dry", "distil", "cool")]
    blank = situation_of("thermal-blank", *shut)
    assert steps_under_vacuum(blank, "retort") == []
    assert governing(blank, instances_of(blank, "retort")) is None
    assert steps_under_vacuum(blank, "hose") == ["pump-down", "dry", "distil", "cool"]


def test_the_hottest_state_under_vacuum_governs() -> None:
    # exact: set at 680 degC, though a state before it is pumped too
    rubidium = situation_of("rubidium-cells")
    assert governing(rubidium, instances_of(rubidium, "retort")) == "distil"


def test_the_times_of_the_programme_are_all_there() -> None:
    # exact: of the blank: 330 K at 4 K/min, 2 h at 350 degC, 400 K at 2 K/min, 1 h at 750 degC
    blank = situation_of("thermal-blank")
    ledger = Ledger(blank.rig, blank.tables, blank.draws)
    pieces = instances_of(blank, "retort")
    hot = spells_of(blank, ledger, pieces, only={1, 2})
    total = sum(float(spell.time[0]) for spell in hot)
    assert total == pytest.approx(7200 + 330 / 4 * 60 + 3600 + 400 / 2 * 60, rel=1e-9)
    longest = max(hot, key=lambda spell: float(spell.temperature[0]))
    assert longest.temperature[0] == pytest.approx(hottest(blank, "distil", pieces)[0], abs=1e-9)
    assert longest.time[0] == 3600.0


def test_cooling_takes_the_time_of_the_furnace() -> None:
    # exact: from the set-point to 60 degC with the time constant of the chamber: tau ln of the ratio of the excesses
    blank = situation_of("thermal-blank")
    ledger = Ledger(blank.rig, blank.tables, blank.draws)
    pieces = instances_of(blank, "retort")
    cooling = spells_of(blank, ledger, pieces, only={3})
    room = 293.15
    steady = hottest(blank, "distil", pieces)[0]
    end = room + (steady - room) * 40.0 / 730.0
    expected = 3600.0 * np.log((steady - room) / (end - room))
    assert sum(float(spell.time[0]) for spell in cooling) == pytest.approx(expected, rel=1e-9)
    temperatures = [float(spell.temperature[0]) for spell in cooling]
    assert temperatures == sorted(temperatures, reverse=True)


def test_without_times_the_assumed_time_with_hot_metal_counts() -> None:
    # exact: no ramp and no hold in the file, though it cools in the end
    bare = re.sub(
        r', (?:ramp|hold) = "[^"]*"', "", (EXAMPLES / "thermal-blank.toml").read_text(encoding="utf-8")
    )
    blank = Situation(rig_of(bare, "bare.toml"), shipped(), MIDDLE)
    ledger = Ledger(blank.rig, blank.tables, blank.draws)
    spell = max(spells_of(blank, ledger, instances_of(blank, "retort")), key=lambda each: float(each.time[0]))
    assert spell.time[0] == ledger.default("hot-metal.time")[0]
    assert spell.temperature[0] > 1000.0
