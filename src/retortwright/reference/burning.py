# SPDX-License-Identifier: MIT
"""What a metal gives when it burns or meets water, by the oxide that really forms."""

from __future__ import annotations

from dataclasses import dataclass

from retortwright.ground.formula import elements_of
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.species import find_species
from retortwright.reference.tables import Tables

__all__ = ["Burning", "burning_of", "hydrogen_of_water"]

_REFERENCE = 298.15  # K


@dataclass(frozen=True, slots=True)
class Burning:
    """Heat of burning a kilogram of metal in air to one oxide [J/kg]."""

    oxide: str
    heat: float
    addresses: tuple[str, ...] = ()


def burning_of(tables: Tables, metal: str) -> Burning | Missing:
    """The heat that burning in plenty of air sets free, at 298 K.

    >>> from retortwright.reference.tables import shipped
    >>> found = burning_of(shipped(), "Cs")
    >>> found.oxide, round(found.heat / 1e6, 2)
    ('CsO2', 2.15)
    """
    row = tables.find("hazards", metal, "burns-to")
    mass = tables.find("elements", metal, "atomic-mass")
    if isinstance(row, Missing) or isinstance(mass, Missing):
        return next(each for each in (row, mass) if isinstance(each, Missing))
    oxide = find_species(tables, f"{row.data}(s)")
    if isinstance(oxide, Missing):
        return oxide
    atoms = elements_of(row.data)[metal]
    heat = -float(oxide.enthalpy(_REFERENCE)) / (atoms * number_of(mass).best)
    return Burning(row.data, heat, (row.address, mass.address, *oxide.addresses))


def hydrogen_of_water(tables: Tables, metal: str) -> float | Missing:
    """Hydrogen that a kilogram of metal sets free from water [mol/kg].

    >>> from retortwright.reference.tables import shipped
    >>> round(hydrogen_of_water(shipped(), "Rb") * 22.414, 0)
    131.0
    """
    valence, mass = (tables.find("elements", metal, name) for name in ("valence", "atomic-mass"))
    if not isinstance(valence, Row) or not isinstance(mass, Row):
        return next(each for each in (valence, mass) if isinstance(each, Missing))
    return number_of(valence).best / 2 / number_of(mass).best
