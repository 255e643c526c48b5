# SPDX-License-Identifier: MIT
"""The heat of a route: per mole of metal, per gram of charge, the gas it frees, how far it heats itself.

From formation based enthalpies of the stable phases. The metal that is made is taken to stay in
the charge, condensed: were it to boil off it would carry heat away, so the charge is told hotter
than it gets. What is in the reagents besides counts where it gives heat, never where it takes it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.reference.compounds import class_of
from retortwright.reference.datum import Missing, Row
from retortwright.reference.tables import Tables
from retortwright.rig.parts import Reagent
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.route import main_pair, molar_mass
from retortwright.situation.route_enthalpy import (
    GRID,
    REFERENCE,
    at_temperature,
    enthalpy_curve,
    heat_of,
    reached,
    species_unknown,
)
from retortwright.situation.route_reaction import Reaction, reaction_of
from retortwright.situation.situation import Situation
from retortwright.situation.timing import hottest_state

__all__ = ["RouteHeat"]

_HALIDES = ("chloride", "bromide", "iodide", "fluoride")
_PERMANENT = ("H2", "N2", "O2", "CO", "CO2")
_UNSAID = 0.005  # share of the charge below which something that we know nothing of is passed over
_INERT = ("metal", "alloy")  # beside the reductant
_Said = tuple[Array, dict[str, Array]]


@dataclass(frozen=True, slots=True)
class _Part:
    """Something in the charge: its formula, its key in the file, moles of it, its mass [kg]."""

    formula: str
    key: str
    moles: Array
    mass: Array


class RouteHeat:
    """Figures of the heat of one situation's charge."""

    def __init__(self, situation: Situation) -> None:
        self.situation = situation
        self.rig, self.tables = situation.rig, situation.tables
        self.pair = main_pair(self.rig, self.tables)
        self.reaction: Reaction | Missing = self._reaction()

    def _reaction(self) -> Reaction | Missing:
        if isinstance(self.pair, Missing):
            return self.pair
        salt, reductant = self.pair
        beside = [each.formula for each in self.rig.charge if each.formula != salt]
        oxides = [name for name in beside if class_of(self.tables, name) == "oxide"]
        return reaction_of(self.tables, salt, reductant, self.rig.aim.metal, oxides)

    def ledger(self) -> Ledger:
        """A new ledger."""
        return Ledger(self.rig, self.tables, self.situation.draws)

    def per_mole(self) -> Figure:
        """Heat of reaction at 25 degC per mole of metal that comes free [J/mol], negative where it is set free."""
        return self.situation.once("route heat per mole", lambda: self._figure(self._per_mole))

    def set_free(self) -> Figure:
        """Heat set free in a kilogram of charge as weighed [J/kg], negative where the furnace has to bring it."""
        return self.situation.once("route heat per mass", lambda: self._figure(self._set_free))

    def gas(self) -> Figure:
        """Permanent gas that the reaction frees in a kilogram of charge [mol/kg]."""
        return self.situation.once("route gas", lambda: self._figure(self._gas))

    def self_heating(self) -> Figure:
        """How much hotter than at its start the charge gets, if all of it reacts and no heat leaves [K]."""
        return self.situation.once("route self-heating", lambda: self._figure(self._self_heating))

    def _figure(self, make: Callable[[Ledger, Reaction], _Said]) -> Figure:
        ledger = self.ledger()
        if isinstance(self.reaction, Missing):
            ledger.missing.append(self.reaction)
            return figure_of(ledger, np.full(ledger.draws.size, np.nan))
        with np.errstate(invalid="ignore", divide="ignore"):
            values, said = make(ledger, self.reaction)
        return figure_of(ledger, values, said)

    def _per_mole(self, ledger: Ledger, reaction: Reaction) -> _Said:
        moles = reaction.number_of(self.rig.aim.metal)
        heat = heat_of(Chemistry(ledger), reaction)
        return heat / (moles or reaction.reactants[0][0]), {"metal": np.full(ledger.draws.size, float(moles))}

    def _set_free(self, ledger: Ledger, reaction: Reaction) -> _Said:
        parts = list(self._parts(ledger))
        extent = self._extent(parts, reaction)
        main = -heat_of(Chemistry(ledger), reaction) * extent
        sides = self._sides(ledger, parts, reaction)
        whole = sum(sides.values(), main) / self._mass(ledger)
        return whole, {"main": main / self._mass(ledger)} | {
            key: heat / self._mass(ledger) for key, heat in sides.items()
        }

    def _mass(self, ledger: Ledger) -> Array:
        masses = (ledger.figure(f"charge.{each.formula}.mass", each.mass, "kg") for each in self.rig.charge)
        return np.asarray(sum(masses, np.zeros(ledger.draws.size)))

    def _parts(self, ledger: Ledger) -> Iterator[_Part]:
        """Every reagent, without what it contains besides, and all that is contained."""
        for each in self.rig.charge:
            key = f"charge.{each.formula}"
            weighed = ledger.figure(f"{key}.mass", each.mass, "kg")
            besides = dict(self._contained(ledger, each))
            pure = np.clip(1.0 - sum(besides.values(), np.zeros(ledger.draws.size)), 0.0, 1.0)
            yield _part(ledger, each.formula, key, weighed * pure)
            for name, share in besides.items():
                yield _part(ledger, name, f"{key}.contains.{name}", weighed * share)

    def _contained(self, ledger: Ledger, reagent: Reagent) -> Iterator[tuple[str, Array]]:
        for name, band in reagent.contains.items():
            yield name, ledger.figure(f"charge.{reagent.formula}.contains.{name}", band, "1")

    def _extent(self, parts: list[_Part], reaction: Reaction) -> Array:
        """How often the reaction can run [mol]: the reagent that runs out first ends it."""
        found = [
            part.moles / number
            for number, name in reaction.reactants
            for part in parts
            if part.key == f"charge.{name}"
        ]
        return np.asarray(np.minimum.reduce(found))

    def _sides(self, ledger: Ledger, parts: list[_Part], reaction: Reaction) -> dict[str, Array]:
        """Heat that everything else in the charge sets free with the reductant [J], by its key."""
        found = {}
        main = {f"charge.{name}" for _, name in reaction.reactants}
        for part in parts:
            kind = class_of(self.tables, part.formula)
            if part.key in main or kind in _INERT or not np.any(part.moles > 0):
                continue
            heat = self._side(ledger, part, kind, reaction)
            if heat is not None:
                found[part.key] = part.mass * np.maximum(heat, 0.0)
        return found

    def _side(self, ledger: Ledger, part: _Part, kind: str, reaction: Reaction) -> Array | None:
        """Heat that a kilogram of something sets free with the reductant [J/kg]; None where nothing happens."""
        reductant = reaction.reactants[1][1]
        if kind in (*_HALIDES, "oxide") and reductant in elements_of(part.formula):
            return None  # what the reductant became already
        own = reaction_of(self.tables, part.formula, reductant)
        if isinstance(own, Reaction) and not species_unknown(self.tables, own.formulas):
            molar = own.reactants[0][0] * molar_mass(self.tables, part.formula)
            return -heat_of(Chemistry(ledger), own) / molar
        subject = _class_with_heat(self.tables, kind)
        if subject is not None:
            return ledger.sampled(f"heat.{subject}", "routes", subject, "heat", 0.0)
        if np.max(part.mass / self._mass(ledger)) > _UNSAID:
            says = f"what {part.formula} does with {reductant} is not in our tables"
            ledger.missing.append(Missing(part.key, says))
        return None

    def _gas(self, ledger: Ledger, reaction: Reaction) -> _Said:
        parts = list(self._parts(ledger))
        extent = self._extent(parts, reaction)
        moles = sum((number for number, name in reaction.products if name in _PERMANENT), 0)
        main = extent * moles / self._mass(ledger)
        said = {"main": main}
        whole = main
        for part in parts:
            if part.key == f"charge.{reaction.reactants[0][1]}":
                continue
            each = _gas_in(self.tables, part.formula)
            if each:
                said[part.key] = each * part.moles / self._mass(ledger)
                whole = whole + said[part.key]
        return whole, said

    def _self_heating(self, ledger: Ledger, reaction: Reaction) -> _Said:
        start = ledger.default("metal.from")
        state = hottest_state(self.rig)
        target = self.rig.set_point(state) if state is not None else None
        start = start if target is None else np.minimum(start, target)
        chemistry = Chemistry(ledger)
        curves = {name: enthalpy_curve(chemistry, name) for name in reaction.formulas}
        parts = list(self._parts(ledger))
        extent = self._extent(parts, reaction)
        moles = {part.formula: part.moles for part in parts if part.key == f"charge.{part.formula}"}
        left = {name: moles[name] - number * extent for number, name in reaction.reactants}
        sides = sum(self._sides(ledger, parts, reaction).values(), np.zeros(ledger.draws.size))
        after = sum(
            (curves[name] * number * extent for number, name in reaction.products),
            sum((curves[name] * left[name] for name in left), np.zeros((1, 1))),
        )
        before = sum((curves[name] * moles[name] for _, name in reaction.reactants), np.zeros((1, 1)))
        said = {"start": start}
        ends = {"": start, "room": np.full(ledger.draws.size, REFERENCE)}
        if target is not None:
            ends["top"] = np.full(ledger.draws.size, target)
        for name, at in ends.items():
            said[f"end {name}".strip()] = reached(after, at_temperature(before, at) + sides)
        if not np.all(np.isfinite(said["end"])):
            self._too_hot(ledger, reaction, after)
        return said["end"] - start, said

    def _too_hot(self, ledger: Ledger, reaction: Reaction, after: Array) -> None:
        """Write down why there is no number: hotter than the products are known."""
        if ledger.missing:
            return
        known = np.flatnonzero(np.all(np.isfinite(after), axis=1))
        if not len(known):
            ledger.missing.append(
                Missing(
                    f"charge.{reaction.reactants[0][1]}",
                    f"no temperature at which all of {reaction} is known",
                )
            )
            return
        top = GRID[known[-1]] - 273.15
        ledger.missing.append(
            Missing(
                f"charge.{reaction.reactants[0][1]}",
                f"the charge would get hotter than {top:.0f} degC, up to which what {reaction} leaves is known",
            )
        )


def _part(ledger: Ledger, formula: str, key: str, mass: Array) -> _Part:
    molar = molar_mass(ledger.tables, formula)
    ledger.cites |= {f"elements/{element}/atomic-mass" for element in elements_of(formula)}
    return _Part(formula, key, mass / molar, mass)


def _class_with_heat(tables: Tables, kind: str) -> str | None:
    """The class of routes that has a heat of its own for a class of compound; None where none has."""
    for subject in tables.subjects("routes", "heat"):
        salt = tables.find("routes", subject, "salt")
        if isinstance(salt, Row) and kind in salt.data.split("; "):
            return subject
    return None


def _gas_in(tables: Tables, formula: str) -> float:
    """Moles of permanent gas that a mole of something can free at most, water left out."""
    kind, atoms = class_of(tables, formula), elements_of(formula)
    if kind == "hydroxide":
        return atoms.get("H", 0) / 2
    if kind == "carbonate":
        return float(atoms["C"])
    if kind in (
        "nitrate",
        "nitrite",
        "azide",
        "chlorate",
        "perchlorate",
        "permanganate",
        "peroxide",
        "superoxide",
    ):
        return (atoms.get("N", 0) + atoms.get("O", 0)) / 2
    return 0.0
