# SPDX-License-Identifier: MIT
"""What a run in time is made of, gathered once from the pictures of the state in which the charge gives metal."""

from __future__ import annotations

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.physics.constants import ATMOSPHERE, GAS_CONSTANT
from retortwright.reference.datum import Missing
from retortwright.situation.crossing import Crossing, metal_states
from retortwright.situation.crusting import crusts_of
from retortwright.situation.gasloads import STATED
from retortwright.situation.reflux import reflux_of
from retortwright.situation.returning import stays_solid
from retortwright.situation.run_heat import run_heat
from retortwright.situation.run_line import Passing, Sweeping, passing_of, swept_by
from retortwright.situation.run_rates import RunParts
from retortwright.situation.situation import Situation
from retortwright.situation.standing_over import standing_over
from retortwright.situation.supply import surface_rate
from retortwright.situation.takers import molar

__all__ = ["argon_states", "main_state", "parts_of", "swept_passing"]

_MOST = 1.0 - 1e-6  # share of the metal that can leave the pot
_THIRD_LEFT = 8.0 / 9.0  # of a bore is filled when a third of its width is left
_COLD = 1e-3  # of the pressure over the charge: a wall that saturates at less takes all


def main_state(situation: Situation) -> str | Missing:
    """The hottest of the states of the programme in which the charge gives its metal."""
    led = [step.state for step in situation.rig.steps]
    states = [name for name in metal_states(situation) if name in led]
    if not states:
        return Missing(
            "programme.steps", "in no step of the programme is the charge hot enough to give metal"
        )
    return max(states, key=lambda name: situation.rig.set_point(name) or 0.0)


def parts_of(crossing: Crossing, ledger: Ledger) -> RunParts | Missing:
    """The parts of a run, or what is missing for them."""
    solid = stays_solid(crossing)
    if solid is not None:
        return solid
    situation, vapour = crossing.situation, crossing.vapour
    ledger.used |= {belief.name: belief for belief in vapour.inputs}
    ledger.cites |= vapour.cites
    heat = run_heat(situation, ledger, crossing.state, reflux_of(crossing).heat)
    if heat is None:
        return ledger.missing[0]
    moles = molar(ledger, crossing.metal)
    comes = crossing.came(ledger) / moles
    metal = crossing.charge.metal_in(ledger)
    share = np.clip(comes * moles / metal, 0.0, _MOST)
    top = heat.top + heat.charge_offset
    stands = standing_over(crossing, ledger, share, metal, top)
    if isinstance(stands, Missing):
        return stands
    surface = surface_rate(crossing)
    if surface.missing or ledger.missing:
        return (*surface.missing, *ledger.missing)[0]
    face = surface.values / surface.said["pressure"] / moles
    ledger.used |= {belief.name: belief for belief in surface.inputs}
    bores = crossing.mesh.outside - 2 * crossing.mesh.wall
    told = [vapour.same.index(number) for number in range(len(vapour.landings))]
    walls = crossing.heat.temperature
    passing = passing_of(vapour.ways, told, crossing.mesh, bores, walls, vapour.stream, crossing.wet)
    crust = np.zeros(len(comes))
    for each in crusts_of(crossing):
        crust = np.maximum(crust, each.thickness.said["fullest"] * _THIRD_LEFT)
    return RunParts(
        heat, stands.over, passing,
        face, comes,
        ledger.default("reaction.time", 60.0, 1e6), ledger.default("reaction.peak", 1.0, 100.0),
        crust,
        stands.besides, stands.course,
    )  # fmt: skip


def argon_states(situation: Situation) -> list[str]:
    """The states in which the charge gives metal into argon."""
    running = {each.name: each.running for each in situation.rig.states}
    return [name for name in metal_states(situation) if "argon" in running[name]]


def swept_passing(crossing: Crossing, parts: RunParts, ledger: Ledger) -> dict[str, Passing]:
    """What passes in each state with argon in the way of the vapour."""
    found = {}
    for name in argon_states(crossing.situation):
        argon = _argon(crossing, name, ledger)
        if argon is not None:
            found[name] = swept_by(parts.passing, crossing.vapour.stream, argon)
    return found


def _argon(crossing: Crossing, state: str, ledger: Ledger) -> Sweeping | None:
    """The argon of a state; None where its flow is not said."""
    rig, vapour, mesh = crossing.rig, crossing.vapour, crossing.mesh
    plant, samples = rig.plant, crossing.situation.draws.size
    own = next(each for each in rig.states if each.name == state)
    if plant.argon is None or plant.argon.get("flow") is None:
        return None
    flow = (
        ledger.figure("plant.argon.flow", plant.argon["flow"], "m^3/s") * ATMOSPHERE / (GAS_CONSTANT * STATED)
    )
    pressure = np.full(samples, ATMOSPHERE if own.until is None else own.until)
    if "pump" in own.running and plant.pump is not None:
        speed = ledger.figure("plant.pump.speed", plant.pump["speed"], "m^3/s", 1e-9)
        pressure = np.minimum(pressure, flow * GAS_CONSTANT * STATED / speed)
    diameter = (
        vapour.stream.gas.diameter
        + ledger.sampled("argon.diameter", "gases", "argon", "diameter", 1e-11, 1e-8)
    ) / 2
    mass = float(ledger.sampled("argon.molar-mass", "gases", "argon", "molar-mass", 0.0, 1.0)[0])
    way = vapour.ways.ways[0]
    bores = mesh.outside - 2 * mesh.wall
    retort = crossing.tree.instances[0]
    level = float(mesh.middle[vapour.ways.ways[0].cells[0]])
    rise = max(way.leaves - level, bores[way.cells[0]])
    beyond = way.cells[mesh.instance[way.cells] != 0]
    walls = np.median(vapour.stream.saturation.pressure(crossing.heat.temperature[beyond]), axis=1)
    cold = walls < _COLD * float(np.median(vapour.stream.over_charge))
    last = int(np.argmax(cold)) if np.any(cold) else len(beyond) - 1
    length = max(float(np.sum(mesh.width[beyond[: last + 1]])), float(bores[beyond[0]]))
    return Sweeping(
        pressure, flow, vapour.stream.temperature, diameter, mass,
        (rise, float(np.pi / 4 * retort.tube_at(level).bore ** 2)),
        (length, float(np.pi / 4 * bores[beyond[0]] ** 2)),
    )  # fmt: skip
