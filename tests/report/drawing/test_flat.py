# SPDX-License-Identifier: MIT
"""The tree in one plane: true lengths and slopes, east to the right, nothing on anything else."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from report.drawing.pictures import assessed
from retortwright.report.drawing.cuts import cuts_of
from retortwright.report.drawing.flat import Choices, Flat, flats_of
from retortwright.report.drawing.placing import crowding, roomy
from retortwright.rig.reading import rig_of
from retortwright.rig.tree import Tree, tree_of

HEAD = """retortwright = 1
aim.metal = "K"
state.hot = { open = [], running = [] }
programme.steps = [{ state = "hot" }]
[piece]
pot = { tube = "20 x 1 mm", length = "100 mm", rises = "90 deg", of = "304L" }
"""
REST = 'tube = "10 x 1 mm", of = "304L", joined = "TIG"'


def flats(*pieces: str) -> tuple[Tree, dict[str, Flat]]:
    """Some pieces on a pot in the plane."""
    tree = tree_of(rig_of(HEAD + "\n".join(each.replace("...", REST) for each in pieces)))
    found = flats_of(tree, Choices())
    return tree, {single.name: flat for single, flat in zip(tree.instances, found, strict=True)}


def corners(flat: Flat) -> list[tuple[float, float]]:
    """First and last point in mm."""
    return [(round(x * 1e3, 3) + 0.0, round(z * 1e3, 3) + 0.0) for x, z in (flat.points[0], flat.points[-1])]


def test_east_is_right_and_west_is_left() -> None:
    _, found = flats(
        'a = { ..., on = "pot", at = "50 mm", length = "80 mm", falls = "30 deg" }',
        'b = { ..., on = "pot", at = "50 mm", length = "80 mm", towards = "west", rises = "30 deg" }',
        'c = { ..., on = "b", length = "40 mm" }',
    )
    # exact: from the wall, 10 mm from the axis; 80 cos 30 = 69.282, 80 sin 30 = 40; c goes on to the west
    assert corners(found["a"]) == [(10, 50), (79.282, 10)]
    assert corners(found["b"]) == [(-10, 50), (-79.282, 90)]
    assert corners(found["c"]) == [(-79.282, 90), (-119.282, 90)]


def test_a_bend_in_a_vertical_plane_is_drawn_as_it_is() -> None:
    elbow = 'elbow = { ..., on = "a", bend = { turns = "180 deg", radius = "30 mm" } }'
    _, found = flats(
        'a = { ..., on = "pot", at = "50 mm", length = "80 mm" }',
        elbow,
        'b = { ..., on = "elbow", length = "40 mm" }',
    )
    # exact: half a turn down, 60 mm lower, and back to the west; chords of 24 parts are 0.03 % short
    assert corners(found["elbow"])[1] == pytest.approx((90, -10), abs=0.1)
    assert corners(found["b"])[1] == pytest.approx((50, -10), abs=0.1)
    assert found["b"].side == -1


def test_a_bend_to_the_north_is_unrolled() -> None:
    elbow = 'elbow = { ..., on = "a", bend = { turns = "90 deg", radius = "30 mm" }, towards = "north" }'
    _, found = flats('a = { ..., on = "pot", at = "50 mm", length = "80 mm" }', elbow)
    # exact: level all along, so as long as its arc, 15 pi mm
    assert corners(found["elbow"])[1] == pytest.approx((90 + 15 * math.pi, 50), abs=0.1)


def test_an_arm_that_would_lie_on_its_stem_is_slanted() -> None:
    _, found = flats(
        'a = { ..., on = "pot", at = "50 mm", length = "80 mm" }',
        'b = { ..., on = "a", at = "40 mm", length = "50 mm", towards = "north" }',
    )
    assert found["b"].slanted
    assert not found["a"].slanted
    assert abs(found["b"].points[1][1] - found["b"].points[0][1]) > 0.02


def test_a_long_bare_stretch_is_cut_and_places_beyond_it_stay() -> None:
    tree, _ = flats(
        'hose = { ..., on = "pot", length = "800 mm" }',
        'tip = { ..., on = "hose", at = "790 mm", length = "20 mm" }',
    )
    rig = rig_of(HEAD + f'hose = {{ {REST}, on = "pot", length = "800 mm" }}')
    cut = cuts_of(rig, tree_of(rig))["hose"]
    found = flats_of(tree_of(rig), Choices(cuts={"hose": cut}))[1]
    assert found.length == pytest.approx(0.09)
    # exact: what lies before and behind the cut is at its own distance from the ends
    assert found.share(0.02) * found.length == pytest.approx(0.02)
    assert (1 - found.share(0.78)) * found.length == pytest.approx(0.02)
    assert found.share(0.4) == pytest.approx(0.5)
    assert tree.instances[1].name in {"hose", "tip"}


@pytest.mark.parametrize("name", ["rubidium-cells", "thermal-blank", "bench", "bent", *map(str, range(20))])
def test_lengths_and_slopes_are_kept_and_nothing_lies_on_anything(name: str) -> None:
    assessment = assessed(name)
    assert assessment.situation is not None
    tree = assessment.situation.tree
    choices, found = roomy(assessment.rig, tree)
    assert crowding(tree, found).sum() < 1e-3
    for single, flat in zip(tree.instances, found, strict=True):
        way = sum(math.dist(low, high) for low, high in pairwise(flat.points))
        if single.row.meets is None:
            assert way == pytest.approx(flat.length, rel=1e-6)
        if single.row.meets is None and single.row.bend is None and not flat.slanted:
            rise = flat.points[-1][1] - flat.points[0][1]
            assert rise / flat.length == pytest.approx(math.sin(single.row.slope), abs=1e-9)
    assert set(choices.cuts) <= {piece.name for piece in assessment.rig.pieces}


def test_planted_crowd_is_seen() -> None:
    tree, found = flats(
        'a = { ..., on = "pot", at = "50 mm", length = "80 mm" }',
        'b = { ..., on = "pot", at = "52 mm", length = "80 mm" }',
    )
    assert crowding(tree, [found[one.name] for one in tree.instances]).sum() > 0.01
