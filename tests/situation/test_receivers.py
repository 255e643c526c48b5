# SPDX-License-Identifier: MIT
"""Room of the receivers, and what comes into them."""

from __future__ import annotations

import math
from functools import cache

import pytest

from retortwright.rig.tree import tree_of
from retortwright.situation.crossing import Crossing
from retortwright.situation.receivers import receiver_rows, receiver_volume, ullage
from situation.crossings import RUBIDIUM, changed, crossing


@cache
def plain() -> Crossing:
    return crossing(RUBIDIUM)


def volume_of(*edits: tuple[str, str]) -> float:
    tree = tree_of(changed(RUBIDIUM, *edits))
    ((_, (number,)),) = receiver_rows(tree).items()
    return receiver_volume(tree, number)


def test_volumes() -> None:
    # exact: cylinder beyond its neck; whole; cone; sphere
    assert volume_of() == pytest.approx(math.pi / 4 * 0.018**2 * 0.050, rel=1e-12)
    receives = ("piece.glass.receives", '{ up_to = "80 %" }')
    assert volume_of(receives) == pytest.approx(math.pi / 4 * 0.018**2 * 0.060, rel=1e-12)
    cone = math.pi / 12 * 0.060 * (0.018**2 + 0.018 * 0.008 + 0.008**2)
    assert volume_of(receives, ("piece.glass.tapers_to", "10 x 1 mm")) == pytest.approx(cone, rel=1e-12)
    rest = volume_of(("piece.glass.tapers_to", "10 x 1 mm"))
    bore = 0.018 - 0.010 / 6
    exact = math.pi / 12 * 0.050 * (bore**2 + bore * 0.008 + 0.008**2)
    assert rest == pytest.approx(exact, rel=1e-4)


def test_a_flask_below_a_receiver_counts_with_it() -> None:
    # exact: a sphere of 28 mm besides
    flask = (
        '{ on = "glass", joined = "TIG", shape = "flask", tube = "30 x 1 mm", falls = "90 deg", of = "304L" }'
    )
    assert volume_of(("piece.bulb", flask)) - volume_of() == pytest.approx(math.pi / 6 * 0.028**3, rel=1e-12)


def test_the_share_of_one_receiver() -> None:
    # exact: what arrives over the density, over the room
    figure = ullage(plain(), "glass")
    said = figure.said
    assert figure.values[0] == pytest.approx(said["volume"][0] / said["one"][0], rel=1e-9)
    assert said["even"][0] == pytest.approx(figure.values[0], rel=1e-9)
    assert 1300 < said["mass"][0] / said["volume"][0] < 1470


def test_several_receivers_share_or_do_not() -> None:
    three = crossing(
        changed(
            RUBIDIUM,
            ("piece.glass.count", "3"),
            ("piece.glass.at", "80 mm"),
            ("piece.glass.every", "22 mm"),
            ("piece.glass.tube", "9 x 1 mm"),
        )
    )
    figure = ullage(three, "glass")
    assert figure.values[0] == pytest.approx(min(1.0, 3 * figure.said["even"][0]), rel=1e-9)
    small = crossing(changed(RUBIDIUM, ("piece.glass.length", "14 mm")))
    assert ullage(small, "glass").values[0] == 1.0  # full at most
