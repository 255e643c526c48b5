# SPDX-License-Identifier: MIT
"""Question 1, the route: does it give heat or take it, does it free gas, how far could it heat itself?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from retortwright.assess.check import Check, limit_from_rule, sense_of_rule
from retortwright.assess.makes_charge_words import plain
from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL
from retortwright.reference.datum import Missing
from retortwright.situation.figure import Figure
from retortwright.situation.route_heat import RouteHeat
from retortwright.situation.route_reaction import Reaction
from retortwright.situation.situation import Situation
from retortwright.situation.timing import hottest_state

__all__ = ["heat_words", "route_checks"]

_CELSIUS = 273.15
_MOLAR_VOLUME = 24.06  # L/mol of gas at 20 degC, 1013 mbar
_WORTH_SAYING = 0.1  # share of a figure from which on one part of it is named


def route_checks(situation: Situation) -> Iterator[Check]:
    """The checks of the route of the charge, in the hottest state."""
    rig = situation.rig
    state = hottest_state(rig)
    if state is None or all(each.formula == rig.aim.metal for each in rig.charge):
        return
    heat = RouteHeat(situation)
    yield _check(
        heat, state, "reaction-heat", "heat that the charge sets free", "heat_of_charge", heat.set_free()
    )
    yield _check(heat, state, "reaction-gas", "gas that the charge frees", "gas_of_charge", heat.gas())
    yield _check(
        heat,
        state,
        "self-heating",
        "self-heating of the charge",
        "temperature_difference",
        heat.self_heating(),
    )


def _check(heat: RouteHeat, state: str, name: str, subject: str, quantity: str, figure: Figure) -> Check:
    place = heat.pair[0] if not isinstance(heat.pair, Missing) else heat.rig.charge[0].formula
    say = {"reaction-heat": _heat, "reaction-gas": _gas, "self-heating": _self_heating}[name]
    return Check(
        name,
        state,
        place,
        subject,
        f"charge.{place}",
        quantity,
        figure,
        limit_from_rule(heat.ledger(), name),
        say(heat, figure),
        sense_of_rule(heat.tables, name),
        _notes(heat),
    )


def _notes(heat: RouteHeat) -> tuple[str, ...]:
    return (str(heat.reaction),) if isinstance(heat.reaction, Reaction) else ()


def heat_words(heat: RouteHeat) -> str | None:
    """The reaction with its heat, without an end; None where it is not known."""
    figure = heat.per_mole()
    if isinstance(heat.reaction, Missing) or figure.missing:
        return None
    free = _middle(figure.said["metal"]) > 0
    of = heat.rig.aim.metal if free else heat.reaction.reactants[0][1]
    value = _middle(figure.values) / 1e3
    verb = "takes in" if value > 0 else "sets free"
    number = f"{abs(value):.0f}" if abs(value) >= 10 else f"{abs(value):.2g}"
    return f"{heat.reaction} {verb} {number} kJ per mole of {of}"


def _heat(heat: RouteHeat, figure: Figure) -> str:
    said = heat_words(heat)
    if said is None or figure.missing:
        return "whether this charge gives heat or takes it is not known: it may run away."
    sides = _largest(figure)
    if sides is not None:
        said += f"; {_named(sides)} adds {plain(_middle(figure.said[sides]) / 1e3)} J a gram"
    return f"{said}{_unsure(figure)}: {_throttle(heat, figure)}."


def _throttle(heat: RouteHeat, figure: Figure) -> str:
    """What leads the reaction."""
    if float(np.quantile(figure.values, 1 - TAIL)) <= 0:
        return "the furnace is the throttle, it cannot run away by itself; moisture or a wrong salt can"
    if _middle(figure.values) <= 0:
        return "whether it gives heat or takes it is within what is not known of it"
    if _middle(figure.values) > limit_from_rule(heat.ledger(), "reaction-heat").value:
        return "once it has started nothing outside can lead it"
    return "once it has started the furnace leads it in part only"


def _unsure(figure: Figure) -> str:
    return "" if figure.recalled is None else " by figures from memory that no text confirms"


def _largest(figure: Figure) -> str | None:
    """The key of the impurity that gives most, if it gives enough to be named."""
    parts = {key: _middle(values) for key, values in figure.said.items() if key != "main"}
    if not parts:
        return None
    key = max(parts, key=lambda each: parts[each])
    return key if parts[key] > _WORTH_SAYING * abs(_middle(figure.values)) else None


def _named(key: str) -> str:
    """charge.RbCl.contains.K2CO3: K2CO3 in the RbCl."""
    _, reagent, *contained = key.split(".")
    return f"{contained[-1]} in the {reagent}" if contained else reagent


def _gas(heat: RouteHeat, figure: Figure) -> str:
    if figure.missing:
        return "what gas this charge frees is not known."
    volume = _middle(figure.values) * sum(each.mass.best for each in heat.rig.charge) * _MOLAR_VOLUME
    if volume <= 0:
        return "neither the reaction nor what is in the salt frees gas; moisture is counted by itself."
    from_ = _largest(figure)
    where = "from the reaction itself" if from_ is None else f"at worst, most of it from {_named(from_)}"
    return f"{_volume(volume)} from the whole charge, {where}: it lifts powder and fills what is shut."


def _volume(litres: float) -> str:
    return f"{plain(litres)} L" if litres >= 1 else f"{plain(litres * 1e3)} mL"


def _self_heating(_: RouteHeat, figure: Figure) -> str:
    if figure.missing:
        if any("hotter than" in each.says for each in figure.missing):
            return "left to itself it gets hotter than our tables reach: white hot."
        return "how far this charge heats itself is not known."
    start, end = (_middle(figure.said[name]) - _CELSIUS for name in ("start", "end"))
    if _middle(figure.values) <= 0:
        return f"it cools itself{_unsure(figure)}: where the furnace stops, so does the reaction."
    hot = figure.said.get("end top")
    more = ""
    if hot is not None and np.all(np.isfinite(hot)):
        more = f"; starting only at the set-point it would reach {_middle(hot) - _CELSIUS:.0f} degC"
    return f"were all of it to react at once it would go from {start:.0f} to {end:.0f} degC by itself{more}."


def _middle(values: Array) -> float:
    return float(np.median(values))
