# SPDX-License-Identifier: MIT
"""Figures of what lands with the product: each kind at the planned stop, where a grade ends, all together."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.physics.carry_over import simple_distillate
from retortwright.reference.datum import Missing
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.purity import Landed, PurityWork, clean_to
from retortwright.situation.purity_again import best_cuts, volatility_of
from retortwright.situation.purity_gas import forms_nitride, gas_taken
from retortwright.situation.purity_inputs import major_only
from retortwright.situation.purity_vapour import Kind
from retortwright.situation.reaction import ReactionWork

__all__ = [
    "SORTS",
    "came_over",
    "carry_over",
    "clean_until",
    "everything",
    "grade_limit",
    "heart_of",
    "other_metals",
    "sort_of",
    "stated",
    "sum_of_limits",
]

_NOTHING = 1e-10  # mass over that of the product: less is none
SORTS = ("reductant", "salt", "neighbours")


def grade_limit(work: PurityWork, ledger: Ledger, what: str, grade: str | None = None) -> Array:
    """What a grade (the one that is wanted) allows, over the samples."""
    grade = grade or work.rig.aim.grade
    if grade is None:
        says = "how clean the metal has to be is not said: aim.grade"
        ledger.missing.append(Missing("aim.grade", says))
        return np.full(ledger.draws.size, np.nan)
    return ledger.sampled(f"grade.{grade}.{what}", "grades", grade, what, 0.0, 1.0)


def carry_over(work: PurityWork, kind: Kind) -> Figure:
    """Mass of one kind over that of the product when the run is to stop."""
    return work.situation.once(f"carry-over {work.state} {kind}", lambda: _carry_over(work, (kind,)))


def other_metals(work: PurityWork) -> Figure:
    """The same of all other metals but the reductant, together; each of them said by its formula."""
    landed = work.landed(work.ledger())
    kinds = () if landed is None else tuple(each for each in landed.shares if each.sort == "neighbours")
    return work.situation.once(f"other metals {work.state}", lambda: _carry_over(work, kinds))


def _carry_over(work: PurityWork, kinds: tuple[Kind, ...]) -> Figure:
    ledger = work.ledger()
    landed = work.landed(ledger)
    if landed is None:
        return figure_of(ledger, np.full(ledger.draws.size, np.nan))
    total, said = np.zeros(ledger.draws.size), {"stop": landed.stop, "lag": landed.lag}
    said |= {"temperature": landed.temperature, "least": np.zeros(ledger.draws.size)}
    for kind in kinds:
        own = landed.at_stop(landed.shares[kind])
        said[kind.formula] = own
        said[f"{kind.formula} then"] = landed.at_stop(landed.moment[kind])
        said[f"{kind.formula} at equilibrium"] = landed.at_stop(landed.left_charge[kind])
        said[f"{kind.formula} past"] = landed.past[kind]
        said["least"] = said["least"] + landed.least_at_stop(kind)
        total = total + own
    if all(kind.sort != "neighbours" for kind in kinds):
        ledger.used = major_only(ledger.used.values(), landed.minor)
    return figure_of(ledger, total, said)


def clean_until(work: PurityWork, grade: str | None = None) -> Figure:
    """Product that has landed when the first kind comes to the limit of a grade [kg]; said by kind.

    All that the charge gives where none does, and no less than what is wanted.
    """
    ledger = work.ledger()
    landed = work.landed(ledger)
    freed, _ = work.charge.freed(ledger)
    if landed is not None and landed.lacks is not None:
        ledger.missing.append(landed.lacks)
    if landed is None or ledger.missing:
        return figure_of(ledger, np.full(ledger.draws.size, np.nan))
    most = np.minimum(freed / work.charge.metal_in(ledger), landed.taken[-1])
    whole = np.maximum(work.product_at(ledger, most), work.wanted(ledger))
    said, worst = {"whole": whole}, np.zeros((1, ledger.draws.size))
    for sort, share in _by_sort(landed).items():
        over = share / grade_limit(work, ledger, sort, grade)
        worst = np.maximum(worst, over)
        said[sort] = _product_until(work, ledger, landed, over, most, whole)
    return figure_of(ledger, _product_until(work, ledger, landed, worst, most, whole), said)


def _product_until(
    work: PurityWork, ledger: Ledger, landed: Landed, over: Array, most: Array, whole: Array
) -> Array:
    """Product that may be taken until something is over its limit [kg]; all of it where it never is."""
    over = np.broadcast_to(over, (len(landed.taken), ledger.draws.size))
    until = clean_to(landed.taken, over)
    known = _known_to(landed, over)
    product = np.where(until >= np.minimum(most, known), whole, work.product_at(ledger, until))
    lost = (until >= known) & (landed.known_to < most)
    return np.where(lost, np.nan, product)


def _known_to(landed: Landed, share: Array) -> Array:
    """The last share taken at which there is a number."""
    known = np.isfinite(share)
    return np.where(known.any(axis=0), landed.taken[len(known) - 1 - np.argmax(known[::-1], axis=0)], 0.0)


def _by_sort(landed: Landed) -> Mapping[str, Array]:
    """What lands of each class of a grade."""
    found: dict[str, Array] = {}
    for kind, share in landed.shares.items():
        found[kind.sort] = found.get(kind.sort, np.zeros(share.shape)) + share
    return found


def stated(work: PurityWork) -> tuple[str, ...]:
    """What the file says to be in a metal that is distilled once more, but what holds hydrogen."""
    inside = work.charge.reagent(work.metal).contains
    return tuple(name for name in inside if "H" not in elements_of(name))


def sort_of(name: str) -> str:
    """The class of the grades that an impurity of a metal belongs to."""
    return "neighbours" if len(elements_of(name)) == 1 else "salt"


def came_over(work: PurityWork, name: str) -> Figure:
    """An impurity of a metal that is distilled once more, over the metal that has come when the run is to stop."""
    return work.situation.once(f"came over {work.state} {name}", lambda: _came_over(work, name))


def _came_over(work: PurityWork, name: str) -> Figure:
    ledger = work.ledger()
    start, volatility, hot = _in_the_pot(work, ledger, name)
    stop = work.stop(ledger)
    said = {"start": start, "volatility": volatility, "stop": stop, "temperature": hot}
    share = np.asarray(start * simple_distillate(0.0, stop, volatility))
    return figure_of(ledger, np.where(share < _NOTHING, 0.0, share), said)


def _in_the_pot(work: PurityWork, ledger: Ledger, name: str) -> tuple[Array, Array, Array]:
    """Mass of an impurity over that of the metal in the charge, its volatility, the temperature."""
    reagent = work.charge.reagent(work.metal)
    start = work.charge.contained(ledger, reagent)[name] / work.charge.assay(ledger, reagent)
    hot = ReactionWork(work.situation).charge_temperature(ledger)
    return start, volatility_of(ledger, work.metal, name, start, hot), hot


def heart_of(work: PurityWork) -> Figure:
    """Metal in the largest heart that is clean enough [kg]; said: heads, tails and what is kept, as shares."""
    ledger = work.ledger()
    shares, volatility, limits = {}, {}, {}
    for name in stated(work):
        shares[name], volatility[name], _ = _in_the_pot(work, ledger, name)
        limits[name] = grade_limit(work, ledger, sort_of(name))
    kept, begins, ends = (
        each + np.zeros(ledger.draws.size) for each in best_cuts(shares, volatility, limits)
    )
    said = {"heads": begins, "tails": 1.0 - ends, "kept": kept}
    return figure_of(ledger, work.product_at(ledger, kept), said)


def everything(work: PurityWork) -> Figure:
    """All that is counted besides the product, over its mass, when the run is to stop; said by its kind."""
    ledger = work.ledger()
    figures: dict[str, Figure] = {}
    if work.charge.redistils:
        figures = {name: came_over(work, name) for name in stated(work)}
    else:
        landed = work.landed(ledger)
        kinds = () if landed is None else tuple(landed.shares)
        ledger.missing += [landed.lacks] if landed is not None and landed.lacks is not None else []
        figures = {kind.formula: carry_over(work, kind) for kind in kinds}
    for element in ("oxygen", "nitrogen") if forms_nitride(work) else ("oxygen",):
        figures[element] = gas_taken(work, element)
    total, said = np.zeros(ledger.draws.size), {}
    for name, figure in figures.items():
        ledger.used |= {belief.name: belief for belief in figure.inputs}
        ledger.cites |= figure.cites
        ledger.missing += [each for each in figure.missing if each not in ledger.missing]
        said[name], total = figure.values, total + figure.values
    return figure_of(ledger, total, said)


def sum_of_limits(work: PurityWork, ledger: Ledger) -> Array:
    """What the grade allows of all that is counted, together."""
    names = (*SORTS, "oxygen", *(("nitrogen",) if forms_nitride(work) else ()))
    return np.asarray(sum((grade_limit(work, ledger, name) for name in names), np.zeros(ledger.draws.size)))
