# SPDX-License-Identifier: MIT
"""What the programme does to a wall: when there is a vacuum behind it, and how long it is how hot."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.constants import ATMOSPHERE
from retortwright.situation.closed_pressure import closed_of
from retortwright.situation.isolated import Moment, cuts_of, inside_of
from retortwright.situation.regime import regime_of
from retortwright.situation.situation import Situation
from retortwright.situation.timing import Stage, is_hot, stretches

__all__ = ["Spell", "evacuated", "governing", "hottest", "instances_of", "original", "spells_of"]

_PARTS = 12  # that a ramp or a cooling is cut into
_COLD = 293.15  # K, set-point from which a ramp is counted
_FULL = 0.9  # of an atmosphere of argon from which on a volume no longer counts as evacuated


@dataclass(frozen=True, slots=True)
class Spell:
    """Some time at one temperature of the wall, (samples,) each [K, s]."""

    temperature: Array
    time: Array


def original(situation: Situation) -> Situation:
    """The situation of which one is a what-if of the same rig: what is looked at follows from that one."""
    near = situation.near
    while near is not None and near.rig is situation.rig and near.tables is situation.tables:
        situation, near = near, near.near
    return situation


def instances_of(situation: Situation, row: str) -> tuple[int, ...]:
    """The single pieces of a row."""
    return tuple(number for number, each in enumerate(situation.tree.instances) if each.row.name == row)


def hottest(situation: Situation, state: str, pieces: Sequence[int]) -> Array:
    """The hottest place of some pieces in a state [K], (samples,)."""
    mesh, picture = situation.mesh, situation.heat(state)
    found = [picture.temperature[mesh.first[each] : mesh.last[each] + 1] for each in pieces]
    return np.asarray(np.max(np.concatenate(found), axis=0))


# ---- vacuum


def evacuated(situation: Situation) -> tuple[frozenset[int], ...]:
    """The pieces that have a vacuum behind them, somewhere along them, in each moment of the programme.

    What was pumped once and then shut off counts as evacuated until argon fills it.
    """
    return situation.once("evacuated pieces", lambda: tuple(_evacuated(situation)))


def _evacuated(situation: Situation) -> Iterator[frozenset[int]]:
    work = closed_of(situation)
    empty: frozenset[int] = frozenset()
    for moment in work.moments:
        if moment.before is None:
            empty = frozenset()
        drawn, filled = _pumped_and_filled(situation, moment)
        yield empty | drawn
        empty = (empty | drawn) - (filled - drawn)


def _pumped_and_filled(situation: Situation, moment: Moment) -> tuple[frozenset[int], frozenset[int]]:
    """The pieces that the pump draws on in a moment, and those that come to the pressure of the room."""
    work, state = closed_of(situation), moment.state
    drawn: set[int] = set()
    filled: set[int] = set()
    for inner in inside_of(situation.tree, cuts_of(situation.tree, state.open)).volumes():
        pieces = {part[0] for part in inner.parts}
        if "pump" in state.running and work.has(inner, "pump"):
            drawn |= pieces
        fed = work.has(inner, "bubbler") or ("argon" in state.running and work.has(inner, "argon"))
        if fed and (state.until is None or state.until > _FULL * ATMOSPHERE):
            filled |= pieces
    return frozenset(drawn), frozenset(filled)


def governing(situation: Situation, pieces: Sequence[int]) -> str | None:
    """The state with a vacuum behind some pieces in which the rig is set hottest; None where there is none.

    It follows from the file alone, whatever the samples are.
    """
    moments, found = closed_of(situation).moments, evacuated(situation)
    under = [moment for moment, empty in zip(moments, found, strict=True) if empty & set(pieces)]
    if not under:
        return None
    return max(under, key=lambda each: regime_of(situation.rig, each.state.name).hottest).state.name


# ---- time at temperature


def spells_of(
    situation: Situation, ledger: Ledger, pieces: Sequence[int], only: Container[int] | None = None
) -> tuple[Spell, ...]:
    """The times of one run at each temperature of some pieces, ramps and cooling cut into parts.

    `only` are the steps of the programme that count. A wall follows the set-point in proportion. Where the
    programme gives no times for them at all, it is at the hottest for the assumed time with hot metal.
    """
    room = ledger.default("room.temperature", 200.0, 400.0)
    found: list[Spell] = []
    told = False  # whether the programme says how long it is hot
    last: tuple[Array, float] | None = None  # the wall at the last hot set-point, and that set-point
    for number, stage in enumerate(stretches(situation.rig)):
        counts = only is None or number in only
        if is_hot(situation.rig, stage.state):
            steady = hottest(situation, stage.state, pieces)
            set_point = max(situation.rig.set_point(stage.state) or 0.0, _COLD + 1.0)
            last = (steady, set_point)
            if counts:
                timed = _hot(stage, steady, set_point, room)
                told, found = told or bool(timed), found + timed
        elif last is not None and stage.before > stage.after:
            decay = ledger.default("furnace.decay", 60.0, 1e6)
            if counts:
                found += _cooling(stage, *last, room, decay)
        elif regime_of(situation.rig, stage.state).hot and stage.hold and counts:
            held = hottest(situation, stage.state, pieces)  # by what has a thermostat of its own
            told = True
            found.append(Spell(held, np.full(len(held), stage.hold)))
    return (*found, *(() if told else _assumed(situation, ledger, pieces, only)))


def _assumed(
    situation: Situation, ledger: Ledger, pieces: Sequence[int], only: Container[int] | None
) -> tuple[Spell, ...]:
    """The hottest of the steps that count, for as long as there is hot metal by assumption; none where none is hot."""
    hot = [
        stage
        for number, stage in enumerate(stretches(situation.rig))
        if (only is None or number in only) and is_hot(situation.rig, stage.state)
    ]
    if not hot:
        return ()
    state = max(hot, key=lambda stage: stage.after).state
    return (Spell(hottest(situation, state, pieces), ledger.default("hot-metal.time", 60.0, 1e7)),)


def _at(set_point: float, steady: Array, hot: float, room: Array) -> Array:
    """The wall when the furnace is at a set-point, from that at the hot one."""
    return np.asarray(room + (steady - room) * (set_point - _COLD) / (hot - _COLD))


def _hot(stage: Stage, steady: Array, set_point: float, room: Array) -> list[Spell]:
    found = []
    if stage.ramp:
        for part in range(_PARTS):
            target = stage.before + (stage.after - stage.before) * (part + 0.5) / _PARTS
            time = np.full(len(steady), stage.ramp / _PARTS)
            found.append(Spell(_at(target, steady, set_point, room), time))
    if stage.hold:
        found.append(Spell(_at(stage.after, steady, set_point, room), np.full(len(steady), stage.hold)))
    return found


def _cooling(stage: Stage, steady: Array, set_point: float, room: Array, decay: Array) -> list[Spell]:
    """From one set-point to another in equal steps of temperature, as the chamber loses its excess."""
    start, end = _at(stage.before, steady, set_point, room), _at(stage.after, steady, set_point, room)
    least = room + 1.0
    start, end = np.maximum(start, least), np.maximum(end, least)
    edges = [start + (end - start) * part / _PARTS for part in range(_PARTS + 1)]
    found = []
    for hot, cold in pairwise(edges):
        time = decay * np.log(np.maximum(hot - room, 1.0) / np.maximum(cold - room, 1.0))
        found.append(Spell((hot + cold) / 2, np.maximum(time, 0.0)))
    return found
