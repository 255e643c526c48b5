# SPDX-License-Identifier: MIT
"""Any charge in the general library: the same species and phases, another method.

Its multiphase equilibrium is handed our own species in memory. Melts of several species mix ideally
there, so ours are solved without interactions beside it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import cantera
import numpy as np

from retortwright.belief.beliefs import Draws
from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.physics.phase_equilibrium import PhaseEquilibrium
from retortwright.physics.phase_system import PhaseSystem
from retortwright.reference.species import STANDARD_PRESSURE
from retortwright.reference.tables import shipped
from retortwright.situation.charge_phases import ChargePhases, charge_phases
from situation import general_library as library

__all__ = ["Ideal", "Peer", "ideal", "in_library"]

ONE = Draws(samples=1)


@dataclass(frozen=True, slots=True)
class Ideal:
    """Charges of the same formulas with melts that mix ideally, ready to be solved."""

    phases: ChargePhases
    system: PhaseSystem
    standard: Array
    totals: Array

    def solved(self) -> PhaseEquilibrium:
        """All of them at once."""
        return PhaseEquilibrium.of(self.system, self.standard, self.totals)


def ideal(amounts: Mapping[str, Array], kelvin: Array, pressure: Array) -> Ideal:
    """Charges of some formulas in moles, one point each."""
    counts = {formula: elements_of(formula) for formula in amounts}
    phases = charge_phases(shipped(), {element for each in counts.values() for element in each})
    standard = np.stack([each.gibbs(kelvin) / (GAS_CONSTANT * kelvin) for each in phases.species], axis=1)
    standard[:, : phases.gases] += np.log(pressure / STANDARD_PRESSURE)[:, None]
    columns = [
        sum(counts[formula].get(element, 0) * amount for formula, amount in amounts.items())
        for element in phases.elements
    ]
    system = PhaseSystem(phases.system.atoms, phases.system.mixed)
    return Ideal(phases, system, standard, np.stack(columns, axis=1))


@dataclass(frozen=True, slots=True)
class Peer:
    """One charge in the library, not yet in equilibrium."""

    mixture: cantera.Mixture
    names: tuple[str, ...]

    def equilibrate(self) -> bool:
        """Whether its solver came to an end."""
        try:
            # With estimate_equil=0 it hands back the charge as it was put in.
            self.mixture.equilibrate("TP", solver="vcs", rtol=1e-9, max_steps=1000, estimate_equil=-1)
        except cantera.CanteraError:
            return False
        return True

    def moles(self) -> Array:
        """Of each of our species, in our order."""
        found = dict(zip(self.mixture.species_names, self.mixture.species_moles, strict=True))
        return np.array([found.get(name, 0.0) for name in self.names])


def in_library(phases: ChargePhases, amounts: Mapping[str, float], kelvin: float, pressure: float) -> Peer:
    """A charge as it is put in: every formula in whichever phase there is, or as atoms."""
    there = [each for each in phases.species if each.lowest <= kelvin <= each.highest]
    system, solutions = phases.system, []
    for number, part in enumerate(system.slices):
        members = [each for each in phases.species[part] if each in there]
        kind = "ideal-gas" if phases.names[number] == "gas" else "ideal-condensed"
        more = {} if kind == "ideal-gas" else {"standard-concentration-basis": "unity"}
        if len(members) == 1:
            kind, more = "fixed-stoichiometry", {}
        if members:
            solutions.append(library._phase(phases.names[number], kind, members, **more))
    alone = [each for each in phases.species[system.first_pure :] if each in there]
    solutions += [library._phase(each.name, "fixed-stoichiometry", [each]) for each in alone]
    mixture = cantera.Mixture([(each, 0.0) for each in solutions])
    mixture.T, mixture.P = kelvin, pressure
    start = dict.fromkeys(mixture.species_names, 0.0)
    for formula, amount in amounts.items():
        for name, moles in _put_in(formula, amount, start).items():
            start[name] += moles
    mixture.species_moles = [start[name] for name in mixture.species_names]
    return Peer(mixture, tuple(each.name for each in phases.species))


def _put_in(formula: str, amount: float, there: Mapping[str, float]) -> dict[str, float]:
    for phase in "slg":
        if f"{formula}({phase})" in there:
            return {f"{formula}({phase})": amount}
    found = {}
    for element, count in elements_of(formula).items():
        name = next(each for each in (f"{element}(g)", f"{element}(s)", f"{element}2(g)") if each in there)
        found[name] = amount * count / elements_of(name[:-3])[element]
    return found
