# SPDX-License-Identifier: MIT
"""The charge of one salt and one reductant in the general library: the same numbers, another method.

Its multiphase equilibrium minimises the Gibbs energy over the amounts of all species at a given
pressure. It is handed our own species, phase by phase, in memory: a gas with a trace of argon, the
melt of the two salts as one solution, and every solid and metal as a phase of its own. The trace is
so small that next to nothing of the charge goes into the gas.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import cantera

from retortwright.ground.formula import elements_of
from retortwright.reference.species import STANDARD_PRESSURE, Species, condensed_of, gases_of, name_parts
from retortwright.reference.tables import shipped
from retortwright.situation.route import Route, anion_of
from situation.equilibria import species

ARGON = 1e-6  # mol beside one mole of salt
EXCESS = 1.2  # reductant over what the salt needs
SMALL = 1e-12  # m3/mol of condensed species, so that pressure does nothing to them
SOLVERS = {"vcs": 1000, "gibbs": 20000}  # most steps; the second where the first does not come to an end


@dataclass(frozen=True, slots=True)
class Found:
    """What the library says of a charge: pressures [Pa] and moles by species, and the worst element balance."""

    pressures: Mapping[str, float]
    moles: Mapping[str, float]
    lost: float  # largest change of an element's amount [mol]
    charge: Route
    solver: str  # which of the library's two came to an end

    @property
    def salts(self) -> dict[str, float]:
        """Moles of each condensed species that holds the anion."""
        (anion,) = anion_of(self.charge.salt, self.charge.metal)
        formulas = {name: name_parts(name) for name in self.moles}
        return {
            name: self.moles[name]
            for name, (formula, phase) in formulas.items()
            if phase != "g" and anion in elements_of(formula)
        }

    @property
    def reacted(self) -> float:
        """The share of the salt's metal that is no longer bound in a condensed salt."""
        bound = (
            amount * elements_of(name_parts(name)[0]).get(self.charge.metal, 0)
            for name, amount in self.salts.items()
        )
        return 1 - sum(bound) / self.charge.per_salt

    @property
    def free(self) -> float:
        """Moles of the product metal that lies in the charge."""
        return sum(self.moles.get(f"{self.charge.metal}({phase})", 0.0) for phase in "sl")

    @property
    def molten(self) -> float:
        """The share of the two salts that is melt."""
        melt = sum(self.moles.get(f"{salt}(l)", 0.0) for salt in (self.charge.salt, self.charge.left))
        return melt / (1 - self.reacted + self.reacted * self.charge.lefts / self.charge.salts)


@dataclass(frozen=True, slots=True)
class Library:
    """The phases of one route."""

    route: Route
    gas: Any
    melt: Any  # None where the two salts stay solid
    alone: Mapping[str, Any]
    reach: Mapping[str, tuple[float, float]]  # of the phases alone [K]

    def found(self, kelvin: float, left: float, pressure: float) -> Found:
        """The equilibrium at a pressure [Pa] of a charge that a share of the product has left."""
        for solver, steps in SOLVERS.items():
            mixture = self._put_in(kelvin, left, pressure)
            whole = _elements(mixture)
            try:
                # With estimate_equil=0 it hands back the charge as it was put in.
                mixture.equilibrate("TP", solver=solver, rtol=1e-9, max_steps=steps, estimate_equil=-1)
            except cantera.CanteraError:
                continue
            break
        else:
            raise AssertionError("neither solver of the library came to an end")
        moles = dict(zip(mixture.species_names, map(float, mixture.species_moles), strict=True))
        vapour = sum(moles[name] for name in self.gas.species_names)
        pressures = {name: pressure * moles[name] / vapour for name in self.gas.species_names}
        lost = max(abs(after - before) for after, before in zip(_elements(mixture), whole, strict=True))
        return Found(pressures, moles, lost, self.route, solver)

    def _put_in(self, kelvin: float, left: float, pressure: float) -> Any:
        """A new mixture of the phases that exist at a temperature, with the charge in it."""
        names = [name for name, (low, high) in self.reach.items() if low <= kelvin <= high]
        phases = [self.gas, *([self.melt] if self.melt else []), *(self.alone[name] for name in names)]
        mixture = cantera.Mixture([(phase, 0.0) for phase in phases])
        mixture.T, mixture.P = kelvin, pressure
        start = self._start(left, names)
        mixture.species_moles = [start.pop(name, 0.0) for name in mixture.species_names]
        assert not start, start
        return mixture

    def _start(self, left: float, alone: Iterable[str]) -> dict[str, float]:
        """Moles that hold the elements of the charge: salt that has not reacted and what became of the rest."""
        route, phase = self.route, "l" if self.melt else "s"
        reductant = next(name for name in alone if name_parts(name)[0] == route.reductant)
        return {
            f"{route.salt}({phase})": 1 - left,
            f"{route.left}({phase})": left * route.lefts / route.salts,
            reductant: (EXCESS - left) * route.reductants / route.salts,
            "Ar(g)": ARGON,
        }


def library_of(route: Route, melt: str = "", interaction: tuple[float, float] | None = None) -> Library:
    """The phases of a route with a melt of the library's kind `melt`; its interaction is w and v [J/mol]."""
    elements = {route.metal, route.reductant, *anion_of(route.salt, route.metal)}
    molten = [f"{salt}(l)" for salt in (route.salt, route.left)]
    more: dict[str, object] = {"standard-concentration-basis": "unity"} if melt == "ideal-condensed" else {}
    if interaction is not None:
        enthalpy = [f"{each!r} J/mol" for each in interaction]
        rest = {f"excess-{what}": [0, 0] for what in ("entropy", "volume-enthalpy", "volume-entropy")}
        more["interactions"] = [{"species": molten, "excess-enthalpy": enthalpy} | rest]
    alone = [each for each in condensed_of(shipped(), elements) if each.name not in molten]
    return Library(
        route,
        _phase("gas", "ideal-gas", [*gases_of(shipped(), elements), species("Ar(g)")]),
        _phase("melt", melt, map(species, molten), **more) if melt else None,
        {each.name: _phase(each.name, "fixed-stoichiometry", [each]) for each in alone},
        {each.name: (each.lowest, each.highest) for each in alone},
    )


def _elements(mixture: Any) -> list[float]:
    return [mixture.element_moles(number) for number in range(mixture.n_elements)]


def _phase(name: str, kind: str, members: Iterable[Species], **more: object) -> Any:
    members = list(members)
    phase = {
        "name": name,
        "thermo": kind,
        "elements": sorted({element for each in members for element in each.elements}),
        "species": [each.name for each in members],
        **more,
    }
    return cantera.Solution(
        yaml=json.dumps({"phases": [phase], "species": [_entry(each) for each in members]})
    )


def _entry(each: Species) -> dict[str, object]:
    """A species with our pieces. Without the reference pressure the library would take 101325 Pa."""
    entry: dict[str, object] = {
        "name": each.name,
        "composition": dict(each.elements),
        "thermo": {
            "model": "NASA9",
            "reference-pressure": STANDARD_PRESSURE,
            "temperature-ranges": [*map(float, each.pieces.low), each.highest],
            "data": [[float(number) for number in piece] for piece in each.pieces.coefficients],
        },
    }
    if each.phase != "g":
        entry["equation-of-state"] = {"model": "constant-volume", "molar-volume": SMALL}
    return entry
