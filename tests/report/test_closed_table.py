# SPDX-License-Identifier: MIT
"""The table of closed volumes as it hangs at the furnace, and as JSON."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import pytest

from retortwright.assess.closed_rows import closed_rows, is_heated
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.report.closed_table import closed_document, closed_json, closed_lines, closed_text
from retortwright.rig.reading import read_rig
from retortwright.situation.situation import Situation

ROOT = Path(__file__).parents[2]
RIGS = {"rubidium": ROOT / "docs" / "closed-volumes.toml", "blank": ROOT / "examples" / "thermal-blank.toml"}


@cache
def situation(name: str = "rubidium") -> Situation:
    return Situation(read_rig(str(RIGS[name])), shipped(), Draws(samples=16))


def test_the_gravest_comes_first_and_says_what_to_do() -> None:
    text = closed_text(situation())
    first = " ".join(text.splitlines()[2:6])
    assert "FAILS    distil, cool, V1 never opened: retort 139 mL, 1." in first
    assert "graded glass seal of the manifold, 0.2 bar over" in " ".join(first.split())
    assert "See that V1 is open before the furnace is lit" in " ".join(first.split())


def test_no_line_is_wider_than_a_page_and_the_rules_stand_below() -> None:
    lines = closed_text(situation()).splitlines()
    assert max(len(line) for line in lines) <= 100
    whole = " ".join(" ".join(lines).split())
    assert "then warm from the open end toward the plug, never in the middle" in whole
    # published: 366 degC by the equation of Alcock 1984; ours comes from the table of species
    assert "Rb stands under 1 kPa at 3" in whole
    assert "cases of closed volumes stay below the pressure of the room" in whole


def test_the_short_table_is_the_head_of_the_long_one() -> None:
    short = closed_lines(situation(), 3)
    assert short[0] == closed_lines(situation(), None)[0]
    assert any("cases more, none graver" in line for line in short)


def test_a_rig_that_is_well_off_says_little() -> None:
    lines = closed_lines(situation("blank"), None)
    assert len(lines) < 12
    assert "V1 never opened" in lines[0]


def test_json_lists_every_row_once() -> None:
    rows = json.loads(closed_json(situation()))["closed"]
    assert rows == closed_document(situation())
    assert len(rows) == len(closed_rows(situation()))
    assert {row["kind"] for row in rows} == {"planned", "shut", "never", "open", "plug", "lost", "over"}
    worst = rows[0]
    assert worst["verdict"] == "fails"
    assert worst["low_over_Pa"] < worst["best_over_Pa"] < worst["high_over_Pa"]
    # exact: the parts are those of the pressure inside
    parts = worst["parts_Pa"]
    inside = parts["gas"] + parts["hydrogen"] + parts["vapour"]
    assert inside == pytest.approx(worst["best_over_Pa"] + 101325.0, rel=0.01)
    assert set(worst["pieces"]) >= {"retort", "line", "manifold", "ampoule.6", "pump-arm", "charging-arm"}


def test_cold_volumes_are_told_apart() -> None:
    rows = closed_rows(situation())
    cold = [row for row in rows if not is_heated(situation(), row)]
    assert cold
    assert all(row.verdict == "holds" for row in cold)
    assert not any(row.closed.fed for row in cold)
