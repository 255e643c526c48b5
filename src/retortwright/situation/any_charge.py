# SPDX-License-Identifier: MIT
"""What any charge of the elements in our tables becomes at a temperature and a pressure.

Salts mixed or impure, reductant in excess, water, crusts and slags: whatever is put in, the Gibbs
energy decides what there is, over all samples at once. A point has no number where no equilibrium
was shown, or where a species might be there whose data end below (or begin above) its temperature.
Published melts mix as published; all others nearly ideally, with the wide band of the belief
`melt.interaction`, which then stands among what was used.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array, Real
from retortwright.ground.formula import elements_of
from retortwright.ground.ranges import Mask
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.physics.phase_equilibrium import WAYS, PhaseEquilibrium
from retortwright.reference.datum import Missing
from retortwright.reference.species import STANDARD_PRESSURE, Species, condensed_of, gases_of, unknown_of
from retortwright.reference.tables import Tables
from retortwright.situation.charge_phases import ChargePhases, charge_phases
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.melting import activity_in_alloy, interaction_of, mix_as_metals, unmixed

__all__ = [
    "AnyCharge",
    "Conditions",
    "Contents",
    "any_charge",
    "doubtful",
    "in_doubt",
    "unknown_pairs",
    "unknown_slags",
    "unmixed_metals",
]

_BASES = ("Li", "Na", "K", "Rb", "Cs", "Mg", "Ca", "Sr", "Ba")  # metals whose oxides a slag binds
_ACIDS = ("Al", "Si")  # what binds them
_ALLOYS = (*_BASES, "Al", "Si", "Zn", "Fe", "La", "Sm", "Eu", "Yb", "Tm")
_ANIONS = ("O", "F", "Cl", "Br", "I", "S")
_NOBLE = ("Fe",)  # metals that whatever reduces here leaves as metal
_ALLOYED = 0.02  # of the atoms of a metal: of another of which there is less nothing is weakened
_MINOR = 1e-3  # of all atoms: slags of less are of no account
_NEARLY = {
    "s": 1.0,
    "l": 4.6,
    "g": 4.6,
}  # by how much over R T an unknown species must be out of the question


@dataclass(frozen=True, slots=True)
class Contents:
    """What there is at each point; nan where it is not known."""

    moles: Mapping[str, Array]  # of each species
    # Of each gas over the charge [Pa], whether or not there is a gas phase; nan where nothing fixes it:
    # a salt alone says nothing of the pressure of its metal.
    pressures: Mapping[str, Array]
    phases: Mapping[str, Array]  # moles of each phase
    known: Mask
    shown: Mask  # whether the equilibrium itself was shown
    found: PhaseEquilibrium

    def of(self, formula: str) -> Array:
        """Moles of a formula in all condensed phases."""
        parts = [self.moles[name] for name in (f"{formula}(s)", f"{formula}(l)") if name in self.moles]
        return np.asarray(sum(parts[1:], parts[0]))

    def vapour(self, element: str) -> Array:
        """Moles of the atoms of an element in the gas."""
        counts = {name: elements_of(name[:-3]).get(element, 0) for name in self.pressures}
        return np.asarray(sum(count * self.moles[name] for name, count in counts.items() if count))


@dataclass(frozen=True, slots=True)
class Conditions:
    """What the species of a charge are worth at some points, each at its temperature."""

    phases: ChargePhases
    kelvin: Array  # (points,)
    standard: Array  # standard potentials over R T, (points, species)
    interactions: tuple[Array, Array] | None  # w and v of the pairs over R T, (points, pairs)

    def kept(self, which: Mask | NDArray[np.intp]) -> Conditions:
        """The same for some of the points."""
        pairs = None if self.interactions is None else (self.interactions[0][which], self.interactions[1][which])
        return replace(self, kelvin=self.kelvin[which], standard=self.standard[which], interactions=pairs)

    def solved(
        self,
        totals: Array,
        pressure: Array,
        before: PhaseEquilibrium | None = None,
        roughly: bool = False,
        ways: int = WAYS,
    ) -> PhaseEquilibrium:
        """What moles of the elements (points, elements) become under pressures of the gas [Pa]."""
        standard = self._under(pressure)
        return PhaseEquilibrium.of(
            self.phases.system, standard, totals, self.interactions, before, roughly, ways
        )

    def stays_one(self, found: PhaseEquilibrium, totals: Array, pressure: Array, everywhere: bool) -> Mask:
        """Whether what was found roughly holds no melt that would part."""
        standard = self._under(pressure)
        return found.stays_one(self.phases.system, standard, totals, self.interactions, everywhere)

    def _under(self, pressure: Array) -> Array:
        standard = self.standard.copy()
        with np.errstate(divide="ignore"):
            standard[:, : self.phases.gases] += np.log(pressure / STANDARD_PRESSURE)[:, None]
        return standard


@dataclass(frozen=True, slots=True)
class AnyCharge:
    """The phases of a charge, for any amounts of what is in it, at any temperature and pressure."""

    chemistry: Chemistry
    phases: ChargePhases
    weakened: frozenset[str] = frozenset()  # metals taken as pure beside others they may alloy with
    solutes: frozenset[str] = frozenset()  # metals dissolved in the one that is distilled once more

    def at(self, amounts: Mapping[str, Real], temperature: Real, pressure: Real) -> Contents:
        """What moles of the formulas become at temperatures [K] and a pressure of the gas [Pa].

        The samples are the last axis of all that has more than one number.
        """
        size = self.chemistry.ledger.draws.size
        shape = np.broadcast_shapes(
            (size,), np.shape(temperature), np.shape(pressure), *(np.shape(each) for each in amounts.values())
        )
        kelvin, over = np.broadcast_to(temperature, shape), np.broadcast_to(pressure, shape)
        totals = np.stack([np.broadcast_to(each, shape) for each in self.totals(amounts)], axis=-1)
        flat = self.conditions(kelvin).solved(totals.reshape(-1, totals.shape[-1]), over.reshape(-1))
        return self._contents(flat, kelvin, over, totals)

    def conditions(self, kelvin: Array) -> Conditions:
        """What the species are worth at temperatures whose last axis is the samples; flat, one point each."""
        thermal = GAS_CONSTANT * kelvin
        parts = [
            np.broadcast_to(self.chemistry.gibbs(each.name, kelvin) / thermal + self._bound(each), kelvin.shape)
            for each in self.phases.species
        ]
        standard = np.stack(parts, axis=-1)
        flat = standard.reshape(-1, standard.shape[-1])
        return Conditions(self.phases, np.ravel(kelvin), flat, self._interactions(kelvin))

    def _bound(self, species: Species) -> Real:
        """What an alloy that our tables do not have adds to the potential of a metal, over R T."""
        if species.phase != "g" and species.formula in self.weakened:
            return np.log(activity_in_alloy(self.chemistry))
        if species.phase == "l" and species.formula in self.solutes:
            return np.log(self.chemistry.ledger.default("alloy.solute", 0.0, np.inf))
        return 0.0

    def totals(self, amounts: Mapping[str, Real]) -> Iterator[Array]:
        """Moles of the atoms of each element, in the order of the phases."""
        counts = {formula: elements_of(formula) for formula in amounts}
        for element in self.phases.elements:
            parts = [counts[each].get(element, 0) * np.asarray(amount) for each, amount in amounts.items()]
            yield np.asarray(sum(parts[1:], parts[0]), dtype=float)

    def _interactions(self, kelvin: Array) -> tuple[Array, Array] | None:
        """w and v of every pair of species of a melt over R T, (points, pairs)."""
        many = len(self.phases.system.pairs)
        if not many:
            return None
        found = [interaction_of(self.chemistry, *self.phases.pair(each), kelvin) for each in range(many)]
        constant, slope = (
            np.stack([np.broadcast_to(each[part], kelvin.shape).ravel() for each in found], axis=1)
            for part in (0, 1)
        )
        thermal = GAS_CONSTANT * kelvin.reshape(-1, 1)
        return constant / thermal, slope / thermal

    def _contents(self, found: PhaseEquilibrium, kelvin: Array, over: Array, totals: Array) -> Contents:
        shape, phases = kelvin.shape, self.phases
        shown = found.converged.reshape(shape)
        doubt = in_doubt(phases, found, np.ravel(kelvin), totals.reshape(-1, totals.shape[-1]))
        known = shown & ~doubt.reshape(shape)
        names = [each.name for each in phases.species]

        def told(values: Array) -> Array:
            return np.where(known, values.reshape(shape), np.nan)

        moles = {name: told(found.moles[:, number]) for number, name in enumerate(names)}
        gas = found.shares[:, : phases.gases] * np.exp(found.excess[:, :1]) if phases.gases else None
        pressures = {
            name: told(np.where(found.open[:, number], np.nan, gas[:, number])) * over
            for number, name in enumerate(names[: phases.gases])
            if gas is not None
        }
        amounts = {name: told(found.phase_moles[:, number]) for number, name in enumerate(phases.names)}
        return Contents(moles, pressures, amounts, known, shown, found)


def in_doubt(phases: ChargePhases, found: PhaseEquilibrium, kelvin: Array, totals: Array) -> Mask:
    """Where a species might be there that has no data at the temperature, point by point."""
    doubt = np.zeros(kelvin.shape, dtype=bool)
    for _, where in doubtful(phases, found, kelvin, totals):
        doubt |= where
    return doubt


def doubtful(
    phases: ChargePhases, found: PhaseEquilibrium, kelvin: Array, totals: Array
) -> Iterator[tuple[Species, Mask]]:
    """Species that might be there though they have no data at the temperature, and at which points.

    It is judged by the Gibbs energy carried on straight from the end of its data. A solid ends where
    it melts: where the other condensed phase of a formula is known there is no doubt.
    """
    atoms = phases.system.atoms
    for number, species in enumerate(phases.species):
        outside = _outside(species, kelvin)
        if not outside.any():
            continue
        for other in phases.species:
            if other.formula == species.formula and {other.phase, species.phase} == {"s", "l"}:
                outside = outside & _outside(other, kelvin)
        if not outside.any():
            continue
        level = found.potentials @ atoms[number] - _carried_on(species, kelvin) / (GAS_CONSTANT * kelvin)
        made = (totals[:, atoms[number] > 0] > 0).all(-1)
        with np.errstate(invalid="ignore"):
            where = outside & made & ~found.open[:, number] & (level > -_NEARLY[species.phase])
        if where.any():
            yield species, where


def any_charge(
    chemistry: Chemistry, amounts: Mapping[str, Real], wanted: str | None = None, once_more: bool = False
) -> AnyCharge | None:
    """The phases of a charge of some formulas; None with the reason written down.

    Metals that are weighed as such, and the `wanted` one, are weakened by alloys that our tables do not
    have. Where the wanted metal is distilled `once_more` all metals in it are one melt.
    """
    tables, missing = chemistry.ledger.tables, chemistry.ledger.missing
    elements = {element for formula in amounts for element in elements_of(formula)}
    before = len(missing)
    metals = frozenset(each for each in (*amounts, wanted or "") if each in _ALLOYS and each in elements)
    phases = charge_phases(tables, elements, metals if once_more else ())
    covered = {element for each in phases.species for element in each.elements}
    missing += [
        Missing(f"species/{element}", f"no thermochemical data of {element} or what it forms in our tables")
        for element in sorted(elements - covered)
    ]
    missing += unknown_of(tables, elements)
    missing += unknown_pairs(tables, amounts)
    missing += unknown_slags(tables, amounts)
    if len(missing) > before:
        return None
    if once_more and wanted is not None:
        solutes = {each for each in metals if each != wanted and not mix_as_metals(tables, each, wanted)}
        return AnyCharge(chemistry, phases, solutes=frozenset(solutes))
    atoms = _atoms(amounts)
    least = {each: _ALLOYED * atoms[each] for each in metals}
    paired = unmixed_metals(tables, amounts)
    weakened = {
        one
        for pair in paired
        for one, other in (pair, pair[::-1])
        if one in metals and atoms[other] >= least[one]
    }
    return AnyCharge(chemistry, phases, weakened=frozenset(weakened))


def unknown_pairs(tables: Tables, amounts: Mapping[str, Real]) -> tuple[Missing, ...]:
    """Metals and anions in a charge whose compound we have no data of, where there is enough of both."""
    atoms = _atoms(amounts)
    least = _MINOR * sum(atoms.values())
    there = [each for each in atoms if atoms[each] >= least]
    known = [set(each.elements) for each in condensed_of(tables, there)]
    known += [set(each.elements) for each in gases_of(tables, there) if "O" not in each.elements]
    return tuple(
        Missing(f"species/{metal}-{anion}", f"no thermochemical data of what {metal} and {anion} form in our tables")
        for metal in _ALLOYS
        for anion in _ANIONS
        if metal in there and anion in there and metal not in _NOBLE and {metal, anion} not in known
    )


def _atoms(amounts: Mapping[str, Real]) -> dict[str, float]:
    """Moles of each element in a charge, at most."""
    atoms: dict[str, float] = {}
    for formula, amount in amounts.items():
        for element, count in elements_of(formula).items():
            atoms[element] = atoms.get(element, 0.0) + count * float(np.max(amount))
    return atoms


def unknown_slags(tables: Tables, amounts: Mapping[str, Real]) -> tuple[Missing, ...]:
    """Pairs of oxides in a charge that would bind each other in compounds we have no data of."""
    atoms = _atoms(amounts)
    least = _MINOR * sum(atoms.values())
    if atoms.get("O", 0.0) < least:
        return ()
    phases = charge_phases(tables, atoms)
    known = [set(each.elements) for each in phases.species if each.phase != "g"]
    return tuple(
        Missing(f"species/{base}-{acid}-O", f"what the oxides of {base} and {acid} form is not in our tables")
        for base in _BASES
        for acid in _ACIDS
        if min(atoms.get(base, 0.0), atoms.get(acid, 0.0)) >= least and {base, acid, "O"} not in known
    )


def unmixed_metals(tables: Tables, amounts: Mapping[str, Real]) -> tuple[tuple[str, str], ...]:
    """Pairs of metals in a charge that are taken as pure, though an alloy would make either of them weaker."""
    there = {element for formula in amounts for element in elements_of(formula)} & set(_ALLOYS)
    return tuple(pair for pair in combinations(sorted(there), 2) if unmixed(tables, *pair))


def _outside(species: Species, kelvin: Array) -> Mask:
    return np.asarray((kelvin < species.lowest) | (kelvin > species.highest), dtype=bool)


def _carried_on(species: Species, kelvin: Array) -> Array:
    """Gibbs energy, beyond the ends of its data with the entropy it has there [J/mol]."""
    end = np.clip(kelvin, species.lowest, species.highest)
    gibbs = species.gibbs(end)
    entropy = (species.enthalpy(end) - gibbs) / end
    return np.asarray(gibbs - entropy * (kelvin - end))
