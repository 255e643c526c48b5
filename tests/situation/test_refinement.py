# SPDX-License-Identifier: MIT
"""What cutting the cells into parts changes: the error of the mesh, and how fast it goes away."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from retortwright.rig.starter import starter_text
from situation.rigs import BENCH, STATE, solved, whole_rig

TUBE = """[piece.tube]
tube = "20 x 1 mm"
length = "400 mm"
of = "304L"
finish = "oxidised"
bottom = { shape = "flat", thick = "3 mm", joined = "TIG" }
"""
NEXT = """[piece.next]
on = "tube"
joined = "TIG"
tube = "20 x 1 mm"
length = "200 mm"
of = "304L"
finish = "oxidised"
"""
ARM = """[piece.arm]
on = "tube"
at = "{at} mm"
joined = "TIG"
tube = "12 x 1 mm"
length = "300 mm"
of = "304L"
finish = "oxidised"
valve = "metal seat"
"""
SHUT = 'valve = "metal seat"\n'
FURNACE = 'furnace = { over = { tube = "0 to 150 mm" } }'
WOOL = 'wool = { over = { tube = "150 to 200 mm" }, of = "ceramic wool", thick = "20 mm" }'
COIL = (
    'coil = { over = { tube = "200 to 240 mm" }, by = "water coil", flow = "0.3 L/min", inlet = "18 degC" }'
)


@cache
def answers(text: str, split: int, state: str = STATE) -> dict[str, float]:
    picture = solved(text, split=split, state=state).picture
    assert picture.missing == ()
    joints = {key.removeprefix("piece."): float(value[0]) for key, value in picture.joints.items()}
    flows = {way: float(flow[0]) for way, flow in picture.flows.items()}
    return joints | flows


def steps(text: str, what: str, splits: tuple[int, ...]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Changes of an answer from each mesh to the next finer one."""
    return np.diff([answers(text, split)[what] for split in splits])


@pytest.mark.parametrize("what", ["heat.furnace", "room", "cool.coil", "tube.bottom.joined", "next.joined"])
def test_a_plain_tube_with_edges_converges_at_second_order(what: str) -> None:
    text = whole_rig(TUBE + SHUT + NEXT + SHUT, FURNACE, WOOL, COIL)
    change = steps(text, what, (2, 4, 8, 16))
    least = 5e-6 * abs(answers(text, 2)["heat.furnace"])  # below it the kinks of the curves show
    # exact: halving the cells divides the error of central differences by four
    for coarse, fine in pairwise(change):
        assert coarse / fine > 3.5 or max(abs(coarse), abs(fine)) < least


def test_a_tube_that_radiates_inside_converges() -> None:
    text = whole_rig(TUBE + NEXT, FURNACE, WOOL, COIL)
    change = np.abs(steps(text, "heat.furnace", (1, 2, 4, 8)))
    # exact: second order, until the rings of the bore, which do not get finer than a quarter of its radius
    assert change[1] < change[0] / 3
    assert change[2] < change[0] / 12


@pytest.mark.parametrize("what", ["heat.furnace", "room", "arm.joined", "next.joined"])
def test_a_tree_with_a_side_arm_converges_at_second_order(what: str) -> None:
    text = whole_rig(TUBE + SHUT + NEXT + SHUT + ARM.format(at=180), FURNACE)
    change = steps(text, what, (1, 3, 9))
    # exact: cells a third as long have a ninth of the error; the arm stays on the middle of a cell
    assert change[0] / change[1] > 6.5


def test_a_side_arm_stays_in_its_place_when_its_cell_is_halved() -> None:
    text = whole_rig(TUBE + SHUT + NEXT + SHUT + ARM.format(at=180), FURNACE)
    change = steps(text, "arm.joined", (1, 2, 4))
    assert np.max(np.abs(change)) < 1.5


def test_a_seat_has_the_temperature_of_its_own_place() -> None:
    text = whole_rig(TUBE + SHUT + NEXT, FURNACE, WOOL, COIL)
    assert answers(text, 1)["tube.valve"] == pytest.approx(answers(text, 16)["tube.valve"], abs=0.5)


@pytest.mark.parametrize(("text", "state"), [(starter_text(), "distil"), (BENCH, STATE)])
def test_every_joint_of_a_whole_rig_to_half_a_kelvin(text: str, state: str) -> None:
    coarse, fine = answers(text, 1, state), answers(text, 9, state)
    worst = {key: value - fine[key] for key, value in coarse.items() if not key.startswith(("heat", "cool"))}
    worst.pop("room")
    assert max(map(abs, worst.values())) < 0.5, worst


@pytest.mark.parametrize(("text", "state"), [(starter_text(), "distil"), (BENCH, STATE)])
def test_every_joint_of_a_whole_rig_converges(text: str, state: str) -> None:
    coarse, finer, fine = (answers(text, split, state) for split in (1, 3, 9))
    for key in coarse:
        # exact: of a first-order error a third is left, and the finest mesh still has a ninth: (1/3 - 1/9) / (8/9)
        assert abs(finer[key] - fine[key]) < 0.3 * abs(coarse[key] - fine[key]) + 0.05, key


def test_a_piece_cut_in_two_is_the_same_wall() -> None:
    one = TUBE.replace("400 mm", "600 mm") + SHUT
    two = TUBE + SHUT + NEXT + SHUT
    whole, cut = (answers(whole_rig(text, FURNACE, WOOL, COIL), 4) for text in (one, two))
    # exact: the joint is metal throughout; what is left is the film of level tubes, which forgets length
    for way in ("heat.furnace", "room", "cool.coil"):
        assert cut[way] == pytest.approx(whole[way], rel=1e-3)
