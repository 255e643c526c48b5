# SPDX-License-Identifier: MIT
"""What lands with the product, until when it is clean enough, from the course of the charge and the line.

What leaves the charge is in proportion to the pressures of an open system, integrated as the product is
taken. Salt and reductant stand at their own pressure while the product may lag behind its own (a
reaction that is slower than the line): between the pressure of equilibrium and the one that the line
needs lies a band. On the way the walls catch between next to nothing (fog) and all that can get to them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing
from retortwright.situation.charge import charge_of, needed_conversion
from retortwright.situation.charge_course import ChargeCourse, CourseFigure, charge_course
from retortwright.situation.crossing import Crossing, crossing_of
from retortwright.situation.holdup import held_back, receivers_of
from retortwright.situation.melting import mix_as_metals
from retortwright.situation.purity_inputs import minor_metals, of_account
from retortwright.situation.purity_vapour import Carried, Kind, carried_of
from retortwright.situation.purity_walls import share_past
from retortwright.situation.reaction import ReactionWork
from retortwright.situation.route import molar_mass

if TYPE_CHECKING:
    from retortwright.situation.situation import Situation

__all__ = ["Landed", "PurityWork", "at_share", "clean_to", "purity_of"]

_MOST = 1e3  # times the mass of the product: more is no product at all


@dataclass(frozen=True, slots=True)
class Landed:
    """What has landed with the product by the time that a share of it is taken."""

    taken: Array  # (steps,)
    shares: Mapping[Kind, Array]  # mass over that of the product landed so far, (steps, samples)
    moment: Mapping[Kind, Array]  # the same of what lands at the moment
    left_charge: Mapping[Kind, Array]  # the same of what has left the charge, at equilibrium, nothing caught
    past: Mapping[Kind, Array]  # share that gets past the walls, (samples,)
    lag: Array  # by how much the product stands lower than at equilibrium, at the start, (samples,)
    stop: Array  # share of the product at which the run is to stop, (samples,)
    temperature: Array  # of the charge [K]
    known_to: Array  # share taken beyond which nothing is known, (samples,)
    minor: frozenset[str]  # elements of which there are but traces in the charge
    lacks: (
        Missing | None
    )  # why the line is not known: then of salt and reductant the least that lands is told
    unknown: tuple[Missing, ...]  # why the end of the run is not known

    def at_stop(self, values: Array) -> Array:
        """Values of the steps when the run is to stop, (samples,)."""
        return np.where(self.stop > self.known_to, np.nan, at_share(self.taken, values, self.stop))

    def least_at_stop(self, kind: Kind) -> Array:
        """A kind when the run is to stop if no more of it came after the last step that is known, (samples,)."""
        known = np.clip(self.known_to, 0.0, self.stop)
        return np.asarray(at_share(self.taken, self.shares[kind], known) * known / self.stop)


class PurityWork:
    """Figures of the purity of one state that gives metal, each made when first asked for."""

    def __init__(self, situation: Situation, state: str) -> None:
        self.situation, self.state = situation, state
        self.rig, self.tables = situation.rig, situation.tables
        self.charge = charge_of(situation)
        self.metal = situation.rig.aim.metal

    def ledger(self) -> Ledger:
        """A new ledger."""
        return Ledger(self.rig, self.tables, self.situation.draws)

    def molar(self, formula: str) -> float:
        """Mass of a mole of a formula [kg/mol]."""
        return molar_mass(self.tables, formula)

    @property
    def reductant(self) -> str | None:
        """The formula of the reductant, if there is one."""
        return None if self.charge.pair is None else self.charge.pair[1]

    @property
    def salt(self) -> str | None:
        """The formula of the salt, if there is one."""
        return None if self.charge.pair is None else self.charge.pair[0]

    def landed(self, ledger: Ledger) -> Landed | None:
        """What lands; None with the reason. Everything behind it goes into the ledger."""
        found, own = self.situation.once(f"landed {self.state}", self._landed)
        ledger.used |= own.used
        ledger.cites |= own.cites
        ledger.missing += [each for each in own.missing if each not in ledger.missing]
        return found

    def leaves(self, ledger: Ledger) -> CourseFigure | None:
        """The course of the charge; None with the reason."""
        temperature = ReactionWork(self.situation).charge_temperature(ledger)
        if ledger.missing:
            return None
        found = _course_of(self.situation, temperature)
        if isinstance(found, Missing):
            ledger.missing.append(found)
            return None
        ledger.used |= {belief.name: belief for belief in of_account(found, self.metal, self.reductant)}
        ledger.cites |= found.cites
        return found

    def brings(self, gases: Mapping[str, Array]) -> Carried:
        """What some gases bring with the product, from their pressures or moles."""
        return carried_of(self.tables, self.metal, self.reductant, self.salt, gases)

    def stop(self, ledger: Ledger) -> Array:
        """The share of the metal of the charge that has left it when the run is to stop: enough, or all that comes."""
        needed = needed_conversion(self.situation, ledger)
        trial = self.ledger()
        freed, _ = self.charge.freed(trial)
        if trial.missing:
            return needed
        ledger.used |= trial.used
        ledger.cites |= trial.cites
        return np.minimum(needed, freed / self.charge.metal_in(ledger))

    def product_at(self, ledger: Ledger, share: Array) -> Array:
        """Mass in the receivers when a share of the metal has left the charge [kg]."""
        came = self.charge.metal_in(ledger) * ledger.default("charge.arrives", 0.0, 1.0)
        held = np.zeros(ledger.draws.size)
        if receivers_of(self.situation.tree):
            held = held_back(self.situation.tree, ledger, self.metal)[0]
        return np.maximum(share * came - held, 0.0)

    def wanted(self, ledger: Ledger) -> Array:
        """The mass that the run is to bring [kg]."""
        amount = self.rig.aim.amount
        if amount is None:
            says = "how much metal is wanted is not said: aim.amount"
            ledger.missing.append(Missing("aim.amount", says))
            return np.full(ledger.draws.size, np.nan)
        return np.full(ledger.draws.size, amount)

    def _landed(self) -> tuple[Landed | None, Ledger]:
        ledger = self.ledger()
        left = self.leaves(ledger)
        if left is None:
            return None, ledger
        crossing = crossing_of(self.situation, self.state)
        if isinstance(crossing, Crossing):
            ledger.used |= {belief.name: belief for belief in crossing.vapour.inputs}
            ledger.cites |= crossing.vapour.cites
            ledger.missing += [each for each in crossing.vapour.missing if each not in ledger.missing]
        return self._landing(ledger, left, crossing), ledger

    def _landing(self, ledger: Ledger, found: CourseFigure, crossing: Crossing | Missing) -> Landed:
        course, unknown = found.course, found.missing
        carried = self.brings(course.pressures)
        stop, taken = self.stop(ledger), np.asarray(course.taken)[:, 0]
        lag = self._lag(ledger, carried, crossing)
        went = {gas: np.diff(moles, axis=0, prepend=0.0) for gas, moles in course.gone_as.items()}
        steps = self.brings(went).shares
        held = np.sqrt(lag * np.concatenate([lag[:1], lag[:-1]]))  # over a step
        moment, shares, before, past = {}, {}, {}, {}
        for kind, share in carried.shares.items():
            free = kind.sort != "neighbours" and not mix_as_metals(self.tables, self.metal, kind.formula)
            passes = self._past(ledger, crossing, kind, carried, taken, stop)
            before[kind] = _so_far(taken, steps[kind])
            moment[kind] = share * (lag if free else 1.0) * passes
            whole = _so_far(taken, steps[kind] * (held if free else 1.0)) * passes
            shares[kind] = np.minimum(np.minimum(whole, _MOST), self._all_of(course, kind.formula, taken))
            past[kind] = passes
        lacks = crossing if isinstance(crossing, Missing) else None
        known, minor = _known_to(course, taken), minor_metals(course, self.metal, self.reductant)
        return Landed(
            taken,
            shares,
            moment,
            before,
            past,
            lag[0],
            stop,
            course.temperature,
            known,
            minor,
            lacks,
            unknown,
        )

    def _all_of(self, course: ChargeCourse, formula: str, taken: Array) -> Array:
        """All of a metal that the charge holds, over the product that has left by then, as masses: no more can land."""
        if formula not in course.left:
            return np.full(np.shape(course.product), np.inf)
        atoms = {each: course.left[each][0] + course.gone[each][0] for each in (formula, self.metal)}
        ratio = molar_mass(self.tables, formula) / molar_mass(self.tables, self.metal)
        return np.asarray(atoms[formula] * ratio / atoms[self.metal] / taken[:, None])

    def _lag(self, ledger: Ledger, carried: Carried, crossing: Crossing | Missing) -> Array:
        """Product at equilibrium over what stands over the charge, (steps, samples): one or more."""
        if isinstance(crossing, Missing):
            return np.ones(np.shape(carried.product))
        behind = ledger.default("charge.lags", 0.0, 1.0)
        with np.errstate(invalid="ignore"):
            over = np.maximum(carried.product / crossing.vapour.pressure, 1.0)
        return np.asarray(over**behind)

    def _past(
        self,
        ledger: Ledger,
        crossing: Crossing | Missing,
        kind: Kind,
        carried: Carried,
        taken: Array,
        stop: Array,
    ) -> Array:
        """The share of one kind that gets past the walls on its way, (samples,)."""
        if mix_as_metals(self.tables, self.metal, kind.formula):
            return np.ones(ledger.draws.size)
        if isinstance(crossing, Missing):
            return np.asarray(1.0 - ledger.default("line.catches", 0.0, 1.0))
        with np.errstate(divide="ignore", invalid="ignore"):
            ratio = at_share(taken, carried.pressures[kind] / carried.product, stop / 2)
        ratio = ratio * at_share(taken, self._lag(ledger, carried, crossing), stop / 2)
        caught = 1.0 - share_past(crossing, ledger, kind.formula, ratio)
        return np.asarray(1.0 - caught * ledger.default("line.catches", 0.0, 1.0))


def _course_of(situation: Situation, temperature: Array) -> CourseFigure | Missing:
    """The course of the charge; that of a rig much like this one where the charge and its heat are the same."""
    near = situation.near
    if near is not None and _same_charge(near, situation):
        work = ReactionWork(near)
        before = _course_of(near, work.charge_temperature(work.ledger()))
        used = set() if isinstance(before, Missing) else {belief.name for belief in before.inputs}
        if not isinstance(before, Missing) and not used & _redrawn(near.draws, situation.draws):
            course = _some(before.course, situation.columns_of(near))
            if np.array_equal(course.temperature, temperature):
                return replace(before, course=course)
    return charge_course(situation, temperature)


def _same_charge(one: Situation, other: Situation) -> bool:
    """Whether two situations differ only in what does not matter to the course of the charge."""
    rigs = [
        (each.rig.aim.metal, each.rig.charge, each.rig.assume, each.rig.steps, each.rig.heat, each.rig.states)
        for each in (one, other)
    ]
    draws = [(each.draws.samples, each.draws.seed, each.draws.width) for each in (one, other)]
    some = one.draws.pick is not None and one.draws.pick != other.draws.pick
    return one.tables is other.tables and rigs[0] == rigs[1] and draws[0] == draws[1] and not some


def _redrawn(one: Draws, other: Draws) -> set[str]:
    """The beliefs whose width differs between two draws."""
    names = {*one.widths, *other.widths}
    return {name for name in names if one.widths.get(name, 1.0) != other.widths.get(name, 1.0)}


def _some(course: ChargeCourse, columns: slice | list[int]) -> ChargeCourse:
    """Some samples of a course, for what is read here."""
    return replace(
        course,
        temperature=course.temperature[columns],
        pressures={gas: each[:, columns] for gas, each in course.pressures.items()},
        left={element: each[:, columns] for element, each in course.left.items()},
        gone={element: each[:, columns] for element, each in course.gone.items()},
        gone_as={gas: each[:, columns] for gas, each in course.gone_as.items()},
        contents={name: each[:, columns] for name, each in course.contents.items()},
        known=course.known[:, columns],
        ended=course.ended[:, columns],
    )


def _known_to(course: ChargeCourse, taken: Array) -> Array:
    """The last share taken that is known; no end where the metal itself comes to its end there."""
    known = np.asarray(course.known)
    last = len(taken) - 1 - np.argmax(known[::-1], axis=0)
    after = np.take_along_axis(np.asarray(course.ended), np.minimum(last + 1, len(taken) - 1)[None], axis=0)[
        0
    ]
    reach = np.where(after | (last == len(taken) - 1), np.inf, taken[last])
    return np.where(known.any(axis=0), reach, -np.inf)


def at_share(taken: Array, values: Array, share: Array) -> Array:
    """Values over the steps at a share taken, (samples,); at the last known step beyond it."""
    found = np.empty(values.shape[1])
    for one in range(values.shape[1]):
        good = np.isfinite(values[:, one])
        found[one] = np.interp(share[one], taken[good], values[good, one]) if good.any() else np.nan
    return found


def clean_to(taken: Array, over: Array) -> Array:
    """The last share taken at which something is no more than its limit, (samples,).

    `over` is that over its limit, (steps, samples). What comes first may be over it at the start and
    within it later. The last step that is known where it is within it there; none where it never is.
    """
    found = np.zeros(over.shape[1])
    for one in range(over.shape[1]):
        good = np.isfinite(over[:, one])
        steps, column = taken[good], over[good, one]
        within = np.flatnonzero(column <= 1.0)
        if not good.any():
            found[one] = np.nan
        elif len(within) and within[-1] == len(steps) - 1:
            found[one] = steps[-1]
        elif len(within):
            low, high = within[-1], within[-1] + 1
            weight = (1.0 - column[low]) / (column[high] - column[low])
            found[one] = steps[low] + weight * (steps[high] - steps[low])
    return found


def _so_far(taken: Array, steps: Array) -> Array:
    """The mean since the start of what came in each step; nan from the first step that is not known."""
    parts = np.diff(taken, prepend=0.0)[:, None]
    return np.asarray(np.cumsum(steps * parts, axis=0) / taken[:, None])


def purity_of(situation: Situation, state: str) -> PurityWork:
    """The purity of a state, made once."""
    return situation.once(f"purity {state}", lambda: PurityWork(situation, state))
