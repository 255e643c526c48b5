# SPDX-License-Identifier: MIT
"""Wall and vapour together in a state in which the charge gives metal."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing
from retortwright.situation.charge import charge_of
from retortwright.situation.charge_room import ChargeRoom
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.exchange import Exchange
from retortwright.situation.heat import HeatPicture, steady_heat
from retortwright.situation.landing import VapourGas
from retortwright.situation.reaction import ReactionWork
from retortwright.situation.regime import regime_of
from retortwright.situation.saturated import saturation_of
from retortwright.situation.takers import molar
from retortwright.situation.timing import is_hot
from retortwright.situation.vapour import Stream, Vapour, VapourWork, vapour_in
from retortwright.situation.vapour_ways import ways_of

if TYPE_CHECKING:
    from retortwright.situation.situation import Situation

__all__ = ["VapourState", "gives_metal", "vapour_state"]

_CLOSE = 1e-3  # K


@dataclass(frozen=True, slots=True)
class VapourState:
    """The agreed pictures of wall and vapour, and what the vapour gives to the wall."""

    vapour: Vapour
    heat: HeatPicture
    exchanges: tuple[Exchange, ...]


def gives_metal(situation: Situation, state: str) -> bool:
    """Whether the charge gives metal in a state: it is hot, and its set-point as high as that takes."""
    rig = situation.rig
    target = rig.set_point(state)
    if not rig.charge or target is None or not is_hot(rig, state):
        return False
    ledger = Ledger(rig, situation.tables, situation.draws)
    return bool(target >= float(np.median(ledger.default("metal.from", 300.0, 2000.0))))


def vapour_state(situation: Situation, state: str) -> VapourState | Missing:
    """The pictures of a state in which the charge gives metal, or what is missing for them."""
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    stream = _stream(situation, ledger)
    if stream is None or ledger.missing:
        return ledger.missing[0] if ledger.missing else Missing("charge", "no stream of metal is known")
    level = _level(situation)
    ways = ways_of(situation.rig, situation.tree, situation.mesh, state, level)
    if not ways.ways:
        return Missing("piece.receives", "no open way leads from the charge to a piece that receives")
    dry = situation.dry(state)
    if dry.missing:
        return dry.missing[0]
    work = VapourWork(situation.tree, situation.mesh, ways, stream)
    pictures = [dry]

    def solve(exchanges: list[Exchange], start: Array) -> Array:
        own = Ledger(situation.rig, situation.tables, situation.draws)
        regime = regime_of(situation.rig, state)
        pictures.append(
            steady_heat(situation.rig, situation.tree, situation.mesh, regime, own, start, _CLOSE, exchanges)
        )
        return pictures[-1].temperature

    vapour, exchanges, _ = vapour_in(work, dry.temperature, solve, ledger)
    last = pictures[-1]
    inputs = {belief.name: belief for belief in (*last.inputs, *ledger.used.values())}
    missing = (*last.missing, *ledger.missing)
    cites = last.cites | frozenset(ledger.cites)
    vapour = replace(vapour, inputs=tuple(inputs.values()), cites=cites, missing=missing)
    heat = replace(last, inputs=tuple(inputs[name] for name in sorted(inputs)), cites=cites, missing=missing)
    return VapourState(vapour, heat, tuple(exchanges))


def _level(situation: Situation) -> float:
    """How high the melted charge stands along the retort at its middle [m]; 0 where it is not known."""
    figure = ChargeRoom(charge_of(situation)).melted()
    return 0.0 if figure.missing else float(np.median(figure.values))


def _stream(situation: Situation, ledger: Ledger) -> Stream | None:
    """What leaves the charge as vapour, with everything written into the ledger."""
    metal = situation.rig.aim.metal
    work = ReactionWork(situation)
    once_more = charge_of(situation).redistils
    fresh = None if once_more else work.pressure(late=False)
    if fresh is not None:
        ledger.used |= {belief.name: belief for belief in fresh.inputs}
        ledger.cites |= fresh.cites
        ledger.missing += list(fresh.missing)
    freed, _ = charge_of(situation).freed(ledger)
    mass = molar(ledger, metal)
    time = ledger.default("reaction.time", 60.0, 1e6)
    saturation = saturation_of(Chemistry(ledger), metal)
    diameter = ledger.sampled(
        f"collision-diameter.{metal}", "metals", metal, "collision-diameter", 1e-11, 1e-8
    )
    film = ledger.default("vapour.film", 1.0, 1e6)
    rest = ledger.default("rest.gas", 0.0, 1e5)
    if saturation is None or ledger.missing:
        return None
    temperature = work.charge_temperature(ledger)
    over = saturation.pressure(temperature)
    if fresh is not None:
        over = np.minimum(fresh.values, over)
    return Stream(
        metal, freed / mass / time, over, temperature, film, rest, VapourGas(mass, diameter), saturation
    )
