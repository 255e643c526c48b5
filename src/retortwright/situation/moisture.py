# SPDX-License-Identifier: MIT
"""Water in the charge when it is heated: its hydrogen, and what that comes to in spaces that are shut.

All water of the file counts as still there, and all of it as hydrogen at once: what leaves while a
pump draws, through hot walls or as hydride makes it less. The pressure is that of the moles in the
joined spaces, each cell of wall at its own temperature; the solid volume of the charge, where it is
known, takes room at the lower end of the retort.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.species import STANDARD_PRESSURE, Species, find_species
from retortwright.rig.parts import State
from retortwright.situation.charge import ChargePicture, charge_of
from retortwright.situation.charge_room import charge_room
from retortwright.situation.connected import Connected, Node, connected, place_in
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.situation import Situation
from retortwright.situation.takers import molar
from retortwright.situation.timing import is_hot

__all__ = ["Hydride", "MoistureWork", "hydride_of", "moisture_of"]

_COLDEST, _HOTTEST, _GRID = 400.0, 1600.0, 2401  # K, where a hydride is followed


@dataclass(frozen=True, slots=True)
class Hydride:
    """What stores hydrogen in the pot, and from where on it gives it back [K]."""

    formula: str
    gives: float


class MoistureWork:
    """Figures of the moisture of one situation."""

    def __init__(self, situation: Situation) -> None:
        self.situation, self.rig = situation, situation.rig
        self.tree = situation.tree
        self.picture: ChargePicture = charge_of(situation)

    def hydrogen_moles(self, ledger: Ledger) -> tuple[Array, Array]:
        """Moles of hydrogen gas from all that holds hydrogen, and mass of the water it counts as [mol, kg]."""
        unstated = self.picture.unstated_water()
        ledger.missing += [] if unstated is None else [unstated]
        moles = np.zeros(ledger.draws.size)
        for reagent in self.rig.charge:
            for name, share in self.picture.contained(ledger, reagent).items():
                atoms = elements_of(name).get("H", 0)
                if atoms:
                    mass = self.picture.mass(ledger, reagent) * share
                    moles = moles + mass / molar(ledger, name) * atoms / 2
        return moles, moles * molar(ledger, "H2O")

    def spaces(self, state: str) -> Connected:
        """The joined spaces of a state."""
        return connected(self.rig, self.tree, state)

    def group(self, state: str) -> frozenset[Node]:
        """The spaces joined to the inside of the retort."""
        spaces = self.spaces(state)
        return spaces.group(spaces.node(0, 0.0))

    def joins(self, state: str, item: str) -> bool:
        """Whether a thing of the plant is joined to the inside of the retort."""
        entry = getattr(self.rig.plant, item)
        if entry is None:
            return False
        spaces, group = self.spaces(state), self.group(state)
        return any(
            spaces.node(*place) in group for place in place_in(self.tree, entry["on"], entry.get("at"))
        )

    def is_shut(self, state: State) -> bool:
        """Whether nothing leads out: the pump does not draw, no bubbler is joined."""
        pumped = "pump" in state.running and self.joins(state.name, "pump")
        return not pumped and not self.joins(state.name, "bubbler")

    def shut_states(self) -> Iterator[State]:
        """The states in which the charge is heated with nothing open."""
        for each in self.rig.states:
            if is_hot(self.rig, each.name) and self.is_shut(each):
                yield each

    def pumped_states(self) -> Iterator[State]:
        """The states in which the charge is heated and the pump draws."""
        for each in self.rig.states:
            if is_hot(self.rig, each.name) and "pump" in each.running and self.joins(each.name, "pump"):
                yield each

    def pressure(self, state: str) -> Figure:
        """Pressure of all the hydrogen in the spaces that are joined to the retort [Pa]."""
        return self.picture.once(f"hydrogen {state}", lambda: self._pressure(state))

    def _pressure(self, state: str) -> Figure:
        ledger = self.picture.ledger()
        moles, water = self.hydrogen_moles(ledger)
        heat = self.situation.heat(state)
        holds = self.holds(state) - self._taken_up(state, ledger)
        volume = self.spaces(state).volume(self.group(state))
        said = {
            "moles": moles,
            "water": water,
            "holds": holds,
            "volume": np.full(ledger.draws.size, volume),
        }
        return figure_of(ledger, moles * GAS_CONSTANT / holds, said, heat)

    def holds(self, state: str) -> Array:
        """The sum of volume over temperature of the joined spaces [m^3/K]."""
        spaces, mesh = self.spaces(state), self.situation.mesh
        picture = self.situation.heat(state)
        total = np.zeros(self.situation.draws.size)
        for node in sorted(self.group(state)):
            cells = slice(mesh.first[node[0]], mesh.last[node[0]] + 1)
            bore = (mesh.outside - 2 * mesh.wall)[cells]
            weight = bore**2 * mesh.width[cells]
            volume = spaces.share(node) * self.tree.instances[node[0]].volume
            parts = (weight / np.sum(weight))[:, None] / picture.temperature[cells]
            total = total + volume * np.sum(parts, axis=0)
        return total

    def _taken_up(self, state: str, ledger: Ledger) -> Array:
        """What the charge itself takes of it; none where its density is not known."""
        trial = self.picture.ledger()
        charge_room(self.picture).solid(trial)
        if trial.missing:
            return np.zeros(ledger.draws.size)
        mesh, rises = self.situation.mesh, self.tree.instances[0].row.slope >= 0
        temperature = self.situation.heat(state).temperature[mesh.first[0] if rises else mesh.last[0]]
        return np.asarray(charge_room(self.picture).solid(ledger) / temperature)

    def dry_rate(self, state: str) -> tuple[float, float]:
        """Water given off in an hour where the pressure of a shut state rises as fast as a dry charge
        may have it, and that rise [kg, Pa/s]."""
        ledger = self.picture.ledger()
        row = ledger.row("rules", "water", "rise")
        rise = number_of(row).best if isinstance(row, Row) else float("nan")
        holds = float(np.median(self.holds(state)))
        return rise * holds / GAS_CONSTANT * 3600.0 * molar(ledger, "H2O"), rise

    def hydride(self) -> Hydride | None:
        """The hydride of the reductant, and where its hydrogen comes to a pressure that shows."""
        if isinstance(self.picture.route, Missing):
            return None
        return hydride_of(self.picture.ledger(), self.picture.route.reductant)


def hydride_of(ledger: Ledger, reductant: str) -> Hydride | None:
    """The hydride of a metal and the temperature at which it stands under a pressure that shows [K].

    Solid or liquid hydride beside solid or liquid metal, each the stable one.
    """
    row = ledger.row("rules", "hydrogen", "hydride-from")
    found = ledger.tables.find("elements", reductant, "valence")
    if row is None or isinstance(found, Missing):
        return None
    atoms = round(number_of(found).best)
    formula = f"{reductant}H{atoms if atoms > 1 else ''}"
    grid = np.linspace(_COLDEST, _HOTTEST, _GRID)
    hydride = _lowest(ledger, formula, grid)
    metal = _lowest(ledger, reductant, grid)
    gas = find_species(ledger.tables, "H2(g)")
    if hydride is None or metal is None or isinstance(gas, Missing):
        return None
    gibbs = (metal - hydride) / (atoms / 2) + gas.gibbs(grid)
    pressure = STANDARD_PRESSURE * np.exp(-gibbs / (GAS_CONSTANT * grid))
    with np.errstate(invalid="ignore"):
        above = np.flatnonzero(pressure >= number_of(row).best)
    return Hydride(formula, float(grid[above[0]])) if len(above) else None


def _lowest(ledger: Ledger, formula: str, grid: Array) -> Array | None:
    """The Gibbs energy of the stable condensed phase; None where there are no data."""
    found = [find_species(ledger.tables, f"{formula}({phase})") for phase in ("s", "l")]
    values = [each.gibbs(grid) for each in found if isinstance(each, Species)]
    return np.fmin.reduce(values) if values else None


def moisture_of(situation: Situation) -> MoistureWork:
    """The moisture of a situation, made once."""
    return situation.once("moisture", lambda: MoistureWork(situation))
