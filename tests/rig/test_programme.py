# SPDX-License-Identifier: MIT
"""A furnace that runs must be told how hot: a state without a step is a mistake, never a cold state."""

from __future__ import annotations

import pytest

from retortwright.ground.errors import Mistake, RigError
from retortwright.rig.reading import rig_of
from retortwright.rig.starter import starter_text


def mistakes_of(text: str) -> tuple[Mistake, ...]:
    """The mistakes of a rig text."""
    with pytest.raises(RigError) as error:
        rig_of(text, "rig.toml")
    return error.value.mistakes


def test_a_furnace_in_a_state_that_no_step_runs() -> None:
    text = starter_text().replace(
        '  { state = "distil", to = "750 degC", ramp = "2 K/min", hold = "60 min" },\n', ""
    )
    (found,) = mistakes_of(text)
    assert found.key == "state.distil.running"
    assert "furnace runs in state distil, but no step of the programme runs that state" in found.says
    assert text.split("\n")[found.line - 1].startswith("distil ")


def test_a_furnace_whose_step_gives_no_set_point() -> None:
    (found,) = mistakes_of(starter_text().replace('to = "750 degC", ', ""))
    assert found.key == "programme.steps"
    assert "no step of that state says how hot" in found.says


def test_a_programme_without_a_step() -> None:
    head, _, rest = starter_text().partition("steps = [\n")
    text = head + "steps = []\n" + rest.partition("]\n")[2]
    (found,) = mistakes_of(text)
    assert found.key == "programme.steps"
    assert "the programme has no step" in found.says


def test_a_state_without_a_step_may_stand_where_no_furnace_runs() -> None:
    text = starter_text().replace('  { state = "pump-down", hold = "1 h" },\n', "")
    assert [step.state for step in rig_of(text).steps] == ["dry", "distil", "cool"]


def test_a_mistake_in_a_step_is_named_by_its_state() -> None:
    # exact: the name that an edit takes
    (found,) = mistakes_of(starter_text().replace('to = "350 degC"', 'to = "350 mm"'))
    assert found.key == "programme.steps.dry.to"
    twice = (
        starter_text()
        .replace('state = "dry",    ', 'state = "distil", ')
        .replace('to = "350 degC"', 'to = "350 mm"')
    )
    assert [each.key for each in mistakes_of(twice)] == ["programme.steps.distil#1.to"]


def test_a_step_without_a_right_state_and_items_of_a_list_are_numbered_from_one() -> None:
    (found,) = mistakes_of(starter_text().replace('state = "dry",    ', 'state = "dryy", '))
    assert found.key == "programme.steps.2.state"
    (found,) = mistakes_of(starter_text().replace('["pump", "furnace", "tape", "fan"]', '["pump", "oven"]'))
    assert found.key == "state.distil.running.2"
