# SPDX-License-Identifier: MIT
"""Oxygen, nitrogen and hydrogen that the gas of a run could bring into the product, all of it taken up.

Air comes through the leak and through rubber and plastic for as long as there is hot metal; argon brings
its impurities while it flows over hot metal and in what fills the rig afterwards. Hydrogen comes from all
water of the charge and through the hot wall. Each counts as taken up whole by the product: the charge and
the walls take their part, the pump draws some off, so that these are ceilings.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.physics.gas import molar_flow_of_throughput
from retortwright.physics.gettering import impurity_taken
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.rig.parts import State
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.gas import GasWork
from retortwright.situation.gasloads import STATED
from retortwright.situation.moisture import moisture_of
from retortwright.situation.timing import hold_of, is_after_heat, is_hot, time_with_hot_metal

if TYPE_CHECKING:
    from retortwright.situation.purity import PurityWork

__all__ = ["forms_nitride", "gas_taken", "hydrogen_taken"]


def forms_nitride(work: PurityWork) -> bool:
    """Whether the metal takes up nitrogen."""
    row = work.tables.find("getters", work.metal, "nitride-most")
    return isinstance(row, Row) and number_of(row).high > 0


def gas_taken(work: PurityWork, element: str) -> Figure:
    """Oxygen or nitrogen over the mass of the product, (samples,); said by its way in [kg]."""
    ledger, gas = work.ledger(), GasWork(work.situation)
    share = ledger.sampled(f"air.{element}", "gases", "air", f"{element}-share", 0.0, 1.0)
    atom = ledger.sampled(f"{element}.atom", "gases", element, "atom", 0.0, 1.0)
    time = time_with_hot_metal(work.rig, ledger)
    seals = gas.permeation(work.state)
    _noted(ledger, seals)
    said = {"time": time}
    for name, leak in (("leak", gas.leak(ledger)), ("rubber and plastic", seals.values)):
        flow = molar_flow_of_throughput(leak, STATED)
        said[name] = np.asarray(impurity_taken(flow, share, 2.0, atom)) * time
    said["argon"] = _of_argon(work, gas, ledger, element) * atom
    total = said["leak"] + said["rubber and plastic"] + said["argon"]
    return figure_of(ledger, total / work.wanted(ledger), said)


def _of_argon(work: PurityWork, gas: GasWork, ledger: Ledger, element: str) -> Array:
    """Atoms of an element that argon brings to hot metal, or fills the rig with after it [mol]."""
    atoms = np.zeros(ledger.draws.size)
    argon = work.rig.plant.argon
    if argon is None:
        return atoms
    for state in work.rig.states:
        if "argon" not in state.running or not is_after_heat(work.rig, state.name):
            continue
        figure = gas.argon_oxygen(state.name)
        _noted(ledger, figure)
        if figure.missing:
            return atoms + np.nan
        oxygen, water = figure.values, figure.said["water"]
        share = 2 * oxygen + water
        if element == "nitrogen":  # all of the impurity of the bottle that is neither oxygen nor water
            share = 2 * np.maximum(1.0 - argon["purity"] - figure.said["bottle"] - water, 0.0)
        atoms = atoms + share * _argon_moles(work, gas, ledger, state, figure.said["flow"])
    return atoms


def _argon_moles(work: PurityWork, gas: GasWork, ledger: Ledger, state: State, flow: Array) -> Array:
    """Argon that comes to the metal in a state [mol]: what flows while it is hot, else what fills the rig."""
    held = hold_of(work.rig, state.name)
    if is_hot(work.rig, state.name) or state.until is None:
        if held is None:
            says = f"how long argon flows in {state.name} is not said: the `hold` of that step"
            ledger.missing.append(Missing(f"programme.steps.{state.name}.hold", says))
        return flow * (np.nan if held is None else held)
    spaces = gas.spaces(state.name)
    volume = spaces.volume(spaces.group(gas.retort(state.name)))
    room = ledger.default("room.temperature", 200.0, 400.0)
    return np.asarray(state.until * volume / (GAS_CONSTANT * room))


def hydrogen_taken(work: PurityWork) -> Figure:
    """Hydrogen of all water in the charge and through the hot wall, over the mass of the product, (samples,)."""
    ledger = work.ledger()
    atom = ledger.sampled("hydrogen.atom", "gases", "hydrogen", "atom", 0.0, 1.0)
    time = time_with_hot_metal(work.rig, ledger)
    water = np.zeros(ledger.draws.size)
    if not work.charge.redistils:
        moles, _ = moisture_of(work.situation).hydrogen_moles(ledger)
        water = moles * 2 * atom
    wall = GasWork(work.situation).hydrogen(work.state)
    _noted(ledger, wall)
    through = np.asarray(molar_flow_of_throughput(wall.values, STATED)) * 2 * atom * time
    said = {"water": water, "wall": through}
    return figure_of(ledger, (water + through) / work.wanted(ledger), said)


def _noted(ledger: Ledger, figure: Figure) -> None:
    """What is behind a figure."""
    ledger.used |= {belief.name: belief for belief in figure.inputs}
    ledger.cites |= figure.cites
    ledger.missing += [each for each in figure.missing if each not in ledger.missing]
