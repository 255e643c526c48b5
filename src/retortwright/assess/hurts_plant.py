# SPDX-License-Identifier: MIT
"""Question 8, the plant: what relief and bubbler can pass, what cooling draws back, what a pump that stops lets in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from retortwright.assess.check import Check, Limit, limit_from_rule, plain_limit, sense_of_rule
from retortwright.assess.closed_rows import middle_of
from retortwright.belief.believed import Ledger
from retortwright.physics.constants import ATMOSPHERE, GAS_CONSTANT
from retortwright.reference.datum import Missing, number_of
from retortwright.situation.closed_flows import (
    Vent,
    air_time,
    draw_rate,
    joined_to_retort,
    opening_of,
    planned_cases,
    pump_draws,
    use_of,
    valves_to_pump,
)
from retortwright.situation.closed_pressure import closed_of
from retortwright.situation.figure import figure_of
from retortwright.situation.gasloads import STATED
from retortwright.situation.isolated import Case
from retortwright.situation.situation import Situation
from retortwright.situation.timing import hottest_state, is_after_heat, is_hot

__all__ = ["plant_checks"]

_MILLILITRES = GAS_CONSTANT * STATED / ATMOSPHERE * 6e7  # mL/min at 20 degC of a mol/s
_OILY = ("rotary, two-stage", "rotary, one-stage", "diffusion")


def plant_checks(situation: Situation) -> Iterator[Check]:
    """Every check of relief, bubbler, pump and cooling."""
    state = hottest_state(situation.rig)
    if state is None:
        return
    for name in ("relief", "bubbler"):
        vent = opening_of(situation, name)
        if vent is not None:
            yield _capacity(situation, vent, state)
    seen: set[str] = set()
    for case in planned_cases(situation):
        if case.state in seen or not is_after_heat(situation.rig, case.state):
            continue
        seen.add(case.state)
        bubbled = closed_of(situation).has(joined_to_retort(situation, case), "bubbler")
        if bubbled and situation.rig.charge:
            yield _suck_back(situation, case)
        valves = valves_to_pump(situation, case)
        if valves is not None:
            if situation.rig.charge:
                yield _air_in(situation, case)
            if _oily(situation):
                yield _oil_back(situation, case, valves)


def _rule(situation: Situation, name: str) -> tuple[Limit, str]:
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    return limit_from_rule(ledger, name), sense_of_rule(situation.tables, name)


def _capacity(situation: Situation, vent: Vent, state: str) -> Check:
    figure = use_of(situation, vent)
    limit, sense = _rule(situation, "relief-capacity")
    because = f"what the {vent.name} can pass, or has to, is not known."
    if not figure.missing:
        gases = [
            f"{gas} {_plain(middle_of(figure.said[gas]) * _MILLILITRES)} mL/min, "
            f"{_portion(middle_of(figure.said[f'{gas} share']))}"
            for gas in ("hydrogen", "argon", "vapour")
            if gas in figure.said and middle_of(figure.said[gas]) > 0
        ]
        over = (vent.inlet - ATMOSPHERE) / 1e3
        bore = (vent.bore or 0.0) * 1e3
        told = "; ".join(gases) or "no gas has to leave by it"
        because = (
            f"{bore:.2g} mm at {over:.2g} kPa over the room; gas and the share of what it passes: {told}. "
            "Hydrogen is that of all water in the charge over the shortest ramp, vapour all the metal."
        )
    notes = ["metal or salt that lands in its bore takes this away: blow through it before each run"]
    if vent.name == "bubbler":
        notes.append("dry it is an open hole: look at its level before each run, and while gas flows")
    return Check(
        "relief-capacity", state, vent.name, f"what the {vent.name} has to pass", f"plant.{vent.name}.bore",
        "portion", figure, limit, because, sense, tuple(notes),
    )  # fmt: skip


def _portion(share: float) -> str:
    """A share in percent; a small one in words."""
    return "next to nothing" if share < 5e-5 else f"{_plain(share * 100)} %"


def _plain(value: float) -> str:
    """Two digits without an exponent where that can be read."""
    return f"{float(f'{value:.2g}'):g}"


def _suck_back(situation: Situation, case: Case) -> Check:
    """What cooling draws in against the argon that comes; in a hot state the power goes first."""
    pumped = pump_draws(situation, case)
    figure = draw_rate(situation, case) if pumped is None else pumped
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    argon, work = situation.rig.plant.argon, closed_of(situation)
    flows = "argon" in case.running and work.has(joined_to_retort(situation, case), "argon")
    limit = plain_limit(ledger, 0.0, "no argon")
    if flows and argon is not None and argon.get("flow") is not None:
        limit = plain_limit(ledger, ledger.figure("plant.argon.flow", argon["flow"], "m^3/s"), "argon")
    because = "what the volume draws in as it cools is not known."
    if pumped is not None:
        because = (
            "the pump draws on the bubbler: its liquid goes into the rig. Put a valve before the bubbler."
        )
    elif not figure.missing:
        drawn, rate = middle_of(figure.said["drawn"]) * 1e6, middle_of(figure.values) * 6e7
        comes = f"{limit.value * 6e7:.2g} mL/min of argon come" if limit.value else "no argon comes"
        back = (
            "" if limit.value > middle_of(figure.values) else ": the liquid of the bubbler goes into the rig"
        )
        because = f"as it cools it draws {drawn:.2g} mL, {rate:.2g} mL/min at first; {comes}{back}."
    notes = (
        "if the argon runs out the bubbler is sucked back whatever this says: a trap that holds all its liquid, or a "
        "valve shut at once",
    )
    check = Check(
        "suck-back", case.state, "bubbler", "gas drawn in on cooling", "plant.bubbler.on", "gas_flow", figure, limit,
        because, sense_of_rule(situation.tables, "suck-back"), notes,
    )  # fmt: skip
    if is_hot(situation.rig, case.state) and pumped is None:
        return replace(check, lost="power", happens="the power goes")
    return check


def _air_in(situation: Situation, case: Case) -> Check:
    row = situation.tables.find("rules", "air-in", "to")
    pressure = float("nan") if isinstance(row, Missing) else number_of(row).best
    figure = air_time(situation, case, pressure)
    limit, sense = _rule(situation, "air-in")
    because = "how soon the leak brings air is not known."
    if not figure.missing:
        volume = middle_of(figure.said["volume"]) * 1e3
        because = (
            f"the stated leak brings {pressure / 1e3:.2g} kPa of air into {volume:.2g} L in that time; through a pump "
            "that is not tight it comes in seconds."
        )
    notes = ("how hot the seals get after the power is gone: question 4, seal-heat-lost",)
    name = situation.tree.instances[0].row.name
    check = Check(
        "air-in", case.state, name, "time to air over the metal", "plant.pump", "time", figure, limit, because, sense,
        notes,
    )  # fmt: skip
    return replace(check, lost="pump", happens="the pump stops")


def _oily(situation: Situation) -> bool:
    return (situation.rig.plant.pump or {}).get("kind") in _OILY


def _oil_back(situation: Situation, case: Case, valves: tuple[str, ...]) -> Check:
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    figure = figure_of(ledger, np.full(ledger.draws.size, float(len(valves))))
    limit, sense = _rule(situation, "oil-back")
    if valves:
        because = (
            f"oil and air run back through a pump that stands, in seconds where it has no valve of its own against "
            f"that: shut {' or '.join(valves)} at once."
        )
    else:
        because = "oil and air run back through a pump that stands, and no valve can be shut against them."
    cold = [cool.name for cool in situation.rig.cool if cool.by == "liquid nitrogen" and cool.name in case.running]
    notes = tuple(f"take {name} away at once: air that runs back turns to liquid in the trap" for name in cold)
    check = Check(
        "oil-back", case.state, (situation.rig.plant.pump or {})["on"], "valves against oil from the pump",
        "plant.pump.on", "valves", figure, limit, because, sense, notes,
    )  # fmt: skip
    return replace(check, lost="pump", happens="the pump stops")
