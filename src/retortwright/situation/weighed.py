# SPDX-License-Identifier: MIT
"""The charge as it is weighed, in moles of all that is in it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np

from retortwright.ground.formula import elements_of
from retortwright.situation.charge_phases import charge_phases
from retortwright.situation.takers import molar

if TYPE_CHECKING:
    from retortwright.belief.believed import Ledger
    from retortwright.ground.arrays import Array
    from retortwright.reference.tables import Tables
    from retortwright.situation.charge import ChargePicture

__all__ = ["of_no_account", "weighed"]

_MINOR = 1e-3  # share of all atoms, from which on what is not in our tables counts


def weighed(picture: ChargePicture, ledger: Ledger) -> dict[str, Array]:
    """Moles of each formula in the charge, what is contained in another counted by itself, (samples,)."""
    found: dict[str, Array] = {}
    for reagent in picture.rig.charge:
        parts = {reagent.formula: picture.moles(ledger, reagent)}
        mass = picture.mass(ledger, reagent)
        for name, share in picture.contained(ledger, reagent).items():
            parts[name] = parts.get(name, 0.0) + mass * share / molar(ledger, name)
        for name, moles in parts.items():
            found[name] = found.get(name, np.zeros(ledger.draws.size)) + moles
    return found


def of_no_account(tables: Tables, amounts: Mapping[str, Array]) -> tuple[str, ...]:
    """Formulas of an element without any data here, of which there is next to nothing."""
    atoms = {name: sum(elements_of(name).values()) * float(np.max(each)) for name, each in amounts.items()}
    known = {
        element
        for each in charge_phases(tables, {one for name in amounts for one in elements_of(name)}).species
        for element in each.elements
    }
    strange = [name for name in amounts if not known.issuperset(elements_of(name))]
    least = _MINOR * sum(atoms.values())
    return tuple(strange) if sum(atoms[name] for name in strange) < least else ()
