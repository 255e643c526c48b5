# SPDX-License-Identifier: MIT
"""What a workshop could change for the metal to get across, the cheapest first, each from small to large."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

import numpy as np

from retortwright.assess.finding import Finding
from retortwright.assess.gets_across import GETS_ACROSS
from retortwright.ground.units import TAIL
from retortwright.rig.edit import Edit
from retortwright.rig.parts import Heat, Piece
from retortwright.situation.situation import Situation
from retortwright.situation.vapour_state import VapourState

__all__ = ["Edits", "proposals_across"]

Edits = tuple[Edit, ...]
_Choices = Iterator[Sequence[Edits]]

_WARMER = (10.0, 20.0, 40.0, 80.0)  # K
_STEEPER = (5.0, 7.0, 10.0, 15.0)  # degrees
_LONGER = (1.25, 1.5, 2.0, 3.0)
_SHORTER = (0.8, 0.6, 0.4)
_WIDER = (1.25, 1.5, 2.0, 3.0)
_LESS = (0.8, 0.6, 0.4, 0.25)
_LOWER = (10.0, 20.0, 40.0, 80.0)  # mm
_FARTHER = (20.0, 40.0, 80.0, 160.0)  # mm
_MORE_POWER = (1.5, 2.0, 3.0, 5.0)
_HOTTER = (10.0, 20.0, 40.0, 80.0)  # K
_NARROWER = (0.8, 0.65, 0.5)
_BEYOND = 2e-3  # m that a tape goes past the place where a receiver is closed off
_NEAR = 1e-3  # m


def proposals_across(situation: Situation, finding: Finding) -> _Choices:
    """Changes of one kind after another for one finding."""
    for make in _MAKERS.get(finding.check, ()):
        yield from make(situation, finding)


def _row(situation: Situation, finding: Finding) -> Piece | None:
    name = finding.at.split(".")[1] if finding.at.startswith("piece.") else None
    return next((each for each in situation.rig.pieces if each.name == name), None)


def _stem(situation: Situation, row: Piece) -> Piece | None:
    """The piece that one sits on."""
    name = (row.on or "").split(".")[0]
    return next((each for each in situation.rig.pieces if each.name == name), None)


def _tapes(situation: Situation, finding: Finding) -> list[Heat]:
    """The heatings with a thermostat of their own that run in the state of a finding."""
    running = next(each.running for each in situation.rig.states if each.name == finding.state)
    return [each for each in situation.rig.heat if each.holds is not None and each.name in running]


def _longer_tape(situation: Situation, finding: Finding) -> _Choices:
    """A tape that goes on over the neck of a receiver, or over the whole of a piece."""
    row = _row(situation, finding)
    if row is None:
        return
    for tape in _tapes(situation, finding):
        beside = row.name in tape.over or row.on in tape.over
        end = row.length.best
        if row.receives is not None:
            end = min((row.receives.at or 0.0) + _BEYOND, end)
        covered = tape.over.get(row.name)
        whole = covered is not None and (covered.end is None or covered.end >= end - _NEAR)
        if beside and not (whole and covered is not None and covered.start < _NEAR):
            key = f"heat.{tape.name}.over.{row.name}"
            yield [(Edit(key, f"0 to {end * 1e3:.4g} mm"), *_holding(tape, more)) for more in (0.0, *_WARMER)]


def _holding(tape: Heat, more: float) -> Edits:
    if more == 0.0 or tape.holds is None:
        return ()
    return (Edit(f"heat.{tape.name}.holds", f"{tape.holds - 273.15 + more:.0f} degC"),)


def _warmer_tape(situation: Situation, finding: Finding) -> _Choices:
    row = _row(situation, finding)
    for tape in _tapes(situation, finding):
        if row is not None and row.name in tape.over:
            yield [_holding(tape, more) for more in _WARMER]


def _cooler_tape(situation: Situation, finding: Finding) -> _Choices:
    for tape in _tapes(situation, finding):
        yield [_holding(tape, -less) for less in _WARMER]


def _steeper(situation: Situation, finding: Finding) -> _Choices:
    row = _row(situation, finding)
    if row is not None and row.slope <= 0.0 and row.bend is None:
        own = -math.degrees(row.slope)
        yield [(Edit(f"piece.{row.name}.falls", f"{fall:g} deg"),) for fall in _STEEPER if fall > own]


def _length(factors: Sequence[float]) -> Callable[[Situation, Finding], _Choices]:
    def make(situation: Situation, finding: Finding) -> _Choices:
        row = _row(situation, finding)
        if row is not None and row.on is not None and row.shape == "tube" and row.bend is None:
            millimetres = row.length.best * 1e3
            yield [(Edit(f"piece.{row.name}.length", f"{millimetres * f:.3g} mm"),) for f in factors]

    return make


def _longer_line(situation: Situation, finding: Finding) -> _Choices:
    """The pieces between the retort and the place of a finding, the first of them first."""
    row = _row(situation, finding)
    names: list[Piece] = []
    while row is not None and row.on is not None:
        names.insert(0, row)
        row = _stem(situation, row)
    for piece in names[:2]:
        if piece.shape == "tube" and piece.bend is None:
            millimetres = piece.length.best * 1e3
            yield [(Edit(f"piece.{piece.name}.length", f"{millimetres * f:.3g} mm"),) for f in _LONGER]


def _wider(situation: Situation, finding: Finding) -> _Choices:
    row = _row(situation, finding)
    if row is not None and row.on is not None and row.tapers_to is None:
        key, wall, bore = f"piece.{row.name}.tube", row.tube.wall * 1e3, row.tube.bore * 1e3
        yield [(Edit(key, f"{bore * f + 2 * wall:.3g} x {wall:.3g} mm"),) for f in _WIDER]


def _roomier(situation: Situation, finding: Finding) -> _Choices:
    """A receiver that holds all that may come, longer or wider; else so small a charge."""
    row, check = _row(situation, finding), GETS_ACROSS.check(situation, finding.id)
    if row is None or check is None or not check.figure.said or finding.limit is None:
        return
    volume = float(np.quantile(check.figure.said["volume"], 1 - TAIL)) / finding.limit
    neck = row.receives.at if row.receives is not None and row.receives.at is not None else 0.0
    if row.shape == "tube" and row.tapers_to is None:
        length = neck + volume / (math.pi / 4 * row.tube.bore**2)
        yield [(Edit(f"piece.{row.name}.length", f"{_up(length)} mm"),)]
        bore = math.sqrt(volume / (math.pi / 4 * (row.length.best - neck)))
        wall = row.tube.wall * 1e3
        yield [(Edit(f"piece.{row.name}.tube", f"{_up(bore + 2 * row.tube.wall)} x {wall:.3g} mm"),)]
    share = float(np.median(check.figure.said["one"])) / volume
    yield [_scaled(situation, 0.97 * share)]


def _up(length: float) -> int:
    """The next whole millimetre above a length."""
    return math.ceil(length * 1e3 * 1.01)


def _farther(situation: Situation, finding: Finding) -> _Choices:
    """A joint farther out on its arm: the arm longer, or the side arm nearer to its end."""
    row = _row(situation, finding)
    if row is None:
        return
    if finding.at.endswith(".joined") and row.at is not None:
        stem = _stem(situation, row)
        if stem is not None:
            key, millimetres = f"piece.{row.name}.at", row.at * 1e3
            longer = f"piece.{stem.name}.length"
            yield [
                (
                    Edit(longer, f"{stem.length.best * 1e3 + more:.4g} mm"),
                    Edit(key, f"{millimetres + more:.4g} mm"),
                )
                for more in _FARTHER
            ]
        return
    arm = row
    if finding.at.endswith(".joined"):  # on the far end of the piece it sits on
        arm = _stem(situation, row) or row
    if arm.on is not None:
        key, millimetres = f"piece.{arm.name}.length", arm.length.best * 1e3
        yield [(Edit(key, f"{millimetres + more:.4g} mm"),) for more in _FARTHER]


def _narrower_arm(situation: Situation, finding: Finding) -> _Choices:
    """An arm whose mouth lets less vapour in."""
    row, together = _row(situation, finding), situation.vapour(finding.state)
    if not isinstance(together, VapourState):
        return
    arms = {arm.name.split(".")[0] for arm in together.vapour.ways.arms}
    while row is not None and row.name not in arms:
        row = _stem(situation, row)
    if row is not None and row.on is not None and row.tapers_to is None:
        key, wall, bore = f"piece.{row.name}.tube", row.tube.wall * 1e3, row.tube.bore * 1e3
        yield [(Edit(key, f"{bore * f + 2 * wall:.3g} x {wall:.3g} mm"),) for f in _NARROWER]


def _lower_take_off(situation: Situation, finding: Finding) -> _Choices:
    del finding
    retort = next(each for each in situation.rig.pieces if each.on is None)
    for piece in situation.rig.pieces:
        if piece.on == retort.name and piece.at is not None and piece.slope <= 0.0 and piece.count == 1:
            key, millimetres = f"piece.{piece.name}.at", piece.at * 1e3
            yield [(Edit(key, f"{millimetres - less:.4g} mm"),) for less in _LOWER if less < millimetres]


def _higher_furnace(situation: Situation, finding: Finding) -> _Choices:
    del finding
    retort = next(each for each in situation.rig.pieces if each.on is None)
    for heat in situation.rig.heat:
        stretch = heat.over.get(retort.name)
        if heat.holds is None and stretch is not None and stretch.end is not None:
            start, end = stretch.start * 1e3, stretch.end * 1e3
            top = retort.length.best * 1e3
            ends = [end + more for more in _LOWER if end + more < top]
            key = f"heat.{heat.name}.over.{retort.name}"
            yield [(Edit(key, f"{start:.4g} to {last:.4g} mm"),) for last in ends]


def _more_power(situation: Situation, finding: Finding) -> _Choices:
    del finding
    for heat in situation.rig.heat:
        if heat.holds is None and heat.power is not None:
            watts = heat.power
            yield [(Edit(f"heat.{heat.name}.power", f"{watts * f:.3g} W"),) for f in _MORE_POWER]


def _smaller_charge(situation: Situation, finding: Finding) -> _Choices:
    del finding
    yield [_scaled(situation, factor) for factor in _LESS]


def _scaled(situation: Situation, factor: float) -> Edits:
    """All masses of the charge by one factor."""
    return tuple(
        Edit(f"charge.{each.formula}.mass", f"{each.mass.best * 1e3 * factor:.3g} g")
        for each in situation.rig.charge
    )


def _longer_hold(situation: Situation, finding: Finding) -> _Choices:
    holds = [each.hold for each in situation.rig.steps if each.state == finding.state and each.hold]
    if len(holds) == 1:
        key, minutes = f"programme.steps.{finding.state}.hold", holds[0] / 60
        yield [(Edit(key, f"{minutes * f:.3g} min"),) for f in _LONGER]


def _hotter(situation: Situation, finding: Finding) -> _Choices:
    """A higher set-point, for more pressure over the charge."""
    target = situation.rig.set_point(finding.state)
    if target is not None:
        key = f"programme.steps.{finding.state}.to"
        yield [(Edit(key, f"{target - 273.15 + more:.0f} degC"),) for more in _HOTTER]


_MAKERS: dict[str, tuple[Callable[[Situation, Finding], _Choices], ...]] = {
    "ceiling-surface": (_longer_hold, _hotter),
    "ceiling-line": (_wider, _longer_hold, _hotter),
    "ceiling-heat": (_more_power, _longer_hold),
    "minutes": (_longer_hold,),
    "delivered": (_lower_take_off, _higher_furnace, _more_power),
    "reach": (_farther, _narrower_arm, _smaller_charge),
    "landing-end": (_longer_line, _cooler_tape, _smaller_charge),
    "drain-warm": (_warmer_tape, _longer_tape, _length(_SHORTER)),
    "drain-slope": (_steeper,),
    "low-point": (_steeper,),
    "drain-bore": (_wider,),
    "crust": (_wider, _smaller_charge),
    "ullage": (_roomier,),
}
