# SPDX-License-Identifier: MIT
"""The heat of the charge and of the stretch of retort in the furnace: one mass of one temperature.

Its heat content is that of the wall in the furnace and of the charge as weighed, with its melting; a
liner, of which the file does not say how thick it is, stores none. The room draws what the steady dry
picture says, in proportion to how much hotter than the room the mass is.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing
from retortwright.reference.species import Species, find_species
from retortwright.situation.charge import charge_of
from retortwright.situation.charge_heat import charge_power, furnace_power
from retortwright.situation.mesh import cells_over
from retortwright.situation.situation import Situation
from retortwright.situation.store import store_of
from retortwright.situation.takers import molar

__all__ = ["RunHeat", "run_heat"]

_COLDEST, _STEP, _BEYOND = 240.0, 10.0, 120.0  # K
_SOLID_FROM = 298.15  # K, below which a heat capacity stays as it is
_PLACES = 400


@dataclass(frozen=True, slots=True)
class RunHeat:
    """What the heat of the mass needs; arrays are (samples,) but the first three."""

    step: Array  # (samples,) J between places
    temperature: Array  # (places, samples) K over its heat content
    room: Array  # K
    top: Array  # K of the furnace wall at the hottest set-point
    loss: Array  # W/K to the room
    power: Array  # W that the furnace can bring inside; infinite where the file does not say
    decay: Array  # s in which the furnace loses 63 % of its excess when it is off
    offset: Array  # K of the furnace wall over the set-point at the top
    charge_offset: Array  # K of the charge over the furnace wall at the top
    reaction: Array  # J/mol of metal freed
    vapour: Array  # J/mol of metal evaporated
    back: Array  # W taken by vapour that runs back while it comes at the pace of question 2
    melts: Array  # K at which the first thing in the charge melts by itself

    def at(self, content: Array, which: NDArray[np.intp]) -> tuple[Array, Array]:
        """Temperature [K] and heat capacity [J/K] at a heat content [J]."""
        step = self.step[which]
        place = np.fmin(np.fmax(content / step, 0.0), _PLACES - 1.000001)
        low = place.astype(np.intp)
        first, second = self.temperature[low, which], self.temperature[low + 1, which]
        return first + (place - low) * (second - first), step / (second - first)

    def charge(self, temperature: Array, which: NDArray[np.intp]) -> Array:
        """Temperature of the charge when the mass has one [K]."""
        room, top = self.room[which], self.top[which]
        return np.asarray(temperature + self.charge_offset[which] * (temperature - room) / (top - room))

    def aimed(self, set_point: Array, which: NDArray[np.intp]) -> Array:
        """Temperature of the mass at a set-point [K]."""
        room, top, offset = self.room[which], self.top[which], self.offset[which]
        return np.asarray(set_point + offset * (set_point - room) / (top - offset - room))

    def content(self, temperature: Array) -> Array:
        """Heat content at a temperature, (samples,) [J]."""
        places = np.arange(_PLACES)
        return np.array(
            [
                step * np.interp(one, column, places)
                for step, one, column in zip(self.step, temperature, self.temperature.T, strict=True)
            ]
        )


def run_heat(situation: Situation, ledger: Ledger, state: str, back: Array) -> RunHeat | None:
    """The heat of a rig's mass; None with what is missing. `state` is that in which the charge gives metal."""
    rig, picture = situation.rig, charge_of(situation)
    room = ledger.default("room.temperature", 200.0, 400.0)
    offset, charge_offset = ledger.default("furnace.offset"), ledger.default("charge.offset")
    decay = ledger.default("furnace.decay", 60.0, 1e6)
    target = rig.set_point(state)
    power = charge_power(picture)
    ledger.used |= {belief.name: belief for belief in power.inputs}
    ledger.cites |= power.cites
    ledger.missing += list(power.missing)
    dry = situation.dry(state)
    ledger.used |= {belief.name: belief for belief in dry.inputs}
    ledger.cites |= dry.cites
    ledger.missing += [each for each in dry.missing if each not in ledger.missing]
    if target is None or ledger.missing:
        return None
    top = target + offset
    led = [f"heat.{each.name}" for each in rig.heat if each.holds is None]
    walls = -np.sum([dry.flows[name] for name in led if name in dry.flows], axis=0)
    freed, _ = picture.freed(ledger)
    moles = freed / molar(ledger, picture.metal)
    inside = furnace_power(picture, state)
    useful = ledger.default("furnace.useful", 0.01, 1.0)
    limit = np.full(ledger.draws.size, np.inf) if inside is None else inside * useful
    hottest = target + max(ledger.ends("furnace.offset")[1], 0.0) + _BEYOND  # whichever samples are computed
    grid = np.arange(_COLDEST, hottest, _STEP)
    content = _contents(situation, ledger, grid)
    if ledger.missing:
        return None
    step, temperature = _turned(grid, content)
    loss = np.maximum(walls, 0.0) / (top - room)
    return RunHeat(
        step, temperature, room, top, loss, limit, decay, offset, charge_offset,
        power.said["reaction"] / moles, power.said["vapour"] / moles, back, _first_melting(situation, ledger),
    )  # fmt: skip


