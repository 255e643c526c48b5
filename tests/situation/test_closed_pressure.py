# SPDX-License-Identifier: MIT
"""Pressures of volumes that are shut: gas law by hand, vapour, hydrogen, what was shut in before."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.constants import ATMOSPHERE, GAS_CONSTANT
from retortwright.reference.tables import shipped
from retortwright.rig.reading import rig_of
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.closed_front import front_of, gas_pressure
from retortwright.situation.closed_pressure import Closed, closed_of
from retortwright.situation.saturation_table import saturation_of
from retortwright.situation.situation import Situation
from situation.charges import MIDDLE, POT, charged

ZERO = 273.15

HEAT = """
[heat]
furnace = { over = { pot = "0 to 130 mm" } }
"""


def parted(shares: list[float], temperatures: list[float]) -> Array:
    """Volume over temperature of a litre parted at some temperatures [m^3/K]."""
    return np.array([[1e-3 * share / kelvin] for share, kelvin in zip(shares, temperatures, strict=True)])


@pytest.mark.parametrize(
    ("hot", "cold", "times"),
    [
        (0.4, 300.15, 1.45),
        (0.6, 300.15, 1.83),
        (0.8, 300.15, 2.47),
        (0.4, 353.15, 1.66),
        (0.6, 353.15, 2.05),
        (0.8, 353.15, 2.67),
    ],
)
def test_a_backfill_that_is_heated(hot: float, cold: float, times: float) -> None:
    # exact: gas law by hand, half a digit of the printed factor; filled at 20 degC, 850 degC at the hot end
    before = parted([1.0], [293.15])
    moles = ATMOSPHERE / GAS_CONSTANT * np.sum(before, axis=0)
    after = gas_pressure(moles, np.sum(parted([hot, 1 - hot], [850 + ZERO, cold]), axis=0))
    assert after[0] / ATMOSPHERE == pytest.approx(times, abs=0.006)


def test_an_inert_gas_heated_throughout() -> None:
    # exact: 1.013 bar at 20 degC become 3.71 bar at 800 degC
    moles = 101325.0 / GAS_CONSTANT * parted([1.0], [293.15])[0]
    assert gas_pressure(moles, parted([1.0], [1073.15])[0])[0] / 1e5 == pytest.approx(3.71, abs=0.005)


def test_gas_before_a_front_of_vapour() -> None:
    # exact: where all the cold part lies behind the front, p = n R T / V of that part alone
    room = parted([0.6, 0.4], [950.0, 300.0])
    moles = np.array([0.01])
    saturated = np.array([[9e4], [1.0]])
    front = front_of(room, saturated)
    found = front.pressure(moles, np.array([1.0]), np.array([1e7]))
    assert found[0] == pytest.approx(0.01 * GAS_CONSTANT * 300.0 / 0.4e-3, rel=1e-3)
    # exact: where that would be more than the vapour of the hot part, gas and the vapour of each wall fill both
    many = np.array([0.05])
    both = front.pressure(many, np.array([1.0]), np.array([1e7]))
    filled = 0.05 * GAS_CONSTANT + float(np.sum(room * saturated))
    assert both[0] == pytest.approx(filled / float(np.sum(room)), rel=1e-9)
    # exact: where every wall is hot none of them takes the vapour
    hot = front_of(room, np.array([[9e4], [8e4]])).pressure(many, np.array([1.0]), np.array([1e7]))
    assert hot[0] == pytest.approx((0.05 * GAS_CONSTANT + room[0, 0] * 9e4 + room[1, 0] * 8e4) / np.sum(room), rel=1e-9)
    # exact: never more than the bound it is given
    assert front.pressure(many, np.array([1.0]), np.array([1e5]))[0] == pytest.approx(1e5)


@pytest.mark.parametrize(("metal", "kelvin"), [("Cs", 944.15), ("Rb", 961.15), ("K", 1032.15)])
def test_the_vapour_of_a_metal_at_its_boiling_point(metal: str, kelvin: float) -> None:
    # published: boiling points of the CRC tables, as the chemicals library gives them
    ledger = Ledger(rig_of(text({"RbCl": "9 g", "Ca": "2 g"})), shipped(), MIDDLE)
    saturation = saturation_of(Chemistry(ledger), metal)
    assert saturation is not None
    assert saturation.pressure(np.array([kelvin]))[0] == pytest.approx(ATMOSPHERE, rel=0.03)


def text(reagents: dict[str, str], more: str = "", to: str = "700 degC", metal: str = "Rb") -> str:
    """A pot with a glass and a valve: pumped, then shut and heated."""
    return f"""retortwright = 1
