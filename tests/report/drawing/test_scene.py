# SPDX-License-Identifier: MIT
"""Whole drawings: valid, the same each time, every joint and piece on them, no words on words."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations
from xml.etree import ElementTree

import numpy as np
import pytest

from report.drawing.pictures import assessed, layout
from report.drawing.words import SVG, beyond, words_on_words
from retortwright.ground.errors import AskError
from retortwright.report.drawing.labels import Placed, run_over
from retortwright.report.drawing.marks import Mark
from retortwright.report.drawing.scene import Layout, drawing, laid_out, written
from retortwright.report.drawing.ways import cut_rectangles

NAMES = ("rubidium-cells", "thermal-blank", "starter", "bench", "bent", *map(str, range(10)))
STATES = [
    *(("rubidium-cells", state) for state in ("pump-down", "dry", "rise", "distil", "cool", "backfill")),
    *(("thermal-blank", state) for state in ("pump-down", "dry", "distil", "cool")),
    *(("getter", state) for state in ("empty", "hot", "fill")),
    ("route", "hot"),
    *(("short_arm", state) for state in ("warm", "hot")),
    *((name, None) for name in NAMES[2:]),
]


def overlaps(placed: tuple[Placed, ...]) -> list[tuple[str, str]]:
    """The pairs of labels that have room in common."""
    return [
        (one.label.name, other.label.name)
        for one, other in combinations(placed, 2)
        if one.box.meets(other.box)
    ]


@pytest.mark.parametrize(("name", "state"), STATES)
def test_labels_lie_neither_on_each_other_nor_off_the_page(name: str, state: str | None) -> None:
    drawn = layout(name, state)
    assert overlaps(drawn.placed) == []
    area = drawn.sheet.area
    for each in drawn.placed:
        box = each.box
        assert area.left <= box.left < box.right <= area.right + 4, each.label.name
        assert area.top <= box.top < box.bottom <= area.bottom + 4, each.label.name
    picture = written(drawn)
    assert beyond(picture) == []
    assert words_on_words(picture) == []


@pytest.mark.parametrize(("name", "state"), STATES[:16])
def test_no_leader_runs_over_words(name: str, state: str | None) -> None:
    assert run_over(layout(name, state).placed) == []


@pytest.mark.parametrize("name", ["thermal-blank", "bent", "rubidium-cells"])
def test_no_word_is_written_over_the_rig(name: str) -> None:
    drawn = layout(name)
    for each in drawn.placed:
        box = np.array([[each.box.left + 5, each.box.top + 5, each.box.right - 5, each.box.bottom - 5]])
        for strip in drawn.section.strips:
            spots = np.array([strip.axis(share * strip.single.length)[0] for share in np.linspace(0, 1, 30)])
            assert not np.any(cut_rectangles(spots[:-1], spots[1:], box)), (
                each.label.name,
                strip.single.name,
            )


@pytest.mark.parametrize("name", NAMES[:6])
def test_a_drawing_is_whole_and_safe(name: str) -> None:
    assessment, picture = assessed(name), written(layout(name))
    root = ElementTree.fromstring(picture)
    assert root.tag == f"{SVG}svg"
    assert root.find(f"{SVG}title") is not None
    assert root.find(f"{SVG}desc") is not None
    kinds = {each.tag.removeprefix(SVG) for each in root.iter()}
    assert kinds <= {
        "svg",
        "title",
        "desc",
        "style",
        "rect",
        "g",
        "path",
        "circle",
        "text",
        "defs",
        "pattern",
    }
    assert not re.search(r"https?://(?!www\.w3\.org/2000/svg)|nan|inf\b", picture)
    assert picture.endswith("</svg>\n")
    known = {each.attrib["id"] for each in root.iter() if "id" in each.attrib}
    assert set(re.findall(r"url\(#([\w-]+)\)", picture)) <= known
    words = " ".join(each.text or "" for each in root.iter(f"{SVG}text"))
    assert assessment.cautions[0].text[:20] in words
    for piece in assessment.rig.pieces:
        assert piece.name in words


def test_the_same_picture_twice() -> None:
    assert drawing(assessed("bent")) == written(layout("bent"))
    first = written(layout("thermal-blank", "distil"))
    assert drawing(assessed.__wrapped__("thermal-blank", "distil"), "distil") == first


def test_every_joint_has_a_sign_and_signs_stand_apart() -> None:
    drawn = layout("rubidium-cells")
    signs = drawn.section.signs
    assert len(signs) == len(drawn.view.tree.joints)
    for (_, _, one), (_, _, other) in combinations(signs, 2):
        assert abs(complex(*one) - complex(*other)) > 7


def label(drawn: Layout, name: str) -> str:
    """The words of a label."""
    return " / ".join(
        each.words for placed in drawn.placed if placed.label.name == name for each in placed.label.lines
    )


def test_what_labels_say() -> None:
    hot = layout("thermal-blank", "distil")
    assert label(hot, "piece line").startswith(
        "line, 304L / 12 x 1, 220 mm long, falls 10 deg / joint: TIG / holds, up to"
    )
    assert label(hot, "piece V1").startswith("V1 open, 304L")
    assert label(hot, "plant pump") == "pump / rotary, two-stage"
    assert "limit 450" in label(hot, "joint piece.retort.closed")
    cold = layout("thermal-blank", "pump-down")
    assert label(cold, "cover furnace 0") == "furnace: off"
    assert label(hot, "cover furnace 0") == "furnace: 750 degC"


def test_what_does_not_run_is_dashed() -> None:
    on, off = (written(layout("thermal-blank", state)) for state in ("distil", "pump-down"))
    assert "url(#furnace)" in on
    assert on.count('opacity="0.32"') == 0
    assert off.count('opacity="0.32"') > 0


def test_an_unknown_temperature_is_hatched() -> None:
    assessment = assessed("thermal-blank")
    assert assessment.situation is not None
    picture = assessment.situation.heat("dry")
    picture.temperature[:] = np.nan
    try:
        assert drawing(assessment, "dry").count("url(#unknown)") > 10
    finally:
        assessed.cache_clear()


def test_marks_are_drawn_and_named() -> None:
    assessment = assessed("thermal-blank")
    marks = [
        Mark("melting", ("K freezes", "from here on"), ((1, 0.1),)),
        Mark("dew", ("dew",), ((1, 0.05), (1, 0.06))),
    ]
    drawn = laid_out(assessment, None, marks)
    own = len(drawn.view.marks) - len(marks)
    assert label(drawn, f"mark melting {own}") == "K freezes / from here on"
    assert 'stroke-dasharray="5 2"' in written(drawn)


def test_an_unknown_state_says_which_there_are() -> None:
    with pytest.raises(AskError, match="no state is called 'distill'; did you mean distil"):
        drawing(assessed("thermal-blank"), "distill")


def test_planted_overlap_and_overrun_are_caught() -> None:
    drawn = layout("thermal-blank")
    assert overlaps((drawn.placed[0], drawn.placed[0])) != []
    picture = written(drawn)
    assert beyond(picture.replace("rotary, two-stage", "rotary " * 200)) != []


def test_two_labels_in_one_place_are_caught_as_run_over() -> None:
    drawn = layout("thermal-blank")
    one, other = drawn.placed[:2]
    middle = ((other.box.left + other.box.right) / 2, (other.box.top + other.box.bottom) / 2)
    assert run_over((replace(one, anchor=middle), other)) != []


def test_a_colour_means_the_same_in_every_state() -> None:
    scales = {layout("rubidium-cells", state).view.scale for state in ("pump-down", "distil", "cool")}
    # exact: dry ice at -78.5 degC and the set-point of 595 degC are inside
    assert [(scale.low, scale.high) for scale in scales] == [(-100.0, 600.0)]


def test_joints_of_a_cooling_state_say_when_they_were_so_hot() -> None:
    drawn = layout("rubidium-overdriven", "cool")
    said = {saying.lines[1].words for _, saying in drawn.view.joints}
    assert all("at the start" in words or "on the way" in words or "at most" in words for words in said)
    hot = [float(words.split("up to ")[1].split()[0]) for words in said if words.startswith("FAILS")]
    # exact: what fails lies over its limit, and 150 degC is the lowest limit of those that fail
    assert min(hot) > 150
