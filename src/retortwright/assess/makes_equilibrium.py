# SPDX-License-Identifier: MIT
"""Question 1, the equilibrium: does the product stand over the charge, and what comes over with it?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from retortwright.assess.check import Check, Limit, limit_from_rule, plain_limit, sense_of_rule
from retortwright.assess.makes_charge_words import listed, plain
from retortwright.ground.middles import known_middle
from retortwright.situation.charge import charge_of
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.reaction import HOTTEST, ReactionWork
from retortwright.situation.reaction_course import taken_as_pure
from retortwright.situation.route import Route
from retortwright.situation.situation import Situation

__all__ = ["equilibrium_checks"]

_CELSIUS = 273.15


def equilibrium_checks(situation: Situation) -> Iterator[Check]:
    """The checks of one salt and one reductant in the hottest state."""
    work = ReactionWork(situation)
    if not situation.rig.charge or work.state is None:
        return
    for late in (False, True):
        yield _pressure(work, late)
    if charge_of(situation).redistils:
        return  # there is neither salt nor reductant: what its impurities do is question 3
    for what in ("reductant", "salt"):
        yield _carried(work, what)
    yield _window(work)


def _check(
    work: ReactionWork, name: str, subject: str, quantity: str, figure: Figure, limit: Limit, because: str
) -> Check:
    route = work.route
    salt = route.salt if isinstance(route, Route) else work.rig.charge[0].formula
    sense = sense_of_rule(work.tables, name)
    state = work.state or ""
    return Check(
        name, state, salt, subject, f"charge.{salt}", quantity, figure, limit, because, sense, _notes(work)
    )


def _notes(work: ReactionWork) -> tuple[str, ...]:
    """What every figure of an equilibrium leaves out."""
    said = ["an equilibrium says what can be, not how fast: no rate is in it"]
    pure = taken_as_pure(work)
    if pure:
        said.append(f"alloys of {listed(list(pure))} are not in our tables: each counts as pure, or as far weaker")
    if isinstance(work.route, Route):
        said.insert(0, str(work.route))
    return tuple(said)


def _pressure(work: ReactionWork, late: bool) -> Check:
    name = "pressure-late" if late else "pressure-fresh"
    figure = work.pressure(late)
    subject = f"{work.rig.aim.metal} over the charge, " + ("when enough has left" if late else "fresh")
    because = _late_words(work, figure) if late else _fresh_words(figure)
    return _check(work, name, subject, "pressure", figure, limit_from_rule(work.ledger(), name), because)


def _fresh_words(figure: Figure) -> str:
    if figure.missing:
        return "what the charge makes at this temperature is not known."
    hot = known_middle(figure.said["temperature"]) - _CELSIUS
    if known_middle(figure.said["saturated"]) > 0.5:
        free = f"the charge at {hot:.0f} degC makes free metal at once: this is its own saturated vapour"
        return f"{free}{_beside_words(figure)}."
    return f"the charge at {hot:.0f} degC holds the metal below its own saturation{_beside_words(figure)}."


def _beside_words(figure: Figure) -> str:
    """Other metals in what has come over until then, and other gases."""
    metals = [
        f"{known_middle(values):.2g} of it {name.removeprefix('mass ')}"
        for name, values in figure.said.items()
        if name.startswith("mass ")
    ]
    gases = [
        f"{plain(known_middle(values))} Pa {name.removeprefix('gas ')}"
        for name, values in figure.said.items()
        if name.startswith("gas ")
    ]
    words = f"; what has come over by then is a mixed metal, by mass {listed(metals)}" if metals else ""
    return words + (f"; with it {listed(gases)}" if gases else "")


def _late_words(work: ReactionWork, figure: Figure) -> str:
    if figure.missing:
        return "what the charge still makes later on is not known."
    out_of = "pot" if charge_of(work.situation).redistils else "salt"
    words = [f"when {known_middle(figure.said['left']):.0%} of the metal has left the {out_of}"]
    knees = {name: values for name, values in figure.said.items() if name.startswith("knee ")}
    for said, values in sorted(knees.items(), key=lambda each: known_middle(each[1])):
        solid = said.removeprefix("knee ")
        after = figure.said[f"after {solid}"]
        words.append(
            f"past {known_middle(values):.0%} {solid.removesuffix('(s)')} holds the rest: some "
            f"{plain(known_middle(after))} Pa"
        )
    comes = figure.said.get("comes")
    if comes is not None and known_middle(comes) < known_middle(figure.said["left"]):
        words.append(f"past {known_middle(comes):.0%} nothing more comes at this temperature")
    if _beside_words(figure):
        words.append(_beside_words(figure).removeprefix("; "))
    low = work.serving()[0]
    if not low.missing and known_middle(low.values) < HOTTEST:
        words.append(f"a useful pressure until then needs {known_middle(low.values) - _CELSIUS:.0f} degC")
    return "; ".join(words) + "."


def _carried(work: ReactionWork, what: str) -> Check:
    route = work.route
    which = getattr(route, what) if isinstance(route, Route) else what
    figure = work.carried(what)
    ledger = work.ledger()
    limit = plain_limit(ledger, work.grade(ledger, what), "grade")
    because = "what comes over with the product is not known."
    if not figure.missing:
        last, hot = known_middle(figure.said["last"]), known_middle(figure.said["temperature"]) - _CELSIUS
        much = f"{plain(last * 1e6)} ppm" if last < 1 else f"{plain(last)} times the mass of the product"
        because = (
            f"as vapour from a charge at {hot:.0f} degC, none of it landing on the way; at the end it is "
            f"{much}: an earlier cut is cleaner."
        )
    subject = f"{which} that comes over with the {work.rig.aim.metal}"
    return _check(work, f"{what}-over", subject, "share", figure, limit, because)


def _window(work: ReactionWork) -> Check:
    low, clean, wall = work.serving()
    values = np.minimum(clean.values, wall.values) - low.values
    ledger = work.ledger()
    for figure in (low, clean, wall):
        ledger.used |= {belief.name: belief for belief in figure.inputs}
        ledger.cites |= figure.cites
        ledger.missing += [each for each in figure.missing if each not in ledger.missing]
    figure = figure_of(ledger, values)
    because = "between which temperatures the route serves is not known."
    if not figure.missing:
        tops = {f"the {what} that comes over": known_middle(ends) for what, ends in clean.said.items()}
        tops["the wall of the retort"] = known_middle(wall.values)
        rules = min(tops, key=lambda name: tops[name])
        first, last = known_middle(low.values) - _CELSIUS, tops[rules] - _CELSIUS
        because = f"useful from {first:.0f} degC, up to {last:.0f} degC by {rules}."
        if known_middle(low.values) >= HOTTEST:
            because = f"none does: no useful pressure stands over the charge up to {first:.0f} degC."
        elif first > last:
            because = f"none does: useful only from {first:.0f} degC, but {rules} allows no more than {last:.0f} degC."
    limit = limit_from_rule(work.ledger(), "window")
    return _check(
        work,
        "window",
        "temperatures of the charge that serve",
        "temperature_difference",
        figure,
        limit,
        because,
    )
