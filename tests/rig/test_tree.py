# SPDX-License-Identifier: MIT
"""Heights, ends, volumes and joints of small rigs, worked by hand."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from retortwright.rig.reading import rig_of
from retortwright.rig.tree import Instance, Tree, tree_of

TEXT = """
retortwright = 1
aim.metal = "K"
[piece.retort]                    # bore 40 mm
tube = "44 x 2 mm"
length = "200 mm"
rises = "90 deg"
of = "304L"
bottom = { shape = "flat", thick = "4 mm", joined = "MIG" }
closed = "copper knife-edge flange"
[piece.line]                      # bore 10 mm
on = "retort"
at = "150 mm"
joined = "TIG"
tube = "12 x 1 mm"
length = "300 mm"
falls = "30 deg"
towards = "north"
of = "304L"
[piece.cone]                      # bore 10 mm to 20 mm
on = "line"
joined = "twin ferrule"
tube = "12 x 1 mm"
tapers_to = "23 x 1.5 mm"
length = "60 mm"
of = "304L"
valve = "FKM seat"
[piece.bulb]                      # a sphere, bore 28 mm
on = "cone"
joined = "graded glass seal"
shape = "flask"
tube = "30 x 1 mm"
falls = "90 deg"
of = "borosilicate"
[piece.side]                      # three alike, bore 6 mm
on = "line"
at = "100 mm"
every = "50 mm"
count = 3
joined = "silver braze"
tube = "8 x 1 mm"
length = "80 mm"
falls = "90 deg"
of = "304L"
[piece.tip]                       # on the last of them, back to the retort
on = "side.3"
joined = "flare"
tube = "8 x 1 mm"
length = "100 mm"
towards = "east"
of = "304L"
meets = { piece = "retort", at = "20 mm", joined = "TIG" }
[state]
hot = { open = [], running = [] }
[programme]
steps = [{ state = "hot" }]
"""


@pytest.fixture(scope="module")
def tree() -> Tree:
    """The tree of the rig above."""
    return tree_of(rig_of(TEXT))


def single(tree: Tree, name: str) -> Instance:
    """One piece by name."""
    return tree.instances[tree.index(name)]


def ends(one: Instance) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Near and far end in mm."""
    return tuple(round(x * 1e3, 6) for x in one.near), tuple(round(x * 1e3, 6) for x in one.far)


def test_names_and_parents(tree: Tree) -> None:
    names = [one.name for one in tree.instances]
    assert sorted(names) == ["bulb", "cone", "line", "retort", "side.1", "side.2", "side.3", "tip"]
    for number, one in enumerate(tree.instances):
        assert one.parent < number  # a piece comes after the one it sits on
    parents = {one.name: tree.instances[one.parent].name for one in tree.instances if one.parent >= 0}
    assert parents == {
        "line": "retort", "cone": "line", "bulb": "cone", "side.1": "line", "side.2": "line", "side.3": "line",
        "tip": "side.3",
    }  # fmt: skip
    assert [tree.instances[child].name for child in tree.children(tree.index("line"))].count("cone") == 1
    assert len(tree.children(tree.index("line"))) == 4
    assert single(tree, "retort").parent == -1


def test_ends_and_heights(tree: Tree) -> None:
    # exact: the retort stands on the origin; x is east, y north, z up; all in mm
    assert ends(single(tree, "retort")) == ((0, 0, 0), (0, 0, 200))
    # exact: from the wall, 22 mm north, at 150 mm up; 300 mm at 30 deg down: 300 cos 30 = 259.807621 north, 150 down
    assert ends(single(tree, "line")) == ((0, 22, 150), (0, 281.807621, 0))
    # exact: level, 60 mm further north, the direction of the line kept
    assert ends(single(tree, "cone")) == ((0, 281.807621, 0), (0, 341.807621, 0))
    # exact: as long as it is wide, 30 mm, straight down
    assert ends(single(tree, "bulb")) == ((0, 341.807621, 0), (0, 341.807621, -30))
    # exact: 100, 150 and 200 mm along the line: north 86.602540, 129.903811, 173.205081; down by half of that way;
    # then 6 mm to the wall square to the line: 6 sin 30 = 3 back south and 6 cos 30 = 5.196152 down
    for number, (along, north) in enumerate([(100, 86.60254), (150, 129.903811), (200, 173.205081)], start=1):
        one = single(tree, f"side.{number}")
        assert one.at == pytest.approx(along / 1e3)
        near = (0, round(22 + north - 3, 6), round(150 - along / 2 - 5.196152, 6))
        assert ends(one) == (near, (0, near[1], round(near[2] - 80, 6)))
    # exact: from the far end of the third to the wall of the retort that looks at it, 22 mm north and 20 mm up
    assert ends(single(tree, "tip")) == ((0, 192.205081, -35.196152), (0, 22, 20))


