# SPDX-License-Identifier: MIT
"""Equilibrium over a charge of one salt and one reductant, as the reaction goes on.

The condensed charge is a pair of salts (the salt and what the reductant becomes) and the two
metals, each a phase of its own. Where the pair and the reductant are known, so are the chemical
potentials of all three elements, and with them the pressure of every gas. Where the product would
come out above its own saturation it comes out as metal instead, and the reaction has gone on
until its pressure is just the saturated one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array, Real
from retortwright.ground.formula import elements_of
from retortwright.physics.melts import equilibrium_pressure
from retortwright.physics.salt_pair import PairState, SaltPair, Solid
from retortwright.reference.datum import Missing
from retortwright.reference.species import (
    STANDARD_PRESSURE,
    Species,
    condensed_of,
    gases_of,
    name_parts,
    unknown_of,
)
from retortwright.reference.tables import Tables
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.melting import interaction_of, melts_together, mix_as_metals
from retortwright.situation.route import Route, anion_of

__all__ = ["ChargeEquilibrium", "Vapours", "charge_equilibrium"]

_FIRST, _LAST = 1e-9, 1 - 1e-6  # conversions at which a charge counts as fresh and as used up
_STEPS = 20  # halvings; the last interval is crossed straight


@dataclass(frozen=True, slots=True)
class Vapours:
    """What stands over a charge, and how far it has reacted."""

    pressures: Mapping[str, Array]  # of each gas [Pa]
    saturated: Array  # whether free product metal lies in the charge
    reacted: Array  # the share of the salt that has reacted, at least that which has left
    molten: Array  # share of the salts' moles that is melt
    line: Array  # which line of the pair of salts rules

    def atoms(self, element: str, beside: str | None = None, without: str | None = None) -> Array:
        """Atoms of an element in all gases, as a pressure [Pa]; only in those with, or without, another element."""
        found = np.zeros(np.shape(next(iter(self.pressures.values()))))
        for name, pressure in self.pressures.items():
            elements = elements_of(name_parts(name)[0])
            counts = (beside is None or beside in elements) and (without is None or without not in elements)
            if counts and element in elements:
                found = found + elements[element] * pressure
        return found

    @property
    def total(self) -> Array:
        """The sum of all pressures [Pa]."""
        parts = list(self.pressures.values())
        return np.asarray(sum(parts[1:], parts[0]))


@dataclass(frozen=True, slots=True)
class ChargeEquilibrium:
    """The pair of salts, the metals and the gases of one route at given temperatures."""

    route: Route
    temperature: Array
    pair: SaltPair
    product: Array  # Gibbs energy of the condensed product metal [J/mol]
    reductant: Array  # the same of the reductant [J/mol]
    gases: Mapping[str, Array]  # standard Gibbs energies [J/mol]

    def at(self, left: Real) -> Vapours:
        """The vapours when a share of the salt's metal has left the charge."""
        shape = np.broadcast_shapes(np.shape(left), self.temperature.shape, self.product.shape)
        start = np.array(np.broadcast_to(np.clip(left, _FIRST, _LAST), shape))
        state = self.pair.at(self._share(start))
        metal, anion = self._potentials(state)
        with np.errstate(invalid="ignore"):
            saturated = np.asarray(metal > self.product, dtype=bool)
        reacted = start
        if np.any(saturated):
            reacted, own, other, state = self._just_saturated(start, saturated)
            metal, anion = np.where(saturated, own, metal), np.where(saturated, other, anion)
        return Vapours(self._pressures(metal, anion), saturated, reacted, state.molten, state.line)

    def _just_saturated(self, start: Array, saturated: Array) -> tuple[Array, Array, Array, PairState]:
        """Conversion, potentials of metal and anion, and the salts, where the product is just saturated.

        Halving ends between two neighbouring conversions. Where a phase comes or goes there the
        potentials jump; on the way between they run straight (along the line of that phase).
        """
        low, high = start.copy(), np.where(saturated, _LAST, start)
        for _ in range(_STEPS):
            half = (low + high) / 2
            metal, _ = self._potentials(self.pair.at(self._share(half)))
            above = metal > self.product
            low, high = np.where(above, half, low), np.where(above, high, half)
        state = self.pair.at(self._share(low))
        metal, anion = self._potentials(state)
        beyond, other = self._potentials(self.pair.at(self._share(high)))
        with np.errstate(invalid="ignore", divide="ignore"):
            weight = np.clip(np.nan_to_num((metal - self.product) / (metal - beyond)), 0.0, 1.0)
        anion = anion + weight * (other - anion)
        return low, np.broadcast_to(self.product, low.shape), anion, state

    def _share(self, reacted: Array) -> Array:
        """Share of the second salt in the moles of both."""
        second = self.route.lefts * reacted
        return second / (second + self.route.salts * (1 - reacted))

    def _potentials(self, state: PairState) -> tuple[Array, Array]:
        """Chemical potentials of an atom of the product metal and of an atom of the anion [J/mol]."""
        salt, left = elements_of(self.route.salt), elements_of(self.route.left)
        (anion,) = anion_of(self.route.salt, self.route.metal)
        other = (state.second - left[self.route.reductant] * self.reductant) / left[anion]
        metal = (state.first - salt[anion] * other) / salt[self.route.metal]
        return metal, other

    def _pressures(self, metal: Array, anion: Array) -> dict[str, Array]:
        (name,) = anion_of(self.route.salt, self.route.metal)
        potential = {self.route.metal: metal, self.route.reductant: self.reductant, name: anion}
        found = {}
        for gas, gibbs in self.gases.items():
            parts = [count * potential[element] for element, count in elements_of(name_parts(gas)[0]).items()]
            whole = sum(parts[1:], parts[0])
            found[gas] = np.asarray(equilibrium_pressure(self.temperature, whole, gibbs, STANDARD_PRESSURE))
        return found


