# SPDX-License-Identifier: MIT
"""What a stock of substances does: how hot it burns, what gas and heat it gives when it is quenched."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.reference.burning import burning_of
from retortwright.reference.compounds import METALS, class_of
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.wetting import wetting_of
from retortwright.situation.inventory import Stock
from retortwright.situation.takers import molar

__all__ = ["Fuel", "Quench", "burnable", "fuel_of", "metal_mass", "quench_of"]

_TRACE = 0.01  # share of the metal at a place below which one is not named
_CARBIDES = ("Li", "Na", "Ca", "Sr", "Ba")  # with carbon beside them hot, acetylene on a quench


@dataclass(frozen=True, slots=True)
class Fuel:
    """What burns at a place (samples,): heat [J], mass of metal [kg] and its volume melted or solid [m^3]."""

    heat: Array
    mass: Array
    volume: Array
    metals: tuple[str, ...]  # but for traces, most first


@dataclass(frozen=True, slots=True)
class Quench:
    """What a quench gives (samples,): each gas [mol] and heat [J]."""

    gases: Mapping[str, Array]
    heat: Array
    unsaid: tuple[str, ...]  # substances whose heat our tables do not have

    @property
    def whole(self) -> Array:
        """All gas [mol]."""
        return np.asarray(sum(self.gases.values(), np.zeros(self.heat.shape)))


def burnable(formula: str, ledger: Ledger) -> dict[str, int]:
    """The metals of a substance that burn: a metal, an alloy, or the metal of a hydride, by atoms."""
    if class_of(ledger.tables, formula) not in ("metal", "alloy", "hydride"):
        return {}
    return {
        element: count
        for element, count in elements_of(formula).items()
        if element in METALS and isinstance(ledger.tables.find("hazards", element, "burns-to"), Row)
    }


def metal_mass(ledger: Ledger, stocks: Iterable[Stock]) -> dict[str, Array]:
    """Mass of each metal that burns [kg]."""
    found: dict[str, Array] = {}
    for stock in stocks:
        for formula, moles in stock.moles.items():
            for element, count in burnable(formula, ledger).items():
                mass = moles * count * molar(ledger, element)
                found[element] = found[element] + mass if element in found else mass
    return found


def fuel_of(ledger: Ledger, stocks: Iterable[Stock]) -> Fuel:
    """All that burns in some stocks, each metal to the oxide that really forms."""
    zero = np.zeros(ledger.draws.size)
    heat, whole, volume = zero, zero, zero
    masses = metal_mass(ledger, stocks)
    for element, mass in masses.items():
        burning = burning_of(ledger.tables, element)
        if isinstance(burning, Missing):
            ledger.missing.append(burning)
            continue
        ledger.cites |= set(burning.addresses)
        heat, whole = heat + mass * burning.heat, whole + mass
        volume = volume + mass / _density(ledger, element)
    most = float(np.median(whole))
    named = sorted(masses, key=lambda element: -float(np.median(masses[element])))
    return Fuel(heat, whole, volume, tuple(each for each in named if np.median(masses[each]) > _TRACE * most))


def _density(ledger: Ledger, element: str) -> float:
    """Of a metal [kg/m^3]; that of a light one where our tables have none."""
    row = ledger.tables.find("charges", element, "density")
    if not isinstance(row, Row):
        row = ledger.tables.find("hazards", "fire", "light-metal")
    if not isinstance(row, Row):
        return float("nan")
    ledger.cites.add(row.address)
    return number_of(row).best


def quench_of(ledger: Ledger, stocks: Iterable[Stock]) -> Quench:
    """Gas and heat of all that reacts; carbon beside a metal that makes a carbide counts as acetylene."""
    zero = np.zeros(ledger.draws.size)
    gases: dict[str, Array] = {}
    heat, unsaid = zero, []
    for stock in stocks:
        for formula, moles in stock.moles.items():
            wetting = wetting_of(ledger.tables, formula)
            if wetting is None:
                continue
            ledger.cites |= set(wetting.addresses)
            for gas, number in wetting.gases.items():
                gases[gas] = gases.get(gas, zero) + moles * number
            if wetting.heat is None:
                unsaid.append(formula)
            else:
                heat = heat + moles * max(wetting.heat, 0.0)
        if "C" in stock.moles and set(_CARBIDES) & set(stock.moles):
            gases["C2H2"] = gases.get("C2H2", zero) + stock.moles["C"] / 2
    return Quench(gases, heat, tuple(dict.fromkeys(unsaid)))