def test_what_continues_an_end_and_what_branches_off(tree: Tree) -> None:
    at_end = {one.name for one in tree.instances if one.at_end}
    assert at_end == {"cone", "bulb", "tip"}


def test_volumes(tree: Tree) -> None:
    cm3 = {one.name: one.volume * 1e6 for one in tree.instances}
    # exact: pi/4 4^2 20 = 80 pi; pi/4 1^2 30 = 7.5 pi; pi/4 0.6^2 8 = 0.72 pi; pi/4 0.6^2 10 = 0.9 pi
    assert cm3["retort"] == pytest.approx(80 * math.pi)
    assert cm3["line"] == pytest.approx(7.5 * math.pi)
    assert cm3["side.2"] == pytest.approx(0.72 * math.pi)
    assert cm3["tip"] == pytest.approx(0.9 * math.pi)
    # exact: a frustum, pi h / 3 (r^2 + r R + R^2) = pi 6/3 (0.25 + 0.5 + 1) = 3.5 pi
    assert cm3["cone"] == pytest.approx(3.5 * math.pi)
    # exact: a sphere, pi/6 2.8^3 = 3.658667 pi
    assert cm3["bulb"] == pytest.approx(math.pi / 6 * 2.8**3)
    assert cm3["bulb"] == pytest.approx(11.494, abs=5e-4)


def test_sizes_along_a_piece(tree: Tree) -> None:
    cone, bulb, line = (single(tree, name) for name in ("cone", "bulb", "line"))
    assert line.tube_at(0.1) == line.row.tube
    # exact: halfway between 12 and 23 mm outside, 1 and 1.5 mm wall
    assert cone.tube_at(0.03).outside == pytest.approx(0.0175)
    assert cone.tube_at(0.03).wall == pytest.approx(0.00125)
    assert cone.tube_at(0.06).bore == pytest.approx(0.020)
    # exact: a chord across a sphere of 30 mm at 3 mm from its pole is 2 sqrt(3 x 27) = 18 mm
    assert bulb.tube_at(0.003).outside == pytest.approx(0.018)
    assert bulb.tube_at(0.015).outside == pytest.approx(0.030)
    assert bulb.tube_at(0.0).bore > 0  # at the pole it keeps a bore


def test_joints(tree: Tree) -> None:
    found = [
        (
            joint.key.removeprefix("piece."),
            joint.kind,
            tree.instances[joint.instance].name,
            round(joint.place * 1e3, 6),
            tree.instances[joint.onto].name if joint.onto >= 0 else "",
            round(joint.onto_place * 1e3, 6),
        )
        for joint in tree.joints
    ]
    sides = [("side.joined", "silver braze", f"side.{n}", 0, "line", 50 + 50 * n) for n in (1, 2, 3)]
    assert sorted(found) == sorted(
        [
            ("retort.bottom.joined", "MIG", "retort", 0, "", 0),
            ("retort.closed", "copper knife-edge flange", "retort", 200, "", 0),
            ("line.joined", "TIG", "line", 0, "retort", 150),
            ("cone.joined", "twin ferrule", "cone", 0, "line", 300),
            ("cone.valve", "FKM seat", "cone", 30, "", 0),
            ("bulb.joined", "graded glass seal", "bulb", 0, "cone", 60),
            *sides,
            ("tip.joined", "flare", "tip", 0, "side.3", 80),
            ("tip.meets.joined", "TIG", "tip", 100, "retort", 20),
        ]
    )
    assert [joint.name for joint in tree.joints][:2] == ["retort.bottom.joined", "retort.closed"]


def test_a_joint_has_the_size_of_its_own_end(tree: Tree) -> None:
    sizes = {joint.name: joint.tube for joint in tree.joints}
    assert sizes["cone.joined"] == single(tree, "cone").row.tube
    assert sizes["tip.meets.joined"] == single(tree, "tip").row.tube
    assert sizes["retort.bottom.joined"] == single(tree, "retort").row.tube


def test_the_order_of_the_file_does_not_matter() -> None:
    sections = TEXT.split("[piece.")
    head, rest = sections[0], sections[1:]
    last, tail = rest[-1].split("[state]")
    turned = head + "".join(f"[piece.{one}" for one in [last, *reversed(rest[:-1])]) + "[state]" + tail
    one, other = tree_of(rig_of(TEXT)), tree_of(rig_of(turned))
    assert {(each.name, ends(each)) for each in one.instances} == {(each.name, ends(each)) for each in other.instances}


