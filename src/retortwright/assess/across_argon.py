# SPDX-License-Identifier: MIT
"""Question 2 in a state in which argon flows: what it carries off. Where vapour lands in it is not computed."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from retortwright.assess import across_words as words
from retortwright.assess.check import Check, limit_from_rule, plain_limit, sense_of_rule
from retortwright.belief.believed import Ledger
from retortwright.reference.datum import Missing
from retortwright.situation.charge import charge_of
from retortwright.situation.crossing import blank
from retortwright.situation.situation import Situation
from retortwright.situation.sweeping import sweep_of

__all__ = ["argon_checks"]

_FOG = "fog is not in it: in fast argon 5 to 20 % of the metal go with it as fog, by practice"
_WALLS = "by the walls as they are without the heat of vapour"


def argon_checks(situation: Situation, state: str) -> Iterator[Check]:
    """The vapour that argon carries off, where it flows."""
    if "argon" not in next(each.running for each in situation.rig.states if each.name == state):
        return
    sweep, ledger = sweep_of(situation, state), Ledger(situation.rig, situation.tables, situation.draws)
    share, amount = limit_from_rule(ledger, "argon-carries").value, situation.rig.aim.amount
    product = charge_of(situation).product()
    wanted = product.values if amount is None else np.full(ledger.draws.size, amount)
    if amount is None:
        ledger.used |= {belief.name: belief for belief in product.inputs}
        ledger.cites |= product.cites
        ledger.missing += list(product.missing)
    yield Check(
        "argon-carries",
        state,
        "argon",
        f"{situation.rig.aim.metal} that argon carries off as vapour",
        "plant.argon",
        "mass",
        blank(situation, sweep) if isinstance(sweep, Missing) else sweep.carried,
        plain_limit(ledger, share * wanted, "share of the product"),
        words.argon(situation, None if isinstance(sweep, Missing) else sweep),
        sense_of_rule(situation.tables, "argon-carries"),
        (_FOG, _WALLS),
    )
