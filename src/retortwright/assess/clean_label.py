# SPDX-License-Identifier: MIT
"""Question 3, the statement for the label, and the form in which the metal lands."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from retortwright.assess import clean_words as words
from retortwright.assess.check import Check, limit_from_rule, plain_limit
from retortwright.assess.clean_check import made
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing, Row
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.crossing import Crossing, crossing_of
from retortwright.situation.drains import melted_share
from retortwright.situation.purity import PurityWork
from retortwright.situation.purity_figures import everything, sum_of_limits
from retortwright.situation.returning import stays_solid
from retortwright.situation.saturation import pure_metal

__all__ = ["form_checks", "label_checks"]

_DUST = 1.0  # Pa at the triple point, from which on a metal can land as dust or crystals beside its liquid
_LOW = 800.0  # K: a metal that melts below it is run off as a liquid by practice
_STATED = "other metals in the salt count as far as the file states them under `contains`"


def label_checks(work: PurityWork) -> Iterator[Check]:
    """All that is counted beside the metal, against all that the grade allows together."""
    figure, ledger = everything(work), work.ledger()
    limit = plain_limit(ledger, sum_of_limits(work, ledger), "grade, all together")
    subject, because = f"all that is counted besides the {work.metal}", words.label(work, figure)
    yield made(
        work, "purity", "aim.metal", subject, "share", figure, limit, because, (_STATED, *words.NOT_KNOWN)
    )


def form_checks(work: PurityWork) -> Iterator[Check]:
    """Crystals and dust beside a liquid, of a metal that can land as either."""
    crossing = crossing_of(work.situation, work.state)
    if isinstance(crossing, Missing) or stays_solid(crossing) is not None:
        return
    ledger = crossing.ledger()
    caught = ledger.row("metals", work.metal, "caught-as")
    if isinstance(caught, Row) and caught.data != "liquid":
        return
    pure = pure_metal(Chemistry(ledger), work.metal)
    if pure is None or float(np.median(pure.triple_pressure())) < _DUST:
        return
    triple, melting = pure.triple_pressure(), crossing.melting(ledger)
    solid = 1.0 - melted_share(crossing, melting)
    asked = _asks_liquid(crossing, melting)
    figure = crossing.figure(ledger, solid if asked else np.zeros(ledger.draws.size), {"solid": solid})
    first = crossing.vapour.ways.ways[0].receiver
    row = crossing.tree.instances[first].row.name
    subject = f"{work.metal} that lands as crystals or dust where a liquid is wanted"
    because = _form_words(crossing, solid, triple, melting, asked)
    limit = limit_from_rule(work.ledger(), "form")
    yield made(work, "form", f"piece.{row}", subject, "portion", figure, limit, because)


def _asks_liquid(crossing: Crossing, melting: float) -> bool:
    """Whether the metal is to run: it melts low by practice, or something is held above its melting point."""
    running = next(each.running for each in crossing.rig.states if each.name == crossing.state)
    held = [each.holds for each in crossing.rig.heat if each.holds is not None and each.name in running]
    return melting < _LOW or any(each >= melting for each in held)


def _form_words(crossing: Crossing, solid: Array, triple: Array, melting: float, asked: bool) -> str:
    metal, least = crossing.metal, float(np.median(triple))
    over, share = float(np.median(crossing.vapour.pressure)), float(np.median(solid))
    stands = f"its vapour stands at {over:.2g} Pa in the retort, {least:.2g} Pa at its triple point"
    if over <= least:
        wish = (
            "where a liquid is wanted: a hotter charge or a narrower line"
            if asked
            else "on a sleeve that can be pulled"
        )
        return f"{stands}: crystals only, {wish}."
    where = f"{metal} lands liquid on walls above {melting - 273.15:.0f} degC and as crystals or dust on colder ones"
    ends = (
        ""
        if asked
        else "; a crust is what such a metal is taken as: let it land on a sleeve that can be pulled"
    )
    return f"{stands}: {where}, {share:.0%} of it here{ends}."
