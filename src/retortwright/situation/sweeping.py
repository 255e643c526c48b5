# SPDX-License-Identifier: MIT
"""What a stream of argon carries off as vapour: at most what saturates it at the coldest wall on its way out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.belief.believed import Ledger
from retortwright.physics.constants import ATMOSPHERE, GAS_CONSTANT
from retortwright.reference.datum import Missing
from retortwright.situation.charge import charge_of
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.connected import connected
from retortwright.situation.crossing import time_at_top
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.gasloads import STATED
from retortwright.situation.isolated import plant_place
from retortwright.situation.saturation_table import saturation_of
from retortwright.situation.situation import Situation
from retortwright.situation.takers import molar
from retortwright.situation.vapour_ways import way_along

__all__ = ["Sweep", "sweep_of"]


@dataclass(frozen=True, slots=True)
class Sweep:
    """Where the argon leaves, the coldest cell on its way there, and the metal that goes with it in the hold [kg].

    `carried.said` has the argon [mol/s] and the temperature of that wall [K].
    """

    by: str
    cell: int
    carried: Figure


def sweep_of(situation: Situation, state: str) -> Sweep | Missing:
    """What argon carries off in a state in which it flows."""
    rig = situation.rig
    running = next(each.running for each in rig.states if each.name == state)
    for by in ("pump", "bubbler"):
        if by == "pump" and by not in running:
            continue
        cells = _cells_to(situation, state, by)
        if len(cells):
            return _swept(situation, state, by, cells)
    says = (
        f"argon flows in {state}, and no open way leads from the charge to a pump that runs or to a bubbler"
    )
    return Missing("plant.bubbler", says)


def _cells_to(situation: Situation, state: str, by: str) -> NDArray[np.intp]:
    """The cells from the charge to where the argon leaves; none where no open way leads there."""
    place = plant_place(situation.rig, situation.tree, by)
    if place is None:
        return np.zeros(0, dtype=np.intp)
    spaces = connected(situation.rig, situation.tree, state)
    passages = spaces.path(spaces.node(0, 0.0), 0.0, spaces.node(*place), place[1])
    if not passages:
        return np.zeros(0, dtype=np.intp)
    return way_along(situation.tree, situation.mesh, -1, passages).cells


def _swept(situation: Situation, state: str, by: str, cells: NDArray[np.intp]) -> Sweep:
    ledger, rig = Ledger(situation.rig, situation.tables, situation.draws), situation.rig
    walls = situation.dry(state)
    ledger.used |= {belief.name: belief for belief in walls.inputs}
    ledger.cites |= walls.cites
    ledger.missing += list(walls.missing)
    along = walls.temperature[cells]
    cell = int(cells[np.argmin(np.median(along, axis=1))])
    coldest = np.asarray(np.min(along, axis=0))
    argon = dict(rig.plant.argon or {})
    saturation = saturation_of(Chemistry(ledger), rig.aim.metal)
    freed, _ = charge_of(situation).freed(ledger)
    hold = time_at_top(rig, state)
    if argon.get("flow") is None:
        ledger.missing.append(Missing("plant.argon.flow", "the flow of the argon is not stated"))
    if hold is None:
        says = f"how long {state} is held is not said: the `hold` of that step"
        ledger.missing.append(Missing(f"programme.steps.{state}.hold", says))
    if saturation is None or hold is None or ledger.missing:
        return Sweep(by, cell, figure_of(ledger, np.full(ledger.draws.size, np.nan)))
    flow = ledger.figure("plant.argon.flow", argon["flow"], "m^3/s") * ATMOSPHERE / (GAS_CONSTANT * STATED)
    pressure = np.full(ledger.draws.size, ATMOSPHERE)
    if by == "pump" and rig.plant.pump is not None:
        speed = ledger.figure("plant.pump.speed", rig.plant.pump["speed"], "m^3/s", 1e-9)
        pressure = np.minimum(flow * GAS_CONSTANT * STATED / speed, ATMOSPHERE)
    own = np.minimum(saturation.pressure(coldest), 0.999 * pressure)
    carried = flow * own / (pressure - own) * molar(ledger, rig.aim.metal) * hold
    return Sweep(by, cell, figure_of(ledger, np.minimum(carried, freed), {"argon": flow, "wall": coldest}))
