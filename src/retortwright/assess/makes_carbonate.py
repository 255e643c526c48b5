# SPDX-License-Identifier: MIT
"""Question 1, carbonate left in an oxide: gas that no drying takes away, carbide in the slag."""

from __future__ import annotations

from collections.abc import Iterator

from retortwright.assess.check import Check, limit_from_rule, sense_of_rule
from retortwright.assess.makes_charge_words import grams, middle, plain
from retortwright.belief.believed import Ledger
from retortwright.physics.constants import ATMOSPHERE, GAS_CONSTANT
from retortwright.reference.compounds import class_of
from retortwright.reference.datum import Row, number_of
from retortwright.rig.parts import Reagent
from retortwright.situation.charge import charge_of
from retortwright.situation.figure import figure_of
from retortwright.situation.gasloads import STATED
from retortwright.situation.situation import Situation
from retortwright.situation.takers import molar
from retortwright.situation.timing import hottest_state

__all__ = ["carbonate_checks"]

_CELSIUS = 273.15


def carbonate_checks(situation: Situation) -> Iterator[Check]:
    """One for each carbonate that a reagent contains; none of what is weighed as a carbonate: that is a route."""
    state = hottest_state(situation.rig)
    if state is None:
        return
    for reagent in situation.rig.charge:
        for name in reagent.contains:
            if class_of(situation.tables, name) == "carbonate":
                yield _left(situation, reagent, name, state)


def _left(situation: Situation, reagent: Reagent, name: str, state: str) -> Check:
    picture = charge_of(situation)
    ledger = picture.ledger()
    share = picture.contained(ledger, reagent)[name]
    mass = picture.mass(ledger, reagent) * share
    moles = mass / molar(ledger, name)
    limit = limit_from_rule(ledger, "carbonate")
    gas = middle(moles) * GAS_CONSTANT * STATED / ATMOSPHERE * 1e6
    because = (
        f"{grams(middle(mass))} {name} in the {reagent.formula} give {plain(gas)} mL of carbon dioxide, or twice as "
        "much monoxide where metal takes the oxygen: a gas peak without water. Carbide in the slag gives acetylene "
        f"when it is quenched. {_fire(ledger, name)}"
    )
    key = f"charge.{reagent.formula}.contains.{name}"
    subject = f"{name} left in the {reagent.formula}"
    figure = figure_of(ledger, share, {"mass": mass, "moles": moles})
    sense = sense_of_rule(situation.tables, "carbonate")
    return Check(
        "carbonate", state, f"{reagent.formula}.{name}", subject, key, "portion", figure, limit, because, sense, ()
    )


def _fire(ledger: Ledger, name: str) -> str:
    row = ledger.row("charges", name, "fires")
    if not isinstance(row, Row):
        return "Fire it until its weight stays."
    hot = number_of(row).best - _CELSIUS
    return f"Fire it at {hot:.0f} degC until its weight stays, let it cool under argon, load it at once."