[aim]
metal = "{metal}"
amount = "1 g"
{charged(reagents)}
{POT}
{HEAT}
[plant]
pump = {{ on = "V1", kind = "rotary, two-stage", speed = "4 m3/h", ultimate = "0.5 Pa" }}
{more}
[state]
empty = {{ open = ["V1"], running = ["pump"] }}
shut = {{ open = [], running = ["furnace"] }}
[programme]
steps = [ {{ state = "empty", hold = "1 h" }}, {{ state = "shut", to = "{to}", ramp = "4 K/min", hold = "5 min" }} ]
"""


@cache
def volumes(body: str, samples: int = 0) -> dict[tuple[str, str, str, str], Closed]:
    """Every closed volume: state, kind, what, piece."""
    situation = Situation(rig_of(body, "shut.toml"), shipped(), Draws(samples) if samples else MIDDLE)
    work = closed_of(situation)
    return {
        (case.state, case.kind, case.what, situation.tree.instances[each.piece].name): each
        for case in work.cases()
        for each in work.closed(case)
    }


DRY = {"RbCl": "9 g; H2O = '0 %'", "Ca": "2 g"}


def test_what_the_pump_left_is_all_there_is_without_a_charge() -> None:
    found = volumes(text({}).replace("[aim]", "[aim]", 1))
    planned = found["shut", "planned", "", "pot"]
    # practice: what the pump leaves is taken as 1 Pa
    assert planned.figure.values[0] == pytest.approx(1.0, rel=2.0)
    assert planned.figure.said["hydrogen"][0] == planned.figure.said["vapour"][0] == 0.0


def test_air_that_was_never_pumped_off_by_hand() -> None:
    # exact: the moles of a litre of bench air in the same slivers, at the temperatures of the picture
    body = text({})
    situation = Situation(rig_of(body, "shut.toml"), shipped(), MIDDLE)
    work = closed_of(situation)
    found = volumes(body)["empty", "shut", "V1", "pot"]
    assert found.figure.values[0] == pytest.approx(ATMOSPHERE, rel=1e-6)
    case = next(each for each in work.cases() if each.kind == "open" and each.state == "shut")
    joined = work.closed(case)[0]
    heat = situation.heat("shut").temperature
    room = float(np.sum(work.slivers.room(heat)))
    left = work.gas.after(0)
    assert joined.figure.values[0] == pytest.approx(float(np.sum(left)) * GAS_CONSTANT / room, rel=1e-6)


def test_slivers_fill_the_pieces() -> None:
    # exact: the volumes of the tree
    situation = Situation(rig_of(text({}), "shut.toml"), shipped(), MIDDLE)
    slivers = closed_of(situation).slivers
    for number, single in enumerate(situation.tree.instances):
        assert np.sum(slivers.volume[slivers.instance == number]) == pytest.approx(single.volume, rel=1e-12)


def test_vapour_stands_at_saturation_where_it_cannot_land() -> None:
    plugged = volumes(text(DRY))["shut", "plug", "line", "pot"]
    assert plugged.charge
    assert plugged.metal
    assert not plugged.open_way
    ledger = Ledger(rig_of(text(DRY)), shipped(), MIDDLE)
    saturation = saturation_of(Chemistry(ledger), "Rb")
    assert saturation is not None
    # exact: saturation at the hottest wall of the volume
    assert plugged.figure.said["vapour"][0] == pytest.approx(
        saturation.pressure(plugged.hottest)[0], rel=1e-9
    )


def test_no_more_vapour_than_there_is_metal() -> None:
    little = volumes(text({"RbCl": "2 mg; H2O = '0 %'", "Ca": "1 mg"}))["shut", "plug", "line", "pot"]
    much = volumes(text(DRY))["shut", "plug", "line", "pot"]
    # exact: a milligram of metal is 16 umol; at 300 to 970 K in 60 mL that is 0.7 to 2.2 kPa
    assert 500 < little.figure.said["vapour"][0] < 2500
    assert much.figure.said["vapour"][0] > 5e4


def test_metal_counts_only_where_it_is() -> None:
    beyond = volumes(text(DRY))["shut", "planned", "", "V1"]
    assert not beyond.charge
    assert beyond.figure.said["vapour"][0] == 0.0
    cold = volumes(text(DRY, to="300 degC"))["shut", "planned", "", "pot"]
    assert not cold.metal
    assert cold.figure.said["vapour"][0] == 0.0


def test_hydrogen_is_that_of_all_the_water() -> None:
    wet = volumes(text({"RbCl": "9 g; H2O = '0.1 %'", "Ca": "2 g"}, to="300 degC"))[
        "shut", "planned", "", "pot"
    ]
    dry = volumes(text(DRY, to="300 degC"))["shut", "planned", "", "pot"]
    assert dry.figure.said["hydrogen"][0] == 0.0
    # exact: 9 mg of water are 0.5 mmol of hydrogen
    moles = 9e-6 / 18.0153e-3
    low, high = (moles * GAS_CONSTANT * kelvin / wet.volume for kelvin in (293.0, 573.0))
    assert low < wet.figure.said["hydrogen"][0] < 1.2 * high


def test_water_that_nobody_stated_is_unknown() -> None:
    found = volumes(text({"RbCl": "9 g", "Ca": "2 g"}))["shut", "planned", "", "pot"]
    assert found.figure.missing
    assert not np.any(np.isfinite(found.figure.values))


def test_argon_that_nobody_stops_is_unknown() -> None:
    more = 'argon = { on = "glass", at = "40 mm", flow = "0.2 L/min" }'
    body = text({}, more).replace(
        'shut = { open = [], running = ["furnace"] }', 'shut = { open = [], running = ["argon"] }'
    )
    found = volumes(body)["shut", "planned", "", "pot"]
    assert found.fed
    assert "until" in found.figure.missing[0].says
    marked = volumes(body.replace('["argon"] }', '["argon"], until = "50 kPa" }'))
    # exact: the mark; and with nobody at the bottle what the regulator gives
    assert marked["shut", "planned", "", "pot"].figure.values[0] == pytest.approx(5e4)
    assert marked["shut", "over", "argon", "pot"].figure.values[0] == pytest.approx(ATMOSPHERE + 1e5)


def test_a_bubbler_is_a_way_out() -> None:
    more = 'bubbler = { on = "glass", at = "40 mm", depth = "40 mm", bore = "6 mm" }'
    assert ("shut", "planned", "", "pot") not in volumes(text(DRY, more))
    assert ("shut", "planned", "", "V1") in volumes(text(DRY, more))


def test_samples_give_a_band() -> None:
    found = volumes(text({"RbCl": "9 g; H2O = '0.01 to 0.05 %'", "Ca": "2 g"}), 16)
    values = found["shut", "plug", "line", "pot"].figure.values
    assert values.shape == (16,)
    assert np.all(np.isfinite(values))
    assert np.ptp(values) > 1e3


def test_why_a_pressure_has_no_number_is_the_true_reason() -> None:
    more = 'argon = { on = "glass", at = "40 mm", flow = "0.2 L/min" }'
    body = text({"RbCl": "9 g; H2O = '0.1 %'", "Ca": "2 g; H2O = '0 %'"}, more, to="1300 degC")
    body = body.replace("[programme]", 'fill = { open = [], running = ["argon"], until = "50 kPa" }\n[programme]')
    body = body.replace('hold = "5 min" } ]', 'hold = "5 min" }, { state = "fill" } ]')
    found = volumes(body)
    for key in (("shut", "planned", "", "pot"), ("fill", "planned", "", "pot")):
        figure = found[key].figure
        assert not np.any(np.isfinite(figure.values))
        assert "until" not in figure.missing[0].says
        assert "304L is known from" in figure.missing[0].says
