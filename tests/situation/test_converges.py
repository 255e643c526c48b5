# SPDX-License-Identifier: MIT
"""Every sample of every rig comes to rest, or says what is not known."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from retortwright.belief.beliefs import Draws
from situation.rigs import BENCH, STATE, chance_rig, solved, whole_rig

NOT_FOUND = "tree-of-fins"
WIDE = """[piece.pot]
tube = "60 x 1.5 mm"
length = "600 mm"
rises = "90 deg"
of = "{of}"
closed = "FKM O-ring cap"
"""
NECK = """[piece.pot]
tube = "60.3 x 2 mm"
length = "200 mm"
of = "304L"
finish = "oxidised"
[piece.neck]
on = "pot"
joined = "{joint}"
tube = "8 x 1 mm"
length = "200 mm"
of = "{of}"
closed = "FKM O-ring cap"
"""
WARM = 'room.temperature = "296 to 300 K"'


def not_found(text: str, samples: int) -> int:
    """How many samples have no temperature although every datum is known."""
    picture = solved(text, Draws(samples=samples)).picture
    reasons = [missing for missing in picture.missing if missing.datum != NOT_FOUND]
    unsolved = int(np.count_nonzero(~np.all(np.isfinite(picture.temperature), axis=0)))
    return 0 if reasons else unsolved


@pytest.mark.parametrize(
    ("of", "to"), [("304L", 900), ("fused silica", 900), ("alumina", 900), ("borosilicate", 350)]
)
def test_a_wide_tube_out_of_a_furnace(of: str, to: int) -> None:
    furnace = 'furnace = { over = { pot = "0 to 200 mm" } }'
    assert not_found(whole_rig(WIDE.format(of=of), furnace, assume=WARM, to=f"{to} degC"), 8) == 0


@pytest.mark.parametrize(
    ("of", "joint", "stretch", "to"),
    [("304L", "TIG", 150, 800), ("borosilicate", "graded glass seal", 60, 500)],
)
def test_a_narrow_neck_on_a_wide_pot(of: str, joint: str, stretch: int, to: int) -> None:
    furnace = f'furnace = {{ over = {{ pot = "0 to {stretch} mm" }} }}'
    assert not_found(whole_rig(NECK.format(of=of, joint=joint), furnace, to=f"{to} degC"), 8) == 0


def test_the_bench_comes_to_rest() -> None:
    assert not_found(BENCH, 64) == 0


@settings(max_examples=20, phases=[Phase.explicit, Phase.generate])
@given(st.integers(0, 10**9))
def test_a_tree_of_shut_bores_comes_to_rest(seed: int) -> None:
    assert not_found(chance_rig(Random(seed), valves=True), 4) == 0


@settings(max_examples=40, phases=[Phase.explicit, Phase.generate])
@given(st.integers(0, 10**9))
def test_a_tree_by_chance_comes_to_rest(seed: int) -> None:
    assert not_found(chance_rig(Random(seed)), 4) == 0


def test_every_rig_by_chance_has_a_state() -> None:
    assert f"{STATE} = {{" in chance_rig(Random(1))
