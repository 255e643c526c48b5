# SPDX-License-Identifier: MIT
"""What has to get out of a rig and what is drawn in, beside sums by hand; every belief at its middle."""

from __future__ import annotations

from functools import cache
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from retortwright.assess import closed_rows
from retortwright.assess.closed_rules import wait_until
from retortwright.belief.believed import Ledger
from retortwright.physics.constants import ATMOSPHERE, GAS_CONSTANT
from retortwright.reference.tables import shipped
from retortwright.rig.reading import rig_of
from retortwright.situation.charge import charge_of
from retortwright.situation.closed_flows import (
    Vent,
    _warmest,
    air_time,
    draw_rate,
    joined_to_retort,
    opening_of,
    planned_cases,
    use_of,
)
from retortwright.situation.closed_pressure import closed_of
from retortwright.situation.closed_relief import _cold_end
from retortwright.situation.isolated import plant_place
from retortwright.situation.situation import Situation
from situation.charges import MIDDLE, POT, charged

ROOM = 293.15

RIG = f"""retortwright = 1
[aim]
metal = "Rb"
amount = "1 g"
{charged({"RbCl": "9 g; H2O = '0.1 %'", "Ca": "2 g; H2O = '0 %'"})}
{POT}
[heat]
furnace = {{ over = {{ pot = "0 to 130 mm" }}, power = "400 W" }}
[plant]
pump = {{ on = "V1", kind = "rotary, two-stage", speed = "4 m3/h", ultimate = "0.5 Pa" }}
argon = {{ on = "glass", at = "40 mm", flow = "0.2 L/min", hose = "2 m nylon" }}
relief = {{ on = "pot", at = "150 mm", opens = "10 kPa gauge", bore = "4 mm" }}
bubbler = {{ on = "glass", at = "40 mm", depth = "10 mm", bore = "4 mm" }}
[state]
dry = {{ open = ["V1"], running = ["pump", "furnace"] }}
sweep = {{ open = ["V1"], running = ["pump", "furnace", "argon"] }}
cool = {{ open = [], running = [] }}
[programme]
steps = [
  {{ state = "dry", to = "300 degC", ramp = "2 K/min" }},
  {{ state = "sweep", to = "700 degC", ramp = "5 K/min", hold = "1 h" }},
  {{ state = "cool", to = "60 degC" }},
]
[assume]
leak = "1e-4 mbar L/s"
room.temperature = "20 degC"
"""


@cache
def plain() -> Situation:
    return Situation(rig_of(RIG, "flows.toml"), shipped(), MIDDLE)


def moment(state: str) -> Any:
    return next(case for case in planned_cases(plain()) if case.state == state)


def default(name: str) -> float:
    return float(Ledger(plain().rig, plain().tables, plain().draws).default(name)[0])


def test_what_the_relief_has_to_pass() -> None:
    vent = opening_of(plain(), "relief")
    assert vent == Vent("relief", 4e-3, ATMOSPHERE + 10e3, ATMOSPHERE)
    said = {name: float(values[0]) for name, values in use_of(plain(), vent).said.items()}
    # exact: 9 mg of water over the shorter ramp, 400 K at 5 K/min
    assert said["hydrogen"] == pytest.approx(9e-6 / 18.0153e-3 / 4800, rel=1e-4)
    # exact: 0.2 L/min at 1 atm and 20 degC
    assert said["argon"] == pytest.approx(0.2e-3 / 60 * ATMOSPHERE / (GAS_CONSTANT * ROOM), rel=1e-9)
    # exact: all the metal over the time in which it comes
    freed, _ = charge_of(plain()).freed(Ledger(plain().rig, plain().tables, plain().draws))
    assert said["vapour"] == pytest.approx(float(freed[0]) / 85.4678e-3 / default("reaction.time"), rel=1e-4)


def test_how_much_vapour_a_hole_passes() -> None:
    vent = opening_of(plain(), "relief")
    assert vent is not None
    said = {name: float(values[0]) for name, values in use_of(plain(), vent).said.items()}
    place = plant_place(plain().rig, plain().tree, "relief")
    assert place is not None
    kelvin = float(_warmest(closed_of(plain()), place)[0])
    # exact: isentropic flow of a monatomic gas; practice: a sharp edge passes 0.83 of it
    ratio, g, mass = ATMOSPHERE / (ATMOSPHERE + 10e3), 5 / 3, 85.4678e-3
    flux = (ATMOSPHERE + 10e3) * np.sqrt(
        2 * g / (g - 1) * mass / (GAS_CONSTANT * kelvin) * (ratio ** (2 / g) - ratio ** ((g + 1) / g))
    )
    passed = 0.83 * flux * np.pi * 2e-3**2 / mass
    assert said["vapour"] / said["vapour share"] == pytest.approx(passed, rel=1e-3)


def test_a_bubbler_passes_what_drives_it_at_twice_its_head() -> None:
    # exact: 10 mm of oil of 900 kg/m3
    head = 900 * 9.81 * 10e-3
    vent = opening_of(plain(), "bubbler")
    assert vent is not None
    assert vent.outlet == pytest.approx(ATMOSPHERE + head)
    assert vent.inlet == pytest.approx(ATMOSPHERE + 2 * head)


