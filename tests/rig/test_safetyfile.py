# SPDX-License-Identifier: MIT
"""What stands ready, as it is written."""

from __future__ import annotations

import pytest

from retortwright.rig.edit import Edit, edited
from retortwright.rig.parts import Agent, Safety
from retortwright.rig.reading import rig_of
from retortwright.rig.safetyfile import AgentKind
from rig.whole import FILE, TEXT, mistakes_of


def test_every_key_is_read() -> None:
    safety = rig_of(TEXT, FILE).safety
    assert safety.agent == Agent(5.0, "NaCl powder")
    assert safety.tray == pytest.approx(5e-3)
    assert (safety.people, safety.screen) == (2, "polycarbonate")
    assert safety.hood is not None
    assert safety.hood.best == pytest.approx(500 / 3600)
    assert safety.room == pytest.approx(60.0)


def test_without_the_table_nothing_is_said() -> None:
    text = TEXT[: TEXT.index("[safety]")] + TEXT[TEXT.index("[state]") :]
    assert rig_of(text, FILE).safety == Safety()


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('"5 kg NaCl powder"', '"NaCl powder"', "a mass and agent"),
        ('"5 kg NaCl powder"', '"5 kg salt"', "'salt' is no agent known here"),
        ('"5 kg NaCl powder"', '"5 lb NaCl powder"', "a mass such as"),
        ('"5 kg NaCl powder"', '"0 kg NaCl powder"', "above 0 and up to 1000 kg"),
        ("people      = 2", "people      = 0", "a whole number from 1 to 20"),
        ('"polycarbonate"', '"cardboard"', "is no screen known here"),
        ('room        = "60 m3"', 'room        = "60 m"', "a volume such as"),
        ("tray  ", "trray ", "did you mean tray"),
    ],
)
def test_a_mistake_is_one_sentence(old: str, new: str, says: str) -> None:
    assert TEXT.count(old) == 1
    (found,) = mistakes_of(TEXT.replace(old, new))
    assert found.key.startswith("safety.")
    assert says in found.says


def test_part_of_it_is_edited_in_place() -> None:
    rig = edited(rig_of(TEXT, FILE), [Edit("safety.agent.mass", "8 kg"), Edit("safety.people", "3")])
    assert rig.safety.agent == Agent(8.0, "NaCl powder")
    assert rig.safety.people == 3


def test_a_text_is_taken_apart_and_put_together() -> None:
    kind = AgentKind()
    assert kind.split("2 kg of dry sand") == {"mass": "2 kg", "kind": "dry sand"}
    assert kind.join(kind.split("2 kg dry sand")) == "2 kg dry sand"
