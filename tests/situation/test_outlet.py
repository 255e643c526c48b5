# SPDX-License-Identifier: MIT
"""What lands, what passes, what is delivered: nothing is lost on the way."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.situation.crossing import Crossing
from retortwright.situation.outlet import landing_place, outlet_of, positions, way_to_pump
from retortwright.situation.reflux import reflux_of
from retortwright.situation.returning import delivered
from situation.crossings import RUBIDIUM, ZINC, changed, crossing

FEW = Draws(samples=6)


@cache
def plain() -> Crossing:
    return crossing(RUBIDIUM, FEW)


@pytest.mark.parametrize("rig", [RUBIDIUM, ZINC], ids=["rubidium", "zinc"])
def test_what_lands_and_what_passes_is_what_evaporates(rig: object) -> None:
    # exact: conservation
    one = plain() if rig is RUBIDIUM else crossing(ZINC)
    for landing in one.vapour.landings:
        assert np.sum(landing.landed, axis=0) == pytest.approx(landing.entering, rel=1e-6)
    outlet = outlet_of(one)
    assert outlet is not None
    before = positions(outlet.way, outlet.landing.cells) < outlet.parts
    landed = np.sum(outlet.landing.landed[before], axis=0)
    assert landed + outlet.passed == pytest.approx(one.vapour.entering, rel=1e-6)
    assert np.all(outlet.passed >= 0)


def test_where_the_ways_part() -> None:
    # exact: the side arm sits at 145 mm of the line
    outlet = outlet_of(plain())
    assert outlet is not None
    assert plain().tree.instances[outlet.single].name == "line"
    last = outlet.way.cells[outlet.parts - 1]
    assert plain().mesh.start[last] <= 0.145 <= plain().mesh.end[last]


def test_no_pump_no_outlet() -> None:
    shut = crossing(changed(RUBIDIUM, ("state.distil.running", '["furnace", "tape"]')))
    assert way_to_pump(shut) == ()
    assert outlet_of(shut) is None


def test_a_hot_wall_lets_more_pass() -> None:
    cold, hot = (
        outlet_of(crossing(changed(RUBIDIUM, ("heat.tape.holds", holds))))
        for holds in ("80 degC", "300 degC")
    )
    assert cold is not None
    assert hot is not None
    assert hot.passed[0] > 100 * cold.passed[0]


def test_twice_the_stream_lands_farther_on() -> None:
    slow, fast = (
        crossing(changed(RUBIDIUM, ("assume.reaction.time", time)))
        for time in ("60 to 61 min", "30 to 30.5 min")
    )
    assert fast.vapour.entering[0] == pytest.approx(2 * slow.vapour.entering[0], rel=1e-2)
    for share in (0.5, 0.9):
        places = [
            landing_place(one, one.vapour.ways.ways[0], one.vapour.landings[0], share)[0]
            for one in (slow, fast)
        ]
        assert places[1] >= places[0]


# ---- delivered


def tall(at: int, furnace: str = 'power = "400 W"') -> Crossing:
    """A pot that ends just above its line, however high that is, in the same furnace."""
    heat = (
        '{ over = { pot = "0 to 135 mm" }, ' + furnace + " }"
        if furnace
        else '{ over = { pot = "0 to 135 mm" } }'
    )
    return crossing(
        changed(
            RUBIDIUM,
            ("piece.pot.length", f"{at + 20} mm"),
            ("piece.line.at", f"{at} mm"),
            ("heat.furnace", heat),
        )
    )


def test_a_low_take_off_delivers_everything() -> None:
    assert delivered(plain()).values.tolist() == [1.0] * FEW.size
    assert np.all(reflux_of(plain()).heat >= 0)


def test_a_higher_take_off_never_delivers_more_and_asks_more_heat() -> None:
    rigs = [tall(at, 'power = "140 W"') for at in (140, 250, 400, 600)]
    shares = [float(delivered(one).values[0]) for one in rigs]
    assert shares == sorted(shares, reverse=True)
    assert (shares[0], shares[-1]) == (1.0, 0.0)
    heats = [float(reflux_of(one).heat[0]) for one in rigs]
    assert heats == sorted(heats)


def test_more_power_never_delivers_less() -> None:
    assert (
        delivered(tall(400, 'power = "60 W"')).values[0] <= delivered(tall(400, 'power = "1 kW"')).values[0]
    )


def test_without_power_it_is_not_known_where_vapour_runs_back() -> None:
    assert [each.datum for each in delivered(tall(300, "")).missing] == ["heat.furnace.power"]
