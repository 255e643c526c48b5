# SPDX-License-Identifier: MIT
"""What sort of compound a formula stands for, from its atoms alone: chloride, hydroxide, peroxide, azide."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

from retortwright.ground.formula import elements_of
from retortwright.reference.datum import Row, number_of
from retortwright.reference.tables import Tables

__all__ = ["CLASSES", "METALS", "REDUCING", "class_of"]

_ALKALI_OR_EARTH = frozenset(["Li", "Na", "K", "Rb", "Cs", "Be", "Mg", "Ca", "Sr", "Ba"])
_RARE_EARTHS = frozenset(
    ["Sc", "Y", "La", "Ce", "Pr", "Nd", "Pm", "Sm", "Eu", "Gd", "Tb", "Dy", "Ho", "Er", "Tm", "Yb", "Lu"]
)
_NOBLER = frozenset(["Au", "Hg", "Tl", "Sn", "Pb", "Bi", "Cd"])
_GIVE_UP_OXYGEN = _NOBLER | frozenset(
    ["V", "Cr", "Mo", "W", "Mn", "Tc", "Re", "Fe", "Ru", "Os", "Co", "Rh", "Ir", "Ni", "Pd", "Pt", "Cu", "Ag"]
)
METALS = (
    _ALKALI_OR_EARTH
    | _RARE_EARTHS
    | _GIVE_UP_OXYGEN
    | frozenset(["Ti", "Zr", "Hf", "Nb", "Ta", "Zn", "Al", "Ga", "In"])
)
_HALIDES = {"F": "fluoride", "Cl": "chloride", "Br": "bromide", "I": "iodide"}
_AMMONIUM = re.compile(r"\(?NH4\)?(\d*)")

CLASSES = (
    "metal", "element", "alloy", "water", "fluoropolymer", "organic chloride", "organic", "chloride", "bromide",
    "iodide", "fluoride", "oxychloride", "oxide", "reducible oxide", "peroxide", "superoxide", "hydroxide",
    "carbonate", "nitrate", "nitrite", "chlorate", "perchlorate", "azide", "chromate", "dichromate",
    "permanganate", "sulphate", "sulphide", "hydride", "nitride", "carbide", "other",
)  # fmt: skip
REDUCING = ("metal", "element", "alloy", "hydride", "carbide")  # what can take oxygen or a halogen away


def class_of(tables: Tables, formula: str) -> str:
    """The class of a formula, one of CLASSES; water of crystallisation is left out of account.

    Charges follow from the usual valences of the metals in it; where one is not in our tables the
    counts of the other atoms decide.
    """
    atoms = elements_of(formula)
    if len(atoms) == 1:
        return "metal" if METALS & set(atoms) else "element"
    if set(atoms) == {"H", "O"}:
        return "water" if atoms["H"] == 2 * atoms["O"] else "peroxide"
    charge = _charge(tables, atoms)
    ammonium = _AMMONIUM.search(formula)
    if ammonium and "N" in atoms and atoms.get("H", 0) >= 4:
        count = int(ammonium[1] or 1)
        atoms = {**atoms, "N": atoms["N"] - count, "H": atoms["H"] - 4 * count}
        charge += count
    metals = {element: count for element, count in atoms.items() if element in METALS}
    rest = {element: count for element, count in atoms.items() if element not in METALS and count > 0}
    if set(rest) <= {"Si"}:
        return "alloy"
    return _class_of_parts(metals, rest, charge)


def _charge(tables: Tables, atoms: Mapping[str, int]) -> float:
    """What the metals bear by their usual valences; nan where one is not known."""
    total = 0.0
    for element in METALS & set(atoms):
        row = tables.find("elements", element, "valence")
        total += atoms[element] * (number_of(row).best if isinstance(row, Row) else float("nan"))
    return total


def _class_of_parts(metals: Mapping[str, int], rest: Mapping[str, int], charge: float) -> str:
    if "C" in rest and not metals:
        return _organic(rest)
    if "O" not in rest:
        return _without_oxygen(rest, charge)
    dry = _dried(rest, charge)
    found = (
        _carbonate(dry)
        or _of_halogen(dry, charge)
        or _of_nitrogen(dry)
        or _sulphate(dry, charge)
        or _of_metal_acid(metals, dry)
    )
    if found:
        return found
    return _of_oxygen(metals, dry, charge) if set(dry) <= {"O", "H"} else "other"


def _organic(rest: Mapping[str, int]) -> str:
    if "O" in rest and set(rest) == {"C", "O"}:
        return "other"
    if "F" in rest:
        return "fluoropolymer"
    return "organic chloride" if set(rest) & {"Cl", "Br", "I"} else "organic"


def _without_oxygen(rest: Mapping[str, int], charge: float) -> str:
    halides = [name for element, name in _HALIDES.items() if element in rest]
    if halides:
        return halides[0]
    if "N" in rest:
        if set(rest) != {"N"}:
            return "other"
        one_alone = math.isnan(charge) and rest["N"] == 1
        return "nitride" if rest["N"] <= charge or one_alone else "azide"
    if "H" in rest:
        return "hydride" if set(rest) <= {"H", "B"} else "other"
    alone = next(iter(rest)) if len(rest) == 1 else ""
    return {"C": "carbide", "S": "sulphide"}.get(alone, "other")


def _dried(rest: Mapping[str, int], charge: float) -> dict[str, int]:
    """The atoms without water of crystallisation; a hydroxide keeps the hydrogen that it needs."""
    dry = dict(rest)
    if set(dry) <= {"O", "H"}:
        return dry
    waters = min(dry.get("H", 0) // 2, dry["O"])
    halogens = sum(dry.get(element, 0) for element in _HALIDES)
    if halogens and not set(dry) - {"O", "H", *_HALIDES} and halogens < charge:
        waters = 0  # a basic salt such as Mg(OH)Cl
    dry["O"] -= waters
    dry["H"] = dry.get("H", 0) - 2 * waters
    return {element: count for element, count in dry.items() if count > 0}


def _carbonate(rest: Mapping[str, int]) -> str:
    if "C" not in rest or "N" in rest:
        return ""
    return "carbonate" if rest.get("O", 0) >= 3 * rest["C"] else "organic"


def _of_halogen(rest: Mapping[str, int], charge: float) -> str:
    halogens = {element: rest[element] for element in _HALIDES if element in rest}
    if not halogens or set(rest) - {"O", "H", *_HALIDES}:
        return ""
    oxygen, count = rest.get("O", 0), sum(halogens.values())
    if oxygen == 0:
        return _HALIDES[next(iter(halogens))]
    if 2 * oxygen - rest.get("H", 0) + count <= charge:
        return "oxychloride"
    return "perchlorate" if oxygen >= 4 * count else "chlorate"


def _of_nitrogen(rest: Mapping[str, int]) -> str:
    if "N" not in rest or set(rest) - {"N", "O", "H"}:
        return ""
    if "O" not in rest:
        return "other"
    return "nitrate" if rest["O"] >= 3 * rest["N"] else "nitrite"


def _sulphate(rest: Mapping[str, int], charge: float) -> str:
    if "S" not in rest or set(rest) - {"S", "O", "H"}:
        return ""
    if "O" not in rest:
        return "sulphide"
    persulphate = rest["O"] >= 4 * rest["S"] and charge + rest.get("H", 0) < 2 * rest["S"]
    return "peroxide" if persulphate else "sulphate"


def _of_metal_acid(metals: Mapping[str, int], rest: Mapping[str, int]) -> str:
    """Chromates, dichromates, permanganates: more oxygen than the metals bear at their usual valence."""
    if set(rest) != {"O"} or not set(metals) & {"Cr", "Mn"}:
        return ""
    acid = "Cr" if "Cr" in metals else "Mn"
    oxygen, count, others = rest["O"], metals[acid], set(metals) - {"Cr", "Mn"}
    if acid == "Mn":
        return "permanganate" if others and oxygen >= 4 * count else ""
    if oxygen >= 4 * count:
        return "chromate"
    return "dichromate" if oxygen >= 3 * count else ""


def _of_oxygen(metals: Mapping[str, int], rest: Mapping[str, int], charge: float) -> str:
    """Oxides, hydroxides, and those with more oxygen than the metals bear."""
    oxygen, hydrogen = rest["O"], rest.get("H", 0)
    if not set(metals) <= _ALKALI_OR_EARTH:
        gives_up = bool(set(metals) & _GIVE_UP_OXYGEN)
        return "hydroxide" if hydrogen else "reducible oxide" if gives_up else "oxide"
    if 2 * oxygen - hydrogen <= charge:
        return "hydroxide" if hydrogen else "oxide"
    return "superoxide" if oxygen >= 2 * charge else "peroxide"
