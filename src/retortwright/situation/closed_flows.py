# SPDX-License-Identifier: MIT
"""What has to get out of a rig, and what is drawn back in: reliefs, bubblers, cooling, a pump that stops."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.choked import choked_mass_flux, isentropic_flux_share
from retortwright.physics.constants import ATMOSPHERE, GAS_CONSTANT
from retortwright.physics.orifice import orifice_mass_flow
from retortwright.physics.viscosity import lennard_jones_viscosity
from retortwright.reference.datum import Missing
from retortwright.situation.charge import charge_of
from retortwright.situation.closed_contents import bubbler_head
from retortwright.situation.closed_pressure import ClosedWork, closed_of
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.gas import GasWork
from retortwright.situation.gasloads import STATED
from retortwright.situation.isolated import Case, Inner, cuts_of, inside_of, plant_place
from retortwright.situation.moisture import moisture_of
from retortwright.situation.situation import Situation
from retortwright.situation.takers import molar
from retortwright.situation.timing import is_after_heat, is_hot

__all__ = [
    "Vent",
    "air_time",
    "draw_rate",
    "joined_to_retort",
    "opening_of",
    "planned_cases",
    "pump_draws",
    "use_of",
    "valves_to_pump",
]

_SHARP = 0.83  # of the isentropic flux, through a sharp edge
_GASES = {"hydrogen": 1.4, "argon": 5.0 / 3.0}  # heat capacity ratios


@dataclass(frozen=True, slots=True)
class Vent:
    """A thing of the plant that lets gas out: relief or bubbler, its bore [m], and over what pressure [Pa]."""

    name: str
    bore: float | None
    inlet: float
    outlet: float


def planned_cases(situation: Situation) -> tuple[Case, ...]:
    """Every moment of the programme as planned."""
    return tuple(case for case in closed_of(situation).cases() if case.kind == "planned")


def joined_to_retort(situation: Situation, case: Case) -> Inner:
    """The volume around the inside of the retort."""
    return inside_of(situation.tree, cuts_of(situation.tree, case.open, case.plug)).volume_at((0, 0.0))


def opening_of(situation: Situation, name: str) -> Vent | None:
    """The relief or the bubbler of a rig as something that gas leaves by.

    A relief is open at its set pressure; a bubbler passes what drives it at twice its head.
    """
    entry = getattr(situation.rig.plant, name)
    if entry is None:
        return None
    if name == "relief":
        return Vent(name, entry["bore"], entry["opens"], ATMOSPHERE)
    head = bubbler_head(situation)
    return Vent(name, entry.get("bore"), ATMOSPHERE + 2 * head, ATMOSPHERE + head)


def use_of(situation: Situation, vent: Vent) -> Figure:
    """The share of what a vent can pass that the worst gas takes; each gas apart in `said`."""
    work, ledger = closed_of(situation), Ledger(situation.rig, situation.tables, situation.draws)
    if vent.bore is None:
        ledger.missing.append(
            Missing(f"plant.{vent.name}.bore", f"the bore of the {vent.name} is not stated")
        )
    place = plant_place(situation.rig, situation.tree, vent.name)
    demands = {"hydrogen": _hydrogen(situation, ledger), "argon": _argon(situation, ledger)}
    boils = _boils(situation, ledger)
    room = ledger.default("room.temperature")
    hot = room if place is None else np.maximum(room, _warmest(work, place))
    said = {}
    for gas, moles in demands.items():
        said[gas] = moles
        if vent.bore is not None:
            said[f"{gas} share"] = moles / _passed(ledger, vent, gas, hot)
    if boils is not None and vent.bore is not None:
        said["vapour"], demands["vapour"] = boils, boils
        said["vapour share"] = boils / _passed_vapour(situation, ledger, vent, hot)
    shares = [said[f"{gas} share"] for gas in demands if f"{gas} share" in said]
    return figure_of(ledger, np.sum(shares, axis=0) if shares else np.full(ledger.draws.size, np.nan), said)


def _warmest(work: ClosedWork, place: tuple[int, float]) -> Array:
    """The warmest that the wall at a place gets as planned [K]."""
    sliver = work.slivers.at(place)
    states = dict.fromkeys(moment.state.name for moment in work.moments)
    cells = [work.slivers.temperature(work.situation.heat(state).temperature)[sliver] for state in states]
    return np.asarray(np.max(cells, axis=0))


def _passed(ledger: Ledger, vent: Vent, gas: str, temperature: Array) -> Array:
    """What a vent passes of a gas [mol/s]."""
    mass, diameter, well = (
        ledger.sampled(f"{gas}.{name}", "gases", gas, name, 0.0, 1e4)
        for name in ("molar-mass", "diameter", "well")
    )
    viscosity = lennard_jones_viscosity(temperature, mass, diameter, well)
    radius = (vent.bore or 0.0) / 2
    flow = orifice_mass_flow(radius, vent.inlet, vent.outlet, temperature, viscosity, mass, _GASES[gas])
    return np.asarray(flow) / mass


def _boils(situation: Situation, ledger: Ledger) -> Array | None:
    """All the metal as vapour over the time in which it comes [mol/s]; None where there is no charge."""
    if not situation.rig.charge:
        return None
    freed, _ = charge_of(situation).freed(ledger)
    return freed / molar(ledger, situation.rig.aim.metal) / ledger.default("reaction.time", 60.0, 1e6)


def _passed_vapour(situation: Situation, ledger: Ledger, vent: Vent, temperature: Array) -> Array:
    """What a vent passes of the vapour of the metal, as a sharp-edged hole [mol/s]."""
    mass = molar(ledger, situation.rig.aim.metal)
    share = isentropic_flux_share(vent.outlet / vent.inlet, _GASES["argon"])
    flux = choked_mass_flux(vent.inlet, temperature, mass, _GASES["argon"]) * share
    return np.asarray(_SHARP * flux * np.pi * ((vent.bore or 0.0) / 2) ** 2 / mass)


def _hydrogen(situation: Situation, ledger: Ledger) -> Array:
    """All hydrogen of the charge over the shortest ramp [mol/s]."""
    if not situation.rig.charge:
        return np.zeros(ledger.draws.size)
    moles, _ = moisture_of(situation).hydrogen_moles(ledger)
    time = _shortest_ramp(situation)
    if time is None:
        ledger.missing.append(Missing("programme.steps", "no step says how fast it heats: give it a `ramp`"))
        return np.full(ledger.draws.size, np.nan)
    return moles / time


def _shortest_ramp(situation: Situation) -> float | None:
    """Time of the shortest ramp up [s]; None where none is given."""
    before, found = 293.15, []
    for step in situation.rig.steps:
        if step.to is not None and is_hot(situation.rig, step.state):
            if step.ramp and step.to > before:
                found.append((step.to - before) / step.ramp)
            before = step.to
    return min(found, default=None)


def _argon(situation: Situation, ledger: Ledger) -> Array:
    """The argon that can flow in [mol/s]."""
    argon = situation.rig.plant.argon
    if argon is None:
        return np.zeros(ledger.draws.size)
    if argon.get("flow") is None:
        ledger.missing.append(Missing("plant.argon.flow", "the flow of the argon is not stated"))
        return np.full(ledger.draws.size, np.nan)
    flow = ledger.figure("plant.argon.flow", argon["flow"], "m^3/s")
    return flow * ATMOSPHERE / (GAS_CONSTANT * STATED)


def draw_rate(situation: Situation, case: Case) -> Figure:
    """Gas that a volume at one atmosphere draws in as it begins to cool [m^3/s at the room's temperature].

    Every wall that is warmer than the room is taken to lose its excess as the furnace chamber does; `drawn` is how much
    it is in all until it is cold [m^3].
    """
    work, ledger = closed_of(situation), Ledger(situation.rig, situation.tables, situation.draws)
    room, decay = ledger.default("room.temperature"), ledger.default("furnace.decay")
    inside = work.slivers.inside(joined_to_retort(situation, case))
    picture = work.pictures(case)[-1]
    temperature = np.maximum(work.slivers.temperature(picture.temperature)[inside], room)
    volume = work.slivers.volume[inside][:, None]
    rate = room / decay * np.sum(volume * (temperature - room) / temperature**2, axis=0)
    drawn = np.sum(volume * (1 - room / temperature), axis=0)
    return figure_of(ledger, rate, {"drawn": drawn}, picture)


def pump_draws(situation: Situation, case: Case) -> Figure | None:
    """What the pump draws on the volume around the retort at one atmosphere [m^3/s]; None where it does not."""
    pump, joined = situation.rig.plant.pump, joined_to_retort(situation, case)
    if pump is None or "pump" not in case.running or not closed_of(situation).has(joined, "pump"):
        return None
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    return figure_of(ledger, ledger.figure("plant.pump.speed", pump["speed"], "m^3/s", 1e-9))


def air_time(situation: Situation, case: Case, pressure: float) -> Figure:
    """Time in which the stated leak brings a joined volume without pump to a pressure of air [s]."""
    work, gas = closed_of(situation), GasWork(situation)
    ledger = gas.ledger()
    leak = gas.leak(ledger)
    picture = situation.heat(case.state)
    inside = work.slivers.inside(joined_to_retort(situation, case))
    room = np.sum(work.slivers.room(picture.temperature)[inside], axis=0)
    volume = np.full(ledger.draws.size, float(np.sum(work.slivers.volume[inside])))
    return figure_of(ledger, pressure * room * STATED / leak, {"volume": volume}, picture)


def valves_to_pump(situation: Situation, case: Case) -> tuple[str, ...] | None:
    """The valves between the retort and the pump; None where the pump does not draw on the retort."""
    place = plant_place(situation.rig, situation.tree, "pump")
    if place is None or "pump" not in case.running or not is_after_heat(situation.rig, case.state):
        return None
    inside = inside_of(situation.tree, cuts_of(situation.tree, case.open))
    way = inside.way((0, 0.0), place)
    if not way:
        return None
    rows = [situation.tree.instances[part[0]].row for part in way]
    return tuple(row.name for row in rows if row.valve is not None)
