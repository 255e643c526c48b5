# SPDX-License-Identifier: MIT
"""Labels find the nearest free place and step aside for each other."""

from __future__ import annotations

import math
from random import Random

import numpy as np
import pytest

from retortwright.report.drawing.labels import Board, Box, Label, Line, box_of
from retortwright.report.drawing.ways import crossings, cut_rectangles, inside_or_near, over_squares

AREA = Box(0.0, 0.0, 400.0, 300.0)


def words(name: str, *anchors: tuple[float, float], clear: float = 0.0) -> Label:
    """A label of one short line."""
    return Label(name, anchors, (Line("some words", 10.0),), clear=clear)


def test_a_label_stands_at_its_anchor_and_beside_what_is_drawn() -> None:
    board = Board(AREA)
    board.block(Box(180.0, 0.0, 220.0, 300.0).corners)
    placed = board.place(words("a", (200.0, 150.0)))
    assert placed is not None
    assert placed.box.right <= 180 + 4 or placed.box.left >= 220 - 4
    assert math.dist(placed.anchor, placed.end) < 40


def test_a_full_board_has_no_place() -> None:
    board = Board(AREA)
    board.block(AREA.corners)
    assert board.place(words("a", (200.0, 150.0))) is None
    assert Board(Box(0.0, 0.0, 20.0, 20.0)).arrange([words("a", (5.0, 5.0))]) is None


def test_many_labels_at_one_place_do_not_overlap() -> None:
    chance = Random(1)
    labels = [
        words(f"l{n}", (200 + chance.uniform(-30, 30), 150 + chance.uniform(-30, 30))) for n in range(30)
    ]
    placed = Board(AREA).arrange(labels)
    assert placed is not None
    assert [each.label.name for each in placed] == [label.name for label in labels]
    for number, one in enumerate(placed):
        width, height = box_of(one.label)
        assert (one.box.right - one.box.left, one.box.bottom - one.box.top) == pytest.approx((width, height))
        assert not any(one.box.meets(other.box) for other in placed[:number])


def test_a_label_keeps_clear_of_its_anchor() -> None:
    placed = Board(AREA).place(words("a", (200.0, 150.0), clear=12.0))
    assert placed is not None
    assert math.dist(placed.anchor, placed.end) >= 12.0


def test_ways() -> None:
    # exact: drawn by hand
    start, end = np.array([[0.0, 0.0]]), np.array([[10.0, 10.0]])
    assert crossings(start, end, np.array([[0.0, 10.0, 10.0, 0.0], [20.0, 0.0, 20.0, 9.0]])).tolist() == [1.0]
    boxes = np.array([[4.0, 4.0, 6.0, 6.0], [6.0, 0.0, 9.0, 2.0], [-5.0, -5.0, -1.0, 20.0]])
    assert cut_rectangles(start, end, boxes).tolist() == [[True, False, False]]
    upright = np.array([[5.0, -1.0]]), np.array([[5.0, 20.0]])
    assert cut_rectangles(*upright, boxes).tolist() == [[True, False, False]]
    square = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])
    grid = inside_or_near(square, np.array([-3.0, 5.0, 13.0]), np.array([5.0, 12.0]), 2.5)
    assert grid.tolist() == [[False, True, False], [False, True, False]]
    full = np.zeros((4, 4), dtype=bool)
    full[:, 2:] = True
    over = over_squares(np.array([[0.0, 1.0]]), np.array([[16.0, 1.0]]), full, np.zeros(2), 4.0)
    assert over[0] == pytest.approx(8.0)