def test_a_bend_is_as_long_as_its_arc() -> None:
    text = TEXT.replace('length = "60 mm"\n', 'bend = { turns = "90 deg", radius = "40 mm" }\n')
    cone = single(tree_of(rig_of(text)), "cone")
    assert cone.length == pytest.approx(0.02 * math.pi)  # exact: a quarter of a circle of 40 mm radius
    assert cone.volume * 1e6 == pytest.approx(2 * math.pi / 3 * 1.75 * math.pi)  # exact: the frustum, 2 pi cm long


def bench(*pieces: str) -> Tree:
    """A level tube of 12 mm outside and 100 mm length towards the east with some pieces."""
    head = """retortwright = 1
aim.metal = "K"
state.hot = { open = [], running = [] }
programme.steps = [{ state = "hot" }]
[piece]
base = { tube = "12 x 1 mm", length = "100 mm", of = "304L" }
"""
    rest = 'tube = "12 x 1 mm", of = "304L", joined = "TIG"'
    return tree_of(rig_of(head + "\n".join(each.replace("...", rest) for each in pieces)))


ELBOW = 'elbow = { ..., on = "base", bend = { turns = "90 deg", radius = "40 mm" } }'


def test_a_bend_goes_on_straight_and_turns_towards_what_goes_on_from_it() -> None:
    # exact: a quarter of a circle of 40 mm from the end at x = 100 mm ends 40 mm on and 40 mm aside
    for onward, far in {
        "": (140, 0, -40),
        'falls = "90 deg", ': (140, 0, -40),
        'rises = "90 deg", ': (140, 0, 40),
        'rises = "30 deg", ': (140, 0, 40),
        'towards = "north", ': (140, 40, 0),
        'towards = "south", ': (140, -40, 0),
    }.items():
        pieces = [ELBOW, f'next = {{ ..., on = "elbow", {onward}length = "50 mm" }}'][: 2 if onward else 1]
        assert ends(single(bench(*pieces), "elbow")) == ((100, 0, 0), far), onward


def test_a_bend_may_say_itself_which_way_it_turns() -> None:
    rises = ELBOW.replace("on =", 'rises = "90 deg", on =')
    tree = bench(rises, 'next = { ..., on = "elbow", length = "50 mm" }')
    assert ends(single(tree, "elbow")) == ((100, 0, 0), (140, 0, 40))
    # exact: what goes on from there is level as it says, east as before
    assert ends(single(tree, "next")) == ((140, 0, 40), (190, 0, 40))


def test_half_a_turn_comes_back() -> None:
    back = ELBOW.replace("90 deg", "180 deg")
    tree = bench(back, 'next = { ..., on = "elbow", length = "50 mm" }')
    # exact: down by twice the radius; the piece on it runs west
    assert ends(single(tree, "elbow")) == ((100, 0, 0), (100, 0, -80))
    assert ends(single(tree, "next")) == ((100, 0, -80), (50, 0, -80))


def test_a_place_on_a_bend_is_on_its_arc() -> None:
    arm = 'arm = { ..., on = "elbow", at = "31.415927 mm", rises = "90 deg", length = "20 mm" }'
    one = single(bench(ELBOW, arm), "arm")
    # exact: half of the arc: 40 sin 45 = 28.284271 on, 40 - 28.284271 = 11.715729 down, within a part of it;
    # then 6 mm to the outside, square to the arc: 4.242641 on and up
    assert [x * 1e3 for x in one.near] == pytest.approx([132.526912, 0, -7.473088], abs=0.2)


def test_a_by_pass_is_as_long_as_it_says_where_it_can_be() -> None:
    meets = 'meets = { piece = "base", at = "90 mm", joined = "TIG" }'
    start = 'loop = { ..., on = "base", at = "10 mm", rises = "90 deg", length = "%d mm", '
    for length, drawn in ((160, 160), (40, None)):
        one = single(bench(start % length + meets + " }"), "loop")
        # exact: from wall to wall, 6 mm above the axis, 10 and 90 mm along it
        assert ends(one) == ((10, 0, 6), (90, 0, 6))
        way = sum(math.dist(before, after) for before, after in pairwise(one.course)) * 1e3
        if drawn is None:
            assert 80 <= way < 200  # 40 mm cannot span 80: some curve
        else:
            assert way == pytest.approx(drawn, rel=0.01)  # regression: 32 chords of the curve


def test_by_passes_on_each_other_have_a_place() -> None:
    first = 'one = { ..., on = "base", length = "90 mm", meets = { piece = "other", at = "50 mm", joined = "TIG" } }'
    second = (
        'other = { ..., on = "one", at = "20 mm", rises = "90 deg", length = "90 mm", '
        'meets = { piece = "base", at = "50 mm", joined = "TIG" } }'
    )
    tree = bench(first, second)
    # exact: what hangs on a by-pass cannot be the goal of that by-pass: it stays straight
    assert ends(single(tree, "one")) == ((100, 0, 0), (190, 0, 0))
    assert ends(single(tree, "other"))[1] == (50, 0, 6)
