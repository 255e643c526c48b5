# SPDX-License-Identifier: MIT
"""What stands over a charge of more than one salt and one reductant, from its course.

Mixed salts, a third substance, oxides whose slag binds, carbonate left in an oxide, a metal that is
distilled once more: the general equilibrium says what stands over them while vapour is taken away.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.ground.middles import known_middle
from retortwright.reference.datum import Missing
from retortwright.reference.species import name_parts
from retortwright.reference.tables import Tables
from retortwright.situation.any_charge import unmixed_metals
from retortwright.situation.charge import needed_conversion
from retortwright.situation.charge_course import ChargeCourse, CourseFigure, charge_course
from retortwright.situation.equilibrium import Vapours
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.route import main_pair, molar_mass

if TYPE_CHECKING:
    from retortwright.situation.reaction import ReactionWork

__all__ = ["METALLOIDS", "carried_mass", "course_carried", "course_pressure", "element_mass", "taken_as_pure"]

_NOTHING = 1e-6  # Pa: the pressure of a metal that does not come any more
_SAID = 0.005  # of the mass of the product, or of the pressure: what is more is said
# All other elements are metals.
METALLOIDS = frozenset({"H", "C", "N", "O", "F", "Cl", "Br", "I", "S", "Si", "Ar"})


def taken_as_pure(work: ReactionWork) -> tuple[str, ...]:
    """Pairs of metals, one of which was weighed as such, that are reckoned as pure, written `Al and Ba`."""
    weighed = {each.formula for each in work.rig.charge}
    amounts = {each.formula: 1.0 for each in work.rig.charge}
    return tuple(
        f"{one} and {other}" for one, other in unmixed_metals(work.tables, amounts) if {one, other} & weighed
    )


def course_pressure(work: ReactionWork, late: bool, fresh: float) -> Figure:
    """Pressure of the product over the charge, fresh or when as much has left as is wanted [Pa].

    Said besides: other gases, and by their mass the other metals in what has come over until then.
    """
    ledger = work.ledger()
    left = needed_conversion(work.situation, ledger) if late else np.full(ledger.draws.size, fresh)
    temperature = work.charge_temperature(ledger)
    found = _course(work, ledger, temperature)
    if found is None:
        return figure_of(ledger, np.full(ledger.draws.size, np.nan))
    course = found.course
    values = course.pressure(left, temperature)
    values = np.where(course.ends_before(left), _NOTHING, values)
    _followed(ledger, found, left, values)
    said = {"left": left, "temperature": temperature, "saturated": _saturated(course), "comes": course.comes}
    return figure_of(ledger, values, said | dict(_besides(work, course, left, values)))


def course_carried(work: ReactionWork, what: str) -> Figure:
    """Mass of `reductant` or `salt` that leaves with the product until enough has left, over the product's."""
    ledger = work.ledger()
    pair = main_pair(work.rig, work.tables)
    if isinstance(pair, Missing):
        ledger.missing.append(pair)
    left = needed_conversion(work.situation, ledger)
    temperature = work.charge_temperature(ledger)
    found = _course(work, ledger, temperature)
    if found is None or isinstance(pair, Missing):
        return figure_of(ledger, np.full(ledger.draws.size, np.nan))
    course = found.course
    share = np.minimum(left, np.maximum(course.comes, course.taken[0, 0]))
    values = _over_product(work, pair, what, course.gone_by(share))
    step = np.clip(np.searchsorted(course.taken[:, 0], share), 0, len(course.taken) - 1)
    column = np.arange(ledger.draws.size)
    late = {name: each[step, column] for name, each in course.pressures.items()}
    last = _over_product(work, pair, what, late)
    _followed(ledger, found, share, values)
    return figure_of(ledger, values, {"left": share, "last": last, "temperature": temperature})


