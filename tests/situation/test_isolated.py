# SPDX-License-Identifier: MIT
"""Volumes of a cut rig against a search of the graph that knows nothing of it, and every case of a programme."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retortwright.rig.reading import read_rig, rig_of
from retortwright.rig.tree import Tree, tree_of
from retortwright.situation.connected import connected
from retortwright.situation.isolated import cases_of, cuts_of, inside_of, moments_of, plant_place, plugs_of
from situation.rigs import chance_rig, whole_rig

EXAMPLE = read_rig(str(Path(__file__).parents[2] / "docs" / "closed-volumes.toml"))
WHOLE = read_rig(str(Path(__file__).parents[1] / "rig" / "whole.toml"))


def random_rig(seed: int) -> str:
    """A tree of tubes by chance, some of them valves, some at the end of another, some on its side."""
    chance = Random(seed)
    pieces = ['[piece.p0]\ntube = "30 x 2 mm"\nlength = "100 mm"\nof = "304L"']
    names = ["p0"]
    lengths = {"p0": 100}
    for number in range(1, chance.randint(2, 14)):
        on = chance.choice(names)
        at = "" if chance.random() < 0.3 else f'at = "{chance.randint(0, lengths[on])} mm"\n'
        valve = 'valve = "metal seat"\n' if chance.random() < 0.35 else ""
        lengths[f"p{number}"] = chance.randint(10, 120)
        pieces.append(
            f'[piece.p{number}]\non = "{on}"\n{at}joined = "TIG"\ntube = "6 x 0.5 mm"\n'
            f'length = "{lengths[f"p{number}"]} mm"\nof = "304L"\n{valve}'
        )
        names.append(f"p{number}")
    return whole_rig("\n".join(pieces)).replace("[piece]\n", "", 1)


def brute(tree: Tree, cuts: list[tuple[int, float]]) -> set[frozenset[tuple[int, int]]]:
    """Volumes by closing a table of who touches whom; a place is a tenth of a millimetre of a piece."""
    spots: list[tuple[int, float]] = []
    for number, single in enumerate(tree.instances):
        own = {0.0, single.length, *(each.at for each in tree.instances if each.parent == number)}
        own |= {joint.onto_place for joint in tree.joints if joint.onto == number}
        own |= {place + side for cut, place in cuts if cut == number for side in (-1e-7, 1e-7)}
        spots += [(number, place) for place in sorted(own)]
    touch = {spot: {spot} for spot in spots}
    for one, other in combinations(spots, 2):
        between = any(
            cut == one[0] and min(one[1], other[1]) <= place < max(one[1], other[1]) for cut, place in cuts
        )
        if one[0] == other[0] and not between:
            touch[one].add(other)
            touch[other].add(one)
    for number, single in enumerate(tree.instances):
        if single.parent >= 0:
            touch[number, 0.0].add((single.parent, single.at))
            touch[single.parent, single.at].add((number, 0.0))
    for joint in tree.joints:
        if joint.key.endswith("meets.joined"):
            touch[joint.instance, joint.place].add((joint.onto, joint.onto_place))
            touch[joint.onto, joint.onto_place].add((joint.instance, joint.place))
    grown = True
    while grown:  # every spot learns what its neighbours reach, until none learns more
        grown = False
        for spot in spots:
            more = set().union(*(touch[each] for each in touch[spot]))
            grown |= not more <= touch[spot]
            touch[spot] |= more
    return {frozenset((spots.index(each), 0) for each in found) for found in touch.values()}


def ours(tree: Tree, cuts: list[tuple[int, float]]) -> set[frozenset[tuple[int, int]]]:
    """The same by the module: which spots each volume holds."""
    spots: list[tuple[int, float]] = []
    for number, single in enumerate(tree.instances):
        own = {0.0, single.length, *(each.at for each in tree.instances if each.parent == number)}
        own |= {joint.onto_place for joint in tree.joints if joint.onto == number}
        own |= {place + side for cut, place in cuts if cut == number for side in (-1e-7, 1e-7)}
        spots += [(number, place) for place in sorted(own)]
    volumes = inside_of(tree, cuts).volumes()
    return {
        frozenset((index, 0) for index, spot in enumerate(spots) if volume.holds(spot)) for volume in volumes
    }


@given(st.integers(0, 10**6), st.integers(0, 10**6))
def test_volumes_are_those_of_a_search_that_knows_nothing(seed: int, other: int) -> None:
    # exact: two ways to the same sets, with valves open by chance and up to two plugs
    text = random_rig(seed) if seed % 2 else chance_rig(Random(seed))  # the latter has by-passes
    tree, chance = tree_of(rig_of(text, "chance.toml")), Random(other)
    valves = [single.name for single in tree.instances if single.row.valve is not None]
    opened = [name for name in valves if chance.random() < 0.5]
    cuts = list(cuts_of(tree, opened))
    for _ in range(chance.randint(0, 2)):
        number = chance.randrange(len(tree.instances))
        cuts.append((number, tree.instances[number].length * (0.1 + 0.8 * chance.random())))
    assert ours(tree, cuts) == brute(tree, cuts)


@given(st.integers(0, 10**6))
def test_every_stretch_is_in_just_one_volume(seed: int) -> None:
    # exact: nothing is lost and nothing counted twice
    tree = tree_of(rig_of(random_rig(seed), "chance.toml"))
    parts = [part for volume in inside_of(tree, cuts_of(tree, ())).volumes() for part in volume.parts]
    for number, single in enumerate(tree.instances):
        own = sorted((start, end) for each, start, end in parts if each == number)
        assert own[0][0] == 0.0
        assert own[-1][1] == single.length
        assert [end for _, end in own[:-1]] == [start for start, _ in own[1:]]


@pytest.mark.parametrize("state", [state.name for state in EXAMPLE.states])
def test_without_plugs_they_are_the_spaces_of_the_gas(state: str) -> None:
    # exact: the same volume around the retort as question 6 pumps on
    tree = tree_of(EXAMPLE)
    spaces = connected(EXAMPLE, tree, state)
    opened = next(each.open for each in EXAMPLE.states if each.name == state)
    ours = inside_of(tree, cuts_of(tree, opened)).volume_at((0, 0.0))
    group = spaces.group(spaces.node(0, 0.0))
    assert {(number, 0 if start == 0.0 else 1) for number, start, _ in ours.parts} == set(group)


def test_a_by_pass_keeps_a_plugged_line_open() -> None:
    # exact: the by-pass of this rig goes round the first 110 mm of the line
    tree = tree_of(WHOLE)
    line, pot = tree.index("line"), (0, 0.0)
    for place, joined in ((0.05, True), (0.12, False)):
        inside = inside_of(tree, [*cuts_of(tree, ["V1"]), (line, place)])
        assert inside.volume_at(pot).holds((tree.index("manifold"), 0.05)) is joined
        assert bool(inside.way(pot, (tree.index("manifold"), 0.05))) is joined


def test_a_way_names_its_stretches() -> None:
    tree = tree_of(EXAMPLE)
    way = inside_of(tree, cuts_of(tree, ["V1"])).way((0, 0.0), (tree.index("ampoule.2"), 0.07))
    said = [(tree.instances[number].name, round(start, 4), round(end, 4)) for number, start, end in way]
    # exact: from the file: line at 140 mm, second ampoule at 20 + 24 mm
    assert said == [
        ("retort", 0.0, 0.14),
        ("line", 0.0, 0.2),
        ("manifold", 0.0, 0.044),
        ("ampoule.2", 0.0, 0.07),
    ]
    assert inside_of(tree, cuts_of(tree, [])).way((0, 0.0), (tree.index("hose"), 0.1)) == ()


def test_every_case_of_the_example() -> None:
    tree = tree_of(EXAMPLE)
    moments = moments_of(EXAMPLE)
    assert [moment.state.name for moment in moments] == [
        "pump-down",
        "dry",
        "rise",
        "distil",
        "cool",
        "backfill",
    ]
    cases = list(cases_of(EXAMPLE, tree, [3]))
    by_kind = {
        kind: [case for case in cases if case.kind == kind] for kind in dict.fromkeys(c.kind for c in cases)
    }
    assert len(by_kind["planned"]) == 6
    wrong = {(case.kind, case.state, case.what) for case in cases if case.kind in ("shut", "open")}
    # exact: two valves, six states, each valve the other way round
    assert len(wrong) == 12
    assert ("shut", "distil", "V1") in wrong
    assert ("open", "rise", "V1") in wrong
    assert ("shut", "backfill", "V2") in wrong
    assert {case.state for case in by_kind["plug"]} == {"distil"}
    lost = {case.what for case in by_kind["lost"] if case.state == "distil"}
    assert lost == {"pump", "cap-coil", "bench-fan", "dry-ice", "drain-tape", "power", "overshoot"}
    assert [case.state for case in by_kind["over"]] == ["backfill"]
    assert {case.state for case in by_kind["never"]} == {"dry", "distil", "cool", "backfill"}


def test_a_plug_may_sit_between_any_two_mouths() -> None:
    tree = tree_of(EXAMPLE)
    plugs = plugs_of(tree, ["V1"])
    manifold = [place for number, place in plugs if number == tree.index("manifold")]
    # exact: mouths at 20, 44, ... 140 mm of 160: seven stretches, each plugged in its middle
    assert manifold == pytest.approx([0.01, 0.032, 0.056, 0.08, 0.104, 0.128, 0.15])
    names = {tree.instances[number].name for number, _ in plugs}
    assert names == {single.name for single in tree.instances} - {"retort"}


def test_power_takes_the_pump_and_the_fan_with_it() -> None:
    cases = cases_of(EXAMPLE, tree_of(EXAMPLE), [])
    power = next(case for case in cases if case.what == "power" and case.state == "distil")
    assert {"pump"} == {"pump"} - power.running
    assert "dry-ice" in power.running


def test_a_state_that_no_step_uses_stands_alone() -> None:
    text = EXAMPLE.text.replace('  { state = "backfill" },\n', "")
    last = moments_of(rig_of(text, "idle.toml"))[-1]
    assert (last.state.name, last.before) == ("backfill", None)


def test_where_the_plant_sits() -> None:
    tree = tree_of(EXAMPLE)
    assert plant_place(EXAMPLE, tree, "relief") == (tree.index("charging-arm"), 0.15)
    assert plant_place(EXAMPLE, tree, "bubbler") is None
