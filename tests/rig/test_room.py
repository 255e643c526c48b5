# SPDX-License-Identifier: MIT
"""Two things cannot be at one place, and a side arm is no wider than its stem."""

from __future__ import annotations

import pytest

from retortwright.ground.errors import RigError
from retortwright.rig.reading import rig_of

TEXT = """
retortwright = 1
aim.metal = "K"
[piece.tube]
tube = "25.4 x 1.65 mm"
length = "300 mm"
of = "304L"
[piece.arm]
on = "tube"
at = "250 mm"
joined = "TIG"
tube = "12 x 1 mm"
length = "100 mm"
of = "304L"
[heat]
furnace = { over = { tube = "0 to 100 mm" } }
%s
[state]
hot = { open = [], running = ["furnace"%s] }
cold = { open = [], running = [%s] }
[programme]
steps = [{ state = "hot", to = "600 degC" }]
"""
THINGS = {
    "furnace2": ('heat.furnace2 = { over = { tube = "%s" } }', "furnace2"),
    "tape": ('heat.tape = { over = { tube = "%s" }, holds = "90 degC" }', "tape"),
    "wool": ('lag.wool = { over = { tube = "%s" }, of = "ceramic wool", thick = "20 mm" }', None),
    "fan": ('cool.fan = { over = { tube = "%s" }, by = "air", speed = "1 m/s" }', "fan"),
    "coil": ('cool.coil = { over = { tube = "%s" }, by = "water coil", flow = "1 L/min", inlet = "18 degC" }', "coil"),
    "wet": ('cool.wet = { over = { tube = "%s" }, by = "wet wrap", feed = "0.5 L/h" }', "wet"),
    "ice": ('cool.ice = { over = { tube = "%s" }, by = "dry ice" }', "ice"),
}  # fmt: skip


def mistakes(*things: tuple[str, str], together: bool = True) -> list[tuple[str, str]]:
    """Key and words of each mistake with some things over some stretches."""
    lines = [THINGS[name][0] % stretch for name, stretch in things]
    runs = [f'"{THINGS[name][1]}"' for name, _ in things if THINGS[name][1]]
    hot, cold = (runs, []) if together else (runs[:1], runs[1:])
    heat = "\n".join(line.removeprefix("heat.") for line in lines if line.startswith("heat."))
    text = TEXT % (heat, "".join(f", {run}" for run in hot), ", ".join(cold))
    rest = "\n".join(line for line in lines if not line.startswith("heat."))
    text = text.replace("retortwright = 1\n", f"retortwright = 1\n{rest}\n")
    try:
        rig_of(text)
    except RigError as error:
        return [(each.key, each.says) for each in error.mistakes]
    return []


@pytest.mark.parametrize("name", ["furnace2", "tape", "wool", "fan", "wet", "ice"])
def test_nothing_but_a_coil_lies_in_the_furnace(name: str) -> None:
    ((key, says),) = mistakes((name, "80 to 200 mm"))
    assert key.endswith(f".{name}.over.tube")
    assert says == f"{name} and furnace both lie over tube from 80 to 100 mm; only one of them can"
    assert mistakes((name, "100 to 200 mm")) == []  # end to end
    assert mistakes(("coil", "80 to 200 mm")) == []


@pytest.mark.parametrize(
    ("one", "other", "wrong"),
    [  # practice: what lies on what
        ("wool", "fan", True), ("wool", "wet", True), ("wool", "ice", True), ("fan", "wet", True),
        ("fan", "ice", True), ("wet", "ice", True), ("tape", "wool", False), ("tape", "fan", False),
        ("coil", "wool", False), ("coil", "fan", False), ("coil", "tape", False),
    ],
)  # fmt: skip
def test_two_covers_on_one_stretch(one: str, other: str, wrong: bool) -> None:
    found = mistakes((one, "110 to 200 mm"), (other, "150 to 220 mm"))
    assert [each for _, each in found] == (
        [f"{other} and {one} both lie over tube from 150 to 200 mm; only one of them can"] if wrong else []
    )
    assert mistakes((one, "110 to 150 mm"), (other, "150 to 220 mm")) == []


def test_coolings_may_take_turns() -> None:
    pair = (("fan", "110 to 200 mm"), ("ice", "150 to 220 mm"))
    assert mistakes(*pair, together=True) != []
    assert mistakes(*pair, together=False) == []
    assert mistakes(("wool", "110 to 200 mm"), ("fan", "150 to 220 mm"), together=False) != []  # wool stays


def test_the_whole_piece_counts_too() -> None:
    ((_, says),) = mistakes(("wool", "all"))
    assert "from 0 to 100 mm" in says


def test_a_side_arm_wider_than_its_stem() -> None:
    text = TEXT % ("", "", "")
    wide = text.replace('"12 x 1 mm"', '"28 x 1 mm"')
    with pytest.raises(RigError) as error:
        rig_of(wide)
    (found,) = error.value.mistakes
    assert found.key == "piece.arm.tube"
    assert "arm is 28 mm wide and sits on the side of tube, which is 25.4 mm wide there" in found.says
    for right in (text, text.replace('"12 x 1 mm"', '"25.4 x 1 mm"'), wide.replace('at = "250 mm"\n', ""),
                  wide.replace('at = "250 mm"', 'at = "300 mm"')):  # fmt: skip
        rig_of(right)
    cone = text.replace('length = "300 mm"', 'length = "300 mm"\ntapers_to = "10 x 1 mm"')
    with pytest.raises(RigError, match=r"12\.57 mm wide there"):  # exact: 25.4 - 15.4 * 250 / 300
        rig_of(cone.replace('"12 x 1 mm"', '"14 x 1 mm"'))
