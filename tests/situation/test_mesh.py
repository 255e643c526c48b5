# SPDX-License-Identifier: MIT
"""Where cells begin and end, how many there are, and what that does to joints and ends."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from retortwright.reference.tables import shipped
from retortwright.rig.reading import rig_of
from retortwright.rig.starter import starter_text
from retortwright.situation.jointheat import joint_temperatures
from retortwright.situation.situation import Situation
from situation.rigs import BENCH, MIDDLE, STATE, chance_rig, solved, whole_rig

POT = """[piece.pot]
tube = "25 x 2 mm"
length = "200 mm"
of = "304L"
finish = "oxidised"
{more}
"""
ARM = """[piece.{name}]
on = "pot"
{at}
joined = "TIG"
tube = "{tube}"
length = "200 mm"
of = "304L"
finish = "oxidised"
"""
FURNACE = 'furnace = { over = { pot = "0 to 195 mm" } }'


def joints(text: str, split: int, state: str = STATE) -> dict[str, float]:
    picture = solved(text, split=split, state=state).picture
    return {key.removeprefix("piece."): float(value[0]) for key, value in picture.joints.items()}


@pytest.mark.parametrize("seed", range(40))
def test_cells_fill_every_piece_without_a_gap(seed: int) -> None:
    situation = Situation(rig_of(chance_rig(Random(seed))), shipped(), MIDDLE, split=seed % 3 + 1)
    mesh = situation.mesh
    for number, single in enumerate(situation.tree.instances):
        cells = slice(mesh.first[number], mesh.last[number] + 1)
        start, end = mesh.start[cells], mesh.end[cells]
        # exact
        np.testing.assert_allclose(start[1:], end[:-1], rtol=0, atol=1e-12)
        assert (start[0], end[-1]) == (0.0, single.length)
        assert np.all(end > start)


@pytest.mark.parametrize("split", [1, 2, 3])
def test_an_arm_sits_on_the_middle_of_a_cell_where_a_furnace_ends(split: int) -> None:
    text = whole_rig(
        POT.format(more="") + ARM.format(name="arm", at='at = "195 mm"', tube="10 x 1 mm"), FURNACE
    )
    situation = Situation(rig_of(text), shipped(), MIDDLE, split)
    mesh = situation.mesh
    # exact
    assert mesh.middle[mesh.parent[mesh.first[1]]] == pytest.approx(0.195, abs=1e-9)


def test_arms_side_by_side_each_have_their_own_cell() -> None:
    arms = "".join(
        ARM.format(name=name, at=f'at = "{at} mm"', tube="1.2 x 0.1 mm")
        for name, at in (("a", 100), ("b", 101.5), ("c", 103))
    )
    mesh = Situation(rig_of(whole_rig(POT.format(more="") + arms, FURNACE)), shipped(), MIDDLE).mesh
    for number, at in ((1, 0.100), (2, 0.1015), (3, 0.103)):
        assert mesh.middle[mesh.parent[mesh.first[number]]] == pytest.approx(at, abs=1e-9)  # exact


def test_two_pieces_on_one_end_share_the_wall_before_it() -> None:
    pair = "".join(ARM.format(name=name, at="", tube="20 x 2 mm") for name in "ab")
    text = whole_rig(POT.format(more="") + pair, FURNACE)
    coarse, fine = joints(text, 1), joints(text, 5)
    # exact: like pieces are alike, but for the bore, which goes on into the first
    assert coarse["a.joined"] == pytest.approx(coarse["b.joined"], abs=0.1)
    # exact: refinement; a half cell of its own for each piece was off by 6 K
    assert coarse["a.joined"] == pytest.approx(fine["a.joined"], abs=0.7)


def test_a_lid_loses_its_heat_at_the_very_end() -> None:
    text = whole_rig(POT.format(more='closed = "copper washer flange"').replace("200", "240"), FURNACE)
    assert joints(text, 1)["pot.closed"] == pytest.approx(
        joints(text, 9)["pot.closed"], abs=0.5
    )  # exact: refinement


@pytest.mark.parametrize(("text", "state", "most"), [(starter_text(), "distil", 160), (BENCH, STATE, 360)])
def test_a_whole_rig_is_cut_into_few_cells(text: str, state: str, most: int) -> None:
    # regression: 142 and 332
    assert len(solved(text, state=state).situation.mesh.start) <= most


def test_a_wall_is_cut_coarsely_where_no_heat_arrives() -> None:
    text = whole_rig(
        POT.format(more="").replace("200", "3000"), 'furnace = { over = { pot = "0 to 100 mm" } }'
    )
    width = Situation(rig_of(text), shipped(), MIDDLE).mesh.width
    edge = int(np.argmin(width))
    assert width[edge:].max() > 10 * width[edge]


def test_a_place_between_two_centres_lies_on_their_line() -> None:
    found = solved(whole_rig(POT.format(more='valve = "metal seat"'), FURNACE.replace("195", "60")))
    mesh, temperature = found.situation.mesh, found.picture.temperature[:, 0]
    # exact
    expected = np.interp(0.1, mesh.middle, temperature)
    assert found.picture.joints["piece.pot.valve"][0] == pytest.approx(expected, abs=1e-9)


def test_the_hottest_of_several_is_the_one_with_the_hottest_mean() -> None:
    text = whole_rig(
        POT.format(more="")
        + ARM.format(name="arm", at='at = "20 mm"\nevery = "25 mm"\ncount = 3', tube="8 x 1 mm"),
        FURNACE,
    )
    found = solved(text)
    mesh = found.situation.mesh
    temperature = np.repeat(np.full((len(mesh.start), 1), 400.0), 4, axis=1)
    for number, values in ((1, [500.0, 400, 400, 400]), (2, [400, 500.0, 400, 400]), (3, [440.0] * 4)):
        own = slice(mesh.first[number], mesh.last[number] + 1)
        temperature[own] = temperature[mesh.parent[mesh.first[number]]] = np.array(values)
    hot, _, hottest = joint_temperatures(found.wall, found.situation.tree, temperature)
    # exact: the third has a mean of 440, the others of 425; sample by sample the worst counts
    assert hottest["piece.arm.joined"] == 3
    np.testing.assert_allclose(hot["piece.arm.joined"], [500, 500, 440, 440])


def test_a_rig_without_heat_is_in_balance() -> None:
    text = whole_rig(POT.format(more='closed = "TIG"'))
    picture = solved(text).picture
    assert sum(abs(float(flow[0])) for flow in picture.flows.values()) < 1e-6
    # exact: nothing flows, and next to nothing shared by next to nothing is no imbalance
    assert float(picture.imbalance[0]) < 1e-3