def _over_product(
    work: ReactionWork, pair: tuple[str, str], what: str, gases: Mapping[str, Array]
) -> Array:
    metal = work.rig.aim.metal
    mass = carried_mass(work.tables, metal, pair, what, gases)
    return np.asarray(mass / element_mass(work.tables, metal, gases))


def carried_mass(
    tables: Tables, metal: str, pair: tuple[str, str], what: str, gases: Mapping[str, Array]
) -> Array:
    """Mass in some moles of gases of the `reductant`, with the oxygen of its suboxides, or of the `salt` [kg].

    The salt is counted by its halogen or, where it has none, its oxygen; nan where it has neither.
    """
    salt, reductant = pair
    if what == "reductant":
        oxygen = _vapours(gases).atoms("O", beside=reductant) * molar_mass(tables, "O")
        return np.asarray(element_mass(tables, reductant, gases) + oxygen)
    counts = elements_of(salt)
    anion = next((each for each in ("F", "Cl", "Br", "I") if each in counts), "O")
    if anion not in counts:
        return np.full(np.shape(next(iter(gases.values()))), np.nan)
    taken = {name: each for name, each in gases.items() if metal in elements_of(name_parts(name)[0])}
    vapours = _vapours(taken if anion == "O" else gases)
    moles = vapours.atoms(anion, without=reductant if anion == "O" else None) / counts[anion]
    return np.asarray(moles * molar_mass(tables, salt))


def element_mass(tables: Tables, element: str, gases: Mapping[str, Array]) -> Array:
    """Mass of an element in some moles of gases [kg]."""
    return np.asarray(_vapours(gases).atoms(element) * molar_mass(tables, element))


def _vapours(gases: Mapping[str, Array]) -> Vapours:
    nothing = np.zeros(1)
    return Vapours(gases, nothing, nothing, nothing, nothing)


def _course(work: ReactionWork, ledger: Ledger, temperature: Array) -> CourseFigure | None:
    """The course, with what it was made from written down."""
    if ledger.missing:
        return None
    found = charge_course(work.situation, temperature)
    if isinstance(found, Missing):
        ledger.missing.append(found)
        return None
    ledger.used |= {belief.name: belief for belief in found.inputs}
    ledger.cites |= found.cites
    return found


def _followed(ledger: Ledger, found: CourseFigure, share: Array, values: Array) -> None:
    """Writes down why there is no number."""
    if np.isfinite(values).all():
        return
    last = found.course.taken[-1, 0]
    if np.any(share > last):
        says = f"all of the metal in the charge would be needed: it is followed until {last:.0%} has left"
        ledger.missing.append(Missing("aim.amount", says))
    ledger.missing += found.missing


def _saturated(course: ChargeCourse) -> Array:
    """Whether free metal lies in the charge when it is fresh."""
    own = [each[0] for name, each in course.contents.items() if name_parts(name)[0] == course.metal]
    return np.asarray(sum(own, np.zeros(course.temperature.shape)) > 0).astype(float)


def _besides(
    work: ReactionWork, course: ChargeCourse, left: Array, values: Array
) -> Iterator[tuple[str, Array]]:
    """Other metals in the product, and gases that no receiver holds."""
    if np.all(np.isnan(values)):
        return  # nothing comes of which anything could be told
    masses = {each: molar_mass(work.tables, each) for each in course.gone}
    share = np.minimum(left, np.maximum(course.comes, course.taken[0, 0]))
    for element, mass in course.others(share, masses).items():
        if element not in METALLOIDS and known_middle(mass) > _SAID:
            yield f"mass {element}", mass / (1 + mass)
    step = np.clip(np.searchsorted(course.taken[:, 0], share), 0, len(course.taken) - 1)
    column = np.arange(len(share))
    for name, each in course.pressures.items():
        gas = each[step, column]
        apart = METALLOIDS.issuperset(elements_of(name_parts(name)[0]))
        if apart and known_middle(gas) > _SAID * known_middle(values):
            yield f"gas {name_parts(name)[0]}", gas
