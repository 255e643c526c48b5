# SPDX-License-Identifier: MIT
"""Question 2, the stream: can surface, line and heat give what is wanted within the hold, and how long does it take?"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from retortwright.assess import across_words as words
from retortwright.assess.check import Check, Limit, plain_limit, sense_of_rule
from retortwright.belief.believed import Ledger
from retortwright.reference.datum import Missing
from retortwright.situation.charge import charge_of
from retortwright.situation.crossing import Crossing, blank, time_at_top
from retortwright.situation.figure import Figure
from retortwright.situation.route import route_of
from retortwright.situation.situation import Situation
from retortwright.situation.supply import heat_rate, line_rate, surface_rate, wanted_rate

__all__ = ["supply_checks", "supply_unknown"]

_CEILINGS: dict[str, tuple[str, Callable[[Crossing], Figure]]] = {
    "ceiling-surface": ("{metal} that the face of the charge can give off", surface_rate),
    "ceiling-line": ("{metal} that the line can pass", line_rate),
    "ceiling-heat": ("{metal} that the furnace can evaporate", heat_rate),
}


def supply_checks(crossing: Crossing) -> Iterator[Check]:
    """The three ceilings, then the time."""
    figures = {}
    for name, (subject, make) in _CEILINGS.items():
        figures[name] = make(crossing)
        because = words.ceiling(crossing, name, figures[name])
        yield _check(crossing, name, subject, figures[name], _wanted(crossing), because, "rate")
    yield _minutes(crossing, figures)


def supply_unknown(situation: Situation, state: str, missing: Missing) -> Iterator[Check]:
    """The same checks where wall and vapour are not known."""
    for name, (subject, _) in _CEILINGS.items():
        ledger = Ledger(situation.rig, situation.tables, situation.draws)
        says, figure = "what bounds the stream cannot be said.", blank(situation, missing)
        yield _made(situation, state, name, subject, figure, plain_limit(ledger, np.nan, ""), says, "rate")
    figure = blank(situation, _no_law(situation))
    says = words.minutes(situation, {}, None)
    yield _made(situation, state, "minutes", _TIME, figure, _hold(situation, state), says, "time")


_TIME = "time in which the {metal} leaves the charge"


def _made(
    situation: Situation,
    state: str,
    name: str,
    subject: str,
    figure: Figure,
    limit: Limit,
    because: str,
    quantity: str,
    at: str = "charge",
) -> Check:
    sense = sense_of_rule(situation.tables, name)
    subject = subject.format(metal=situation.rig.aim.metal)
    return Check(name, state, "charge", subject, at, quantity, figure, limit, because, sense)


def _check(
    crossing: Crossing, name: str, subject: str, figure: Figure, limit: Limit, because: str, quantity: str
) -> Check:
    return _made(
        crossing.situation,
        crossing.state,
        name,
        subject,
        figure,
        limit,
        because,
        quantity,
        _at(crossing, name),
    )


def _at(crossing: Crossing, name: str) -> str:
    """The dotted key that a ceiling hangs on."""
    tree = crossing.tree
    if name == "ceiling-line":
        first = crossing.vapour.ways.ways[0]
        beyond = [int(n) for n in crossing.mesh.instance[first.cells] if n != 0]
        return f"piece.{tree.instances[beyond[0]].row.name}" if beyond else "charge"
    if name == "ceiling-heat":
        led = [each.name for each in crossing.rig.heat if each.holds is None]
        return f"heat.{led[0]}" if led else "heat"
    return f"piece.{tree.instances[0].row.name}" if name == "ceiling-surface" else "charge"


def _wanted(crossing: Crossing) -> Limit:
    ledger = crossing.plain_ledger()
    what = "what the charge gives" if crossing.rig.aim.amount is None else "amount wanted"
    return plain_limit(ledger, wanted_rate(crossing, ledger), f"{what} within the hold")


def _hold(situation: Situation, state: str) -> Limit:
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    hold = time_at_top(situation.rig, state)
    if hold is None:
        says = f"how long {state} is held is not said: the `hold` of that step"
        ledger.missing.append(Missing(f"programme.steps.{state}.hold", says))
    return plain_limit(ledger, np.nan if hold is None else hold, "hold")


def _minutes(crossing: Crossing, ceilings: dict[str, Figure]) -> Check:
    situation = crossing.situation
    if "reaction.time" in crossing.rig.assume:
        ledger = crossing.plain_ledger()
        figure = crossing.figure(ledger, ledger.default("reaction.time", 60.0, 1e6))
    else:
        figure = blank(situation, _no_law(situation))
    because = words.minutes(situation, ceilings, crossing)
    limit = _hold(situation, crossing.state)
    check = _check(crossing, "minutes", _TIME, figure, limit, because, "time")
    return replace(check, doubtful=words.beyond_practice(situation) is not None)


def _no_law(situation: Situation) -> Missing:
    """Why nobody can say how long it takes."""
    route = route_of(situation.rig, situation.tables)
    metal = situation.rig.aim.metal
    what = str(route)
    if isinstance(route, Missing):
        again = charge_of(situation).redistils
        what = f"{metal} that is distilled once more" if again else f"a charge that is to give {metal}"
    says = f"no rate law with a source for {what}; measure it and say assume.reaction.time"
    return Missing("assume.reaction.time", says)
