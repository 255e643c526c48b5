# SPDX-License-Identifier: MIT
"""What a substance gives when it meets water or alcohol: hydrogen, ammonia, acetylene, methane, and heat."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from retortwright.ground.formula import elements_of
from retortwright.reference.compounds import class_of
from retortwright.reference.datum import Row, number_of
from retortwright.reference.species import Species, find_species
from retortwright.reference.tables import Tables

__all__ = ["Wetting", "wetting_of"]

_REFERENCE = 298.15  # K
_ACETYLIDES = ("Li", "Na", "K", "Rb", "Cs", "Ca", "Sr", "Ba")
_ALKALI = ("Li", "Na", "K", "Rb", "Cs")
_NOT = ("C", "Fe", "H", "N", "O")  # elements that give nothing with water in the cold


@dataclass(frozen=True, slots=True)
class Wetting:
    """Of a mole of a formula: moles of each gas, and heat [J/mol]; no heat where our tables have no number for it."""

    gases: dict[str, float]
    heat: float | None
    addresses: tuple[str, ...]


def wetting_of(tables: Tables, formula: str) -> Wetting | None:
    """What a mole of a substance gives with plenty of water; None where it gives no gas.

    Metals, hydrides, nitrides and carbides; aluminium and silicon too, for the bath of a quench is caustic.

    >>> from retortwright.reference.tables import shipped
    >>> wetting_of(shipped(), "CaH2").gases
    {'H2': 2.0}
    """
    atoms, kind = elements_of(formula), class_of(tables, formula)
    metals = {each: count for each, count in atoms.items() if each not in _NOT}
    if kind in ("metal", "element") and metals:
        (metal,) = metals
        return _of_metal(tables, metal)
    if kind == "hydride" and metals:
        return _of_compound(tables, formula, metals, {"H2": float(atoms["H"])})
    if kind == "nitride" and metals:
        return _of_compound(tables, formula, metals, {"NH3": float(atoms["N"])})
    if kind == "carbide" and metals and set(metals) <= set(_ACETYLIDES):
        return Wetting({"C2H2": atoms["C"] / 2}, None, ())
    if kind == "carbide" and set(metals) == {"Al"}:
        return _of_compound(tables, formula, metals, {"CH4": float(atoms["C"])})
    return None


def _of_metal(tables: Tables, metal: str) -> Wetting | None:
    valence = tables.find("elements", metal, "valence")
    if not isinstance(valence, Row) or not number_of(valence).best:
        return None
    gases = {"H2": number_of(valence).best / 2}
    row = tables.find("hazards", metal, "water-heat")
    if isinstance(row, Row):
        return Wetting(gases, number_of(row).best, (row.address, valence.address))
    found = _of_compound(tables, metal, {metal: 1}, gases)
    return Wetting(found.gases, found.heat, (*found.addresses, valence.address))


def _of_compound(tables: Tables, formula: str, metals: dict[str, int], gases: dict[str, float]) -> Wetting:
    """Solid and liquid water to solid hydroxide, or oxide where we have no hydroxide, and gas."""
    named = [f"{formula}(s)", *(f"{each}(g)" for each in gases), "H2O(l)"]
    after = list(_bound(tables, metals))
    found = [find_species(tables, each) for each in (*named, *(name for name, _, _ in after))]
    if len(after) < len(metals) or not all(isinstance(each, Species) for each in found):
        return Wetting(gases, None, ())
    enthalpy = {
        name: float(each.enthalpy(_REFERENCE))
        for name, each in zip((*named, *(name for name, _, _ in after)), found, strict=True)
        if isinstance(each, Species)
    }
    water = sum(number * oxygen for _, number, oxygen in after)
    out = sum(number * enthalpy[name] for name, number, _ in after)
    out += sum(number * enthalpy[f"{gas}(g)"] for gas, number in gases.items())
    heat = enthalpy[f"{formula}(s)"] + water * enthalpy["H2O(l)"] - out
    used = tuple(address for each in found if isinstance(each, Species) for address in each.addresses)
    return Wetting(gases, heat, used)


def _bound(tables: Tables, metals: dict[str, int]) -> Iterator[tuple[str, float, float]]:
    """What each metal ends as, how many of it, and how much oxygen one holds."""
    for metal, count in metals.items():
        row = tables.find("elements", metal, "valence")
        if not isinstance(row, Row):
            continue
        charge = round(number_of(row).best)
        hydroxide = f"{metal}OH(s)" if charge == 1 else f"{metal}(OH){charge}(s)"
        oxide = tables.find("hazards", metal, "burns-to")
        if isinstance(find_species(tables, hydroxide), Species):
            yield hydroxide, float(count), float(charge)
        elif isinstance(oxide, Row) and metal not in _ALKALI:
            atoms = elements_of(oxide.data)
            yield f"{oxide.data}(s)", count / atoms[metal], float(atoms["O"])