def _contents(situation: Situation, ledger: Ledger, grid: Array) -> Array:
    """Heat content of wall and charge over the temperatures, (places, samples) [J]."""
    total = _wall(situation, ledger, grid)
    picture = charge_of(situation)
    for each in situation.rig.charge:
        moles = picture.mass(ledger, each) / molar(ledger, each.formula)
        total = total + np.asarray(_enthalpy(situation, ledger, each.formula, grid))[:, None] * moles
    return np.asarray(total - total[0])


def _wall(situation: Situation, ledger: Ledger, grid: Array) -> Array:
    """That of the wall inside the furnaces that the programme leads."""
    tree, mesh = situation.tree, situation.mesh
    store = store_of(tree, mesh, ledger)
    share = np.zeros(len(mesh.start))
    for heat in situation.rig.heat:
        if heat.holds is None:
            for row, stretch in heat.over.items():
                share += cells_over(mesh, tree, row, stretch.start, stretch.end)
    weight = np.clip(share, 0.0, 1.0)[:, None]
    shape = np.ones((len(mesh.start), 1))
    return np.array([np.sum(weight * store.content(one * shape), axis=0) for one in grid.tolist()])


def _enthalpy(situation: Situation, ledger: Ledger, formula: str, grid: Array) -> Array:
    """Molar enthalpy of the stable condensed phase; below and above what is known it goes on as it ends."""
    found = {phase: find_species(situation.tables, f"{formula}({phase})") for phase in ("s", "l")}
    solid, liquid = found["s"], found["l"]
    melts = liquid.melts if isinstance(liquid, Species) and liquid.melts is not None else np.inf
    values = np.full(len(grid), np.nan)
    for phase, own in ((solid, grid < melts), (liquid, grid >= melts)):
        if isinstance(phase, Species):
            ledger.cites |= set(phase.addresses)
            values[own] = phase.enthalpy(grid[own])
    fine = np.isfinite(values) & (grid >= _SOLID_FROM)
    if not np.any(fine):
        lacks = (
            solid
            if isinstance(solid, Missing)
            else Missing(f"species/{formula}(s)", f"no enthalpy of {formula}")
        )
        ledger.missing.append(lacks)
        return values
    known, inside = grid[fine], values[fine]
    ends = np.interp(grid, known, inside)
    cold = (inside[1] - inside[0]) / (known[1] - known[0])
    hot = (inside[-1] - inside[-2]) / (known[-1] - known[-2])
    return np.asarray(
        ends + cold * np.minimum(grid - known[0], 0.0) + hot * np.maximum(grid - known[-1], 0.0)
    )


def _turned(grid: Array, content: Array) -> tuple[Array, Array]:
    """Temperature over equal steps of heat content, sample by sample."""
    content = np.broadcast_to(content, (len(grid), content.shape[1]))
    step = content[-1] / (_PLACES - 1)
    places = np.arange(_PLACES)
    columns = [np.interp(places * own, column, grid) for own, column in zip(step, content.T, strict=True)]
    return np.asarray(step), np.stack(columns, axis=1)


def _first_melting(situation: Situation, ledger: Ledger) -> Array:
    """The lowest melting point among what is weighed in [K]."""
    points = [np.inf]
    for each in situation.rig.charge:
        liquid = find_species(situation.tables, f"{each.formula}(l)")
        if isinstance(liquid, Species) and liquid.melts is not None:
            points.append(liquid.melts)
    return np.full(ledger.draws.size, min(points))
