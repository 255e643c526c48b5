# SPDX-License-Identifier: MIT
"""The steady temperatures of the whole rig in one regime, all samples at once.

Newton steps on the tree of cells: conduction with k(T) and contact at joints, radiation in the
bores, and the exchanges with the surroundings. A sample that has converged is left alone, so
that one sample computed alone gives the same numbers as among the others.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from retortwright.belief.beliefs import Belief
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing
from retortwright.rig.parts import Rig
from retortwright.rig.tree import Tree
from retortwright.situation.exchange import Bath, Coil, Exchange, Lagging, WetWrap
from retortwright.situation.jointheat import joint_temperatures
from retortwright.situation.mesh import Mesh, cells_over
from retortwright.situation.regime import Regime
from retortwright.situation.settle import settled
from retortwright.situation.wall import Wall, wall_of

__all__ = ["CLOSE", "HeatPicture", "picture_of", "steady_heat"]

CLOSE = 1e-5  # K, that further steps would still move the warmest cell
_NO_HEAT = 1e-6  # W; where all flows together are less, a share of them says nothing


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
    extra: Sequence[Exchange] = (),
    middle: Array | None = None,
) -> HeatPicture:
    """The steady state of a regime; `start` is a first guess (cells, samples), `close` what may be left to go [K].

    `extra` are exchanges besides the surroundings: what vapour gives to the walls from inside. `middle`
    are temperatures (cells, 1) by which to judge what radiation in the bores carries.
    """
    wall = wall_of(rig, tree, mesh, regime, ledger)
    wall = replace(wall, exchanges=[*wall.exchanges, *extra])
    samples = ledger.draws.size
    temperature = np.full((len(mesh.start), samples), np.nan)
    if not ledger.missing:
        guess = _guess(rig, tree, mesh, regime, ledger) if start is None else start
        idle = not regime.hot and not regime.cold  # all at the room's temperature: the guess is the answer
        judged = guess if middle is None else middle
        wall = wall.sloped(None if start is None and not idle else judged)
        temperature = settled(wall, guess, close, start is None)
        if not np.all(np.isfinite(temperature)):
            ledger.missing.append(Missing("tree-of-fins", "the temperatures of some samples were not found"))
    return picture_of(tree, regime, wall, temperature, ledger)


def picture_of(tree: Tree, regime: Regime, wall: Wall, temperature: Array, ledger: Ledger) -> HeatPicture:
    """The picture of a solved wall; samples that left the range of a datum are blanked in place."""
    _check_ranges(wall, temperature, ledger)
    joints, colder, hottest = joint_temperatures(wall, tree, temperature)
    flows = _flows(wall, temperature)
    inputs = tuple(ledger.used[name] for name in sorted(ledger.used))
    return HeatPicture(
        regime,
        wall.mesh,
        temperature,
        joints,
        colder,
        hottest,
        flows,
        _imbalance(flows),
        inputs,
        frozenset(ledger.cites),
        tuple(ledger.missing),
    )


def _imbalance(flows: Mapping[str, Array]) -> Array:
    """The sum of all flows over the sum of their sizes."""
    size = sum(np.abs(flow) for flow in flows.values())
    return np.asarray(np.abs(sum(flows.values())) / np.maximum(size, _NO_HEAT))


def _guess(rig: Rig, tree: Tree, mesh: Mesh, regime: Regime, ledger: Ledger) -> Array:
    """Set temperature where something heats, the room elsewhere."""
    guess = np.repeat(ledger.default("room.temperature")[None, :], len(mesh.start), axis=0)
    for heat in rig.heat:
        target = regime.set_point(heat.name)
        for row, stretch in heat.over.items():
            if target is not None:
                guess[cells_over(mesh, tree, row, stretch.start, stretch.end) > 0.5] = target
    return guess


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
        if not isinstance(exchange, Bath | Coil | Lagging | WetWrap):
            continue
        says = exchange.beyond(temperature[exchange.cells])
        if says is not None:
            bad, sentence = says
            ledger.missing.append(Missing(exchange.name, sentence))
            temperature[:, bad] = np.nan


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
