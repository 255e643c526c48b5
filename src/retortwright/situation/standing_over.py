# SPDX-License-Identifier: MIT
"""What stands over the charge of a run as it is spent, at any temperature, and what has come along by then.

One salt and one reductant by their own equilibrium; a metal that is distilled once more by its saturation;
every other charge by its course at the hottest set-point (see charge_course). From a course the pressure
runs straight in its logarithm over 1/T between what stands over the charge there, 70 and 140 K colder, and beyond.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.middles import known_middle
from retortwright.reference.datum import Missing
from retortwright.situation.charge_course import ChargeCourse, CourseFigure, charge_course
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.crossing import Crossing
from retortwright.situation.equilibrium import charge_equilibrium
from retortwright.situation.over_charge import OverCharge, over_charge, over_course, places_of
from retortwright.situation.reaction import ReactionWork, carried_share, product_pressure
from retortwright.situation.reaction_course import METALLOIDS, carried_mass, element_mass
from retortwright.situation.route import Route, main_pair

__all__ = ["StandingOver", "course_besides", "standing_over"]

_LITTLE = 0.01  # of the pressure over the fresh charge: what cannot be shown after it has fallen so far counts as none
_TRACE = 1e-4  # of the mass of the product, from which on a metal that comes along is told


@dataclass(frozen=True, slots=True)
class StandingOver:
    """The pressures, and what has come along when equal shares of what comes have left."""

    over: OverCharge
    besides: Mapping[str, Array]  # kg of reductant, salt and other metals by symbol, (shares, samples)
    course: ChargeCourse | None  # where it comes from one


def standing_over(
    crossing: Crossing, ledger: Ledger, share: Array, metal: Array, top: Array
) -> StandingOver | Missing:
    """What stands over a charge of which a `share` of its `metal` [kg] comes in all, `top` [K] at its hottest."""
    if crossing.charge.redistils:
        _, temperatures = places_of(share, top)
        own = crossing.vapour.stream.saturation.pressure(temperatures)
        blank = np.zeros((len(places_of(share, top)[0]), 1, 1))
        return StandingOver(over_charge(np.asarray(own + blank), own, top), {}, None)
    work = ReactionWork(crossing.situation)
    lacks = work.route if isinstance(work.route, Missing) else work.besides()
    if lacks is None and isinstance(work.route, Route):
        own_ledger = crossing.plain_ledger()
        found = _explicit(crossing, own_ledger, work.route, (share, metal, top))
        if found is not None:
            _take_over(ledger, own_ledger)
            return found
    return _by_course(crossing, ledger, (share, metal, top))


def _explicit(
    crossing: Crossing, ledger: Ledger, route: Route, amounts: tuple[Array, Array, Array]
) -> StandingOver | None:
    """By the equilibrium of one salt and one reductant; None where that does not serve."""
    share, metal, top = amounts
    shares, temperatures = places_of(share, top)
    every = np.concatenate([temperatures, top[None]])
    equilibrium = charge_equilibrium(Chemistry(ledger), route, every[:, None, :])
    if equilibrium is None:
        return None
    vapours = equilibrium.at(shares[None])
    product = np.moveaxis(product_pressure(vapours, route), 0, 1)
    besides = {
        what: _along(
            shares, np.moveaxis(carried_share(crossing.tables, vapours, route, what), 0, 1)[:, -1], metal
        )
        for what in ("reductant", "salt")
    }
    pure = crossing.vapour.stream.saturation.pressure(temperatures)
    over = over_charge(product[:, :-1], pure, top)
    if not np.all(np.isfinite(over.logarithm)):
        return None  # beyond the data of its salts on the way to the set-point
    return StandingOver(over, besides, None)


def _along(shares: Array, ratio: Array, metal: Array) -> Array:
    """Mass that has come along when shares of the metal have left, (shares, samples) [kg]."""
    steps = np.diff(shares, axis=0) * (ratio[1:] + ratio[:-1]) / 2
    return np.concatenate([np.zeros((1, shares.shape[1])), np.cumsum(steps, axis=0)]) * metal


def _by_course(
    crossing: Crossing, ledger: Ledger, amounts: tuple[Array, Array, Array]
) -> StandingOver | Missing:
    """By the course of the charge."""
    share, _, top = amounts
    found = charge_course(crossing.situation, top)
    if isinstance(found, Missing):
        return found
    course, (shares, _) = found.course, places_of(share, top)
    within = np.minimum(shares, course.taken[-1, 0])  # the last hundredth as what is left before it
    found_at, temperatures = course.colder(within)
    own = found_at[0]
    lost = ~np.isfinite(own) & ~course.ends_before(within)
    lost &= ~(_last_known(own) < own[0] + np.log(_LITTLE))
    if lost.any() or not np.isfinite(found_at[:, np.isfinite(own)]).all():
        return _reason(found)
    pure = crossing.vapour.stream.saturation.pressure(temperatures)
    _written(ledger, found)
    return StandingOver(over_course(found_at, pure, temperatures), _besides(crossing, found, shares), course)


def _last_known(logarithm: Array) -> Array:
    """The last that is known, carried on along the first axis."""
    known = logarithm.copy()
    for place in range(1, len(known)):
        known[place] = np.where(np.isfinite(known[place]), known[place], known[place - 1])
    return known


def _reason(found: CourseFigure) -> Missing:
    says = "what stands over this charge colder than at its hottest could not be shown by computation"
    return next(iter(found.missing), Missing("charge", says))


def course_besides(crossing: Crossing, ledger: Ledger, share: Array, top: Array) -> dict[str, Array]:
    """What comes along with a charge by its course, as in `StandingOver`; nothing where that is not known."""
    found = charge_course(crossing.situation, top)
    if isinstance(found, Missing):
        return {}
    besides = _besides(crossing, found, places_of(share, top)[0])
    if besides:
        _written(ledger, found)
    return besides


def _besides(crossing: Crossing, found: CourseFigure, shares: Array) -> dict[str, Array]:
    """Mass that has come along when shares of the metal have left, (shares, samples) [kg]."""
    course, tables = found.course, crossing.tables
    comes = np.maximum(course.comes, course.taken[0, 0])
    gone = course.gone_by(np.minimum(shares, comes))
    pair, besides = main_pair(crossing.rig, tables), {}
    if not isinstance(pair, Missing):
        for what in ("reductant", "salt"):
            besides[what] = carried_mass(tables, course.metal, pair, what, gone)
    least = _TRACE * known_middle(element_mass(tables, course.metal, gone)[-1])
    for element in course.gone:
        told = element in METALLOIDS or element == course.metal
        if not told and (isinstance(pair, Missing) or element != pair[1]):
            mass = element_mass(tables, element, gone)
            if np.median(mass[-1]) > least:
                besides[element] = mass
    return {what: each for what, each in besides.items() if np.isfinite(each).all()}


def _written(ledger: Ledger, found: CourseFigure) -> None:
    ledger.used |= {belief.name: belief for belief in found.inputs}
    ledger.cites |= found.cites


def _take_over(ledger: Ledger, own: Ledger) -> None:
    ledger.used |= own.used
    ledger.cites |= own.cites
