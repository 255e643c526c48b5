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
from retortwright.situation.balance import heat_balance, solved
from retortwright.situation.blocks import Slopes
from retortwright.situation.exchange import Bath, Coil, Exchange, Lagging, WetWrap
from retortwright.situation.jointheat import joint_temperatures
from retortwright.situation.mesh import Mesh, cells_over
from retortwright.situation.regime import Regime
from retortwright.situation.wall import Wall, wall_of

__all__ = ["CLOSE", "HeatPicture", "steady_heat"]

_STEPS = 152
_FRESH, _KEPT = 4, 8  # steps with slopes of their own, then every eighth again
_CREEP, _NEAR = 0.6, 20.0  # trend of steps and size [K] from which on a trend is drawn out
CLOSE = 1e-6  # K
_NO_HEAT = 1e-6  # W; where all flows together are less, a share of them says nothing
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
    extra: Sequence[Exchange] = (),
) -> HeatPicture:
    """The steady state of a regime; `start` is a first guess (cells, samples), `close` the last step [K].

    `extra` are exchanges besides the surroundings: what vapour gives to the walls from inside.
    """
    wall = wall_of(rig, tree, mesh, regime, ledger)
    wall = replace(wall, exchanges=[*wall.exchanges, *extra])
    samples = ledger.draws.size
    temperature = np.full((len(mesh.start), samples), np.nan)
    if not ledger.missing:
        guess = _guess(rig, tree, mesh, regime, ledger) if start is None else start
        idle = not regime.hot and not regime.cold  # all at the room's temperature: the guess is the answer
        wall = wall.sloped(None if start is None and not idle else guess)
        temperature = _solved(wall, guess, close)
        if not np.all(np.isfinite(temperature)):
            ledger.missing.append(Missing("tree-of-fins", "the temperatures of some samples were not found"))
        _check_ranges(wall, temperature, ledger)
    joints, colder, hottest = joint_temperatures(wall, tree, temperature)
    flows = _flows(wall, temperature)
    size = sum(np.abs(flow) for flow in flows.values())
    imbalance = np.abs(sum(flows.values())) / np.maximum(size, _NO_HEAT)
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


def _guess(rig: Rig, tree: Tree, mesh: Mesh, regime: Regime, ledger: Ledger) -> Array:
    """Set temperature where something heats, the room elsewhere."""
    guess = np.repeat(ledger.default("room.temperature")[None, :], len(mesh.start), axis=0)
    for heat in rig.heat:
        target = regime.set_point(heat.name)
        for row, stretch in heat.over.items():
            if target is not None:
                guess[cells_over(mesh, tree, row, stretch.start, stretch.end) > 0.5] = target
    return guess


def _solved(wall: Wall, guess: Array, close: float) -> Array:
    """Newton steps until no cell of a sample moves.

    After some steps the slopes are good enough to be kept for a while. A sample that swings to and
    fro takes shorter steps; one that creeps the same way takes its trend to the end in one, then
    looks again. What a sample does never depends on the others: steps are counted, not compared.
    """
    found = guess.copy()
    active = np.arange(guess.shape[1])
    part = wall
    slopes: Slopes | None = None
    inverses: dict[int, Array] | None = None
    before, stride = np.zeros_like(guess), np.ones(guess.shape[1])
    moving = np.ones(guess.shape[1], dtype=bool)
    for number in range(_STEPS):
        if number < _FRESH or number % _KEPT == 0:
            if not np.all(moving):
                part = part.picked(moving)
                active, before, stride = active[moving], before[:, moving], stride[moving]
                moving = np.ones(len(active), dtype=bool)
            slopes, inverses = None, {} if number >= _FRESH - 1 else None
        temperature = found[:, active]
        balance = heat_balance(part, temperature, slopes)
        slopes = balance.slopes
        step = solved(balance, balance.residual, inverses=inverses) * moving
        size = np.sum(before * before, axis=0)
        trend = np.sum(step * before, axis=0) / np.where(size > 0, size, 1.0)
        moved = np.max(np.abs(step), axis=0)
        stride = np.where(trend < -0.5, stride / 2, np.minimum(1.0, 1.5 * stride))
        creeps = (trend > _CREEP) & (moved < _NEAR)
        drawn = np.where(creeps, 1.0 / (1.0 - np.clip(trend, 0.0, 0.98)), stride)
        found[:, active] = np.clip(temperature + drawn * step, *_WITHIN)
        moving = moving & np.logical_not(moved < close)
        if not np.any(moving):
            return found
        before = np.where(creeps, 0.0, step)
    found[:, active[moving]] = np.nan
    return found


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
