# SPDX-License-Identifier: MIT
"""Question 1, the moisture: what water eats of the reductant, and what its hydrogen comes to where all is shut."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from retortwright.assess.check import Check, Limit, limit_from_rule, plain_limit, sense_of_rule
from retortwright.assess.makes_charge_words import grams, listed, middle, plain
from retortwright.ground.formula import elements_of
from retortwright.ground.units import TAIL
from retortwright.physics.constants import ATMOSPHERE, GAS_CONSTANT
from retortwright.reference.datum import Row, number_of
from retortwright.situation.figure import Figure
from retortwright.situation.gasloads import STATED
from retortwright.situation.moisture import MoistureWork, moisture_of
from retortwright.situation.situation import Situation
from retortwright.situation.timing import hottest_state

__all__ = ["moisture_checks", "water_bearable"]

_CELSIUS = 273.15
_RULES = {
    "relief": "the relief that is joined opens at the limit",
    "yours": "the limit is your own, below what opens the relief",
    "practice": "no relief is joined, so the limit is that of practice",
}


def moisture_checks(situation: Situation) -> Iterator[Check]:
    """What water eats, in the hottest state, and the hydrogen of every heated state with nothing open."""
    work, state = moisture_of(situation), hottest_state(situation.rig)
    if not situation.rig.charge or state is None:
        return
    if not work.picture.redistils:
        yield _water(work, state)
    if _may_be_wet(work):
        for each in work.shut_states():
            yield _hydrogen(work, each.name)


def water_bearable(situation: Situation, state: str) -> float:
    """By how much the water of the file may be multiplied for the hydrogen of a state to hold."""
    work = moisture_of(situation)
    figure = work.pressure(state)
    if figure.missing:
        return float("nan")
    high = float(np.quantile(figure.values, 1 - TAIL))
    row = situation.tables.find("rules", "hydrogen", "reserve-share")
    key = situation.tables.find("rules", "hydrogen", "tighten")
    kept = number_of(row).best if isinstance(row, Row) else float("nan")
    kept = max(kept, situation.rig.tighten.get(key.data, 0.0)) if isinstance(key, Row) else kept
    return (1 - kept) * _limit(work, state).value / high if high > 0 else float("inf")


def _may_be_wet(work: MoistureWork) -> bool:
    """Whether something in the charge holds water or may hold it unsaid."""
    named = [name for each in work.rig.charge for name in (each.formula, *each.contains)]
    return any(len(elements_of(each.formula)) > 1 for each in work.rig.charge) or any(
        "H" in elements_of(name) for name in named
    )


def _wettest(work: MoistureWork) -> str:
    """The dotted key of the water that counts most, or of the first compound where none is said."""
    found = {
        f"charge.{each.formula}.contains.{name}": each.mass.best * share.best
        for each in work.rig.charge
        for name, share in each.contains.items()
        if "H" in elements_of(name)
    }
    if found:
        return max(found, key=lambda key: found[key])
    compounds = [each.formula for each in work.rig.charge if len(elements_of(each.formula)) > 1]
    return f"charge.{(compounds or [work.rig.charge[0].formula])[0]}"


def _check(
    work: MoistureWork,
    name: str,
    state: str,
    place: str,
    subject: str,
    quantity: str,
    figure: Figure,
    limit: Limit,
    because: str,
    notes: tuple[str, ...],
) -> Check:
    sense = sense_of_rule(work.situation.tables, name)
    return Check(name, state, place, subject, _wettest(work), quantity, figure, limit, because, sense, notes)


def _water(work: MoistureWork, state: str) -> Check:
    figure, pair = work.picture.eaten_by_water(), work.picture.pair
    name = "reductant" if pair is None else pair[1]
    because = "what water eats of the reductant cannot be said."
    if not figure.missing:
        ledger = work.picture.ledger()
        moles, water = work.hydrogen_moles(ledger)
        eaten, spare = middle(figure.said["eaten"]), middle(figure.said["spare"])
        of = f", {plain(eaten / spare * 100)} % of the excess" if spare > 0 else ""
        because = (
            f"{grams(middle(water))} of water give {_volume(middle(moles))} of hydrogen at 20 degC and eat "
            f"{grams(eaten)} {name}{of}."
        )
    subject = f"{name} that water eats"
    limit = limit_from_rule(work.picture.ledger(), "water")
    notes = (*_pumped(work), *_dry(work), *_memory(work))
    return _check(work, "water", state, name, subject, "portion", figure, limit, because, notes)


def _volume(moles: float) -> str:
    return f"{plain(moles * GAS_CONSTANT * STATED / ATMOSPHERE * 1e6)} mL"


def _pumped(work: MoistureWork) -> tuple[str, ...]:
    """Where the hydrogen leaves by the pump."""
    states = [each.name for each in work.pumped_states()]
    return (
        (f"the pump takes the hydrogen off in {listed(states)}: watch the gauge go up and come back",)
        if states
        else ()
    )


def _dry(work: MoistureWork) -> tuple[str, ...]:
    """What the usual stop for drying is worth in the volume of this rig."""
    shut = [each.name for each in work.shut_states()]
    if not shut:
        return ()
    coolest = min(shut, key=lambda name: work.rig.set_point(name) or np.inf)
    rate, rise = work.dry_rate(coolest)
    if not np.isfinite(rate):
        return ()
    volume = work.spaces(coolest).volume(work.group(coolest)) * 1e3
    return (
        f"a rise of {plain(rise * 60)} Pa a minute in the {volume:.2g} L that are joined in {coolest} is "
        f"{plain(rate * 1e6)} mg of water an hour: below it a charge counts as dry; it says "
        "what still comes, not what is left",
    )


def _memory(work: MoistureWork) -> tuple[str, ...]:
    """Where hydrogen that was taken up early comes back."""
    hydride = work.hydride()
    if hydride is None:
        return ()
    return (
        f"early hydrogen is stored as {hydride.formula}: a second gas peak from about "
        f"{hydride.gives - _CELSIUS:.0f} degC on is normal after a wet start",
    )


def _limit(work: MoistureWork, state: str) -> Limit:
    """What the relief opens at over the room, where one is joined; else the figure of practice."""
    ledger, relief = work.picture.ledger(), work.rig.plant.relief
    if relief is None or not work.joins(state, "relief"):
        return limit_from_rule(ledger, "hydrogen")
    opens = relief["opens"] - ATMOSPHERE
    key = ledger.tables.find("rules", "hydrogen", "tighten-limit")
    own = work.rig.tighten.get(key.data, np.inf) if isinstance(key, Row) else np.inf
    return plain_limit(ledger, min(opens, own), "relief" if opens <= own else "yours")


def _hydrogen(work: MoistureWork, state: str) -> Check:
    figure, limit = work.pressure(state), _limit(work, state)
    because = "how much hydrogen the charge gives is not known."
    if not figure.missing:
        moles, water = middle(figure.said["moles"]), middle(figure.said["water"])
        volume = middle(figure.said["volume"]) * 1e6
        rules = _RULES[limit.words]
        because = (
            f"{grams(water)} of water are {moles * 1e3:.2g} mmol of hydrogen in {volume:.3g} mL, all of it at once; "
            f"{rules}."
        )
    place, subject = work.tree.instances[0].row.name, "hydrogen with nothing open"
    return _check(work, "hydrogen", state, place, subject, "pressure", figure, limit, because, _memory(work))
