# SPDX-License-Identifier: MIT
"""The heat that a charge takes: on the way up, for its reaction, for the vapour that leaves.

Enthalpies are those of the stable phases; salts that melt in the mixture count as melted as soon
as the mixture may be. What is in a reagent besides counts as the reagent.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing
from retortwright.reference.species import Species, find_species
from retortwright.situation.charge import ChargePicture
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.regime import regime_of
from retortwright.situation.route import Route
from retortwright.situation.takers import molar
from retortwright.situation.timing import is_hot, time_with_hot_metal

__all__ = ["charge_power", "furnace_power"]

_REFERENCE = 298.15  # K


def furnace_power(picture: ChargePicture, state: str) -> float | None:
    """What the furnaces that the programme leads give at most [W]; None where one does not say."""
    running = {name for name, _ in regime_of(picture.rig, state).hot}
    led = [each for each in picture.rig.heat if each.holds is None and each.name in running]
    powers = [each.power for each in led if each.power is not None]
    return sum(powers) if led and len(powers) == len(led) else None


def charge_power(picture: ChargePicture) -> Figure:
    """The most that the charge takes [W]: on a ramp, or while it reacts and the metal evaporates."""
    return picture.once("power", lambda: _charge_power(picture))


def _charge_power(picture: ChargePicture) -> Figure:
    ledger = picture.ledger()
    heating = np.zeros(ledger.draws.size)
    warmed = np.zeros(ledger.draws.size)
    top = _REFERENCE
    for low, high, ramp in _rises(picture, ledger):
        heat = _sensible(picture, ledger, low, high)
        heating = np.maximum(heating, heat / (high - low) * ramp)
        warmed = warmed + heat
        top = max(top, high)
    reaction, vapour = _reaction(picture, ledger, top)
    making = (reaction + vapour) / time_with_hot_metal(picture.rig, ledger)
    said = {"warming": warmed, "reaction": reaction, "vapour": vapour, "heating": heating, "making": making}
    return figure_of(ledger, np.maximum(np.maximum(heating, making), 0.0), said)


def _rises(picture: ChargePicture, ledger: Ledger) -> Iterator[tuple[float, float, float]]:
    """Every rise of the set-point: from, to [K], how fast [K/s]."""
    before = _REFERENCE
    for step in picture.rig.steps:
        if step.to is None or not is_hot(picture.rig, step.state):
            continue
        if step.to > before and step.ramp is None:
            says = f"how fast the furnace heats in {step.state} is not said: the `ramp` of that step"
            ledger.missing.append(Missing(f"programme.steps.{step.state}.ramp", says))
        elif step.to > before and step.ramp is not None:
            yield before, step.to, step.ramp
        before = step.to


def _sensible(picture: ChargePicture, ledger: Ledger, low: float, high: float) -> Array:
    """Heat from one temperature to a higher one, with melting [J]."""
    total = np.zeros(ledger.draws.size)
    for each in picture.rig.charge:
        moles = picture.mass(ledger, each) / molar(ledger, each.formula)
        rise = _condensed(ledger, each.formula, high) - _condensed(ledger, each.formula, low)
        total = total + moles * rise
    return total


def _reaction(picture: ChargePicture, ledger: Ledger, top: float) -> tuple[Array, Array]:
    """Heat that the reaction takes and that the freed metal takes to evaporate [J]."""
    freed, _ = picture.freed(ledger)
    moles = freed / molar(ledger, picture.metal)
    gas = _enthalpy(ledger, f"{picture.metal}(g)", top)
    metal = _condensed(ledger, picture.metal, top)
    if picture.redistils:
        return np.zeros(ledger.draws.size), moles * (gas - metal)
    route = picture.route
    if not isinstance(route, Route):
        return np.full(ledger.draws.size, np.nan), np.full(ledger.draws.size, np.nan)
    took = (
        route.metals * metal
        + route.lefts * _condensed(ledger, route.left, top)
        - route.salts * _condensed(ledger, route.salt, top)
        - route.reductants * _condensed(ledger, route.reductant, top)
    ) / route.metals
    return moles * took, moles * (gas - metal)


def _condensed(ledger: Ledger, formula: str, temperature: float) -> float:
    """Enthalpy of the stable condensed phase [J/mol]."""
    liquid = find_species(ledger.tables, f"{formula}(l)")
    melted = isinstance(liquid, Species) and liquid.melts is not None and temperature >= liquid.melts
    return _enthalpy(ledger, f"{formula}({'l' if melted else 's'})", temperature)


def _enthalpy(ledger: Ledger, name: str, temperature: float) -> float:
    found = find_species(ledger.tables, name)
    if isinstance(found, Missing):
        ledger.missing.append(found)
        return float("nan")
    ledger.cites |= set(found.addresses)
    value = float(found.enthalpy(temperature))
    if not np.isfinite(value):
        ledger.missing.append(found.missing_at(temperature))
    return value
