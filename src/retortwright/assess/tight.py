# SPDX-License-Identifier: MIT
"""Question 6: is it tight enough? Leak, base pressure, pump-down, permeation, argon, gauges.

Each finding compares one figure of the gas with a limit that comes from the grade or from
practice. A leak that nobody measured is unknown, and so is what depends on it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from retortwright.assess import tight_words as words
from retortwright.assess.check import Check, Limit, finding_of, seen_values
from retortwright.assess.finding import Finding
from retortwright.assess.gauges_see import gauge_findings
from retortwright.assess.leak_limits import graded, hydrogen_limit, leak_limit
from retortwright.ground.arrays import Array
from retortwright.physics.constants import ATMOSPHERE
from retortwright.physics.purging import cycles_needed
from retortwright.reference.datum import Row, number_of
from retortwright.rig.parts import State
from retortwright.situation.figure import figure_of
from retortwright.situation.gas import GasWork
from retortwright.situation.situation import Situation
from retortwright.situation.timing import hold_of, hottest_state, is_after_heat, is_hot

__all__ = ["QUESTION", "is_it_tight", "tight_finding", "tight_values"]

QUESTION = 6


def is_it_tight(situation: Situation) -> Iterator[Finding]:
    """Every finding of the question."""
    work = GasWork(situation)
    for check in _checks(work):
        yield finding_of(situation, check, QUESTION)
    yield from gauge_findings(work)


def tight_finding(situation: Situation, name: str) -> Finding | None:
    """One finding of the question by its id, computed anew."""
    check, _, state = name.split("/")
    work = GasWork(situation)
    return next(
        (finding_of(situation, each, QUESTION) for each in _checks(work, check, state) if each.name == check),
        None,
    )


def tight_values(situation: Situation, finding: Finding) -> Array:
    """The samples behind a finding of the question."""
    work = GasWork(situation)
    for check in _checks(work, finding.check, finding.state):
        return seen_values(check)
    return np.full(situation.draws.size, finding.judgement.best)


def _checks(work: GasWork, only: str | None = None, state: str | None = None) -> Iterator[Check]:
    """The checks of every state (or one of them in one state)."""
    makers: dict[str, Callable[[GasWork, State], Iterator[Check]]] = {
        "leak": _leak,
        "base-pressure": _base_pressure,
        "pump-down": _pump_down,
        "permeation": _permeation,
        "hydrogen-wall": _hydrogen_wall,
        "argon-oxygen": _argon_oxygen,
        "purge": _purge,
    }
    for each in work.rig.states:
        for name, make in makers.items():
            if only in (None, name) and state in (None, each.name):
                yield from make(work, each)


def _retort(work: GasWork) -> str:
    return work.tree.instances[0].row.name


def _leak(work: GasWork, state: State) -> Iterator[Check]:
    if state.name != _spoiled_in(work):
        return
    ledger = work.ledger()
    limit = leak_limit(work)
    told = "leak" in work.rig.assume
    figure = figure_of(ledger, work.leak(ledger))
    yield Check(
        "leak",
        state.name,
        _retort(work),
        "leak while there is hot metal",
        "assume.leak" if told else f"piece.{_retort(work)}",
        "leak",
        figure,
        limit,
        lambda finding: words.leak(work, finding, limit),
        notes=words.leak_notes(work, told),
    )


def _spoiled_in(work: GasWork) -> str | None:
    """The state with the hottest metal; None where there is no charge to become metal."""
    return hottest_state(work.rig) if work.rig.charge else None


def _base_pressure(work: GasWork, state: State) -> Iterator[Check]:
    if not work.way_to_pump(state.name) or work.is_fed(state.name):
        return
    figure = work.base_pressure(state.name)
    yield Check(
        "base-pressure",
        state.name,
        _retort(work),
        "pressure that the pump holds in the retort",
        f"piece.{_retort(work)}",
        "pressure",
        figure,
        _base_limit(work, state.name),
        lambda finding: words.base_pressure(work, finding, figure),
        notes=words.hot_notes(work, state.name),
    )


def _base_limit(work: GasWork, state: str) -> Limit:
    """The pressure that a pumped rig has to reach: cold by its grade, hot by practice."""
    ledger = work.ledger()
    if is_after_heat(work.rig, state):
        row = ledger.row("rules", "base-pressure", "hot")
        value = number_of(row).best if isinstance(row, Row) else float("nan")
        return Limit(value, "practice", figure_of(ledger, np.full(ledger.draws.size, value)))
    values = graded(work, ledger, "base-pressure")
    return Limit(float(np.median(values)), "grade", figure_of(ledger, values))


def _pump_down(work: GasWork, state: State) -> Iterator[Check]:
    pumped = [step.state for step in work.rig.steps if work.way_to_pump(step.state)]
    hold = hold_of(work.rig, state.name)
    if pumped[:1] != [state.name] or hold is None:
        return
    ledger = work.ledger()
    row = ledger.row("rules", "pump-down", "to")
    pressure = number_of(row).best if isinstance(row, Row) else float("nan")
    figure = work.pump_down(state.name, pressure)
    limit = Limit(hold, "hold", figure_of(ledger, np.full(ledger.draws.size, hold)))
    yield Check(
        "pump-down",
        state.name,
        _retort(work),
        f"time from air to {pressure:g} Pa",
        f"piece.{_retort(work)}",
        "time",
        figure,
        limit,
        lambda finding: words.pump_down(finding, figure),
    )


def _permeation(work: GasWork, state: State) -> Iterator[Check]:
    if not work.rig.charge or not _makes_metal(work, state.name):
        return
    figure = work.permeation(state.name)
    if not figure.said and not figure.missing:
        return
    limit = leak_limit(work)
    yield Check(
        "permeation",
        state.name,
        _retort(work),
        "air through rubber and plastic that reaches the metal",
        words.worst_of(work, figure),
        "leak",
        figure,
        limit,
        lambda finding: words.permeation(finding, figure, limit),
    )


def _makes_metal(work: GasWork, state: str) -> bool:
    """Whether hot metal may be there in a state."""
    target = work.rig.set_point(state)
    row = work.situation.tables.find("beliefs", "metal.from", "default")
    known = work.rig.assume.get("metal.from")
    first = known.best if known else number_of(row).best if isinstance(row, Row) else 0.0
    hottest = state == hottest_state(work.rig)
    return hottest or (is_hot(work.rig, state) and target is not None and target >= first)


def _hydrogen_wall(work: GasWork, state: State) -> Iterator[Check]:
    if not work.rig.charge or not _makes_metal(work, state.name):
        return
    figure = work.hydrogen(state.name)
    if not figure.said and not figure.missing:
        return
    limit = hydrogen_limit(work)
    yield Check(
        "hydrogen-wall",
        state.name,
        _retort(work),
        "hydrogen through the hot wall",
        f"piece.{_retort(work)}",
        "leak",
        figure,
        limit,
        lambda _: words.hydrogen(figure),
    )


def _argon_oxygen(work: GasWork, state: State) -> Iterator[Check]:
    if work.rig.plant.argon is None or "argon" not in state.running or not work.rig.charge:
        return
    ledger = work.ledger()
    limits = {"grade": graded(work, ledger, "argon-oxygen")}
    figure = work.argon_oxygen(state.name)
    if is_hot(work.rig, state.name) and "flow" in figure.said:
        whole = leak_limit(work)
        ledger.used |= {belief.name: belief for belief in whole.figure.inputs}
        ledger.cites |= whole.figure.cites
        ledger.missing += whole.figure.missing
        limits["oxygen that the metal takes up"] = words.share_of(whole.value, figure.said["flow"])
    ends = {name: float(np.median(values)) for name, values in limits.items()}
    rules = min(ends, key=lambda name: ends[name])
    yield Check(
        "argon-oxygen",
        state.name,
        "argon",
        "oxygen in the argon that reaches the rig",
        "plant.argon",
        "share",
        figure,
        Limit(ends[rules], rules, figure_of(ledger, limits[rules])),
        lambda finding: words.argon(work, finding, figure),
    )


def _purge(work: GasWork, state: State) -> Iterator[Check]:
    if work.rig.plant.argon is None or "argon" not in state.running or not work.rig.charge:
        return
    pumped = [each.name for each in work.rig.states if work.way_to_pump(each.name)]
    if not pumped:
        return
    ledger = work.ledger()
    base = work.base_pressure(pumped[0])
    full = state.until or ATMOSPHERE
    oxygen = ledger.sampled("air.oxygen", "gases", "air", "oxygen-share", 0.0, 1.0)
    share = graded(work, ledger, "argon-oxygen") / oxygen
    cycles = np.asarray(cycles_needed(share, base.values, full))
    ledger.used |= {belief.name: belief for belief in base.inputs}
    ledger.cites |= base.cites
    ledger.missing += base.missing
    figure = figure_of(ledger, cycles)
    most = work.ledger()
    row = most.row("rules", "purge", "most")
    value = number_of(row).best if isinstance(row, Row) else float("nan")
    yield Check(
        "purge",
        state.name,
        "argon",
        "times to empty and fill before the argon is clean",
        "plant.argon",
        "count",
        figure,
        Limit(value, "practice", figure_of(most, np.full(most.draws.size, value))),
        lambda finding: words.purge(finding, pumped[0], full),
    )
