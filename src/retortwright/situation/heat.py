# SPDX-License-Identifier: MIT
"""The steady temperatures of the whole rig in one regime, all samples at once.

Newton steps on the tree of cells: conduction with k(T) and contact at joints, radiation in the
bores, and the exchanges with the surroundings. A sample that has converged is left alone, so
that one sample computed alone gives the same numbers as among the others.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from retortwright.belief.beliefs import Belief
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.fins import half_cell_resistance, solve_tree_with_loops
from retortwright.reference.datum import Missing
from retortwright.rig.parts import Rig
from retortwright.rig.tree import Joint, Tree
from retortwright.situation.bore import bore_heat
from retortwright.situation.exchange import Exchange, WetWrap
from retortwright.situation.mesh import Mesh, cells_over
from retortwright.situation.regime import Regime
from retortwright.situation.wall import Wall, wall_of

__all__ = ["CLOSE", "HeatPicture", "steady_heat"]

_STEPS = 60
CLOSE = 1e-6  # K
_WITHIN = (60.0, 2600.0)  # K, for iterates only


@dataclass(frozen=True, slots=True)
class HeatPicture:
    """Temperatures of one regime: (cells, samples), nan where there is no number."""

    regime: Regime
    mesh: Mesh
    temperature: Array
    joints: Mapping[str, Array]  # hottest side of the hottest joint of each key, (samples,)
    colder: Mapping[str, Array]  # coldest side of the coldest joint of each key, (samples,)
    hottest: Mapping[str, int]  # which single piece that is
    flows: Mapping[str, Array]  # heat leaving by each way [W], (samples,)
    imbalance: Array  # sum of all flows over the sum of their sizes, (samples,)
    inputs: tuple[Belief, ...]
    cites: frozenset[str]
    missing: tuple[Missing, ...]


def steady_heat(
    rig: Rig,
    tree: Tree,
    mesh: Mesh,
    regime: Regime,
    ledger: Ledger,
    start: Array | None = None,
    close: float = CLOSE,
) -> HeatPicture:
    """The steady state of a regime; `start` is a first guess (cells, samples), `close` the last step [K]."""
    wall = wall_of(rig, tree, mesh, regime, ledger)
    samples = ledger.draws.size
    temperature = np.full((len(mesh.start), samples), np.nan)
    if not ledger.missing:
        guess = _guess(rig, tree, mesh, regime, samples) if start is None else start
        temperature = _solved(wall, guess, close)
        if not np.all(np.isfinite(temperature)):
            ledger.missing.append(Missing("tree-of-fins", "the temperatures of some samples were not found"))
        _check_ranges(wall, temperature, ledger)
    joints, colder, hottest = _joint_temperatures(wall, tree, temperature)
    flows = _flows(wall, temperature)
    size = sum(np.abs(flow) for flow in flows.values())
    imbalance = np.abs(sum(flows.values())) / np.maximum(size, 1e-12)
    inputs = tuple(ledger.used[name] for name in sorted(ledger.used))
    return HeatPicture(
        regime,
        mesh,
        temperature,
        joints,
        colder,
        hottest,
        flows,
        np.asarray(imbalance),
        inputs,
        frozenset(ledger.cites),
        tuple(ledger.missing),
    )


def _guess(rig: Rig, tree: Tree, mesh: Mesh, regime: Regime, samples: int) -> Array:
    """Set temperature where something heats, a little above the room elsewhere."""
    guess = np.full(len(mesh.start), 330.0)
    for heat in rig.heat:
        target = regime.set_point(heat.name)
        for row, stretch in heat.over.items():
            if target is not None:
                guess[cells_over(mesh, tree, row, stretch.start, stretch.end) > 0.5] = target
    return np.repeat(guess[:, None], samples, axis=1)


def _solved(wall: Wall, guess: Array, close: float) -> Array:
    """Newton steps until no cell of a sample moves."""
    found = guess.copy()
    active = np.arange(guess.shape[1])
    part = wall
    for _ in range(_STEPS):
        temperature = found[:, active]
        step = _newton_step(part, temperature)
        found[:, active] = np.clip(temperature + step, *_WITHIN)
        moving = ~(np.max(np.abs(step), axis=0) < close)
        if not np.any(moving):
            return found
        if not np.all(moving):
            part = part.picked(moving)
            active = active[moving]
    found[:, active] = np.nan
    return found


def _newton_step(wall: Wall, temperature: Array) -> Array:
    leaving, slope = _exchanged(wall.exchanges, temperature)
    diagonal = slope
    residual = -leaving
    mesh = wall.mesh
    up = mesh.parent[1:]
    conductivity, steepness = wall.conductivity(temperature)
    half = np.asarray(half_cell_resistance(wall.width, conductivity, wall.section))
    above = np.where(mesh.side[1:, None], 0.0, half[up])
    conductance = 1.0 / (half[1:] + above + wall.contact[1:])
    difference = temperature[up] - temperature[1:]
    flow = conductance * difference
    residual[1:] += flow
    np.subtract.at(residual, up, flow)
    turn = conductance * flow
    d_self = -conductance + turn * half[1:] * steepness[1:]
    d_up = conductance + turn * above * steepness[up]
    diagonal[1:] -= d_self
    np.add.at(diagonal, up, d_up)
    upward, downward = np.zeros_like(temperature), np.zeros_like(temperature)
    upward[1:], downward[1:] = -d_up, d_self
    for bore, weights in zip(wall.bores, wall.bore_weights, strict=True):
        heat, along = bore_heat(bore, temperature, weights)
        np.subtract.at(residual, bore.cells, heat)
        lower = slice(bore.rings.start + 1, bore.rings.stop)
        upper = slice(bore.rings.start, bore.rings.stop - 1)
        diagonal[lower] += along
        diagonal[upper] += along
        upward[lower] -= along
        downward[lower] -= along
    links = _loops(wall, temperature, half, residual)
    cells = [loop.cells for loop in wall.loops]
    return solve_tree_with_loops(mesh.parent, diagonal, upward, downward, residual, cells, links)


def _loops(wall: Wall, temperature: Array, half: Array, residual: Array) -> Array:
    """Conductance of the links that close loops; their heat goes into the residual."""
    links = np.zeros((len(wall.loops), temperature.shape[1]))
    for number, loop in enumerate(wall.loops):
        left, right = loop.cells
        links[number] = 1.0 / (half[left] + loop.contact)
        flow = links[number] * (temperature[left] - temperature[right])
        residual[left] -= flow
        residual[right] += flow
    return links


def _exchanged(exchanges: list[Exchange], temperature: Array) -> tuple[Array, Array]:
    leaving, slope = np.zeros_like(temperature), np.zeros_like(temperature)
    for exchange in exchanges:
        heat, steep = exchange.heat(temperature[exchange.cells])
        leaving[exchange.cells] += heat
        slope[exchange.cells] += steep
    return leaving, slope


def _check_ranges(wall: Wall, temperature: Array, ledger: Ledger) -> None:
    """Blank the samples that left the range of a curve, and write down the first datum that ran out."""
    for cells, curve, _ in wall.curves:
        values = temperature[cells]
        outside = np.logical_not(curve.covers(values)) & np.isfinite(values)
        if np.any(outside):
            low, high = curve.temperature[0], curve.temperature[-1]
            worst = values[outside][np.argmax(np.maximum(low - values, values - high)[outside])]
            ledger.missing.append(curve.missing_at(float(worst)))
            temperature[:, np.any(outside, axis=0)] = np.nan
    for exchange in wall.exchanges:
        says = exchange.beyond(temperature[exchange.cells]) if isinstance(exchange, WetWrap) else None
        if says is not None:
            bad, sentence = says
            ledger.missing.append(Missing(exchange.name, sentence))
            temperature[:, bad] = np.nan


def _joint_temperatures(
    wall: Wall, tree: Tree, temperature: Array
) -> tuple[dict[str, Array], dict[str, Array], dict[str, int]]:
    """The hotter and the colder side of each joint; of several alike the worst in each sample."""
    if not np.any(np.isfinite(temperature)):
        nothing = {joint.key: temperature[0] for joint in tree.joints}
        return nothing, nothing, {joint.key: joint.instance for joint in tree.joints}
    conductivity, _ = wall.conductivity(temperature)
    half = np.asarray(half_cell_resistance(wall.width, conductivity, wall.section))
    hot: dict[str, Array] = {}
    cold: dict[str, Array] = {}
    hottest: dict[str, int] = {}
    for joint in tree.joints:
        sides = _at_joint(wall, joint, half, temperature)
        above, below = np.maximum(*sides), np.minimum(*sides)
        if joint.key not in hot or np.nanmean(above) > np.nanmean(hot[joint.key]):
            hottest[joint.key] = joint.instance
        hot[joint.key] = np.maximum(hot[joint.key], above) if joint.key in hot else above
        cold[joint.key] = np.minimum(cold[joint.key], below) if joint.key in cold else below
    return hot, cold, hottest


def _at_joint(wall: Wall, joint: Joint, half: Array, temperature: Array) -> tuple[Array, Array]:
    mesh = wall.mesh
    own = mesh.cell_at(joint.instance, joint.place)
    if joint.onto < 0:
        return temperature[own], temperature[own]
    if joint.key.endswith("meets.joined"):
        return temperature[own], temperature[mesh.cell_at(joint.onto, joint.onto_place)]
    other = int(mesh.parent[own])
    above = np.zeros_like(half[other]) if mesh.side[own] else half[other]
    whole = half[own] + above + wall.contact[own]
    drop = temperature[other] - temperature[own]
    return temperature[own] + drop * half[own] / whole, temperature[other] - drop * above / whole


def _flows(wall: Wall, temperature: Array) -> dict[str, Array]:
    flows: dict[str, Array] = {}
    for exchange in wall.exchanges:
        if not np.any(np.isfinite(temperature)):
            flows[exchange.name] = temperature[0]
            continue
        heat, _ = exchange.heat(temperature[exchange.cells])
        total = np.sum(heat, axis=0)
        flows[exchange.name] = flows[exchange.name] + total if exchange.name in flows else total
    return flows
