# SPDX-License-Identifier: MIT
"""Question 8, the room: hydrogen and argon in it, water near the metal, glass under vacuum."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from retortwright.assess.check import Check, limit_from_rule
from retortwright.assess.hurts_around import book, figure_on, kept_back, made, plain, stated, worse_end
from retortwright.belief.believed import Ledger
from retortwright.physics.constants import ATMOSPHERE, GAS_CONSTANT
from retortwright.physics.dilution import displaced_share
from retortwright.reference.datum import Missing
from retortwright.rig.parts import Cool
from retortwright.situation.closed_pressure import closed_of
from retortwright.situation.connected import place_in
from retortwright.situation.figure import figure_of
from retortwright.situation.gasloads import STATED
from retortwright.situation.hazard import quench_of
from retortwright.situation.inventory import stopped_of
from retortwright.situation.isolated import Inside, cuts_of, inside_of
from retortwright.situation.situation import Situation
from retortwright.situation.timing import hottest_state

__all__ = ["WET", "glass_pieces", "room_checks", "water_says"]

WET = ("water coil", "wet wrap", "ice water")
_GLASS = ("borosilicate", "fused silica")
_STOPS = ("polycarbonate", "laminated glass")  # what splinters do not pass
_MILLILITRE = 0.997e-3 / 18.015e-3  # mol of water


def room_checks(situation: Situation) -> Iterator[Check]:
    """Hydrogen and argon in the room, water near, glass under vacuum."""
    state = hottest_state(situation.rig)
    if state is None:
        return
    if glass_pieces(situation) and situation.rig.plant.pump is not None:
        yield _glass_vacuum(situation, state)
    argon = situation.rig.plant.argon
    if argon is not None and argon.get("flow") is not None:
        yield _argon_room(situation, state)
    if situation.rig.charge:
        yield _hydrogen_room(situation, state)
        yield _water_near(situation, state)
        yield from _water_cooling(situation)


def _room(situation: Situation, ledger: Ledger, why: str) -> float:
    """The volume of the room [m^3]; nan with the reason written down."""
    room = situation.rig.safety.room
    if room is None:
        ledger.missing.append(
            Missing("safety.room", f"the size of the room is not said: {why}, as safety.room")
        )
        return float("nan")
    return room


def _hydrogen_room(situation: Situation, state: str) -> Check:
    """All hydrogen that the metal of the rig gives with water, evenly in the room."""
    ledger, inventory = book(situation), stopped_of(situation)  # all of it, wherever it lies
    gas = quench_of(ledger, inventory.stocks).whole + inventory.gone.get("H2", np.zeros(ledger.draws.size))
    volume = gas * GAS_CONSTANT * STATED / ATMOSPHERE
    limit = limit_from_rule(book(situation), "hydrogen-room")
    litres = float(np.median(volume)) * 1e3
    least = plain(worse_end(volume) / (limit.value * (1.0 - kept_back(situation, "hydrogen-room"))))
    room = _room(situation, ledger, f"{least} m3 at least")
    figure = figure_on(inventory, ledger, volume / room, {"litres": volume})
    because = (
        f"all the metal of the rig gives {plain(litres)} L of burning gas with water; under a ceiling it stands "
        "thicker."
    )
    return made(
        situation, "hydrogen-room", state, "safety.room", "hydrogen in the room if water gets to all the metal",
        "portion", figure, limit, because,
    )  # fmt: skip


def _argon_room(situation: Situation, state: str) -> Check:
    """Oxygen in the room after a bottle that was left on."""
    ledger, argon = book(situation), situation.rig.plant.argon or {}
    flow = ledger.figure("plant.argon.flow", argon["flow"], "m^3/s", 1e-12)
    time = ledger.default("argon.left-on", 1.0, 1e7)
    air = situation.rig.safety.ventilation
    fresh = np.zeros(ledger.draws.size) if air is None else ledger.figure("safety.ventilation", air, "m^3/s")
    oxygen = ledger.sampled("air.oxygen", "gases", "air", "oxygen-share", 0.0, 1.0)
    room = _room(situation, ledger, "argon takes the place of its air")
    share = displaced_share(flow, time, np.full(flow.shape, room), fresh)
    figure = figure_of(ledger, oxygen * (1.0 - share), {"argon": flow * time})
    hours, litres = float(np.median(time)) / 3600, float(np.median(flow * time)) * 1e3
    because = (
        f"{plain(float(np.median(flow)) * 6e4)} L/min left on for {plain(hours)} h are {plain(litres)} L; argon is "
        "heavy, lies low and has no smell."
    )
    return made(
        situation, "argon-room", state, "safety.room", "oxygen in the room after argon left on", "portion", figure,
        limit_from_rule(book(situation), "argon-room"), because,
    )  # fmt: skip


# ---- water


def water_says(situation: Situation) -> str:
    """What a millilitre of water on the metal means in the closed inside and in two litres."""
    moles = _MILLILITRE / 2
    inside = sum(single.volume for single in situation.tree.instances)
    bars = [moles * GAS_CONSTANT * STATED / volume / 1e5 for volume in (inside, 2e-3)]
    litres = moles * GAS_CONSTANT * STATED / ATMOSPHERE * 1e3
    return (
        f"a millilitre of water on the metal is {plain(litres)} L of hydrogen, {plain(bars[0])} bar more in this rig "
        f"shut, {plain(bars[1])} bar in 2 L, and fire"
    )


def _water_near(situation: Situation, state: str) -> Check:
    limit = limit_from_rule(book(situation), "water-near")
    lacks = f"the way to the nearest tap, sink or sprinkler is not said: {limit.value:g} m or more, as safety.water"
    figure = stated(situation, situation.rig.safety.water, "safety.water", lacks)
    return made(
        situation, "water-near", state, "safety.water", "distance of the nearest tap, sink or sprinkler", "length",
        figure, limit, f"{water_says(situation)}.",
    )  # fmt: skip


def glass_pieces(situation: Situation) -> tuple[int, ...]:
    """The single pieces of glass."""
    return tuple(n for n, single in enumerate(situation.tree.instances) if single.row.of in _GLASS)


def _water_cooling(situation: Situation) -> Iterator[Check]:
    """Each cooling by water against the nearest glass that metal gets to."""
    holding = set(glass_pieces(situation)) & set(closed_of(situation).on_way())
    if not holding:
        return
    valves = tuple(piece.name for piece in situation.rig.pieces if piece.valve is not None)
    inside = inside_of(situation.tree, cuts_of(situation.tree, valves))
    for cool in situation.rig.cool:
        states = [each.name for each in situation.rig.states if cool.name in each.running]
        if cool.by not in WET or not states:
            continue
        distance, glass = _nearest(situation, inside, cool, holding)
        ledger = book(situation)
        figure = figure_of(ledger, np.full(ledger.draws.size, distance))
        name = situation.tree.instances[glass].name
        says = "is on" if distance <= 0.0 else f"is {distance * 1e3:.0f} mm from"
        because = (
            f"{cool.by} {says} the {name}, which is glass and holds metal; {water_says(situation)}. Glass that breaks "
            "brings the two together; air does it."
        )
        yield made(
            situation, "water-cooling", states[0], f"cool.{cool.name}.by",
            f"water of {cool.name} beside glass with metal", "length", figure,
            limit_from_rule(book(situation), "water-cooling"), because,
        )  # fmt: skip


def _nearest(situation: Situation, inside: Inside, cool: Cool, holding: set[int]) -> tuple[float, int]:
    """The shortest way along the walls from a cooled stretch to glass [m], and which piece that is."""
    found = []
    for name, stretch in cool.over.items():
        for number, end in place_in(situation.tree, name, stretch.end):
            if number in holding:
                return 0.0, number
            for glass in holding:
                length = situation.tree.instances[glass].length
                found += [
                    (_along(inside, (number, start), (glass, place)), glass)
                    for start in (stretch.start, end)
                    for place in (0.0, length)
                ]
    return min(found)


def _along(inside: Inside, one: tuple[int, float], other: tuple[int, float]) -> float:
    parts = inside.way(one, other)
    return sum(end - start for _, start, end in parts) if parts else float("inf")


# ---- glass


def _glass_vacuum(situation: Situation, state: str) -> Check:
    """A screen between glass under vacuum and a face."""
    screen, glass = situation.rig.safety.screen, glass_pieces(situation)
    lacks = "what stands between the glass and a face is not said: polycarbonate or laminated glass, as safety.screen"
    figure = stated(situation, None if screen is None else float(screen in _STOPS), "safety.screen", lacks)
    volume = sum(situation.tree.instances[number].volume for number in glass)
    names = list(dict.fromkeys(situation.tree.instances[number].row.name for number in glass))
    because = (
        f"{', '.join(names)}: {plain(volume * 1e6)} mL of glass under vacuum hold {plain(volume * ATMOSPHERE)} J when "
        "they break"
    )
    if screen is not None and screen not in _STOPS:
        because += f"; splinters pass {screen}" if screen != "none" else "; nothing stops the splinters"
    check = made(
        situation, "glass-vacuum", state, "safety.screen", "screens before glass under vacuum", "screens", figure,
        limit_from_rule(book(situation), "glass-vacuum"), f"{because}.",
    )  # fmt: skip
    return replace(check, notes=("a face shield besides: the one who seals the glass is in front of it",))
