# SPDX-License-Identifier: MIT
"""The charge weighed: metal in the salt, live reductant, what eats of it, what arrives.

All amounts come from the masses and assays of the file. How much of the salt reacts and how
much of what it frees arrives is common practice unless the user says; no rate is computed here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.rig.parts import Reagent
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.holdup import held_back, receivers_of
from retortwright.situation.route import Route, main_pair, route_of
from retortwright.situation.takers import electrons_taken, freed_by, is_moist, molar, valence

if TYPE_CHECKING:
    from retortwright.situation.situation import Situation

__all__ = ["ChargePicture", "Demand", "charge_of", "needed_conversion", "reductant_rule"]

_MOST = 1 - 1e-6  # share of the metal that can leave the pot


@dataclass(frozen=True, slots=True)
class Demand:
    """What gives and takes electrons in a charge [mol], over the samples."""

    live: Array  # of the reductant, before anything has eaten of it
    need: Array  # by the salt that can give its metal
    water: Array  # by water and hydroxides
    others: Mapping[str, Array]  # by everything else, by its key in the file
    ceiling: Array  # share of the salt's metal that the slag lets come

    @property
    def eaten(self) -> Array:
        """By everything but the salt."""
        return np.asarray(sum(self.others.values(), self.water))

    @property
    def excess(self) -> Array:
        """What is left over after all that is eaten, over what the salt needs, less one."""
        return (self.live - self.eaten) / self.need - 1.0

    @property
    def served(self) -> Array:
        """The share of the salt for which the reductant is enough."""
        return np.clip((self.live - self.eaten) / self.need, 0.0, 1.0)


class ChargePicture:
    """Figures of the charge of one situation, each made when first asked for."""

    def __init__(self, situation: Situation) -> None:
        self.situation = situation
        self.rig, self.tables = situation.rig, situation.tables
        self.metal = self.rig.aim.metal
        self.route: Route | Missing = route_of(self.rig, self.tables)
        self._known: dict[str, Figure] = {}

    @property
    def redistils(self) -> bool:
        """Whether the charge is the metal itself, to be distilled once more."""
        return any(each.formula == self.metal for each in self.rig.charge) and not list(self.salts())

    @property
    def pair(self) -> tuple[str, str] | None:
        """The formulas of salt and reductant, whatever becomes of them; None where there are no such two."""
        pair = main_pair(self.rig, self.tables)
        return None if isinstance(pair, Missing) else pair

    @property
    def has_slag(self) -> bool:
        """Whether what the reductant becomes holds some of the oxide."""
        return self.pair is not None and self._holds_oxide(*self.pair)

    def _holds_oxide(self, salt: str, reductant: str) -> bool:
        return elements_of(salt).get("O") == 1 and ("reductants", reductant, "slag-oxide") in self.tables.rows

    def ledger(self) -> Ledger:
        """A new ledger."""
        return Ledger(self.rig, self.tables, self.situation.draws)

    def once(self, name: str, make: Callable[[], Figure]) -> Figure:
        """A figure, made at the first call."""
        if name not in self._known:
            self._known[name] = make()
        return self._known[name]

    def salts(self) -> Iterator[Reagent]:
        """The reagents that bring the wanted metal in a compound."""
        for each in self.rig.charge:
            if self.metal in elements_of(each.formula) and each.formula != self.metal:
                yield each

    def reagent(self, formula: str) -> Reagent:
        """The reagent of a formula."""
        return next(each for each in self.rig.charge if each.formula == formula)

    def mass(self, ledger: Ledger, reagent: Reagent) -> Array:
        """As weighed [kg]."""
        return ledger.figure(f"charge.{reagent.formula}.mass", reagent.mass, "kg")

    def contained(self, ledger: Ledger, reagent: Reagent) -> dict[str, Array]:
        """Mass fractions of what is in a reagent besides."""
        key = f"charge.{reagent.formula}.contains"
        return {name: ledger.figure(f"{key}.{name}", band, "1") for name, band in reagent.contains.items()}

    def assay(self, ledger: Ledger, reagent: Reagent) -> Array:
        """Mass fraction of the reagent itself in what is weighed."""
        rest = 1.0 - sum(self.contained(ledger, reagent).values(), np.zeros(ledger.draws.size))
        return np.clip(rest, 0.0, 1.0)

    def moles(self, ledger: Ledger, reagent: Reagent) -> Array:
        """Moles of the reagent itself."""
        whole = self.mass(ledger, reagent) * self.assay(ledger, reagent)
        return np.asarray(whole / molar(ledger, reagent.formula))

    def metal_in(self, ledger: Ledger) -> Array:
        """Wanted metal in the charge [kg]."""
        total = np.zeros(ledger.draws.size)
        reagents = [self.reagent(self.metal)] if self.redistils else list(self.salts())
        for each in reagents:
            atoms = elements_of(each.formula)[self.metal]
            total = total + self.moles(ledger, each) * atoms * molar(ledger, self.metal)
        return total

    def demand(self, ledger: Ledger) -> Demand | None:
        """Who gives and takes electrons; None, with the reason written down, where there is no route."""
        route = self.route
        if isinstance(route, Missing):
            ledger.missing.append(route)
            return None
        freed = freed_by(ledger, route.reductant, self.metal)
        reductant = self.reagent(route.reductant)
        live = self.moles(ledger, reductant) * valence(ledger, route.reductant)
        need, water = np.zeros(ledger.draws.size), np.zeros(ledger.draws.size)
        others: dict[str, Array] = {}
        for each in self.salts():
            need = need + self.moles(ledger, each) * electrons_taken(ledger, each.formula, freed)
        for key, formula, moles in self._besides(ledger, route):
            taken = moles * electrons_taken(ledger, formula, freed)
            if is_moist(formula):
                water = water + taken
            elif np.any(taken != 0.0):
                others[key] = taken
        ceiling = self.ceiling(ledger, route)
        return Demand(live, need * ceiling, water, others, ceiling)

    def _besides(self, ledger: Ledger, route: Route) -> Iterator[tuple[str, str, Array]]:
        """Key, formula and moles of everything but the salts and the reductant."""
        salts = [each.formula for each in self.salts()]
        for each in self.rig.charge:
            if each.formula not in (*salts, route.reductant, self.metal) and not self.binds(each):
                yield f"charge.{each.formula}", each.formula, self.moles(ledger, each)
            for name, share in self.contained(ledger, each).items():
                moles = self.mass(ledger, each) * share / molar(ledger, name)
                yield f"charge.{each.formula}.contains.{name}", name, np.asarray(moles)

    def binds(self, reagent: Reagent) -> bool:
        """Whether a reagent is an oxide of another metal, there to be held by the slag."""
        atoms = elements_of(reagent.formula)
        return len(atoms) == 2 and atoms.get("O") == 1 and self.metal not in atoms and "H" not in atoms

    def ceiling(self, ledger: Ledger, route: Route) -> Array:
        """The share of the metal that can come at all: the slag holds some of the oxide.

        Where each oxide of the reductant frees f oxides of the metal and then holds k, of n moles beside b
        of another oxide (n + b) f / (f + k) come, and never more than n.
        """
        if not self._holds_oxide(route.salt, route.reductant):
            return np.ones(ledger.draws.size)
        row = ledger.row("reductants", route.reductant, "slag-oxide")
        held = number_of(row).best if isinstance(row, Row) else float("nan")
        own = self.moles(ledger, self.reagent(route.salt))
        other = sum(
            (self.moles(ledger, each) for each in self.rig.charge if self.binds(each)),
            np.zeros(ledger.draws.size),
        )
        frees = route.salts / route.lefts
        return np.asarray(np.clip((own + other) * frees / ((frees + held) * own), 0.0, 1.0))

    def excess(self) -> Figure:
        """Reductant left over after water and impurities, over what the salt needs, less one."""
        return self.once("excess", self._excess)

    def _excess(self) -> Figure:
        ledger = self.ledger()
        demand = self.demand(ledger)
        if demand is None or isinstance(self.route, Missing):
            return figure_of(ledger, np.full(ledger.draws.size, np.nan))
        per_mole = molar(ledger, self.route.reductant) / valence(ledger, self.route.reductant)
        reductant = self.reagent(self.route.reductant)
        said = {
            "live": demand.live * per_mole,
            "need": demand.need * per_mole,
            "water": demand.water * per_mole,
            "others": (demand.eaten - demand.water) * per_mole,
            "assay": self.assay(ledger, reductant),
            "weighed": self.mass(ledger, reductant),
        } | {key: taken * per_mole for key, taken in demand.others.items()}
        return figure_of(ledger, demand.excess, said)

    def leftover(self) -> Figure:
        """The same share, with the mass of reductant that is left in the pot when the salt has reacted."""
        return self.once("leftover", self._leftover)

    def _leftover(self) -> Figure:
        ledger = self.ledger()
        demand = self.demand(ledger)
        if demand is None or isinstance(self.route, Missing):
            return figure_of(ledger, np.full(ledger.draws.size, np.nan))
        per_mole = molar(ledger, self.route.reductant) / valence(ledger, self.route.reductant)
        reacting = ledger.default("charge.reacts", 0.0, 1.0) * demand.served
        left = np.maximum(demand.live - demand.eaten - demand.need * reacting, 0.0)
        return figure_of(ledger, demand.excess, {"left": left * per_mole})

    def unstated_water(self) -> Missing | None:
        """The datum that is missing where a salt or oxide has no water stated."""
        for each in self.rig.charge:
            stated = any("H" in elements_of(name) for name in (each.formula, *each.contains))
            if len(elements_of(each.formula)) > 1 and not stated:
                key = f"charge.{each.formula}.contains.H2O"
                return Missing(
                    key, f"how much water is in the {each.formula} is not said: H2O under `contains`"
                )
        return None

    def eaten_by_water(self) -> Figure:
        """The share of the live reductant that water in the charge eats."""
        return self.once("water", self._eaten_by_water)

    def _eaten_by_water(self) -> Figure:
        ledger = self.ledger()
        demand = self.demand(ledger)
        if demand is None or isinstance(self.route, Missing):
            return figure_of(ledger, np.full(ledger.draws.size, np.nan))
        per_mole = molar(ledger, self.route.reductant) / valence(ledger, self.route.reductant)
        unstated = self.unstated_water()
        ledger.missing += [] if unstated is None else [unstated]
        spare = demand.live - demand.eaten + demand.water - demand.need
        said = {"eaten": demand.water * per_mole, "electrons": demand.water, "spare": spare * per_mole}
        return figure_of(ledger, demand.water / demand.live, said)

    def freed(self, ledger: Ledger) -> tuple[Array, dict[str, Array]]:
        """Metal that is freed in the pot [kg], and what it was made from."""
        metal = self.metal_in(ledger)
        if self.redistils:
            return metal, {"metal": metal}
        demand = self.demand(ledger)
        if demand is None:
            return np.full(ledger.draws.size, np.nan), {}
        reacts = ledger.default("charge.reacts", 0.0, 1.0)
        freed = metal * demand.ceiling * demand.served * reacts
        return freed, {"metal": metal, "ceiling": demand.ceiling, "served": demand.served, "reacts": reacts}

    def product(self) -> Figure:
        """Metal that arrives in the receivers [kg]; what the walls of the line keep is taken off."""
        return self.once("product", self._product)

    def _product(self) -> Figure:
        ledger = self.ledger()
        freed, said = self.freed(ledger)
        arrives = ledger.default("charge.arrives", 0.0, 1.0)
        held, places = held_back(self.situation.tree, ledger, self.metal)
        said |= {"arrives": arrives, "came": freed * arrives, "held": held}
        return figure_of(ledger, np.maximum(freed * arrives - held, 0.0), said | places)

    def possible(self) -> Figure:
        """Metal that the slag lets come at most [kg]."""
        return self.once("possible", self._possible)

    def _possible(self) -> Figure:
        ledger = self.ledger()
        if isinstance(self.route, Missing):
            ledger.missing.append(self.route)
            return figure_of(ledger, np.full(ledger.draws.size, np.nan))
        metal, ceiling = self.metal_in(ledger), self.ceiling(ledger, self.route)
        return figure_of(ledger, metal * ceiling, {"metal": metal, "ceiling": ceiling})

    def batch(self) -> Figure:
        """How many times what comes down the line is what its walls keep."""
        return self.once("batch", self._batch)

    def _batch(self) -> Figure:
        ledger = self.ledger()
        freed, _ = self.freed(ledger)
        came = freed * ledger.default("charge.arrives", 0.0, 1.0)
        held, places = held_back(self.situation.tree, ledger, self.metal)
        with np.errstate(divide="ignore"):
            times = came / held
        return figure_of(ledger, times, {"came": came, "held": held} | places)


def charge_of(situation: Situation) -> ChargePicture:
    """The picture of the charge, made once."""
    return situation.once("charge", lambda: ChargePicture(situation))


def reductant_rule(ledger: Ledger, reductant: str, name: str) -> float:
    """A limit of practice for a reductant; the one of any other where it has none of its own."""
    subject = reductant if ("reductants", reductant, name) in ledger.tables.rows else "other"
    row = ledger.row("reductants", subject, name)
    return number_of(row).best if isinstance(row, Row) else float("nan")


def needed_conversion(situation: Situation, ledger: Ledger) -> Array:
    """The share of the charge's metal that has to leave it for as much to arrive as is wanted.

    At most nearly all of it: whether that is enough is another matter.
    """
    picture, amount = charge_of(situation), situation.rig.aim.amount
    if amount is None:
        ledger.missing.append(Missing("aim.amount", "how much metal is wanted is not said: aim.amount"))
        return np.full(ledger.draws.size, np.nan)
    wanted = np.full(ledger.draws.size, amount)
    if receivers_of(situation.tree):
        wanted = wanted + held_back(situation.tree, ledger, picture.metal)[0]
    came = picture.metal_in(ledger) * ledger.default("charge.arrives", 0.0, 1.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.minimum(wanted / came, _MOST)
