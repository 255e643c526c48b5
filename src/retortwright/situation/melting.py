# SPDX-License-Identifier: MIT
"""How the two salts of a charge mix when they melt, and which metals mix with one another."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.reference.datum import Row, number_of
from retortwright.reference.tables import Tables
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.route import Route, anion_of

__all__ = ["activity_in_alloy", "interaction_of", "melts_together", "mix_as_metals", "unmixed"]

_HALIDES = frozenset({"F", "Cl", "Br", "I"})


def mix_as_metals(tables: Tables, one: str, other: str) -> bool:
    """Whether two metals form one liquid."""
    row = tables.find("metals", one, "mixes")
    return isinstance(row, Row) and other in row.data.split()


def unmixed(tables: Tables, one: str, other: str) -> bool:
    """Whether two metals are taken as pure beside one another, though an alloy would make either weaker.

    The alkali metals but for lithium are one melt, and mix with none of the others.
    """
    if one == other or mix_as_metals(tables, one, other):
        return False
    return not any(_is_alkali(tables, each) for each in (one, other))


def _is_alkali(tables: Tables, metal: str) -> bool:
    return mix_as_metals(tables, metal, "Cs") or metal == "Cs"


def activity_in_alloy(chemistry: Chemistry) -> Array:
    """The activity that is left to a metal which is taken as pure beside one it may alloy with."""
    return chemistry.ledger.default("alloy.activity", 0.0, 1.0)


def melts_together(chemistry: Chemistry, route: Route, temperature: Array) -> tuple[Array, Array] | None:
    """Gibbs energies of the two pure liquid salts [J/mol]; None for oxides, which stay solid here."""
    if not _HALIDES.issuperset(anion_of(route.salt, route.metal)):
        return None
    first, second = (chemistry.gibbs(f"{formula}(l)", temperature) for formula in (route.salt, route.left))
    return first, second


def interaction_of(chemistry: Chemistry, first: str, second: str, temperature: Array) -> tuple[Array, Array]:
    """w and v of the excess Gibbs energy x1 x2 (w + v x2) of the melt, x2 the share of `second` [J/mol].

    Where nothing is published for the pair, mixing is ideal with a wide band.
    """
    ledger = chemistry.ledger
    for subject, turned in ((f"{first}-{second}", False), (f"{second}-{first}", True)):
        if ("melts", subject, "excess-h0") not in ledger.tables.rows:
            continue
        constant = ledger.sampled(f"melt.{subject}", "melts", subject, "excess-h0", -1e6, 1e6)
        constant = constant - _number(chemistry, subject, "excess-s0") * temperature
        slope = (
            _number(chemistry, subject, "excess-h1") - _number(chemistry, subject, "excess-s1") * temperature
        )
        return (constant + slope, -slope) if turned else (constant, slope)
    constant = ledger.default("melt.interaction", -1e6, 1e6)
    return constant, np.zeros(np.shape(constant))


def _number(chemistry: Chemistry, subject: str, prop: str) -> float:
    if ("melts", subject, prop) not in chemistry.ledger.tables.rows:
        return 0.0
    row = chemistry.ledger.row("melts", subject, prop)
    return number_of(row).best if isinstance(row, Row) else 0.0
