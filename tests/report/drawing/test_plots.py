# SPDX-License-Identifier: MIT
"""Curves: axes, dashes, and that no words lie on words."""

from __future__ import annotations

import re
from itertools import combinations
from xml.etree import ElementTree

import pytest

from report.drawing.pictures import assessed
from report.drawing.test_scene import SVG, beyond
from retortwright.report.drawing.labels import Box
from retortwright.report.drawing.pictures import PICTURES, picture_of
from retortwright.report.drawing.plot import STYLES, Frame, axis_of, power_axis
from retortwright.report.drawing.svg import text_width


def words_on_words(picture: str) -> list[tuple[str, str]]:
    """Pairs of words that may lie on each other."""
    boxes = []
    for each in ElementTree.fromstring(picture).iter(f"{SVG}text"):
        if "transform" not in each.attrib:
            words, size, face = each.text or "", float(each.attrib["font-size"]), each.attrib.get("class", "")
            wide = 0.8 * text_width(words, size, "bold" in face)
            x, y = float(each.attrib["x"]), float(each.attrib["y"])
            left = x - wide if "end" in face else x - wide / 2 if "middle" in face else x
            boxes.append((words, Box(left, y - 0.75 * size, left + wide, y)))
    return [(a[0], b[0]) for a, b in combinations(boxes, 2) if a[1].meets(b[1])]


@pytest.mark.parametrize("name", ["starter", "thermal-blank", "bent"])
@pytest.mark.parametrize("plot", [name for name in PICTURES if name])
def test_a_plot_is_whole(name: str, plot: str) -> None:
    picture = picture_of(assessed(name), None, plot)
    assert beyond(picture) == []
    assert words_on_words(picture) == []
    assert not re.search(r"[ ,\"](nan|inf)", picture)
    assert picture == picture_of(assessed(name), None, plot)


def test_the_pressures_of_the_starter() -> None:
    picture = picture_of(assessed("starter"), None, "pressures")
    for gas in ("K(g)", "K2(g)", "Ca(g)", "KCl(g)"):
        assert gas in picture
    assert "2 KCl + Ca -&gt; 2 K + CaCl2" in picture
    assert "furnace set-point" in picture


def test_without_a_charge_it_says_why_there_are_no_curves() -> None:
    picture = picture_of(assessed("thermal-blank"), None, "pressures")
    assert "no curves:" in picture


def test_the_line_names_its_joints_and_where_the_metal_melts() -> None:
    picture = picture_of(assessed("thermal-blank"), "distil", "line")
    # published: melting point of potassium 63.5 degC (336.7 K), to the degree
    assert "K melts, 64 degC" in picture or "K melts, 63 degC" in picture
    for joint in ("receiver", "retort.closed", "V1.valve"):
        assert f">{joint}<" in picture


def test_axes() -> None:
    axis = axis_of(17.0, 696.0, "degC")
    assert (axis.low, axis.high) == (0.0, 700.0)
    assert [words for _, words in axis.ticks][:3] == ["0", "100", "200"]
    assert power_axis(-3, 2, "Pa").share(1.0) == pytest.approx(0.6)  # exact: three of five decades
    frame = Frame(Box(0, 0, 100, 50), axis, power_axis(-3, 2, "Pa"))
    assert frame.to(350.0, 1e-3) == (50.0, 50.0)


def test_curves_differ_without_colour() -> None:
    assert len({style.dash for style in STYLES}) == len({style.mark for style in STYLES}) == len(STYLES)


def test_a_curve_without_numbers_is_left_open() -> None:
    frame = Frame(Box(0, 0, 100, 50), axis_of(0, 10, "x"), axis_of(0, 10, "y"))
    gap = [(0.0, 1.0), (1.0, 2.0), (2.0, float("nan")), (3.0, 4.0), (4.0, 5.0)]
    paths = [each for each in frame.curve(gap, STYLES[0]) if each.startswith("<path")]
    assert len(paths) == 2
