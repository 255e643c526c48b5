# SPDX-License-Identifier: MIT
"""Curves: axes, dashes, and that no words lie on words."""

from __future__ import annotations

import re

import numpy as np
import pytest

from report.drawing.pictures import assessed
from report.drawing.words import beyond, words_on_words
from retortwright.report.drawing.dew_curves import dew_curves
from retortwright.report.drawing.labels import Box
from retortwright.report.drawing.pictures import PICTURES, picture_of
from retortwright.report.drawing.plot import STYLES, Frame, axis_of, power_axis
from retortwright.situation.vapour_state import VapourState


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


def test_the_dew_point_of_the_plot_is_that_of_the_vapour() -> None:
    assessment = assessed("rubidium-cells", "distil")
    situation = assessment.situation
    assert situation is not None
    together = situation.vapour("distil")
    assert isinstance(together, VapourState)
    lengths = np.zeros(len(situation.tree.instances))
    curves = list(dew_curves(together.vapour, situation.mesh, lengths))
    ways = curves[: len(together.vapour.landings)]
    # exact: at the start of a way it is the dew point of the retort, and it falls along it
    for curve in ways:
        assert curve.middle[0] == pytest.approx(float(np.median(together.vapour.dew)), abs=0.5)
        assert np.all(np.diff(curve.middle) < 0.1)
        assert np.all((curve.low <= curve.middle) & (curve.middle <= curve.high))
    assert "dew point of the Rb" in picture_of(assessment, "distil", "line")
    assert "dew point of the Rb" not in picture_of(assessed("rubidium-cells", "dry"), "dry", "line")


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
