# SPDX-License-Identifier: MIT
"""The charge while its metal leaves: what stands over it, what is left in it, what has gone.

The vapour is taken away as it forms, at one temperature, and is well mixed: each gas leaves in
proportion to its partial pressure. That is viscous flow; where molecules hit walls more often than
one another each would count by its pressure over the root of its molar mass, which is not reckoned.
What forms gas first (hydrogen from water, carbon monoxide from carbonate) goes first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from retortwright.belief.beliefs import Belief
from retortwright.ground.arrays import Array, Real
from retortwright.ground.formula import elements_of
from retortwright.ground.ranges import Mask, quietly
from retortwright.reference.datum import Missing
from retortwright.reference.species import Species, find_species, name_parts
from retortwright.reference.tables import Tables
from retortwright.situation.any_charge import AnyCharge, any_charge
from retortwright.situation.charge import charge_of
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.taking_away import CARRIER, Taken, standing, taken_away
from retortwright.situation.weighed import of_no_account, weighed
from retortwright.situation.what_matters import rests_on

if TYPE_CHECKING:
    from retortwright.situation.situation import Situation

__all__ = ["REACH", "SHARES", "ChargeCourse", "CourseFigure", "charge_course"]

# Of the wanted metal that has left; the first is next to nothing.
SHARES = np.array([1e-4, 0.04, 0.12, 0.22, 0.32, 0.42, 0.52, 0.61, 0.68, 0.75, 0.82, 0.88, 0.93, 0.97, 0.99])
REACH = 150.0  # K, how far from the temperature of a course its pressures may be asked
_ASIDE = 100.0  # K, where they are computed besides
_COLDEST, _COLDER = 140.0, (0.0, 0.5, 1.0)  # K, and parts of the way there in 1/T
_ALIKE = 0.02  # of a pressure: a step that stands so near one before it does so at other temperatures too


@dataclass(frozen=True, slots=True)
class ChargeCourse:
    """The charge while its vapour is taken away at one temperature, every volatile thing in proportion."""

    temperature: Array  # of the charge (samples,) [K]
    taken: Array  # (steps, 1): share of the wanted metal's atoms in the charge that has left
    pressures: Mapping[str, Array]  # each gas (steps, samples) [Pa]: what stands over the charge then
    left: Mapping[str, Array]  # atoms of each element still in the pot (steps, samples) [mol]
    gone: Mapping[str, Array]  # atoms of each element that have left with the vapour (steps, samples) [mol]
    gone_as: Mapping[str, Array]  # the same by gas species (steps, samples) [mol of molecules]
    contents: Mapping[
        str, Array
    ]  # each condensed species in the pot, as the step ends (steps, samples) [mol]
    known: Mask  # (steps, samples); where False everything is nan
    ended: Mask  # (steps, samples): where nothing of the metal comes any more
    metal: str
    aside: Callable[[Real], Array]  # log of the product pressure so many K off, made when first asked

    @property
    def product(self) -> Array:
        """Pressure of the gases that are nothing but the wanted metal (steps, samples) [Pa]."""
        own = [each for name, each in self.pressures.items() if _is_made_of(name, self.metal)]
        return np.asarray(sum(own[1:], own[0]))

    def pressure(self, share: Real, temperature: Real) -> Array:
        """Product pressure [Pa] when a share of the metal has left, at temperatures near that of the course.

        The samples are the last axis. The charge is what the course at its own temperature has left of
        it; nan farther than 150 K from there, and where the course is not known.
        """
        shape = np.broadcast_shapes(np.shape(share), np.shape(temperature), self.temperature.shape)
        kelvin, at = np.broadcast_to(temperature, shape), np.broadcast_to(share, shape)
        with np.errstate(invalid="ignore", divide="ignore"):
            if np.all(np.abs(kelvin - self.temperature) < 1e-6):
                return np.exp(self._between(np.log(self.product), at))
            rows = (self.aside(-_ASIDE), np.log(self.product), self.aside(_ASIDE))
            cold, own, hot = (self._between(each, at) for each in rows)
            places = [1 / (self.temperature + each) for each in (-_ASIDE, 0.0, _ASIDE)]
            straight = np.where(np.isfinite(hot), _line(places[1:], own, hot, 1 / kelvin), np.nan)
            straight = np.where(np.isfinite(straight), straight, _line(places[:2], cold, own, 1 / kelvin))
            bent = _through_three(places, (cold, own, hot), 1 / kelvin)
            found = np.exp(np.where(np.isfinite(bent), bent, straight))
        return np.where(np.abs(kelvin - self.temperature) <= REACH, found, np.nan)

    def colder(self, share: Real) -> tuple[Array, Array]:
        """ln of the product pressure [Pa] when a share has left, at temperatures in equal steps of 1/T, and those [K].

        The temperatures come first, from that of the course to 140 K colder, the samples last; nan where the
        course is not known, and where nothing comes any more.
        """
        at = np.broadcast_to(share, np.broadcast_shapes(np.shape(share), self.temperature.shape))
        inverse, last = 1 / self.temperature, 1 / (self.temperature - _COLDEST)
        kelvin = [1 / (inverse + (last - inverse) * part) for part in _COLDER]
        with np.errstate(invalid="ignore", divide="ignore"):
            rows = [np.log(self.product), *(self.aside(each - self.temperature) for each in kelvin[1:])]
            return np.stack([self._between(each, at) for each in rows]), np.stack(kelvin)

    def gone_by(self, share: Real) -> dict[str, Array]:
        """Moles of each gas that has left when a share of the metal has, straight between the steps.

        The samples are the last axis; before the first step all leave as they do up to it.
        """
        at = np.broadcast_to(share, np.broadcast_shapes(np.shape(share), self.temperature.shape))
        first = np.minimum(at / self.taken[0, 0], 1.0)
        return {name: first * self._between(values, at) for name, values in self.gone_as.items()}

    def ends_before(self, share: Real) -> Mask:
        """Whether nothing of the metal comes any more before a share of it has left."""
        at = np.broadcast_to(share, np.broadcast_shapes(np.shape(share), self.temperature.shape))
        upper = np.clip(np.searchsorted(self.taken[:, 0], at), 0, len(self.taken) - 1)
        return np.asarray(self.ended[upper, np.broadcast_to(np.arange(at.shape[-1]), at.shape)])

    @property
    def comes(self) -> Array:
        """The share of the metal that comes at all, at least (samples,): that of the last step before the end."""
        last = np.where(self.ended.any(0), self.ended.argmax(0), len(self.taken)) - 1
        return np.where(last < 0, 0.0, self.taken[np.maximum(last, 0), 0])

    def others(self, share: Real, masses: Mapping[str, float]) -> dict[str, Array]:
        """Mass of every other element over that of the metal in all that has left until then.

        `masses` are those of a mole of the atoms [kg/mol].
        """
        gone = self.gone_by(share)
        atoms = {element: np.zeros(1) for element in self.gone}
        for name, moles in gone.items():
            for element, count in elements_of(name_parts(name)[0]).items():
                atoms[element] = atoms[element] + count * moles
        metal = atoms[self.metal] * masses[self.metal]
        return {each: atoms[each] * masses[each] / metal for each in atoms if each != self.metal}

    def _between(self, values: Array, share: Array) -> Array:
        """Values of the steps at shares taken: straight between steps; the first step stands for less."""
        taken = self.taken[:, 0]
        upper = np.clip(np.searchsorted(taken, share), 1, len(taken) - 1)
        sample = np.broadcast_to(np.arange(values.shape[1]), share.shape)
        weight = np.maximum((share - taken[upper - 1]) / (taken[upper] - taken[upper - 1]), 0.0)
        low, high = values[upper - 1, sample], values[upper, sample]
        found = np.where(weight == 0.0, low, low + weight * (high - low))
        return np.where((weight <= 1.0) & (share >= 0.0), found, np.nan)


@dataclass(frozen=True, slots=True)
class CourseFigure:
    """A course, and what it was made from: of species and melts those that are there or nearly are."""

    course: ChargeCourse
    inputs: tuple[Belief, ...]
    cites: frozenset[str]
    missing: tuple[Missing, ...]  # why some samples or steps are not known


def charge_course(situation: Situation, temperature: Array) -> CourseFigure | Missing:
    """The course of a charge at temperatures over the samples [K]; made once for each."""
    kelvin = np.broadcast_to(np.asarray(temperature, dtype=float), (situation.draws.size,))
    near = situation.near
    if near is not None and _same_charge(near, situation):
        return charge_course(near, kelvin)
    return situation.once(f"course {kelvin.tobytes().hex()}", lambda: _made(situation, kelvin))


def _same_charge(one: Situation, other: Situation) -> bool:
    """Whether two situations differ only in what no course asks for: pieces, states, plant, times."""
    rigs = [(each.rig.aim.metal, each.rig.charge, each.rig.assume) for each in (one, other)]
    return one.tables is other.tables and rigs[0] == rigs[1] and one.draws == other.draws


def _made(situation: Situation, kelvin: Array) -> CourseFigure | Missing:
    picture = charge_of(situation)
    ledger, metal = picture.ledger(), picture.metal
    amounts = weighed(picture, ledger)
    for name in of_no_account(situation.tables, amounts):
        del amounts[name]
    if not any(metal in elements_of(name) for name in amounts):
        return Missing("charge", f"nothing in the charge holds {metal}")
    if not np.isfinite(kelvin).all():
        return Missing("programme.steps", "how hot the charge gets is not known")
    charge = (
        None
        if ledger.missing
        else any_charge(Chemistry(ledger), {**amounts, CARRIER: np.zeros(1)}, metal, picture.redistils)
    )
    if charge is None:
        return ledger.missing[0]
    if f"{metal}(g)" not in {each.name for each in charge.phases.species}:
        return Missing(f"species/{metal}(g)", f"no thermochemical data of {metal} vapour")
    totals = np.stack([np.broadcast_to(each, kelvin.shape) for each in charge.totals(amounts)], axis=-1)
    taken = taken_away(charge.conditions(kelvin), totals, metal, SHARES)
    course = _told(charge, taken, kelvin, metal)
    missing = (*ledger.missing, *_unknown(course, taken, situation.tables))
    made_from = picture.ledger()
    weighed(picture, made_from)
    rests_on(charge, taken, kelvin, Chemistry(made_from))
    return CourseFigure(course, tuple(made_from.used.values()), frozenset(made_from.cites), missing)


def _told(charge: AnyCharge, taken: Taken, kelvin: Array, metal: str) -> ChargeCourse:
    phases = charge.phases
    names = [each.name for each in phases.species]
    gases = [number for number in range(phases.gases) if names[number] != f"{CARRIER}(g)"]
    elements = [each for each in phases.elements if each != CARRIER]
    atoms = phases.system.atoms[: phases.gases]
    gone = taken.gone @ atoms
    pressures = {names[each]: taken.pressures[..., each] for each in gases}
    return ChargeCourse(
        kelvin,
        SHARES[:, None].copy(),
        pressures,
        {each: taken.left[..., phases.elements.index(each)] for each in elements},
        {each: gone[..., phases.elements.index(each)] for each in elements},
        {names[each]: taken.gone[..., each] for each in gases},
        {name: taken.moles[..., number] for number, name in enumerate(names[phases.gases :])},
        np.asarray(np.isfinite(taken.left).all(-1)),
        taken.ended,
        metal,
        _aside_of(charge, taken, kelvin, metal),
    )


def _aside_of(charge: AnyCharge, taken: Taken, kelvin: Array, metal: str) -> Callable[[Real], Array]:
    known: dict[bytes, Array] = {}

    def made(by: Real) -> Array:
        name = np.asarray(by, dtype=float).tobytes()
        if name not in known:
            known[name] = _aside(charge, taken, kelvin, metal, by)
        return known[name]

    return made


@quietly
def _aside(charge: AnyCharge, taken: Taken, kelvin: Array, metal: str, by: Real) -> Array:
    """Log of the product pressure of what is left at each step, so many K hotter.

    It is computed where the pressure at its own temperature has moved since it last was; between, the two move
    together.
    """
    names = [each.name for each in charge.phases.species[: charge.phases.gases]]
    own = np.log(taken.pressures[..., [_is_made_of(name, metal) for name in names]].sum(-1))
    at, rows = charge.conditions(kelvin + by), np.full(own.shape, np.nan)
    seen, apart = np.full(len(kelvin), np.nan), np.full(len(kelvin), np.nan)
    for step, found in enumerate(taken.found):
        same = (np.abs(own[step] - seen) < _ALIKE) & np.isfinite(apart)
        fresh = np.isfinite(own[step]) & ~same
        some = np.flatnonzero(fresh)
        if len(some):
            over = taken.pressures[step, some].sum(-1)
            stands = standing(at.kept(some), taken.left[step, some], metal, found.kept(some), over)
            seen[some], apart[some] = own[step, some], np.log(stands) - own[step, some]
        rows[step] = own[step] + apart
    return rows


def _line(places: Sequence[Array], low: Array, high: Array, at: Array) -> Array:
    """The line through two points."""
    return np.asarray(low + (at - places[0]) * (high - low) / (places[1] - places[0]))


def _through_three(places: Sequence[Array], values: Sequence[Array], at: Array) -> Array:
    """The parabola through three points."""
    (x0, x1, x2), (y0, y1, y2) = places, values
    first, second = (y1 - y0) / (x1 - x0), (y2 - y1) / (x2 - x1)
    return np.asarray(y0 + (at - x0) * (first + (at - x1) * (second - first) / (x2 - x0)))


def _unknown(course: ChargeCourse, taken: Taken, tables: Tables) -> Iterator[Missing]:
    """Why some samples or steps are not known."""
    lost = ~course.known & ~course.ended
    for name, where in taken.doubt.items():
        if (where & lost).any():
            species = find_species(tables, name)
            if isinstance(species, Species):
                hot = course.temperature[(where & lost).any(0)]
                yield species.missing_at(float(np.median(hot)))
            lost = lost & ~np.logical_or.accumulate(where, axis=0)
    if lost.any():
        yield Missing("charge", "what this charge becomes late in the run could not be shown by computation")


def _is_made_of(name: str, metal: str) -> bool:
    return set(elements_of(name_parts(name)[0])) == {metal}
