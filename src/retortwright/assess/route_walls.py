# SPDX-License-Identifier: MIT
"""Which walls and liners bear a charge: by what attacks what, and by the service limit in air."""

from __future__ import annotations

from dataclasses import dataclass

from retortwright.ground.formula import elements_of
from retortwright.reference.attacks import agents, verdict_at
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.species import Species, find_species
from retortwright.reference.tables import Tables
from retortwright.situation.candidates import Candidate

__all__ = ["LINERS", "VESSELS", "Bearing", "agents_of", "bearing_of", "service_limit"]

VESSELS = (
    "mild steel",
    "304L",
    "316L",
    "310S",
    "Ni-Cr-Fe",
    "nickel",
    "alumina",
    "fused silica",
    "tantalum",
    "copper",
)
LINERS = (
    "mild steel",
    "304L",
    "nickel",
    "tantalum",
    "molybdenum",
    "graphite",
    "alumina",
    "magnesia",
    "boron nitride",
)
_VERDICTS = {"bears": "holds", "slow": "thin", "eaten": "fails", "violent": "fails"}
_SLAG = "aluminate slag"


@dataclass(frozen=True, slots=True)
class Bearing:
    """What a charge does to a material at a temperature [K]."""

    material: str
    verdict: str  # holds, thin, fails or unknown
    because: str
    seen: bool  # whether all that was used was read in a text
    cites: frozenset[str]


def service_limit(tables: Tables, material: str) -> float | Missing:
    """Up to which a wall serves in air [K]."""
    row = tables.find("materials", material, "service-limit")
    return number_of(row).best if isinstance(row, Row) else row


def bearing_of(tables: Tables, candidate: Candidate, left: str, material: str, temperature: float) -> Bearing:
    """The worst that anything in the charge does to a material; not known where one of them is not."""
    found, unknown, cites = [], [], set()
    for agent in agents_of(tables, candidate, left, material, temperature):
        said = verdict_at(tables, agent, material, temperature)
        if isinstance(said, Missing):
            unknown.append(said)
            cites.add(said.datum)
        else:
            found.append(said)
            cites.add(said.row.address)
    worst = max(found, key=lambda each: (each.rank, each.seen), default=None)
    seen = all(each.seen for each in found)
    if worst is not None and _VERDICTS[worst.word] == "fails":
        because = f"{worst.agent} {'eats it' if worst.word == 'eaten' else 'reacts violently with it'}"
        return Bearing(material, "fails", because, worst.seen, frozenset(cites))
    if unknown or worst is None:
        because = unknown[0].says if unknown else "nothing of this charge on it is in our tables"
        return Bearing(material, "unknown", because, False, frozenset(cites))
    if worst.word == "slow":
        return Bearing(material, "thin", f"{worst.agent} wears it slowly", seen, frozenset(cites))
    return Bearing(material, "holds", "bears all that is in it", seen, frozenset(cites))


def agents_of(
    tables: Tables, candidate: Candidate, left: str, material: str, temperature: float
) -> tuple[str, ...]:
    """What of a charge touches its wall: vapour of the metal, salt and reductant in their phase there.

    Where the table speaks of a salt melt with the reductant in it, that stands for both; a briquette with
    aluminium is slag as soon as it reacts. A solid that the table does not know is passed over.
    """
    metal, reductant = candidate.metal, candidate.reductant
    found = [f"{metal}(g)"]
    if candidate.redistils:
        return (*found, _standing(tables, metal, temperature))
    if {"Al", "O"} <= set(elements_of(left)):
        return (*found, _SLAG)
    both = f"{candidate.salt}(l) with {reductant}(l)"
    if not isinstance(verdict_at(tables, both, material, temperature), Missing):
        return (*found, both, f"{reductant}(g)")
    known = set(agents(tables))
    parts = [_standing(tables, each, temperature) for each in candidate.formulas]
    return (*found, *(each for each in parts if each in known or not each.endswith("(s)")))


def _standing(tables: Tables, formula: str, temperature: float) -> str:
    """The name of a formula in the phase that it has at a temperature [K], liquid from its melting point on."""
    for name in (f"{formula}(l)", f"{formula}(s)"):
        species = find_species(tables, name)
        if isinstance(species, Species) and species.lowest <= temperature:
            if name.endswith("(l)") and species.melts is not None and temperature < species.melts:
                continue
            return name
    return f"{formula}(s)"
