# SPDX-License-Identifier: MIT
"""Question 10: is it worth it? The smallest sensible batch, hours, cost of a gram, the batch that pays."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from retortwright.assess.check import Check, Limit, limit_from_rule, plain_limit, sense_of_rule
from retortwright.assess.makes_charge_words import grams, middle, plain
from retortwright.assess.questioned import Questioned
from retortwright.reference.datum import Missing
from retortwright.situation.figure import Figure
from retortwright.situation.holdup import is_scraped
from retortwright.situation.situation import Situation
from retortwright.situation.timing import hottest_state
from retortwright.situation.worth import NEVER, WorthWork

__all__ = ["WORTH_IT"]

_NOT_COUNTED = ("rig", "hour", "waste", "consumables")


def _made(situation: Situation) -> Iterator[Check]:
    """Batch and hours of every charge that is heated; cost and break-even where prices are given."""
    state = hottest_state(situation.rig)
    if not situation.rig.charge or state is None:
        return
    work = WorthWork(situation)
    yield _smallest(work, state)
    yield _hours(work, state)
    if situation.rig.money is not None:
        yield _cost(work, state)
        yield _break_even(work, state)


WORTH_IT = Questioned(10, _made)


def _check(
    work: WorthWork,
    name: str,
    state: str,
    at: str,
    subject: str,
    quantity: str,
    figure: Figure,
    limit: Limit,
    because: str,
    notes: tuple[str, ...] = (),
) -> Check:
    place = at.partition(".")[2] or at
    sense = sense_of_rule(work.tables, name)
    return Check(name, state, place, subject, at, quantity, figure, limit, because, sense, notes)


def _batch(work: WorthWork, comes: str = "") -> Limit:
    """What arrives (or what comes over the line), or what is wanted where that is more."""
    product, amount = work.picture.product(), work.rig.aim.amount
    if comes and not product.missing:
        product = replace(product, values=product.said[comes])
    if amount is None or product.missing:
        ledger = work.ledger()
        if amount is None:
            ledger.missing.append(Missing("aim.amount", "how much metal is wanted is not said: aim.amount"))
        return plain_limit(ledger, float("nan") if amount is None else amount, "amount wanted")
    figure = replace(product, values=np.maximum(product.values, amount))
    said = "amount wanted" if middle(product.values) <= amount else "what comes" if comes else "what arrives"
    return Limit(middle(figure.values), said, figure)


def _smallest(work: WorthWork, state: str) -> Check:
    figure, metal, limit = work.smallest(), work.rig.aim.metal, _batch(work, "came")
    because = "what the walls keep is not known."
    if not figure.missing:
        held, least = middle(figure.said["held"]), middle(figure.values)
        how = "cannot be scraped off" if is_scraped(work.tables, metal) else "cling to"
        because = f"{grams(held)} {how} the walls on the way: worth a run from {grams(least)} on"
        if limit.value < least:
            because += (
                f"; do not make {grams(limit.value)}: buy it, or share a run of at least {grams(least)}"
            )
        because += "."
    subject = f"smallest sensible batch of {metal}"
    return _check(work, "smallest-batch", state, "aim.amount", subject, "mass", figure, limit, because)


def _hours(work: WorthWork, state: str) -> Check:
    figure, limit = work.hours(), limit_from_rule(work.ledger(), "hours")
    because = "how long a run takes is not known."
    if not figure.missing:
        programme, around = (middle(figure.said[name]) / 3600 for name in ("programme", "set-up"))
        what = "weigh, load, prove tight, open, quench and clean"
        because = f"{plain(programme)} h of programme, {plain(around)} h to {what}."
    subject = "time that a run takes"
    return _check(work, "hours", state, "programme.steps", subject, "duration", figure, limit, because)


def _buying(work: WorthWork) -> Limit:
    ledger, money = work.ledger(), work.rig.money
    price = np.nan if money is None else ledger.figure("money.buying", money.buying, "1/kg")
    return plain_limit(ledger, price, "price of buying")


def _cost(work: WorthWork, state: str) -> Check:
    figure, limit = work.cost(), _buying(work)
    because = "what a gram costs is not known."
    if not figure.missing:
        parts = {name: middle(values) for name, values in figure.said.items() if name != "product"}
        whole = sum(parts.values())
        largest = max(parts, key=lambda name: parts[name])
        shown = plain(middle(figure.values) / 1e3)
        share = f", most of it {largest} ({parts[largest] / whole:.0%})" if whole > 0 else ""
        nothing = middle(figure.said["product"]) <= 0
        because = (
            "the walls keep all that comes: nothing arrives."
            if nothing
            else (
                f"{_money(work, shown)} a gram{share}; bought it is {_money(work, plain(limit.value / 1e3))}; "
                "runs that are lost at first are counted in."
            )
        )
    subject = f"cost of the {work.rig.aim.metal} that arrives"
    return _check(
        work, "cost", state, "money.buying", subject, "money_per_mass", figure, limit, because, _notes(work)
    )


def _break_even(work: WorthWork, state: str) -> Check:
    figure, limit = work.break_even(), _batch(work)
    because = "from which batch on it pays is not known."
    if not figure.missing:
        each, fixed = middle(figure.said["each"]) / 1e3, middle(figure.said["fixed"])
        because = (
            f"what is weighed in costs {_money(work, plain(each))} for each gram that comes, a run besides "
            f"{_money(work, plain(fixed))} whatever its size"
        )
        never = middle(figure.values) >= NEVER
        because += ": it never pays." if never else f": it pays from {grams(middle(figure.values))} on."
    subject = "batch from which on it is cheaper than buying"
    return _check(work, "break-even", state, "money", subject, "mass", figure, limit, because, _notes(work))


def _money(work: WorthWork, number: str) -> str:
    money = work.rig.money
    return f"{number} {money.currency}".strip() if money is not None else number


def _notes(work: WorthWork) -> tuple[str, ...]:
    """What is not said of the costs counts nothing."""
    money = work.rig.money
    left = [key for key in _NOT_COUNTED if money is not None and getattr(money, key) is None]
    return (f"not counted, for it is not said: {', '.join(f'money.{key}' for key in left)}",) if left else ()
