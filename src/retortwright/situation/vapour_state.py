# SPDX-License-Identifier: MIT
"""Wall and vapour together in a state in which the charge gives metal."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing
from retortwright.reference.species import Species, find_species
from retortwright.situation.charge import charge_of
from retortwright.situation.charge_cold import is_too_cold
from retortwright.situation.charge_room import ChargeRoom
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.exchange import Exchange
from retortwright.situation.heat import HeatPicture, picture_of
from retortwright.situation.landing import Course, VapourGas
from retortwright.situation.reaction import ReactionWork
from retortwright.situation.regime import Regime, regime_of
from retortwright.situation.saturation_table import saturation_of
from retortwright.situation.takers import molar
from retortwright.situation.timing import is_hot
from retortwright.situation.vapour import Stream, Vapour, VapourWork
from retortwright.situation.vapour_exchange import LandingHeat
from retortwright.situation.vapour_together import Together, finished, started
from retortwright.situation.vapour_ways import ways_of
from retortwright.situation.wall import Wall, wall_of
from retortwright.situation.wet_walls import WetSteps, solve_wet

if TYPE_CHECKING:
    from retortwright.situation.situation import Situation

__all__ = ["VapourState", "gives_metal", "vapour_state"]

_LYING = 0.5  # sine of the slope of a retort in which a charge stands along the axis, not across it
_EXACT, _ROUGH = WetSteps(close=5e-3, off=1e-3, most=140), WetSteps(close=0.05, off=5e-3, most=40)


@dataclass(frozen=True, slots=True)
class VapourState:
    """The agreed pictures of wall and vapour, and what the vapour gives to the wall."""

    vapour: Vapour
    heat: HeatPicture
    exchanges: tuple[Exchange, ...]
    reached: Together  # where the steps came to: a start for a picture much like it
    courses: Mapping[int, Course]  # and of the vapour along each way

    @property
    def stayed(self) -> tuple[Exchange, ...]:
        """The same exchanges with what lands staying where it does: for a course in time."""
        walls = self.heat.temperature
        return tuple(each.stayed(walls) if isinstance(each, LandingHeat) else each for each in self.exchanges)


def gives_metal(situation: Situation, state: str) -> bool:
    """Whether the charge gives metal in a state: it is hot, and its set-point as high as that takes.

    Metal that is weighed in is there from the start: only its own vapour pressure says whether it comes.
    """
    rig = situation.rig
    target = rig.set_point(state)
    if not rig.charge or target is None or not is_hot(rig, state):
        return False
    if charge_of(situation).redistils:
        return not is_too_cold(situation, target)
    ledger = Ledger(rig, situation.tables, _middle(situation.draws))
    begins = float(ledger.default("metal.from", 300.0, 2000.0)[0])
    return target >= begins and not is_too_cold(situation, target)


def vapour_state(
    situation: Situation, state: str, regime: Regime | None = None, like: VapourState | None = None
) -> VapourState | Missing:
    """The pictures of a state in which the charge gives metal, or what is missing for them.

    `regime` is another setting of heat than that of the state, after a loss; `like` a picture of much
    the same, to start from.
    """
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    stream = _known_stream(situation, ledger)
    if stream is None or ledger.missing:
        return ledger.missing[0] if ledger.missing else Missing("charge", "no stream of metal is known")
    ways = ways_of(situation.rig, situation.tree, situation.mesh, state, _level_of(situation))
    if not ways.ways:
        return Missing("piece.receives", "no open way leads from the charge to a piece that receives")
    regime = regime or regime_of(situation.rig, state)
    start = _start(situation, state, regime, like)
    if isinstance(start, Missing):
        return start
    walls = Ledger(situation.rig, situation.tables, situation.draws)
    wall = _wall(situation, regime, start.temperature, regime if like is None else like.heat.regime, walls)
    if walls.missing:
        return walls.missing[0]
    work = VapourWork(situation.tree, situation.mesh, ways, stream)
    if like is not None:
        work.remember(like.courses)
    together = started(work, start.temperature, start.like)
    solve_wet(wall, work, together, _ROUGH if situation.rough else _EXACT)
    vapour, exchanges = finished(work, together)
    heat = _picture(situation, regime, wall, exchanges, together, walls)
    lost = int(np.count_nonzero(~together.rested))
    if lost:
        says = f"wall and vapour do not settle together in {lost} of {len(vapour.settled)} samples"
        ledger.missing.append(Missing("vapour", says))
    return _agreed(heat, vapour, exchanges, together, work, ledger)


def _agreed(
    last: HeatPicture,
    vapour: Vapour,
    exchanges: Sequence[Exchange],
    together: Together,
    work: VapourWork,
    ledger: Ledger,
) -> VapourState:
    """The pictures, with all that stands behind them."""
    inputs = {belief.name: belief for belief in (*last.inputs, *ledger.used.values())}
    missing = (*ledger.missing, *last.missing)
    cites = last.cites | frozenset(ledger.cites)
    whole = tuple(inputs[name] for name in sorted(inputs))
    vapour = replace(vapour, inputs=whole, cites=cites, missing=missing)
    heat = replace(last, inputs=whole, cites=cites, missing=missing)
    return VapourState(vapour, heat, tuple(exchanges), together, work.courses)


@dataclass(frozen=True, slots=True)
class _Start:
    temperature: Array  # (cells, samples)
    like: Together | None = None


def _start(situation: Situation, state: str, regime: Regime, like: VapourState | None) -> _Start | Missing:
    """Where the steps begin: a picture much like it, or the dry one."""
    if like is not None:
        return _Start(like.reached.temperature, like.reached)
    near = situation.near
    known = None if near is None else near.vapour(state)
    if near is not None and isinstance(known, VapourState):
        columns = situation.columns_of(near)
        carried = situation.carried(near, known.reached.temperature)
        if carried is not None:
            return _Start(carried, known.reached.part(columns))
    dry = situation.heat_in(regime)
    return dry.missing[0] if dry.missing else _Start(dry.temperature)


def _wall(situation: Situation, regime: Regime, start: Array, judged: Regime, ledger: Ledger) -> Wall:
    """The wall of a regime; the middle of `judged` says which bores carry much."""
    wall = wall_of(situation.rig, situation.tree, situation.mesh, regime, ledger)
    nominal = None if situation.near is not None else situation.middle(judged)
    return wall.sloped(start if nominal is None else nominal)


def _picture(
    situation: Situation,
    regime: Regime,
    wall: Wall,
    exchanges: Sequence[Exchange],
    together: Together,
    ledger: Ledger,
) -> HeatPicture:
    """The whole picture; samples that did not settle have no temperatures."""
    wall = replace(wall, exchanges=[*wall.exchanges, *exchanges])
    lost, temperature = ~together.rested, together.temperature.copy()
    if np.any(lost):
        temperature[:, lost] = np.nan
        if not np.all(lost):
            temperature[:, lost] = np.nanmean(temperature, axis=1)[:, None]
    return _blanked(picture_of(situation.tree, regime, wall, temperature, ledger), lost)


def _blanked(picture: HeatPicture, lost: NDArray[np.bool_]) -> HeatPicture:
    """A picture without numbers in some samples."""

    def blank(values: Array) -> Array:
        return np.where(lost, np.nan, values)

    return replace(
        picture,
        temperature=blank(picture.temperature),
        joints={key: blank(value) for key, value in picture.joints.items()},
        colder={key: blank(value) for key, value in picture.colder.items()},
        flows={key: blank(value) for key, value in picture.flows.items()},
    )


def _level(situation: Situation) -> float:
    """Up to where the melted charge stands along the retort [m], nominally; 0 where it is not known."""
    figure = ChargeRoom(charge_of(situation.drawn(_middle(situation.draws)))).melted()
    retort = situation.tree.instances[0]
    height = 0.0 if figure.missing else float(figure.values[0])
    return min(height / max(abs(math.sin(retort.row.slope)), _LYING), 0.99 * retort.length)


def _middle(draws: Draws) -> Draws:
    """One sample with every belief at its middle: what must not depend on which samples are computed."""
    return Draws(draws.samples, draws.seed, width=0.0, pick=(0,))


def _known_stream(situation: Situation, ledger: Ledger) -> Stream | None:
    """The stream, worked out once for all states; what is behind it goes into the ledger."""
    stream, own = _stream_of(situation)
    ledger.used |= own.used
    ledger.cites |= own.cites
    ledger.missing += own.missing
    return stream


def _stream_of(situation: Situation) -> tuple[Stream | None, Ledger]:
    """The stream and what is behind it: that of a rig much like this one where the charge is the same."""

    def make() -> tuple[Stream | None, Ledger]:
        near = situation.near
        if near is not None and _same_charge(near, situation):
            stream, own = _stream_of(near)
            return stream if stream is None else stream.part(situation.columns_of(near)), own
        own = Ledger(situation.rig, situation.tables, situation.draws)
        return _stream(situation, own), own

    return situation.once("stream of vapour", make)


def _level_of(situation: Situation) -> float:
    """Up to where the melted charge stands, likewise."""
    near = situation.near
    known = near is not None and _same_charge(near, situation)
    return situation.once(
        "level of the charge", lambda: _level_of(near) if near is not None and known else _level(situation)
    )


def _same_charge(one: Situation, other: Situation) -> bool:
    """Whether two situations differ only in what does not matter to the charge: pieces but the retort, cooling."""
    draws = [replace(each.draws, pick=None) for each in (one, other)]
    rigs = [
        (
            each.rig.aim,
            each.rig.charge,
            each.rig.assume,
            each.rig.steps,
            each.rig.states,
            each.rig.heat,
            retort,
        )
        for each in (one, other)
        for retort in [next(piece for piece in each.rig.pieces if piece.on is None)]
    ]
    some = one.draws.pick is not None and one.draws.pick != other.draws.pick
    return one.tables is other.tables and draws[0] == draws[1] and rigs[0] == rigs[1] and not some


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
    time = ledger.default("reaction.time", 60.0, 1e6) / ledger.default("reaction.peak", 1.0, 100.0)
    saturation = saturation_of(Chemistry(ledger), metal)
    diameter = ledger.sampled(
        f"collision-diameter.{metal}", "metals", metal, "collision-diameter", 1e-11, 1e-8
    )
    film = ledger.default("vapour.film", 1.0, 1e6)
    rest = ledger.default("rest.gas", 0.0, 1e5)
    room = ledger.default("room.temperature", 200.0, 400.0)
    liquid = find_species(situation.tables, f"{metal}(l)")
    melts = liquid.melts if isinstance(liquid, Species) and liquid.melts is not None else np.nan
    if saturation is None or ledger.missing:
        return None
    temperature = work.charge_temperature(ledger)
    over = saturation.pressure(temperature)
    if fresh is not None:
        over = np.minimum(fresh.values, over)
    gas = VapourGas(mass, diameter)
    return Stream(metal, freed / mass / time, over, temperature, film, rest, room, melts, gas, saturation)
