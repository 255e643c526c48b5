# SPDX-License-Identifier: MIT
"""What is refused of gas and cold: argon that no gauge can see, liquid nitrogen in a flow, water on metal in glass."""

from __future__ import annotations

from collections.abc import Iterator

from retortwright.assess.refusal import Refusal
from retortwright.belief.believed import Ledger
from retortwright.rig.parts import Gauge, Rig, State
from retortwright.rig.tree import Tree
from retortwright.situation.closed_pressure import closed_of
from retortwright.situation.connected import place_in
from retortwright.situation.isolated import Inner, cuts_of, inside_of, plant_place
from retortwright.situation.situation import Situation

__all__ = ["refuse_blind_backfill", "refuse_nitrogen_in_flow", "refuse_water_on_glass"]

_GLASS = ("borosilicate", "fused silica")


def _joined(tree: Tree, rig: Rig, state: State, item: str) -> Inner | None:
    """The volume around a thing of the plant in a state; None where there is none."""
    place = plant_place(rig, tree, item)
    return None if place is None else inside_of(tree, cuts_of(tree, state.open)).volume_at(place)


def _made(
    situation: Situation, kind: str, place: str, at: str, subject: str, because: str, names: tuple[str, ...]
) -> Refusal:
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    rows = {name: ledger.row("rules", kind, name) for name in names}
    words = {name: row.data for name, row in rows.items() if row is not None}
    sources = tuple(sorted({row.source for row in rows.values() if row is not None}))
    says, do = words.get("says", ""), words.get("do", "")
    return Refusal(kind, place, at, subject, says, because, do, (), sources, frozenset(ledger.cites))


# ---- argon


def refuse_blind_backfill(situation: Situation) -> Iterator[Refusal]:
    """Argon let in up to a pressure that no gauge on what is filled can show."""
    rig, tree = situation.rig, situation.tree
    row = situation.tables.rows.get(("rules", "blind-backfill", "blind"))
    blind = () if row is None else tuple(row.data.split("; "))
    states, seen = [], []
    for state in rig.states:
        filled = _joined(tree, rig, state, "argon")
        if filled is None or "argon" not in state.running or state.until is None:
            continue
        on_it = [each for each in rig.plant.gauges if _sits(tree, each, filled)]
        bubbler = plant_place(rig, tree, "bubbler")
        bubbled = bubbler is not None and filled.holds(bubbler)
        if not bubbled and all(each.gauge in blind for each in on_it):
            states.append(state.name)
            seen += [each for each in on_it if each not in seen]
    if states:
        kinds = " and ".join(f"{each.name} ({each.gauge})" for each in seen)
        by = f"by {kinds} alone" if seen else "without a gauge on it"
        place = seen[0].name if seen else "argon"
        subject = f"filling with argon {by}, {' and '.join(states)}"
        names = ("blind", "says", "do")
        yield _made(situation, "blind-backfill", place, f"plant.{place}", subject, "", names)


def _sits(tree: Tree, gauge: Gauge, inner: Inner) -> bool:
    return any(inner.holds(place) for place in place_in(tree, gauge.on, gauge.at))


# ---- liquid nitrogen


def refuse_nitrogen_in_flow(situation: Situation) -> Iterator[Refusal]:
    """Liquid nitrogen on a piece into which argon flows, or that nothing pumps: air and argon become liquid in it."""
    rig, tree = situation.rig, situation.tree
    work = closed_of(situation)
    for cool in rig.cool:
        if cool.by != "liquid nitrogen":
            continue
        for state in rig.states:
            why = ""
            for name in cool.over:
                number, _ = next(place_in(tree, name, None))
                inner = inside_of(tree, cuts_of(tree, state.open)).volume_at(
                    (number, tree.instances[number].length)
                )
                if cool.name in state.running and "argon" in state.running and work.has(inner, "argon"):
                    why = f"argon flows through the {name} in {state.name}: below 84 K it freezes there"
                elif cool.name in state.running and not ("pump" in state.running and work.has(inner, "pump")):
                    why = f"nothing pumps on the {name} in {state.name}: air that leaks in turns to liquid"
            if why:
                subject = f"liquid nitrogen on {cool.name} without a pump or in a flow, {state.name}"
                at = f"cool.{cool.name}.by"
                yield _made(situation, "nitrogen-in-flow", cool.name, at, subject, why, ("says", "do"))
                break


# ---- water


def refuse_water_on_glass(situation: Situation) -> Iterator[Refusal]:
    """Open water on glass that holds the metal: a crack brings one to the other."""
    rig, tree = situation.rig, situation.tree
    work = closed_of(situation)
    row = situation.tables.rows.get(("rules", "water-on-glass", "what"))
    wet = () if row is None else tuple(row.data.split("; "))
    if not any(work.has_metal(moment) for moment in work.moments):
        return
    of = {piece.name: piece.of for piece in rig.pieces}
    reached = {tree.instances[number].row.name for number in work.on_way()}
    for cool in rig.cool:
        if cool.by not in wet:
            continue
        glass = [each for each in cool.over if of[each] in _GLASS and each in reached]
        states = [state.name for state in rig.states if cool.name in state.running]
        if glass and states:
            because = (
                f"{glass[0]} is glass and on the way of the {rig.aim.metal}: a crack brings water onto it"
            )
            subject = f"{cool.by} on the glass of the {glass[0]}, {states[0]}"
            at, names = f"cool.{cool.name}.by", ("what", "says", "do")
            yield _made(situation, "water-on-glass", cool.name, at, subject, because, names)
