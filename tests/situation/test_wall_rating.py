# SPDX-License-Identifier: MIT
"""What walls of metal bear inside, by hand; and what the closed volumes make of it."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from retortwright.assess.closed_rows import ClosedRow, closed_rows
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.rig.reading import rig_of
from retortwright.situation.situation import Situation
from retortwright.situation.wall_rating import Rating, wall_rating

MIDDLE = Draws(samples=1, width=0.0, pick=(0,))
POT = """retortwright = 1
[aim]
metal = "K"
amount = "1 g"
[piece.pot]
tube = "%s"
length = "150 mm"
rises = "90 deg"
of = "%s"
bottom = { shape = "%s", thick = "%s", joined = "TIG" }
closed = "TIG"
[piece.V1]
on = "pot"
at = "140 mm"
joined = "TIG"
tube = "12 x 1 mm"
length = "200 mm"
of = "304L"
valve = "metal seat"
[heat]
furnace = { over = { pot = "0 to 130 mm" } }
[plant]
pump = { on = "V1", kind = "rotary, two-stage", speed = "4 m3/h", ultimate = "0.5 Pa" }
%s
[state]
empty = { open = ["V1"], running = ["pump"] }
hot = { open = ["V1"], running = ["pump", "furnace"] }
[programme]
steps = [
  { state = "empty", hold = "1 h" },
  { state = "hot", to = "%s", ramp = "4 K/min", hold = "30 min" },
]
"""


@cache
def situation(
    tube: str = "25.4 x 1.65 mm", of: str = "304L", end: str = "hemispherical", thick: str = "5 mm",
    to: str = "700 degC", plant: str = "", without: str | None = None,
) -> Situation:  # fmt: skip
    text = POT % (tube, of, end, thick, plant, to)
    tables = shipped() if without is None else shipped().without(without)
    return Situation(rig_of(text, "pot.toml"), tables, MIDDLE)


def rating(state: str, which: Situation) -> Rating:
    return wall_rating(which, "pot", which.heat(state))


def never_opened(which: Situation) -> ClosedRow:
    """The pot in heat with its only valve never opened: bench air of some 3 bar, 2 over the room."""
    return next(row for row in closed_rows(which) if row.case.kind == "never" and row.case.state == "hot")


def test_a_tube_by_hand() -> None:
    # exact: 170 MPa cold; of 1.65 mm 1.32 are left; radii 12.7 and 11.38 mm: (161.29 - 129.50) / 290.79 of 170 MPa
    found = rating("empty", situation())
    assert found.part == "wall"
    assert found.bears / 1e6 == pytest.approx(18.6, abs=0.05)


def test_a_flat_bottom_by_hand() -> None:
    # exact: 3 * 3.29 / 8 * (50 / 0.8)^2 = 4819 times the pressure; 170 MPa over that is 35 kPa
    found = rating("empty", situation("100 x 2 mm", end="flat", thick="1 mm"))
    assert found.part == "bottom"
    assert found.bears / 1e3 == pytest.approx(35.3, abs=0.1)


@pytest.mark.parametrize("end", ["flat", "dished", "hemispherical"])
def test_heat_takes_strength(end: str) -> None:
    # exact: strength falls with heat
    cold, hot = (rating(state, situation(end=end)) for state in ("empty", "hot"))
    assert hot.bears < cold.bears


def test_a_drawn_tube_counts_as_a_vessel_that_nobody_tested() -> None:
    # practice: never more than a bar over the room, whatever the strength
    row = never_opened(situation())
    assert row.limit.values[0] == pytest.approx(1e5)
    assert row.weakest == "wall of the pot"
    assert row.verdict == "fails"


def test_a_thin_wall_at_red_heat_bears_what_it_yields_at() -> None:
    # exact: mild steel near 700 degC yields at some 18 MPa; 0.3 mm of 76 mm, of which 0.24 are left:
    # 0.24 / 38 of that, some 0.11 MPa: of 0.2 mm it is less than a bar
    row = never_opened(situation("76 x 0.2 mm", "mild steel"))
    assert 0.5e5 < row.limit.values[0] < 0.9e5
    assert row.weakest.startswith("wall of the pot, which yields so soon at")
    assert row.at == "piece.pot.tube"


def test_where_no_strength_is_known_nothing_holds_and_what_fails_still_fails() -> None:
    # exact: the strength of mild steel is known to 800 degC; beyond it a bar is no promise, and above it all gives way
    relief = 'relief = { on = "pot", at = "100 mm", opens = "8 kPa gauge", bore = "4 mm" }'
    bare, relieved = situation(of="mild steel", to="880 degC"), situation(of="mild steel", to="880 degC", plant=relief)
    assert not rating("hot", bare).known
    assert rating("empty", bare).known
    assert never_opened(bare).verdict == "fails"
    row = never_opened(relieved)
    assert row.verdict == "unknown"
    assert "mild steel bears at 8" in row.gauge.missing[0].says
    assert np.all(np.isnan(row.gauge.values))
    assert never_opened(situation(of="mild steel", plant=relief)).verdict == "holds"
    drawn = next(row for row in closed_rows(relieved) if row.case.kind == "shut" and row.case.state == "hot")
    assert drawn.verdict == "holds"  # a vacuum presses on nothing


def test_a_metal_without_strength_in_the_tables_counts_only_cold() -> None:
    # exact: as brass is in ours: nothing is said of how strong it is, only from where it creeps
    which = situation(without="materials/304L/yield")
    assert rating("empty", which).known
    assert not rating("hot", which).known
    assert rating("empty", which).bears == np.inf
