# SPDX-License-Identifier: MIT
"""What a closed volume may hold besides the gas that was shut in: hydrogen, metal and its vapour, the charge."""

from __future__ import annotations

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.reference.datum import Missing, number_of
from retortwright.reference.species import condensed_of
from retortwright.situation.charge import charge_of
from retortwright.situation.charge_room import charge_room
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.moisture import moisture_of
from retortwright.situation.saturation_table import Saturation, saturation_of
from retortwright.situation.situation import Situation
from retortwright.situation.takers import molar

__all__ = ["ClosedContents", "bubbler_head"]

_GRAVITY = 9.81  # m/s^2
_LIGHTEST = 450.0  # kg/m^3: no melted metal is lighter


class ClosedContents:
    """Figures that every closed volume of a situation shares."""

    def __init__(self, situation: Situation) -> None:
        self.situation, self.rig = situation, situation.rig

    def _ledger(self) -> Ledger:
        return Ledger(self.rig, self.situation.tables, self.situation.draws)

    def solid(self) -> Figure:
        """Room that the charge itself takes [m^3]; none where its density is not known."""
        return self.situation.once("closed solid", self._solid)

    def _solid(self) -> Figure:
        ledger = self._ledger()
        solid = charge_room(charge_of(self.situation)).solid(ledger)
        if ledger.missing:
            return figure_of(self._ledger(), np.zeros(ledger.draws.size))
        return figure_of(ledger, solid)

    def hydrogen(self) -> Figure:
        """Hydrogen that the water of the charge can give [mol]."""
        return self.situation.once("closed hydrogen", self._hydrogen)

    def _hydrogen(self) -> Figure:
        ledger = self._ledger()
        moles, _ = moisture_of(self.situation).hydrogen_moles(ledger)
        return figure_of(ledger, moles)

    def saturation(self) -> tuple[Saturation | None, Figure]:
        """The vapour pressure of the product, and what it was made from."""
        return self.situation.once("closed saturation", self._saturation)

    def _saturation(self) -> tuple[Saturation | None, Figure]:
        ledger = self._ledger()
        found = saturation_of(Chemistry(ledger), self.rig.aim.metal)
        return found, figure_of(ledger, np.zeros(ledger.draws.size))

    def saturated(self, temperature: Array) -> Array:
        """Vapour pressure of the product at walls [Pa]; none where it is not known."""
        saturation, _ = self.saturation()
        return np.zeros(temperature.shape) if saturation is None else saturation.pressure(temperature)

    def vapour(self, hottest: Array, room: Array) -> Figure:
        """Saturation at the hottest wall, and no more than all the metal would come to [Pa]."""
        saturation, data = self.saturation()
        moles = self.situation.once("closed metal", self._metal)
        size = self.situation.draws.size
        values = np.full(size, np.nan) if saturation is None else saturation.pressure(hottest)
        values = np.minimum(values, moles.values * GAS_CONSTANT / room)
        inputs = {belief.name: belief for belief in (*data.inputs, *moles.inputs)}
        missing = (*data.missing, *moles.missing)
        return Figure(values, {}, tuple(inputs.values()), data.cites | moles.cites, missing)

    def _metal(self) -> Figure:
        """All metal that is freed [mol]; where that is not known nothing limits it."""
        ledger = self._ledger()
        freed, _ = charge_of(self.situation).freed(ledger)
        moles = freed / molar(ledger, self.rig.aim.metal)
        if ledger.missing:
            return figure_of(self._ledger(), np.full(ledger.draws.size, np.inf))
        return figure_of(ledger, moles)

    def liquid(self, volume: float, hottest: Array) -> Figure:
        """What melted metal pushes with that fills a volume without a way out, as it warms [Pa].

        It may hold all the metal that is freed. Where that leaves it no room, each kelvin over the melting point
        counts with the thermal pressure of the metal.
        """
        freed, plain = self.situation.once("closed freed", self._freed), np.zeros(self.situation.draws.size)
        if freed.missing or not np.any(freed.values / _LIGHTEST > volume):
            return Figure(plain, {}, (), frozenset(), ())
        ledger, metal = self._ledger(), self.rig.aim.metal
        ledger.used |= {belief.name: belief for belief in freed.inputs}
        density, row = ledger.curve(metal, "melt-density", "charges"), ledger.row("rules", "closed", "full")
        full = np.nan if row is None else number_of(row).best
        room = np.full(ledger.draws.size, np.nan)
        if density is not None:
            room = freed.values / (density[0].held(hottest) * density[1]) / volume
        if not ledger.missing and not np.any(room >= full):
            return Figure(plain, {}, (), frozenset(), ())
        push = ledger.row("metals", metal, "thermal-pressure")
        over = np.maximum(hottest - self.situation.once("closed melts", self._melts), 0.0)
        each = np.nan if push is None else number_of(push).best
        return figure_of(ledger, np.where(room >= full, each * over, 0.0))

    def _melts(self) -> float:
        metal = self.rig.aim.metal
        melts = [each.melts for each in condensed_of(self.situation.tables, [metal]) if each.formula == metal]
        return next((each for each in melts if each), float("nan"))

    def _freed(self) -> Figure:
        ledger = self._ledger()
        freed, _ = charge_of(self.situation).freed(ledger)
        return figure_of(ledger, freed)

    def running(self) -> Figure:
        """The most that drives vapour to receivers that take it [Pa]."""
        return self.situation.once("closed running", self._running)

    def _running(self) -> Figure:
        ledger = self._ledger()
        row = ledger.row("rules", "closed", "running")
        value = np.nan if row is None else number_of(row).best
        return figure_of(ledger, np.full(ledger.draws.size, value))


def bubbler_head(situation: Situation) -> float:
    """Pressure of the liquid over the mouth of the tube of the bubbler [Pa]."""
    row = situation.tables.find("rules", "relief-capacity", "liquid")
    bubbler = situation.rig.plant.bubbler
    if bubbler is None or isinstance(row, Missing):
        return float("nan")
    return float(number_of(row).best * _GRAVITY * bubbler["depth"])
