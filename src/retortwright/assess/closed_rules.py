# SPDX-License-Identifier: MIT
"""The rules that no number replaces: freeing a plug, starting again, lighting, opening; with what this rig adds."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL
from retortwright.reference.datum import Row, number_of
from retortwright.situation.closed_pressure import closed_of
from retortwright.situation.closed_relief import melting_point
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.situation import Situation
from retortwright.situation.timing import hottest_state

__all__ = ["Wait", "cooling_time", "freeing", "near_after", "restart_temperature", "rules_of", "wait_until"]

_CELSIUS = 273.15
_MELT = "melt from the open end, never in the middle"


@dataclass(frozen=True, slots=True)
class Wait:
    """Until which temperature to wait [K], and how long from the hottest state on with the furnace off [s]."""

    temperature: float
    low: float
    best: float
    high: float


def rules_of(situation: Situation) -> tuple[str, ...]:
    """Each rule in a few sentences."""
    return (
        _plug(situation),
        "Starting again: after a plug, a stop or anything lost the day is over. Start cold, from the first step, with "
        "every valve proved by hand.",
        "Before the furnace is lit: each valve by hand, in the order of the state; the retort-side gauge must fall "
        "with the pump's, else the way is shut or plugged.",
        _opening(situation),
    )


def _plug(situation: Situation) -> str:
    """Until when nobody goes near, and how a plug is melted."""
    metal, wait = situation.rig.aim.metal, near_after(situation)
    until = "until all is cold"
    if wait is not None:
        until = (
            f"until the hottest wall is below {wait.temperature - _CELSIUS:.0f} degC by its thermocouple, where "
            f"{metal} stands under {_restart(situation) / 1e3:.2g} kPa{_minutes(wait)}"
        )
    return (
        f"A plug: furnace off, nobody near; stay behind the screen {until}. Only then warm it, from the open end "
        f"toward the plug, never in the middle: {freeing(situation)}."
    )


def _opening(situation: Situation) -> str:
    """How cold, and what is let in first."""
    row = situation.tables.find("rules", "closed", "open-below")
    wait = wait_until(situation, number_of(row).best) if isinstance(row, Row) else None
    cold = (
        "cold" if wait is None else f"every wall below {wait.temperature - _CELSIUS:.0f} degC{_minutes(wait)}"
    )
    return (
        f"Opening: {cold}, filled with argon to the pressure of the room, face away from the first crack; never while "
        "anything is shut that was hot, and never with water near."
    )


def _minutes(wait: Wait) -> str:
    """How long that takes, where it takes any time."""
    if wait.high < 60.0:
        return ""
    unit, seconds = ("h", 3600.0) if wait.high > 6000.0 else ("min", 60.0)
    low, high = (f"{float(f'{each / seconds:.2g}'):g}" for each in (wait.low, wait.high))
    return f" ({low} to {high} {unit} after the hottest step, by how fast furnaces cool)"


def freeing(situation: Situation) -> str:
    """Why a plug is melted from its open end."""
    metal = situation.rig.aim.metal
    row = situation.tables.find("metals", metal, "thermal-pressure")
    melts = melting_point(situation)
    if not isinstance(row, Row):
        return f"liquid shut in between two plugs bursts its tube as it warms: {_MELT}"
    each = number_of(row).best
    at = "" if melts is None else f" above {melts - _CELSIUS:.0f} degC"
    return (
        f"liquid {metal} shut in between two plugs pushes {each / 1e6:.2g} MPa more for each kelvin{at} (a figure from "
        f"memory): glass that bears 20 kPa goes within a tenth of a kelvin; {_MELT}"
    )


def _restart(situation: Situation) -> float:
    """The vapour pressure below which one may go near [Pa]; nan where no rule says."""
    row = situation.tables.find("rules", "closed", "restart")
    return number_of(row).best if isinstance(row, Row) else float("nan")


def restart_temperature(situation: Situation) -> float | None:
    """The temperature at which the product stands under the pressure below which one may go near [K]."""
    dew = _dew(situation)
    found = float("nan") if dew is None else float(np.median(dew))
    return found if np.isfinite(found) else None


def _dew(situation: Situation) -> Array | None:
    saturation, data = closed_of(situation).contents.saturation()
    if saturation is None or data.missing:
        return None
    return saturation.dew(np.full(situation.draws.size, _restart(situation)))


def near_after(situation: Situation) -> Wait | None:
    """The wait until one may go near a plugged rig; None where it is not known."""
    dew, middle = _dew(situation), restart_temperature(situation)
    return None if dew is None or middle is None else _wait(situation, middle, dew)


def wait_until(situation: Situation, temperature: float) -> Wait | None:
    """The wait until every wall is below a temperature; None where it is not known."""
    return _wait(situation, temperature, np.full(situation.draws.size, temperature))


def _wait(situation: Situation, shown: float, below: Array) -> Wait | None:
    figure = cooling_time(situation, below)
    if figure is None or not np.all(np.isfinite(figure.values)):
        return None
    low, best, high = (float(each) for each in np.quantile(figure.values, [TAIL, 0.5, 1 - TAIL]))
    return Wait(shown, low, best, high)


def cooling_time(situation: Situation, below: Array) -> Figure | None:
    """Time from the hottest state until every wall is below some temperatures [s]; None where nothing is heated.

    Every wall is taken to lose its excess over the room as the chamber of the furnace does.
    """
    state = hottest_state(situation.rig)
    if state is None:
        return None
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    room, decay = ledger.default("room.temperature"), ledger.default("furnace.decay")
    picture = situation.heat(state)
    hottest = np.max(picture.temperature, axis=0)
    time = decay * np.log(np.maximum(hottest - room, 1e-3) / np.maximum(below - room, 1e-3))
    return figure_of(ledger, np.maximum(time, 0.0), {"hottest": hottest}, replace(picture, missing=()))
