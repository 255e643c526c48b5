# SPDX-License-Identifier: MIT
"""The table of closed volumes as it hangs at the furnace, and as JSON."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from retortwright.assess.closed_rows import closed_rows, is_heated
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.report.closed_table import closed_document, closed_json, closed_lines, closed_text
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import read_rig
from retortwright.situation.situation import Situation

ROOT = Path(__file__).parents[2]
RIGS = {"rubidium": ROOT / "docs" / "closed-volumes.toml", "blank": ROOT / "examples" / "thermal-blank.toml"}


@cache
def situation(name: str = "rubidium") -> Situation:
    return Situation(read_rig(str(RIGS[name])), shipped(), Draws(samples=16))


def test_the_gravest_comes_first_and_says_what_to_do() -> None:
    text = " ".join(closed_text(situation()).split())
    first = text[text.index("Closed volumes: pressure inside") :][:600]
    assert "FAILS distil, cool, V1 never opened: retort 139 mL, 2." in first
    assert "graded glass seal of the manifold, 0.2 bar over" in first
    assert "See that V1 is open before the furnace is lit" in first


def test_cautions_come_first_and_refusals_before_what_is_sized() -> None:
    text = closed_text(situation())
    assert text.startswith("Heats reactive metal in a closed vessel")
    assert "REFUSED" not in text
    wet = edited(
        read_rig(str(RIGS["rubidium"])),
        [Edit("cool.bench-fan", '{ over = { ampoule = "all" }, by = "ice water" }')],
    )
    refused = closed_text(
        Situation(wet, shipped(), Draws(samples=1, width=0.0, pick=(0,))), ["cool.bench-fan=other"]
    )
    order = [
        "REFUSED  ice water on the glass of the ampoule",
        "Closed volumes: pressure",
        "Rules that no number",
    ]
    assert [refused.index(each) for each in order] == sorted(refused.index(each) for each in order)
    assert "closed-volumes.toml  with cool.bench-fan=other" in refused


def test_what_stops_stands_below_the_table() -> None:
    text = " ".join(closed_text(situation()).split())
    stops = text[text.index("Relief, bubbler, and what stops") :]
    assert "distil, the pump stops: valves against oil from the pump: oil and air run back" in stops
    assert re.search(r"time to air over the metal: \d+ h, perhaps only \d+ h; the stated leak brings 1 kPa", stops)


def test_no_line_is_wider_than_a_page_and_the_rules_stand_below() -> None:
    lines = closed_text(situation()).splitlines()
    assert max(len(line) for line in lines if not line.endswith(".toml")) <= 100
    whole = " ".join(" ".join(lines).split())
    assert "Only then warm it, from the open end toward the plug, never in the middle" in whole
    # published: 366 degC by the equation of Alcock 1984; ours comes from the table of species
    assert re.search(
        r"until the hottest wall is below 3[67]\d degC by its thermocouple, where Rb stands under 1 kPa",
        whole,
    )
    assert re.search(r"Opening: every wall below 40 degC \([\d.]+ to [\d.]+ h after the hottest step", whole)
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
    document = json.loads(closed_json(situation()))
    rows = document["closed"]
    assert document["cautions"][0]["source"] in shipped().sources
    assert document["go_near"]["low_s"] < document["go_near"]["best_s"] < document["go_near"]["high_s"]
    assert len(document["rules"]) == 4
    assert rows == closed_document(situation())
    assert len(rows) == len(closed_rows(situation()))
    assert {row["kind"] for row in rows} == {"planned", "shut", "never", "open", "plug", "lost", "over"}
    worst = rows[0]
    assert worst["verdict"] == "fails"
    assert worst["low_over_Pa"] < worst["best_over_Pa"] < worst["high_over_Pa"]
    # exact: the parts of every sample are those of the pressure inside
    figure = closed_rows(situation())[0].closed.figure
    parts = (figure.said[name] for name in ("gas", "hydrogen", "vapour", "liquid"))
    assert sum(parts) == pytest.approx(figure.values, rel=1e-12)
    assert worst["parts_Pa"]["gas"] == pytest.approx(float(np.median(figure.said["gas"])), rel=1e-5)
    assert set(worst["pieces"]) >= {"retort", "line", "manifold", "ampoule.6", "pump-arm", "charging-arm"}


def test_cold_volumes_are_told_apart() -> None:
    rows = closed_rows(situation())
    cold = [row for row in rows if not is_heated(situation(), row)]
    assert cold
    assert all(row.verdict == "holds" for row in cold)
    assert not any(row.closed.fed for row in cold)
