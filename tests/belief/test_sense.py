# SPDX-License-Identifier: MIT
"""One place says how far a figure may go: the file is refused beyond it and nothing is drawn beyond it."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.ground.errors import RigError
from retortwright.ground.units import DIMENSIONS
from retortwright.reference.datum import number_of
from retortwright.reference.tables import shipped
from retortwright.rig.reading import rig_of
from retortwright.rig.vocabulary import assumable, sense_of

PLAIN = """retortwright = 1
aim.metal = "Na"
[piece.tube]
tube = "12 x 1 mm"
length = "100 mm"
of = "304L"
[state]
rest = { open = [], running = [] }
[programme]
steps = [ { state = "rest" } ]
[assume]
"""
BELIEFS = shipped().subjects("beliefs", "default")


def says(assume: str) -> str:
    """The one mistake of an assumption, or nothing."""
    try:
        rig_of(PLAIN + assume)
    except RigError as error:
        (found,) = error.mistakes
        return found.says
    return ""


@pytest.mark.parametrize("name", BELIEFS)
def test_the_table_is_the_one_place(name: str) -> None:
    least, most = sense_of(name, shipped())
    kind = assumable()[name]
    assert (kind.low, kind.high) == (least, most)  # exact: the same rows
    default = number_of(shipped().rows[("beliefs", name, "default")])
    assert least <= default.low <= default.high <= most
    assert least < most


@pytest.mark.parametrize("name", BELIEFS)
def test_nothing_is_drawn_beyond(name: str) -> None:
    least, most = sense_of(name, shipped())
    book = Ledger(rig_of(PLAIN), shipped(), Draws(width=60.0))
    drawn = book.default(name)
    assert np.all((drawn >= least) & (drawn <= most))
    default = number_of(shipped().rows[("beliefs", name, "default")])
    if default.wide:
        assert np.any(drawn == least) or np.any(drawn == most)  # exact: what would lie beyond lies at the end


@pytest.mark.parametrize("name", BELIEFS)
def test_a_figure_beyond_is_a_mistake(name: str) -> None:
    kind = assumable()[name]
    dimension = DIMENSIONS[kind.dimension]
    unit, (factor, offset) = next(iter(dimension.words.items()))
    step = 1e-3 * (kind.high - kind.low)
    for end, refused in ((kind.low - step, True), (kind.low + step, False), (kind.high + step, True)):
        message = says(f'{name} = "{(end - offset) / factor:.9g} {unit}"')
        assert bool(message) is refused, message
        assert not refused or f"{kind.bounds()} is allowed" in message


def test_a_room_near_absolute_zero_is_no_room() -> None:
    # "20 +- 5 K" is meant as 20 degC with 5 K to and fro, and stands for 15 to 25 K
    message = says('room.temperature = "20 +- 5 K"')
    assert "'20 +- 5 K' is not plausible: -23 to 56 degC is allowed" in message
    assert says('room.temperature = "20 +- 5 degC"') == ""


@pytest.mark.parametrize(
    ("text", "right"), [("0.0099", False), ("0.01", True), ("0.999", True), ("1", False)]
)
def test_emissivities(text: str, right: bool) -> None:
    assert (says(f'emissivity.304L-oxidised = "{text}"') == "") is right