def charge_equilibrium(chemistry: Chemistry, route: Route, temperature: Array) -> ChargeEquilibrium | None:
    """The equilibrium of a route at temperatures whose last axis is the samples; None with what is missing."""
    tables, ledger = chemistry.ledger.tables, chemistry.ledger
    if mix_as_metals(tables, route.metal, route.reductant):
        says = f"{route.metal} and {route.reductant} mix as metals: what comes over is an alloy, not computed here"
        ledger.missing.append(Missing(f"charge.{route.reductant}", says))
    elements = {route.metal, route.reductant, *anion_of(route.salt, route.metal)}
    ledger.missing += unknown_of(tables, elements)
    gases = {gas.name: chemistry.gibbs(gas.name, temperature) for gas in gases_of(tables, elements)}
    if f"{route.metal}(g)" not in gases:
        ledger.missing.append(
            Missing(f"species/{route.metal}(g)", f"no thermochemical data of {route.metal} vapour")
        )
    solids = tuple(_solids(chemistry, route, temperature))
    for formula in (route.salt, route.left):
        if formula not in {solid.name[:-3] for solid in solids}:
            ledger.missing.append(
                Missing(f"species/{formula}(s)", f"no thermochemical data of {formula} in our tables")
            )
    ledger.missing += _left_out(tables, route, solids)
    product, reductant = (
        chemistry.lowest(_phases(tables, metal), temperature) for metal in (route.metal, route.reductant)
    )
    if ledger.missing:
        return None
    pair = SaltPair(
        np.asarray(temperature),
        melts_together(chemistry, route, temperature),
        interaction_of(chemistry, route.salt, route.left, temperature),
        solids,
    )
    return ChargeEquilibrium(route, np.asarray(temperature), pair, product, reductant, gases)


def _left_out(tables: Tables, route: Route, solids: tuple[Solid, ...]) -> list[Missing]:
    """What this picture of a charge does not hold: a slag without its compound, a chloride that boils off."""
    (anion,) = anion_of(route.salt, route.metal)
    key = f"charge.{route.reductant}"
    if ("reductants", route.reductant, "slag-oxide") not in tables.rows:
        return []  # only of Al and Si does the oxide bind that of the product, and does the halide boil
    if anion == "O" and not any(0 < solid.share < 1 for solid in solids):
        return [Missing(key, f"what {route.salt} and {route.left} form in the slag is not in our tables")]
    if anion != "O":
        return [Missing(key, f"{route.left} boils out of the charge: not computed here")]
    return []


def _phases(tables: Tables, metal: str) -> list[str]:
    return [each.name for each in condensed_of(tables, [metal]) if each.formula == metal]


def _solids(chemistry: Chemistry, route: Route, temperature: Array) -> Iterator[Solid]:
    """The salt, what the reductant becomes, and every double salt of the two."""
    elements = {route.metal, route.reductant, *anion_of(route.salt, route.metal)}
    for species in condensed_of(chemistry.ledger.tables, elements):
        counts = _of_the_pair(species, route)
        if species.phase == "s" and counts is not None:
            yield Solid(species.name, *counts, chemistry.gibbs(species.name, temperature))


def _of_the_pair(species: Species, route: Route) -> tuple[float, float] | None:
    """Formulas of the salt and of what the reductant becomes that make up a species; None where they do not."""
    salt, left = elements_of(route.salt), elements_of(route.left)
    first = species.elements.get(route.metal, 0) / salt[route.metal]
    second = species.elements.get(route.reductant, 0) / left[route.reductant]
    (anion,) = anion_of(route.salt, route.metal)
    whole = first * salt[anion] + second * left[anion]
    if not first + second or abs(whole - species.elements.get(anion, 0)) > 1e-9:
        return None
    return first, second
