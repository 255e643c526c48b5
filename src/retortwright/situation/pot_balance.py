# SPDX-License-Identifier: MIT
"""What the charge has become when the run is over, substance by substance, to the last atom.

The same reactions as in the weighing of the charge: water and impurities eat of the reductant
first, then the salt. Anions go to the metals of their own formula that the reductant does not
free, the rest to the reductant; hydrogen leaves as gas but for what stays as hydride; carbon
stays as it is. Where the slag holds some of the oxide, both are one substance.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.species import Species, find_species
from retortwright.rig.parts import Reagent
from retortwright.situation.charge import ChargePicture, Demand
from retortwright.situation.gas import GasWork
from retortwright.situation.gasloads import STATED
from retortwright.situation.route import Route, usual_compound
from retortwright.situation.takers import electrons_taken, freed_by, molar, valence
from retortwright.situation.timing import time_with_hot_metal

__all__ = ["PotBalance", "add", "atoms_in", "pot_balance"]

_ANIONS = ("O", "S", "F", "Cl", "Br", "I", "N", "P")
_GASES = ("CO", "CO2")


@dataclass(frozen=True, slots=True)
class PotBalance:
    """Moles by formula: what was weighed in, what air brought, metal that is free, what stays, what left as gas."""

    weighed: Mapping[str, Array]
    brought: Mapping[str, Array]  # from air
    freed: Mapping[str, Array]  # by element
    stays: Mapping[str, Array]
    gone: Mapping[str, Array]


@dataclass(slots=True, frozen=True)
class _Pool:
    """Moles by formula that grow as the reagents are gone through."""

    ledger: Ledger
    reductant: str
    frees: frozenset[str]
    freed: dict[str, Array] = field(default_factory=dict)
    stays: dict[str, Array] = field(default_factory=dict)
    gone: dict[str, Array] = field(default_factory=dict)

    def react(self, formula: str, moles: Array, share: Array) -> None:
        """A share of a substance is taken apart by the reductant; the rest stays."""
        ledger = self.ledger
        if not electrons_taken(ledger, formula, self.frees) > 0.0:
            free = len(elements_of(formula)) == 1 and formula in self.frees
            add(self.freed if free else self.stays, formula, moles)
            return
        add(self.stays, formula, moles * (1.0 - share))
        reacted, atoms = moles * share, elements_of(formula)
        anions = {each: atoms[each] * valence(ledger, each) for each in atoms if each in _ANIONS}
        bound = {
            each: atoms[each] * valence(ledger, each)
            for each in atoms
            if each not in (*_ANIONS, "H", "C") and each not in self.frees
        }
        kept = sum(bound.values()) / sum(anions.values())
        for anion in anions:
            whole = reacted * atoms[anion]
            self._bind(self.reductant, anion, whole * (1.0 - kept))
            for metal, charge in bound.items():
                self._bind(metal, anion, whole * kept * charge / sum(bound.values()))
        for element, count in atoms.items():
            if element in self.frees and element not in _ANIONS:
                add(self.freed, element, reacted * count)
            elif element == "H":
                add(self.gone, "H2", reacted * count / 2)
            elif element == "C":
                add(self.stays, "C", reacted * count)

    def _bind(self, metal: str, anion: str, atoms: Array) -> None:
        """Anions become the usual compound of a metal."""
        if not np.any(atoms > 0.0):
            return
        formula = usual_compound(self.ledger.tables, metal, anion)
        if isinstance(formula, Missing):
            self.ledger.missing.append(formula)
            return
        where = self.gone if formula in _GASES else self.stays
        add(where, formula, atoms / elements_of(formula)[anion])


def add(total: dict[str, Array], formula: str, moles: Array) -> None:
    """Add moles of a formula to a table."""
    total[formula] = total[formula] + moles if formula in total else np.asarray(moles, dtype=float)


def atoms_in(moles: Mapping[str, Array]) -> dict[str, Array]:
    """Atoms of each element in some moles by formula [mol]."""
    found: dict[str, Array] = {}
    for formula, amount in moles.items():
        for element, count in elements_of(formula).items():
            add(found, element, amount * count)
    return found


def pot_balance(picture: ChargePicture, ledger: Ledger) -> PotBalance | None:
    """The balance of a charge; None, with the reason written down, where there is no route."""
    weighed = _weighed(picture, ledger)
    if picture.redistils:
        metals = {picture.metal: weighed[picture.metal]}
        return PotBalance(weighed, {}, metals, _without(weighed, picture.metal), {})
    demand, route = picture.demand(ledger), picture.route
    if demand is None or isinstance(route, Missing):
        return None
    pool = _Pool(ledger, route.reductant, freed_by(ledger, route.reductant, picture.metal))
    reacts = ledger.default("charge.reacts", 0.0, 1.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        eaten = np.where(demand.eaten > demand.live, demand.live / demand.eaten, 1.0)
    for reagent in picture.rig.charge:
        _reagent(picture, pool, reagent, route, demand.ceiling * demand.served * reacts, eaten)
    _slag(picture, pool, route)
    left = _left(demand, reacts, eaten, valence(ledger, route.reductant))
    left, brought = _air(picture, pool, left)
    add(pool.stays, route.reductant, _hydride(pool, left))
    return PotBalance(weighed, brought, pool.freed, _some(pool.stays), _some(pool.gone))


def _without(moles: Mapping[str, Array], formula: str) -> dict[str, Array]:
    return {name: amount for name, amount in moles.items() if name != formula}


def _some(moles: Mapping[str, Array]) -> dict[str, Array]:
    """What there is any of."""
    return {name: amount for name, amount in moles.items() if np.any(amount > 0.0)}


def _weighed(picture: ChargePicture, ledger: Ledger) -> dict[str, Array]:
    """Moles of everything that goes into the pot."""
    found: dict[str, Array] = {}
    for reagent in picture.rig.charge:
        add(found, reagent.formula, picture.moles(ledger, reagent))
        for name, share in picture.contained(ledger, reagent).items():
            add(found, name, picture.mass(ledger, reagent) * share / molar(ledger, name))
    return found


def _reagent(
    picture: ChargePicture, pool: _Pool, reagent: Reagent, route: Route, salt: Array, eaten: Array
) -> None:
    """One reagent and all that it contains, taken apart as far as the reductant goes."""
    ledger, formula = pool.ledger, reagent.formula
    moles = picture.moles(ledger, reagent)
    if formula in {each.formula for each in picture.salts()}:
        pool.react(formula, moles, salt)
    elif formula == picture.metal:
        add(pool.freed, formula, moles)
    elif formula != route.reductant:
        bound = picture.binds(reagent)
        pool.react(formula, moles, np.zeros(moles.shape) if bound else eaten)
    for name, share in picture.contained(ledger, reagent).items():
        pool.react(name, picture.mass(ledger, reagent) * share / molar(ledger, name), eaten)


def _left(demand: Demand, reacts: Array, eaten: Array, each: float) -> Array:
    """Reductant that is left over [mol]; what rounding leaves below zero is none."""
    used = demand.eaten * eaten + demand.need * demand.served * reacts
    return np.maximum(demand.live - used, 0.0) / each


# ---- slag, air, hydride


def _slag(picture: ChargePicture, pool: _Pool, route: Route) -> None:
    """What the oxide of the reductant holds becomes one substance with it: of an added oxide first."""
    row = picture.tables.find("reductants", route.reductant, "slag-oxide")
    if not picture.has_slag or not isinstance(row, Row) or route.left not in pool.stays:
        return
    holds = number_of(row).best
    added = [each.formula for each in picture.rig.charge if picture.binds(each)]
    for base in (*added, route.salt):
        if base not in pool.stays:
            continue
        (metal,) = (each for each in elements_of(base) if each != "O")
        taken = np.minimum(pool.stays[route.left], pool.stays[base] / holds)
        atoms = elements_of(route.left)
        other = next(each for each in atoms if each != "O")
        oxygen = atoms["O"] + holds * elements_of(base)["O"]
        formula = "".join(
            f"{name}{_count(count)}"
            for name, count in (
                (metal, holds * elements_of(base)[metal]),
                (other, atoms[other]),
                ("O", oxygen),
            )
        )
        pool.stays[route.left] = pool.stays[route.left] - taken
        pool.stays[base] = pool.stays[base] - taken * holds
        add(pool.stays, formula, taken)


def _count(number: float) -> str:
    return "" if round(number) == 1 else str(round(number))


def _air(picture: ChargePicture, pool: _Pool, left: Array) -> tuple[Array, dict[str, Array]]:
    """The reductant that is left beside the oxide and nitride that a measured leak makes of it, and the air taken.

    All of the oxygen, and of the nitrogen where the reductant forms a nitride; none where nobody measured the leak.
    """
    ledger, reductant = pool.ledger, pool.reductant
    if "leak" not in picture.rig.assume:
        return left, {}
    leak = GasWork(picture.situation).leak(ledger)
    air = leak * time_with_hot_metal(picture.rig, ledger) / (GAS_CONSTANT * STATED)  # mol
    nitride = picture.tables.find("getters", reductant, "nitride")
    takes = {"O": "oxygen"} | (
        {"N": "nitrogen"} if isinstance(nitride, Row) and number_of(nitride).best else {}
    )
    brought: dict[str, Array] = {}
    for element, gas in takes.items():
        compound = usual_compound(picture.tables, reductant, element)
        if isinstance(compound, Missing):
            continue
        atoms = elements_of(compound)
        share = ledger.sampled(f"air.{gas}", "gases", "air", f"{gas}-share", 0.0, 1.0)
        made = np.minimum(2.0 * air * share / atoms[element], left / atoms[reductant])
        left = np.maximum(left - made * atoms[reductant], 0.0)
        add(pool.stays, compound, made)
        add(brought, f"{element}2", made * atoms[element] / 2)
    return left, brought


def _hydride(pool: _Pool, left: Array) -> Array:
    """The reductant that is left beside its hydride, which keeps a share of the hydrogen."""
    atoms = round(valence(pool.ledger, pool.reductant))
    formula = f"{pool.reductant}H{_count(atoms)}"
    hydrogen = pool.gone.get("H2")
    if hydrogen is None or not isinstance(find_species(pool.ledger.tables, f"{formula}(s)"), Species):
        return left
    share = pool.ledger.default("hydride.left", 0.0, 1.0)
    made = np.minimum(hydrogen * share * 2 / atoms, left)
    add(pool.stays, formula, made)
    pool.gone["H2"] = hydrogen - made * atoms / 2
    return left - made
