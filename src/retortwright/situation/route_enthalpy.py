# SPDX-License-Identifier: MIT
"""Enthalpy of formulas over a grid of temperatures, each in the phase that is stable there."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing
from retortwright.reference.species import Species, find_species
from retortwright.reference.tables import Tables
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.route_reaction import Reaction

__all__ = ["GRID", "REFERENCE", "at_temperature", "enthalpy_curve", "heat_of", "reached", "species_unknown"]

REFERENCE = 298.15  # K
GRID = np.linspace(REFERENCE, 3000.0, 541)  # K


def _phases(tables: Tables, formula: str) -> tuple[str, ...]:
    """Names of the species of a formula that count: solid and liquid, or the gas where there is neither."""
    condensed = tuple(
        name for name in (f"{formula}(s)", f"{formula}(l)") if ("species", name, "piece-1") in tables.rows
    )
    gas = f"{formula}(g)"
    return condensed or ((gas,) if ("species", gas, "piece-1") in tables.rows else ())


def species_unknown(tables: Tables, formulas: Iterable[str]) -> tuple[str, ...]:
    """Those of some formulas that no species of the table stands for."""
    return tuple(formula for formula in formulas if not _phases(tables, formula))


def enthalpy_curve(chemistry: Chemistry, formula: str, grid: Array = GRID) -> Array:
    """Formation based enthalpy of the stable phase [J/mol], (temperatures, samples); nan beyond its data."""
    ledger = chemistry.ledger
    names = _phases(ledger.tables, formula)
    if not names:
        ledger.missing.append(
            Missing(f"species/{formula}", f"no thermochemical data of {formula} in our tables")
        )
        return np.full((len(grid), ledger.draws.size), np.nan)
    found = [
        each for each in (find_species(ledger.tables, name) for name in names) if isinstance(each, Species)
    ]
    if len(found) < len(names):
        chemistry.find(names[0]), chemistry.find(names[-1])
        return np.full((len(grid), ledger.draws.size), np.nan)
    gibbs = np.array([each.gibbs(grid) for each in found])
    stable = np.argmin(np.where(np.isfinite(gibbs), gibbs, np.inf), axis=0)
    curves = [_doubtful(chemistry, each, grid) for each in found]
    return np.choose(stable[:, None], curves) if len(curves) > 1 else curves[0]


def _doubtful(chemistry: Chemistry, species: Species, grid: Array) -> Array:
    """Enthalpy with what is uncertain of it; of a melt only what it shares with its solid."""
    if species.phase == "l":
        return np.asarray(chemistry.enthalpy(species.name, grid[:, None]))
    chemistry.find(species.name)
    return np.asarray(species.enthalpy(grid)[:, None] + chemistry.doubt(species, REFERENCE))


def heat_of(chemistry: Chemistry, reaction: Reaction) -> Array:
    """Enthalpy of a reaction as written, at 25 degC [J], over the samples."""
    first = np.array([REFERENCE])
    parts = [
        reaction.number_of(name) * enthalpy_curve(chemistry, name, first)[0] for name in reaction.formulas
    ]
    return np.asarray(sum(parts[1:], parts[0]))


def at_temperature(curve: Array, temperature: Array) -> Array:
    """The values of a curve over the grid, one sample at one temperature each."""
    return np.array([np.interp(temperature[i], GRID, curve[:, i]) for i in range(curve.shape[1])])


def reached(curve: Array, target: Array) -> Array:
    """The temperature at which a rising curve of enthalpy reaches a target, over the samples [K].

    A target below the cold end gives the cold end (it is colder still, and nothing is done with how
    much); beyond the hot end there is no number.
    """
    ends = []
    for i in range(curve.shape[1]):
        known = np.isfinite(curve[:, i])
        values, grid = curve[known, i], GRID[known]
        whole = len(values) > 1 and bool(known[0]) and np.isfinite(target[i])
        ends.append(float(np.interp(target[i], values, grid, right=np.nan)) if whole else np.nan)
    return np.array(ends)
