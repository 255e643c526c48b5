# SPDX-License-Identifier: MIT
"""Charges by which a metal could be made: every salt or oxide of it with every reductant, weighed out.

Each is a whole rig in memory, a pot with a stoichiometric charge and the excess of practice, so that
it is computed by the same code as a rig from a file. Whether it is any good is not asked here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from retortwright.ground.formula import elements_of
from retortwright.reference.compounds import class_of
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.tables import Tables
from retortwright.rig.parts import Rig
from retortwright.rig.reading import rig_of
from retortwright.situation.route import molar_mass, usual_compound
from retortwright.situation.route_reaction import Reaction, reaction_of

__all__ = ["Candidate", "candidates_for", "makeable", "rig_for"]

_BATCH = 10e-3  # kg of metal in the salt of each charge
_ANIONS = ("Cl", "F", "Br", "O")
_CARBON = "C"
_REDUCTANTS = ("Ca", "Li", "Na", "Mg", "Al", "Si", "La", "Zr")
_BINDS = {"Mg": ("Si", "CaO")}  # dolime: the lime holds the silica of magnesia
_WITH_CARBON = ("oxide", "hydroxide", "carbonate")
_ALKALI = ("Li", "Na", "K", "Rb", "Cs")
_NEVER = {  # alkali metal, any other: compounds that are refused whatever they meet
    True: ("{0}OH", "{0}2CO3", "{0}NO3", "{0}2CrO4", "{0}2SO4", "{0}2O2", "{0}N3"),
    False: ("{0}(OH)2", "{0}CO3", "{0}(NO3)2", "{0}SO4", "{0}O2", "{0}(N3)2"),
}
_TAKERS = ("Mg", "Al", "Ca")


@dataclass(frozen=True, slots=True)
class Candidate:
    """One salt, one reductant, what binds the slag besides; or the metal itself, to be distilled once more."""

    metal: str
    salt: str
    reductant: str = ""
    beside: str = ""

    @property
    def formulas(self) -> tuple[str, ...]:
        """What is weighed, each once."""
        return tuple(each for each in (self.salt, self.beside, self.reductant) if each)

    @property
    def redistils(self) -> bool:
        """Whether the charge is the metal itself."""
        return self.salt == self.metal

    def __str__(self) -> str:
        return " + ".join(self.formulas)


def makeable(tables: Tables) -> tuple[str, ...]:
    """The metals that are asked for: those with rows of their own, and what lanthanum frees."""
    row = tables.find("reductants", "La", "frees")
    freed = row.data.split() if isinstance(row, Row) else []
    return tuple(dict.fromkeys([*tables.subjects("metals"), *freed]))


def candidates_for(tables: Tables, metal: str) -> tuple[Candidate, ...]:
    """Every charge that is looked at for a metal: what is in our tables, what is not but is tried, what is refused."""
    found = [*_reduced(tables, metal), *_refused(tables, metal), Candidate(metal, metal)]
    return tuple(dict.fromkeys(found))


def _reduced(tables: Tables, metal: str) -> Iterator[Candidate]:
    for anion in _ANIONS:
        salt = usual_compound(tables, metal, anion)
        if isinstance(salt, Missing) or not _is_in(tables, salt):
            continue
        for reductant in (each for each in _REDUCTANTS if each != metal):
            if metal in _BINDS and anion == "O" and _BINDS[metal][0] == reductant:
                yield Candidate(metal, salt, reductant, _BINDS[metal][1])
            yield Candidate(metal, salt, reductant)
        if class_of(tables, salt) in _WITH_CARBON:
            yield Candidate(metal, salt, _CARBON)


def _refused(tables: Tables, metal: str) -> Iterator[Candidate]:
    """Charges that people ask for and nobody should light."""
    row = tables.find("elements", metal, "valence")
    valence = round(number_of(row).best) if isinstance(row, Row) else 0
    if valence not in (1, 2):
        return
    for pattern in _NEVER[metal in _ALKALI]:
        salt = pattern.format(metal)
        kind = class_of(tables, salt)
        if kind == "oxide":
            continue  # no peroxide of this metal is known
        for reductant in _TAKERS if kind in _WITH_CARBON else _TAKERS[1:2]:
            if reductant != metal:
                yield Candidate(metal, salt, reductant)
        if kind in _WITH_CARBON:
            yield Candidate(metal, salt, _CARBON)


def _is_in(tables: Tables, formula: str) -> bool:
    return any(("species", f"{formula}({phase})", "piece-1") in tables.rows for phase in "sl")


def rig_for(tables: Tables, candidate: Candidate, vessel: str, hottest: float, grade: str) -> Rig:
    """A rig that is nothing but a pot with the charge, heated to a temperature [K]."""
    masses = _weighed(tables, candidate)
    charge = "\n".join(f'[charge."{name}"]\nmass = "{mass * 1e3:.6g} g"' for name, mass in masses.items())
    text = f"""retortwright = 1
[aim]
metal = "K"
grade = "{grade}"
{charge}
[piece.pot]
tube = "25 x 2 mm"
length = "160 mm"
rises = "90 deg"
of = "{vessel}"
bottom = {{ shape = "flat", thick = "4 mm", joined = "TIG" }}
closed = "copper knife-edge flange"
[heat]
furnace = {{ over = {{ pot = "all" }} }}
[state]
distil = {{ open = [], running = ["furnace"] }}
[programme]
steps = [{{ state = "distil", to = "{hottest:.6g} K", ramp = "2 K/min", hold = "60 min" }}]
"""
    rig = rig_of(text, str(candidate))
    return replace(rig, aim=replace(rig.aim, metal=candidate.metal))


def _weighed(tables: Tables, candidate: Candidate) -> dict[str, float]:
    """Mass of each reagent [kg]: as the reaction asks, the reductant with the least excess of practice."""
    if candidate.redistils:
        return {candidate.metal: _BATCH}
    salt, reductant = candidate.salt, candidate.reductant
    atoms = elements_of(salt)[candidate.metal]
    salts = _BATCH / molar_mass(tables, candidate.metal) / atoms
    reaction = reaction_of(
        tables, salt, reductant, candidate.metal, [candidate.beside] if candidate.beside else []
    )
    if isinstance(reaction, Missing):
        return dict.fromkeys(candidate.formulas, _BATCH)
    masses = {
        name: salts * number / _of(reaction, salt) * molar_mass(tables, name)
        for number, name in reaction.reactants
    }
    masses[reductant] *= 1.0 + _excess(tables, reductant)
    return {name: masses[name] for name in candidate.formulas if name in masses}


def _of(reaction: Reaction, formula: str) -> int:
    return next(number for number, name in reaction.reactants if name == formula)


def _excess(tables: Tables, reductant: str) -> float:
    subject = reductant if ("reductants", reductant, "excess") in tables.rows else "other"
    return number_of(tables.rows["reductants", subject, "excess"]).best
