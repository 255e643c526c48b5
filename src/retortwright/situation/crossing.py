# SPDX-License-Identifier: MIT
"""A state in which the charge gives metal, as the questions about its way to the receivers see it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing
from retortwright.reference.species import Species, find_species
from retortwright.rig.parts import Rig
from retortwright.situation.charge import charge_of
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.takers import molar
from retortwright.situation.vapour_exchange import HotVapour
from retortwright.situation.vapour_state import VapourState, gives_metal

if TYPE_CHECKING:
    from retortwright.situation.situation import Situation

__all__ = ["Crossing", "blank", "crossing_of", "metal_states", "time_at_top"]


def metal_states(situation: Situation) -> Iterator[str]:
    """The states in which the charge gives metal."""
    for each in situation.rig.states:
        if gives_metal(situation, each.name):
            yield each.name


def time_at_top(rig: Rig, state: str) -> float | None:
    """How long the programme holds its set-points in a state, without the ramps [s]; None where it does not say."""
    return sum(step.hold or 0.0 for step in rig.steps if step.state == state) or None


class Crossing:
    """One state with wall and vapour agreed, and what figures of it are made from."""

    def __init__(self, situation: Situation, state: str, together: VapourState) -> None:
        self.situation, self.state = situation, state
        self.rig, self.tables = situation.rig, situation.tables
        self.tree, self.mesh = situation.tree, situation.mesh
        self.vapour, self.heat, self.exchanges = together.vapour, together.heat, together.exchanges
        self.metal = situation.rig.aim.metal
        self.charge = charge_of(situation)
        self.hold = time_at_top(situation.rig, state)

    @property
    def wet(self) -> Array:
        """One where what condenses on rising walls is liquid and runs back, as the vapour has it, (samples,)."""
        back = self.vapour.ways.back
        for exchange in self.exchanges:
            if isinstance(exchange, HotVapour):
                own = np.isin(exchange.cells, back)
                return np.where(np.any(exchange.conductance[own] > 0.0, axis=0), 1.0, 0.0)
        return np.zeros(self.situation.draws.size)

    def wanted(self, ledger: Ledger) -> Array:
        """The metal wanted [kg]; what the charge should bring where the file does not say."""
        if self.rig.aim.amount is not None:
            return np.full(ledger.draws.size, self.rig.aim.amount)
        product = self.charge.product()
        ledger.used |= {belief.name: belief for belief in product.inputs}
        ledger.cites |= product.cites
        ledger.missing += list(product.missing)
        return product.values

    def ledger(self) -> Ledger:
        """A ledger that has already written down all that the vapour was made from."""
        ledger = Ledger(self.rig, self.tables, self.situation.draws)
        ledger.used |= {belief.name: belief for belief in self.vapour.inputs}
        ledger.cites |= self.vapour.cites
        ledger.missing += list(self.vapour.missing)
        return ledger

    def plain_ledger(self) -> Ledger:
        """A ledger for what does not depend on the vapour."""
        return Ledger(self.rig, self.tables, self.situation.draws)

    def figure(self, ledger: Ledger, values: Array, said: Mapping[str, Array] | None = None) -> Figure:
        """A figure of what a ledger has written down."""
        return figure_of(ledger, values, said)

    def held_for(self, ledger: Ledger) -> float:
        """The hold of the state [s]; nan with the reason written down where the programme has none."""
        if self.hold is None:
            says = f"how long {self.state} is held is not said: the `hold` of that step"
            ledger.missing.append(Missing(f"programme.steps.{self.state}.hold", says))
            return float("nan")
        return self.hold

    def melting(self, ledger: Ledger) -> float:
        """Melting point of the metal [K]; nan with the reason written down."""
        liquid = find_species(self.tables, f"{self.metal}(l)")
        if isinstance(liquid, Species) and liquid.melts is not None:
            ledger.cites |= set(liquid.addresses)
            return liquid.melts
        says = f"the melting point of {self.metal} is not in our tables"
        ledger.missing.append(
            liquid if isinstance(liquid, Missing) else Missing(f"species/{self.metal}(l)", says)
        )
        return float("nan")

    def came(self, ledger: Ledger) -> Array:
        """Mass of metal that comes over the way in the run [kg]."""
        freed, _ = self.charge.freed(ledger)
        return np.asarray(freed * ledger.default("charge.arrives", 0.0, 1.0))

    def molar_mass(self, ledger: Ledger) -> float:
        """Of an atom of the metal [kg/mol]."""
        return molar(ledger, self.metal)

    def liquid_density(self, ledger: Ledger, temperature: Array) -> Array:
        """Of the melted metal, at the ends of its range where it is colder or hotter [kg/m^3]."""
        found = ledger.curve(self.metal, "melt-density", "charges")
        if found is None:
            return np.full(ledger.draws.size, np.nan)
        curve, factor = found
        return np.asarray(curve.held(temperature) * factor)


def crossing_of(situation: Situation, state: str) -> Crossing | Missing:
    """The crossing of a state that gives metal, or what is missing for it; made once."""
    return situation.once(f"crossing {state}", lambda: _crossing(situation, state))


def _crossing(situation: Situation, state: str) -> Crossing | Missing:
    running = next(each.running for each in situation.rig.states if each.name == state)
    if "argon" in running:
        says = f"argon flows in {state}: where vapour lands out of a stream of gas is not computed"
        return Missing(f"state.{state}.running", says)
    together = situation.vapour(state)
    if together is None:
        return Missing(f"state.{state}", f"the charge gives no metal in {state}")
    return together if isinstance(together, Missing) else Crossing(situation, state, together)


def blank(situation: Situation, missing: Missing) -> Figure:
    """The figure of what cannot be said, with the reason."""
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    ledger.missing.append(missing)
    return figure_of(ledger, np.full(situation.draws.size, np.nan))
