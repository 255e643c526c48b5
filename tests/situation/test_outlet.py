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
from retortwright.situation.supply import heat_rate, line_rate
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


def test_what_vapour_can_bring_and_what_hangs_on_the_walls() -> None:
    one = plain()
    said = delivered(one).said
    stream, bore = one.vapour.stream, 22.1e-3
    # exact: choked flow of a monatomic gas, p sqrt(g M / R T) (2 / (g + 1))^((g + 1) / (2 (g - 1))), through the bore
    sonic = np.sqrt(5 / 3) * (3 / 4) ** 2
    mole = sonic * stream.over_charge / np.sqrt(8.314462618 * stream.temperature * stream.gas.molar_mass)
    assert said["brought"] == pytest.approx(mole * np.pi / 4 * bore**2 * one.vapour.latent, rel=1e-4)
    # exact: a film as thick as assumed, of the liquid at the dew point, on every wet wall
    ledger = one.ledger()
    thick = ledger.default("film.thickness", 0.0, 0.01)
    density = one.liquid_density(ledger, one.vapour.dew)
    assert said["film"] == pytest.approx(thick * density * reflux_of(one).area, rel=1e-9)


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


# ---- what runs back

NECK = (
    '{ on = "pot", joined = "TIG", tube = "19 x 1 mm", length = "160 mm", rises = "90 deg", of = "304L", '
    'closed = "TIG" }'
)


@cache
def with_neck(furnace: str = "680 degC", time: str = "30 to 60 min") -> Crossing:
    edits = (
        ("piece.neck", NECK),
        ("programme.steps.distil.to", furnace),
        ("assume.reaction.time", time),
    )
    return crossing(changed(RUBIDIUM, *edits))


def test_landed_passed_and_returned_are_what_evaporates() -> None:
    # exact: the heat of all that evaporates is given to the walls, but for what passes
    one = with_neck()
    vapour, outlet = one.vapour, outlet_of(one)
    assert outlet is not None
    given = -sum(np.sum(each.heat(one.heat.temperature[each.cells])[0], axis=0) for each in one.exchanges)
    late = sum(vapour.arm_heat[arm.name] for arm in vapour.ways.arms if not arm.early)
    returned = reflux_of(one).heat / vapour.latent
    landed = np.sum(vapour.landings[0].landed, axis=0)
    evaporated = given / vapour.latent
    assert float(returned[0]) > 5 * float(vapour.entering[0])
    assert landed + returned + late / vapour.latent == pytest.approx(evaporated, rel=1e-6)
    # exact: of what does not run back, what lands before the ways part and what passes there is all
    before = positions(outlet.way, outlet.landing.cells) < outlet.parts
    there = np.sum(outlet.landing.landed[before], axis=0)
    assert there + outlet.passed == pytest.approx(landed, rel=1e-6)


def test_only_arms_where_all_runs_back_count_as_reflux() -> None:
    one = with_neck()
    arms = {arm.name: arm for arm in one.vapour.ways.arms}
    assert arms["neck"].early
    assert not arms["arm"].early
    inside = one.vapour.arm_heat["neck"][0] + one.vapour.arm_heat.get("pot", np.zeros(1))[0]
    assert reflux_of(one).heat[0] == pytest.approx(inside + reflux_of(one).rising[0], rel=1e-3)


def test_more_reflux_never_cools_the_end_of_an_arm() -> None:
    ends, heats = [], []
    for time in ("90 to 92 min", "45 to 46 min", "20 to 20.5 min"):
        one = with_neck(time=time)
        number = one.tree.index("neck")
        ends.append(float(one.heat.temperature[one.mesh.last[number], 0]))
        heats.append(float(reflux_of(one).heat[0]))
    assert heats == sorted(heats)
    assert ends == sorted(ends)


def test_the_way_to_the_pump_and_that_of_the_metal_agree_where_they_are_one() -> None:
    """Of a metal that freezes too, which lands on rising walls instead of running back."""
    steep = ("piece.pot.length", "260 mm"), ("piece.line.at", "240 mm")
    cold = (("programme.steps.distil.to", "415 degC"), ("charge.Zn.mass", "0.3 g"))
    freezing = crossing(changed(ZINC, *cold, *steep))
    assert np.all(plain().wet == 1.0)
    assert np.all(freezing.wet == 0.0)
    for one in (plain(), freezing):
        outlet, own = outlet_of(one), one.vapour.landings[0]
        assert outlet is not None
        for share in (0.1, 0.5, 0.9):
            there = landing_place(one, outlet.way, outlet.landing, share)
            here = landing_place(one, one.vapour.ways.ways[0], own, share)
            assert there == pytest.approx(here, abs=15e-3)  # a few cells: neighbours take from each other
    crest = freezing.vapour.ways.ways[0].crest
    rises = np.isin(freezing.vapour.landings[0].cells, freezing.vapour.ways.ways[0].cells[:crest])
    assert np.sum(freezing.vapour.landings[0].landed[rises]) > 0.0


def test_where_nothing_runs_back_a_weak_furnace_is_no_reason() -> None:
    """It is one for the ceiling of the heat."""
    weak = crossing(changed(RUBIDIUM, ("heat.furnace.power", "20 W")), FEW)
    assert np.all(reflux_of(weak).heat < 0.05)
    assert delivered(weak).values.tolist() == [1.0] * FEW.size
    assert np.all(heat_rate(weak).values == 0.0)


def test_a_line_hotter_than_the_charge_passes_nothing_rather_than_less() -> None:
    hot = (
        ("programme.steps.distil.to", "440 degC"),
        ("heat.tape.holds", "500 degC"),
        ("heat.tape.power", "300 W"),
    )
    figure = line_rate(crossing(changed(ZINC, *hot), FEW))
    assert np.all(figure.values >= 0.0)


def test_what_runs_back_is_taken_from_what_the_furnace_can_evaporate() -> None:
    rate = heat_rate(with_neck())
    said = rate.said
    assert np.all(said["back"] > 1.0)
    # exact: what gets inside, less what the dry rig takes and what runs back
    left = said["useful"] - said["walls"] - said["back"]
    assert np.all(left > 0.0)
    assert said["spare"] == pytest.approx(left, rel=1e-9)
    assert rate.values == pytest.approx(left / said["each"], rel=1e-9)
