# SPDX-License-Identifier: MIT
"""Cautions: rows with sources, shown where they apply, first on every face."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from retortwright.assess.assessment import Assessment, assess
from retortwright.assess.cautions import WHEN, cautions_of
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.report.closed_table import closed_json, closed_text
from retortwright.report.drawing.pictures import picture_of
from retortwright.report.explanation import explained
from retortwright.report.json_report import as_json
from retortwright.report.text_report import as_text
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import read_rig, rig_of
from retortwright.rig.starter import starter_text
from retortwright.situation.situation import Situation

RIG = read_rig(str(Path(__file__).parent / "getter.toml"))
WET = '{ over = { retort = "160 to 200 mm" }, by = "wet wrap", feed = "1 L/h" }'
DRAWS = Draws(samples=1, width=0.0, pick=(0,))


@cache
def whole() -> Assessment:
    return assess(RIG, DRAWS, remedies=False)


def faces() -> dict[str, str]:
    """Every face as one line of text."""
    made = whole()
    assert made.situation is not None
    shown = {
        "text": as_text(made),
        "json": as_json(made),
        "explain": explained(made, made.findings[0], {}),
        "closed": closed_text(made.situation),
        "closed json": closed_json(made.situation),
        "draw": picture_of(made, None, None),
    }
    return {name: " ".join(re.sub(r"<[^>]*>", " ", text).split()) for name, text in shown.items()}


def test_every_face_says_every_caution() -> None:
    cautions = whole().cautions
    assert len(cautions) > 4
    for name, text in faces().items():
        for caution in cautions:
            words = caution.text.replace("&", "&amp;")
            assert words in text, (name, words)


def test_they_come_first() -> None:
    made = whole()
    assert made.situation is not None
    for text in (as_text(made), explained(made, made.findings[0], {}), closed_text(made.situation)):
        assert made.cautions[0].text.startswith(text.splitlines()[0])


def test_every_caution_has_a_source_and_a_condition_that_is_known() -> None:
    tables = shipped()
    for subject in tables.subjects("cautions"):
        assert tables.rows["cautions", subject, "when"].data in WHEN
        assert tables.rows["cautions", subject, "text"].source in tables.sources


@pytest.mark.parametrize(
    ("part", "edits", "near"),
    [
        ("A water-cooled part", (("cool.fan", WET),), ()),
        ("Dry ice and liquid nitrogen", (("cool.fan", '{ over = { line = "all" }, by = "dry ice" }'),), ()),
        ("Steel from a household vessel", (("piece.line.of", "household steel"),), ()),
        ("Argon and nitrogen suffocate", (), None),
    ],
)  # fmt: skip
def test_they_are_shown_where_they_apply(
    part: str, edits: tuple[tuple[str, str], ...], near: tuple[tuple[str, str], ...] | None
) -> None:
    def said(changes: tuple[tuple[str, str], ...]) -> str:
        rig = edited(RIG, [Edit(*each) for each in changes])
        return " ".join(each.text for each in cautions_of(Situation(rig, shipped(), DRAWS)))

    assert part in said(edits)
    if near is not None:
        assert part not in said(near)
    else:  # without the argon of the plant
        text = "\n".join(line for line in RIG.text.splitlines() if not line.startswith(("argon", "fill ")))
        text = text.replace('  { state = "fill", hold = "10 min" },\n', "")
        assert part not in " ".join(
            each.text for each in cautions_of(Situation(rig_of(text, "bare.toml"), shipped(), DRAWS))
        )


@pytest.mark.parametrize("gone", ["bottom", "closed"])
def test_an_end_of_the_retort_of_which_nothing_is_said_is_pointed_at(gone: str) -> None:
    starter = starter_text()
    own = next(line for line in starter.splitlines() if line.startswith(gone))
    part = "An end of the retort that the file does not close"
    for text, shown in ((starter, False), (starter.replace(own, ""), True)):
        made = cautions_of(Situation(rig_of(text, "starter.toml"), shipped(), DRAWS))
        assert (part in " ".join(each.text for each in made)) is shown
