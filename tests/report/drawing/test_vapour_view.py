# SPDX-License-Identifier: MIT
"""The product on the drawing: marks lie where the numbers say, and what is not known is said."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from report.drawing.pictures import assessed, layout
from retortwright.belief.beliefs import Draws
from retortwright.reference.datum import Missing
from retortwright.reference.tables import shipped
from retortwright.report.drawing.marks import Mark, course_of, crossings
from retortwright.report.drawing.scene import Layout, written
from retortwright.report.drawing.vapour_view import landed_on, span, vapour_view
from retortwright.situation.situation import Situation
from retortwright.situation.vapour import Vapour
from retortwright.situation.vapour_state import VapourState


def drawn() -> tuple[Layout, Vapour]:
    """The rubidium rig while it distils."""
    found = layout("rubidium-cells", "distil")
    together = found.view.situation.vapour("distil")
    assert isinstance(together, VapourState)
    return found, together.vapour


def of_kind(found: Layout, kind: str) -> list[Mark]:
    """The marks of a kind."""
    return [mark for mark in found.view.marks if mark.kind == kind]


def wall_at(found: Layout, spot: tuple[int, float]) -> float:
    """The middle of the wall at a place, straight between the cells of its piece."""
    mesh, (piece, place) = found.view.picture.mesh, spot
    cells = slice(mesh.first[piece], mesh.last[piece] + 1)
    return float(np.interp(place, mesh.middle[cells], found.view.middle[cells]))


def test_the_wall_is_at_the_dew_point_where_that_is_marked() -> None:
    found, vapour = drawn()
    marks = of_kind(found, "dew")
    assert len(marks) == 1  # exact: six ways that part beyond it share it
    assert wall_at(found, marks[0].spots[0]) == pytest.approx(float(np.median(vapour.dew)), abs=0.1)
    assert f"{float(np.median(vapour.dew)) - 273.15:.0f} degC" in marks[0].words[0]


def test_the_wall_is_at_the_melting_point_where_that_is_marked() -> None:
    found, vapour = drawn()
    spots = [spot for mark in of_kind(found, "melting") for spot in mark.spots]
    assert len(spots) >= 6  # exact: all six ampoules end below it, and begin above it
    for spot in spots:
        # exact: places near an end lie between the cells of two pieces, where this straight line is held
        assert wall_at(found, spot) == pytest.approx(vapour.stream.melts, abs=3.0)
    deep = [spot for spot in spots if spot[1] > 0.002]
    assert deep
    for spot in deep:
        assert wall_at(found, spot) == pytest.approx(vapour.stream.melts, abs=0.1)


def test_a_stroke_is_drawn_across_the_piece_at_every_mark() -> None:
    found, _ = drawn()
    picture = written(found)
    for mark in of_kind(found, "dew"):
        strip = found.section.strips[mark.spots[0][0]]
        place = mark.spots[0][1]
        ends = [strip.edge(place, side * (strip.halves(place)[0] + 5.0)) for side in (1, -1)]
        middle = np.mean(ends, axis=0)
        assert tuple(middle) == pytest.approx(strip.axis(place)[0])  # exact: as far out on both sides
        assert f"M{ends[0][0]:.2f}".rstrip("0").rstrip(".") in picture


def test_all_that_enters_lands_or_goes_on() -> None:
    found, vapour = drawn()
    landed = landed_on(vapour, len(found.view.middle))
    passed = np.mean([landing.passing[-1] / landing.entering for landing in vapour.landings], axis=0)
    # exact: nothing is lost on the way
    assert np.sum(landed, axis=0) + passed == pytest.approx(np.ones(landed.shape[1]), abs=1e-6)
    words = [mark.words[0] for mark in of_kind(found, "landed")]
    assert any(each.startswith("Rb lands on line: ") for each in words)


def test_vapour_fills_the_arm_up_to_its_front() -> None:
    found, vapour = drawn()
    mesh, tree = found.view.picture.mesh, found.view.tree
    arm = next(each for each in vapour.ways.arms if each.name == "charging-arm")
    reach = float(np.median(vapour.reaches["charging-arm"]))
    own = next(number for number, one in enumerate(tree.instances) if one.name == "charging-arm")
    cells = slice(mesh.first[own], mesh.last[own] + 1)
    filled = float(np.sum(found.view.vapour.filled[cells] * mesh.width[cells]))
    assert filled == pytest.approx(min(reach, tree.instances[own].length), abs=1e-4)
    marks = [mark for mark in of_kind(found, "front") if "charging-arm" in mark.words[0]]
    assert len(marks) == 1
    assert any(place == pytest.approx(reach, abs=1e-4) for number, place in marks[0].spots if number == own)
    assert f"{reach * 1e3:.0f} mm" in marks[0].words[0]
    assert arm.returns
    assert "runs back" in marks[0].words[1]


def test_without_vapour_it_says_so_in_words() -> None:
    found = layout("route", "hot")
    assert "THE VAPOUR OF Rb IS NOT IN THIS PICTURE" in written(found)
    assert found.head.verdict.startswith("CANNOT SAY: do not light.")
    assert all(saying.lines[1].words.startswith("unknown") for _, saying in found.view.joints)
    assert not np.any(found.view.vapour.filled)
    assert "No vapour of Rb is in it" in written(layout("rubidium-cells", "dry"))
    assert "The retort is empty" in written(layout("thermal-blank", "distil"))


def test_samples_that_do_not_settle_leave_no_picture_of_vapour() -> None:
    situation = Situation(assessed("rubidium-cells", "distil").rig, shipped(), Draws(samples=2))
    together = situation.vapour("distil")
    assert isinstance(together, VapourState)
    walls = together.heat.temperature.copy()
    walls[:, 0] = np.nan
    lost = replace(together.heat, temperature=walls, missing=(Missing("vapour", "one does not settle"),))
    situation._known["vapour distil"] = replace(together, heat=lost)
    found = vapour_view(situation, "distil", np.full(len(walls), np.nan))
    assert found.grave
    assert "NOT IN THIS PICTURE: one does not settle" in found.says
    assert found.marks == ()
    assert not np.any(found.filled)
    assert not np.any(found.landed)


def test_a_crossing_lies_between_the_cells() -> None:
    found, _ = drawn()
    mesh = found.view.picture.mesh
    course = course_of(mesh, [0, 1, 2])
    wall = np.array([400.0, 300.0, 200.0])
    seen = crossings(course, wall, 325.0, np.stack([wall, wall + 10], axis=1), 325.0)
    # exact: three quarters of the way from the first to the second cell
    middles = course.middles
    assert [each.distance for each in seen] == pytest.approx([middles[0] + 0.75 * (middles[1] - middles[0])])
    assert seen[0].falling
    assert seen[0].near < seen[0].far
    assert course.spot(seen[0].distance) == (0, pytest.approx(mesh.start[0] + seen[0].distance))
    back = course_of(mesh, [2, 1, 0])
    assert back.spot(1e-6)[1] == pytest.approx(mesh.end[2] - 1e-6)  # exact: it begins at the far end


def test_where_a_sample_does_not_cross_there_is_no_band() -> None:
    found, _ = drawn()
    course = course_of(found.view.picture.mesh, [0, 1])
    wall = np.array([400.0, 300.0])
    seen = crossings(course, wall, 350.0, np.stack([wall, wall + 200], axis=1), 350.0)
    assert np.isnan(seen[0].near)


def test_a_span_has_few_digits() -> None:
    # exact: one number where both ends look alike
    assert span(np.array([99.96, 99.98, 100.0]), "%") == "100 %"
    assert span(np.array([2.0, 2.0, 2.0]), "Pa") == "2 Pa"
