# SPDX-License-Identifier: MIT
"""Gas that does not condense during a run: what comes in and what the pump takes, and hydrogen from water.

The load of each state is the one at its end, so that an emptying looks a little faster than it is. Between
two moments of the run every flow is even, so that the pressures follow exactly.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.constants import ATMOSPHERE, GAS_CONSTANT
from retortwright.reference.datum import Missing
from retortwright.rig.parts import State
from retortwright.situation.gas import GasWork
from retortwright.situation.gasloads import STATED
from retortwright.situation.moisture import moisture_of
from retortwright.situation.run_in_time import RunInTime
from retortwright.situation.situation import Situation
from retortwright.situation.timing import heated_time, is_hot

__all__ = ["GasCourse", "RunGas", "StateGas", "gas_course", "run_gas", "water_of"]

_MOST_GIVEN = 0.999


@dataclass(frozen=True, slots=True)
class StateGas:
    """The gas of one state: (samples,)."""

    inflow: Array  # mol/s of air and what walls give off, without the charge
    speed: Array  # m^3/s that the pump draws from the retort; none where it does not
    ultimate: Array  # Pa
    room: Array  # m^3/K, volume over temperature of the joined spaces
    argon: Array  # mol/s
    until: float  # Pa up to which argon is let in


@dataclass(frozen=True, slots=True)
class RunGas:
    """The gas of all states, or why it is not known."""

    states: Mapping[str, StateGas] = field(default_factory=dict)
    missing: tuple[Missing, ...] = ()


def water_of(situation: Situation, ledger: Ledger) -> tuple[Array, Array, Missing | None]:
    """Hydrogen that the water in the charge can come to [mol], the pace at which a hot charge gives it [1/s], and
    what of it is not said."""
    moisture = moisture_of(situation)
    own = Ledger(situation.rig, situation.tables, situation.draws)
    moles, _ = moisture.hydrogen_moles(own)
    ledger.used |= own.used
    ledger.cites |= own.cites
    hot = [each.name for each in situation.rig.states if is_hot(situation.rig, each.name)]
    time = max((heated_time(situation.rig, name) for name in hot), default=math.inf)
    given = np.clip(ledger.default("charge.giving", 0.0, 1.0), 0.0, _MOST_GIVEN)
    return np.asarray(moles), -np.log1p(-given) / time, next(iter(own.missing), None)


@dataclass(frozen=True, slots=True)
class GasCourse:
    """The gas of a run, (times, samples)."""

    air: Array  # Pa of what leaks in, what walls give off, argon
    hydrogen: Array  # Pa of it in the retort
    given: Array  # mol of hydrogen that the charge has given
    argon: tuple[bool, ...]  # whether argon has been let in, by time


def gas_course(run: RunInTime, gas: RunGas, water: Array, pace: Array) -> GasCourse:
    """The gas along a run; `water` is the hydrogen in the charge [mol], `pace` that of a hot charge [1/s]."""
    wet, times = run.of("wet"), run.times
    given = np.asarray(water * -np.expm1(-pace * wet))
    air, hydrogen = np.full_like(wet, np.nan), np.full_like(wet, np.nan)
    air[0], hydrogen[0] = ATMOSPHERE, 0.0
    filled, argon = [False], {each.name for each in run.crossing.rig.states if "argon" in each.running}
    for place in range(1, len(times)):
        length = times[place] - times[place - 1]
        state = run.programme.at((times[place] + times[place - 1]) / 2).state
        filled.append(filled[-1] or state in argon)
        own = gas.states.get(state)
        if own is not None:
            flow = (given[place] - given[place - 1]) / length
            air[place], hydrogen[place] = _moved(own, air[place - 1], hydrogen[place - 1], flow, length)
    return GasCourse(air, hydrogen, given, tuple(filled))


def _moved(gas: StateGas, air: Array, hydrogen: Array, flow: Array, length: float) -> tuple[Array, Array]:
    """Both pressures after some time of even flows."""
    pumped = gas.speed / STATED / gas.room * length
    emptied = np.where(
        pumped > 0.0, -np.expm1(-pumped) / np.maximum(pumped, 1e-300), 1.0
    )  # mean of what stays
    left = np.exp(-pumped)
    inflow = gas.inflow + gas.argon
    rest = gas.ultimate * (gas.speed > 0.0)
    new = rest + (air - rest) * left + GAS_CONSTANT * inflow / gas.room * length * emptied
    if np.any(gas.argon > 0.0):
        new = np.minimum(new, np.maximum(gas.until, air))
    return new, hydrogen * left + GAS_CONSTANT * flow / gas.room * length * emptied


def run_gas(situation: Situation, ledger: Ledger) -> RunGas:
    """The gas of a rig state by state."""
    work, states = GasWork(situation), {}
    missing: list[Missing] = []
    for each in situation.rig.states:
        found = _state(situation, work, each, ledger)
        if isinstance(found, Missing):
            missing.append(found)
        else:
            states[each.name] = found
    return RunGas(states, tuple(dict.fromkeys(missing)))


def _state(situation: Situation, work: GasWork, state: State, ledger: Ledger) -> StateGas | Missing:
    samples = situation.draws.size
    loads = work.inflow(state.name)
    if loads.missing:
        return loads.missing[0]
    ledger.used |= {belief.name: belief for belief in loads.inputs}
    ledger.cites |= loads.cites
    room = moisture_of(situation).holds(state.name)
    speed, ultimate = np.zeros(samples), np.zeros(samples)
    if work.way_to_pump(state.name):
        base = work.base_pressure(state.name)
        if base.missing:
            return base.missing[0]
        own = Ledger(situation.rig, situation.tables, situation.draws)
        ultimate = work.pump(own)[1]
        whole = loads.values + base.said["charge"] / (GAS_CONSTANT * STATED)
        above = np.maximum(base.values - ultimate, 1e-6)
        speed = np.where(whole > 0.0, whole * GAS_CONSTANT * STATED / above, base.said["speed"])
    argon, until = np.zeros(samples), math.inf
    plant = situation.rig.plant
    if "argon" in state.running and plant.argon is not None:
        if plant.argon.get("flow") is None:
            return Missing("plant.argon.flow", "the flow of the argon is not stated")
        flow = ledger.figure("plant.argon.flow", plant.argon["flow"], "m^3/s")
        argon = flow * ATMOSPHERE / (GAS_CONSTANT * STATED)
        until = ATMOSPHERE if state.until is None else state.until
    return StateGas(loads.values, speed, ultimate, room, argon, until)
