# SPDX-License-Identifier: MIT
"""What the gauges of a rig can show in each state, in which gas, and where they are blind."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from retortwright.assess.finding import Finding, judged
from retortwright.assess.leak_limits import graded
from retortwright.belief.believed import Ledger
from retortwright.physics.constants import ATMOSPHERE
from retortwright.physics.gauging import gauge_reading
from retortwright.physics.tubepassage import transpired_pressure
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.rig.parts import Gauge, State
from retortwright.situation.connected import Node, place_in
from retortwright.situation.gas import GasWork
from retortwright.situation.timing import is_hot

__all__ = ["gauge_findings"]

_GASES = ("air", "argon", "hydrogen", "water")
_QUESTION = 6


@dataclass(frozen=True, slots=True)
class _Seen:
    """A gauge with the range of its readings [Pa] and its factors by gas; nan where not known."""

    gauge: Gauge
    lowest: float
    highest: float
    factors: dict[str, float]

    def shows(self, pressure: float, gas: str) -> str:
        """The reading in a gas, in words."""
        factor = self.factors.get(gas, float("nan"))
        if not np.isfinite(factor):
            return "?"
        reading = float(gauge_reading(pressure, factor, self.lowest, self.highest))
        if np.isfinite(reading):
            return f"{reading:.2g}"
        return "its lowest" if pressure / factor < self.lowest else "no true figure"


def gauge_findings(work: GasWork) -> Iterator[Finding]:
    """Whether any gauge can show what has to be shown, state by state."""
    for state in work.rig.states:
        if work.way_to_pump(state.name):
            yield _low(work, state)
        argon = work.rig.plant.argon
        if argon is not None and "argon" in state.running:
            yield _high(work, state, argon["on"], argon.get("at"))


def _seen(work: GasWork, group: frozenset[Node], state: str, ledger: Ledger) -> list[_Seen]:
    """The gauges that are joined to some spaces."""
    found = []
    for gauge in work.rig.plant.gauges:
        for number, place in place_in(work.tree, gauge.on, gauge.at):
            if work.spaces(state).node(number, place) in group:
                found.append(_read(gauge, ledger))
            break
    return found


def _read(gauge: Gauge, ledger: Ledger) -> _Seen:
    ends = [ledger.row("gauges", gauge.gauge, name) for name in ("lowest", "highest")]
    low, high = (number_of(row).best if isinstance(row, Row) else float("nan") for row in ends)
    factors = {"air": 1.0}
    for gas in _GASES[1:]:
        if ("gauges", gauge.gauge, f"factor-{gas}") in ledger.tables.rows:
            row = ledger.row("gauges", gauge.gauge, f"factor-{gas}")
            factors[gas] = number_of(row).best if isinstance(row, Row) else float("nan")
    return _Seen(gauge, low, high, factors)


def _low(work: GasWork, state: State) -> Finding:
    """Whether a gauge reads low enough to show the base pressure that is asked for."""
    ledger = work.ledger()
    group = work.spaces(state.name).group(work.retort(state.name))
    seen = _seen(work, group, state.name, ledger)
    limit = float(np.median(graded(work, ledger, "base-pressure")))
    if not seen:
        ledger.missing.append(Missing("plant", "no gauge is joined to the pumped spaces in this state"))
    best = min(seen, key=lambda one: one.lowest, default=None)
    because = "nothing shows the pressure."
    if best is not None:
        because = _showing(work, state.name, best)
    notes = tuple(_note(one, limit) for one in seen if one is not best and one.lowest > limit)
    value = best.lowest if best else float("nan")
    subject = f"lowest that {best.gauge.name} ({best.gauge.gauge}) shows" if best else "gauge of the vacuum"
    place = best.gauge.name if best else "gauge"
    words = (place, subject, because, (*notes, *_transpired(work, state.name)))
    return _finding(ledger, "gauge-low", state.name, value, limit, words)


def _note(one: _Seen, limit: float) -> str:
    return f"{one.gauge.name} ({one.gauge.gauge}) is blind below {one.lowest:g} Pa, so it does not show {limit:g} Pa"


def _showing(work: GasWork, state: str, seen: _Seen) -> str:
    gauge = seen.gauge
    pressure = work.pressure_at(state, gauge.on, gauge.at)
    good = pressure[np.isfinite(pressure)] if pressure is not None else np.array([])
    behind = "behind a plug it sees nothing."
    if not len(good) or work.base_pressure(state).missing or work.is_fed(state):
        return f"it shows true air from {seen.lowest:g} to {seen.highest:g} Pa; {behind}"
    true = float(np.median(good))
    shown = ", ".join(f"{seen.shows(true, gas)} in {gas}" for gas in _GASES if gas in seen.factors)
    return f"{true:.3g} Pa stand there: it shows {shown}; {behind}"


def _transpired(work: GasWork, state: str) -> tuple[str, ...]:
    """By how much a hot retort has more pressure than its cold arms show."""
    if not is_hot(work.rig, state):
        return ()
    picture = work.situation.heat(state)
    hot, cold = float(np.median(np.max(picture.temperature, axis=0))), 293.15
    base = work.base_pressure(state)
    if base.missing or not np.isfinite(hot):
        return ()
    pressure = float(np.median(base.values))
    gas = work.air(work.ledger())
    viscosities = [float(np.median(gas.viscosity(np.full_like(gas.diameter, each)))) for each in (cold, hot)]
    bore = min(single.row.tube.bore for single in work.tree.instances)
    thin, thick = viscosities
    there = float(transpired_pressure(bore / 2, pressure, cold, hot, thin, thick, gas.molar_mass))
    return (
        f"the wall at {hot - 273.15:.0f} degC holds up to {there / pressure:.2f} times the pressure that a cold arm "
        "shows (thermal transpiration, narrowest bore)",
    )


def _high(work: GasWork, state: State, on: str, at: float | None) -> Finding:
    """Whether a gauge shows the pressure to which argon is filled in."""
    ledger, spaces = work.ledger(), work.spaces(state.name)
    number, place = next(place_in(work.tree, on, at))
    seen = _seen(work, spaces.group(spaces.node(number, place)), state.name, ledger)
    filled = state.until or ATMOSPHERE
    if not seen:
        ledger.missing.append(Missing("plant", "no gauge is joined to the spaces that argon fills"))
    best = max(seen, key=lambda one: one.highest * one.factors.get("argon", 1.0), default=None)
    limit = best.highest * best.factors.get("argon", float("nan")) if best else float("nan")
    place_words = best.gauge.name if best else "gauge"
    subject = "gauge of the argon"
    if best is not None:
        subject = f"argon pressure that {best.gauge.name} ({best.gauge.gauge}) has to show"
    if best is None:
        because = "nothing shows when to stop filling."
    elif filled > limit:
        because = (
            f"it is blind above {limit:g} Pa of argon and near one bar shows a few per cent of the truth: never "
            "fill by it; fit a Bourdon or capacitance gauge."
        )
    else:
        because = (
            "it weighs the gas whatever it is." if best.factors["argon"] == 1 else "argon is in its range."
        )
    return _finding(ledger, "gauge-high", state.name, filled, limit, (place_words, subject, because, ()))


def _finding(
    ledger: Ledger,
    check: str,
    state: str,
    value: float,
    limit: float,
    words: tuple[str, str, str, tuple[str, ...]],
) -> Finding:
    row = ledger.row("rules", check, "reserve-share")
    tighten = ledger.row("rules", check, "tighten")
    share = number_of(row).best if isinstance(row, Row) else float("nan")
    if isinstance(tighten, Row):
        share = max(share, ledger.rig.tighten.get(tighten.data, 0.0))
    values = np.full(ledger.draws.size, np.nan if ledger.missing else value)
    judgement = judged(values, limit, share * limit, "high")
    place, subject, because, notes = words
    return Finding(
        check,
        place,
        state,
        _QUESTION,
        subject,
        f"plant.{place}" if place != "gauge" else "plant",
        "pressure",
        judgement,
        limit if np.isfinite(limit) else None,
        share * limit if np.isfinite(share * limit) else None,
        "high",
        because,
        "gauge-range",
        missing=ledger.missing[0] if judgement.verdict == "unknown" and ledger.missing else None,
        inputs=(),
        cites=frozenset(ledger.cites),
        sources=("common-practice", "pirani-factors"),
        notes=notes,
    )