def test_what_cooling_draws_in() -> None:
    case, work = moment("cool"), closed_of(plain())
    figure = draw_rate(plain(), case)
    inside = work.slivers.inside(joined_to_retort(plain(), case))
    hot = np.maximum(work.slivers.temperature(work.pictures(case)[-1].temperature)[inside][:, 0], ROOM)
    volume, decay = work.slivers.volume[inside], default("furnace.decay")
    # exact: what fits at one atmosphere, now and a second later, counted at the temperature of the room
    later = ROOM + (hot - ROOM) * np.exp(-1.0 / decay)
    assert float(figure.values[0]) == pytest.approx(ROOM * np.sum(volume / later - volume / hot), rel=2e-3)
    assert float(figure.said["drawn"][0]) == pytest.approx(ROOM * np.sum(volume / ROOM - volume / hot), rel=1e-9)
    assert float(figure.said["drawn"][0]) > 1e-6


def test_how_soon_a_leak_brings_air() -> None:
    case, work = moment("dry"), closed_of(plain())
    inside = work.slivers.inside(joined_to_retort(plain(), case))
    kelvin = work.slivers.temperature(plain().heat("dry").temperature)[inside][:, 0]
    moles = 1e3 / GAS_CONSTANT * np.sum(work.slivers.volume[inside] / kelvin)
    # exact: 1 kPa in walls as warm as they are, by 1e-4 mbar L/s stated at 20 degC
    assert float(air_time(plain(), case, 1e3).values[0]) == pytest.approx(
        moles * GAS_CONSTANT * ROOM / 1e-5, rel=0.02
    )


def test_argon_that_flows_to_the_pump_stands_over_what_it_leaves() -> None:
    case, work = moment("sweep"), closed_of(plain())
    led = work.gas._led(case, joined_to_retort(plain(), case))
    assert led is not None
    # exact: 0.2 L/min at 1 atm into 4 m3/h
    argon = ATMOSPHERE * (0.2e-3 / 60) / (4 / 3600)
    assert float(led[0] - work.rest.values[0]) == pytest.approx(argon, rel=1e-6)


def test_the_hose_of_the_argon_holds_gas() -> None:
    case, work = moment("cool"), closed_of(plain())
    held, moles = work.gas.hose(case, work.slivers.inside(joined_to_retort(plain(), case)))
    # practice: 4 mm inside; exact: 2 m of it at the room
    assert float(held[0]) == pytest.approx(np.pi / 4 * 4e-3**2 * 2.0 / ROOM, rel=1e-6)
    assert float(moles[0]) == pytest.approx(ATMOSPHERE / GAS_CONSTANT * float(held[0]), rel=1e-9)


def test_how_long_to_wait() -> None:
    wait = wait_until(plain(), 313.15)
    assert wait is not None
    hottest = float(np.max(plain().heat("sweep").temperature))
    # exact: an excess over the room that falls by e in the time in which a furnace does
    assert wait.best == pytest.approx(default("furnace.decay") * np.log((hottest - ROOM) / 20.0), rel=1e-6)


def test_the_cold_end_of_a_wall_is_that_of_one_sample_in_twenty() -> None:
    walls = np.stack([np.linspace(300.0, 400.0, 101), np.full(101, 500.0)])
    assert _cold_end(SimpleNamespace(temperature=walls), [0, 1]) == pytest.approx(305.0)  # type: ignore[arg-type]
    walls[0, 3] = np.nan
    assert _cold_end(SimpleNamespace(temperature=walls), [0, 1]) == float("-inf")  # type: ignore[arg-type]


@pytest.mark.parametrize(("share", "able"), [(0.99, True), (1.01, False), (np.nan, False)])
def test_a_relief_that_all_gas_fills_is_able_and_one_that_it_overfills_is_not(
    share: float, able: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    figure = SimpleNamespace(values=np.full(4, share), missing=())
    monkeypatch.setattr(closed_rows, "use_of", lambda *_: figure)
    assert closed_rows._passes(plain()) is able


def test_a_volume_that_liquid_fills_to_nine_tenths_counts_as_full() -> None:
    contents, hot = closed_of(plain()).contents, np.full(plain().draws.size, 400.0)
    freed, _ = charge_of(plain()).freed(Ledger(plain().rig, plain().tables, plain().draws))
    curve = Ledger(plain().rig, plain().tables, plain().draws).curve("Rb", "melt-density", "charges")
    assert curve is not None
    liquid = float(freed[0] / (curve[0].held(hot) * curve[1])[0])
    # practice: from nine tenths on; 0.79 MPa for each kelvin over the melting point
    assert float(contents.liquid(liquid / 0.89, hot).values[0]) == 0.0
    pushed = float(contents.liquid(liquid / 0.91, hot).values[0])
    assert pushed == pytest.approx(7.9e5 * (400.0 - 312.47), rel=2e-3)


@pytest.mark.parametrize(("over", "heated"), [(29.0, False), (31.0, True)])
def test_a_volume_counts_as_heated_from_thirty_kelvin_over_the_room(over: float, heated: bool) -> None:
    closed = SimpleNamespace(fed=False, hottest=np.full(plain().draws.size, ROOM + over))
    row: Any = SimpleNamespace(closed=closed)
    # practice: 30 K
    assert closed_rows.is_heated(plain(), row) is heated
