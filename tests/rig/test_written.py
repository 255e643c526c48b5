# SPDX-License-Identifier: MIT
"""What stands at a key, and the values beside it."""

from __future__ import annotations

from pathlib import Path

import pytest

from retortwright.ground.errors import EditError
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import read_rig
from retortwright.rig.written import written_at

SHIPPED = read_rig(str(Path(__file__).parents[2] / "examples" / "rubidium-cells.toml"))
RIG = edited(SHIPPED, [Edit("programme.steps.distil.to", "650 degC")])  # whatever the example says


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("piece.line.length", "200 mm"),
        ("piece.line.tube.wall", "1 mm"),
        ("piece.retort.bottom.thick", "5 mm"),
        ("programme.steps.distil.to", "650 degC"),
        ("heat.furnace.over.retort.to", "145 mm"),
        ("charge.Ca.contains.CaO", "3 to 8 %"),
        ("assume.emissivity.304L-oxidised", "0.70 to 0.85"),
        ("plant.argon.hose.length", "1.5 m"),
    ],
)
def test_what_stands_at_a_key(key: str, text: str) -> None:
    found = written_at(RIG, key)
    assert found.text == text
    assert found.choice is None
    steps = -1 if key.startswith("heat") else 1  # a shorter line ends before its tape
    edited(RIG, [Edit(key, found.moved(steps))])  # raises where such a value may not stand there


def test_words_of_a_closed_list() -> None:
    found = written_at(RIG, "piece.line.of")
    assert found.text == "304L"
    assert "310S" in list(found.words())
    assert "304L" not in list(found.words())


def test_figures_move_in_proportion_and_temperatures_by_degrees() -> None:
    assert written_at(RIG, "programme.steps.distil.to").moved(-2) == "630 degC"
    band = written_at(RIG, "charge.Ca.contains.CaO").moved(5)
    low, high = (float(each) for each in band.removesuffix(" %").split(" to "))
    assert low / 3 == pytest.approx(1.15**5, rel=0.01)  # exact: the step
    assert high / low == pytest.approx(8 / 3, rel=0.01)


@pytest.mark.parametrize(
    ("key", "says"),
    [
        ("piece.lime.length", "nothing stands there"),
        ("piece.line", "name a key inside it"),
        ("piece.line.tube.bore", "outside, wall"),
        ("assume.room.temperature", "write your figure first"),
        ("programme.steps.boil.to", "no step runs in state"),
    ],
)
def test_what_does_not_stand_there_is_said(key: str, says: str) -> None:
    with pytest.raises(EditError, match=says):
        written_at(RIG, key)


def test_a_word_is_no_figure() -> None:
    with pytest.raises(EditError, match="no figure"):
        _ = written_at(RIG, "piece.line.joined").number
