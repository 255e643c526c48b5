# SPDX-License-Identifier: MIT
"""What could be changed about a finding of question 8: a relief that stays warm, a wider bore, more argon, less heat.

A proposal is a list of changes from small to large; each change is one or more edits. Water is never among them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from retortwright.assess.closed_rows import ClosedRow, share_kept
from retortwright.assess.finding import Finding
from retortwright.physics.constants import ATMOSPHERE
from retortwright.reference.datum import Row, number_of
from retortwright.rig.edit import Edit
from retortwright.rig.pairing import fits
from retortwright.situation.closed_pressure import closed_of
from retortwright.situation.isolated import cuts_of, inside_of, plant_place
from retortwright.situation.situation import Situation

__all__ = ["Edits", "closed_proposals", "plant_proposals"]

Edits = tuple[Edit, ...]

_STEP = 10e-3  # m between places that a relief is tried at
_GENTLEST = 3e3  # Pa over the room: a relief that opens at less leaks
_COOLER = (10, 20, 30, 50, 75, 100, 150)  # K
_WIDER = (1.25, 1.5, 2.0, 3.0, 5.0, 8.0, 12.0, 20.0)
_MORE = (1.5, 2.0, 3.0, 5.0)
_WIDEST = 12e-3  # m


def closed_proposals(situation: Situation, row: ClosedRow) -> Iterator[Sequence[Edits]]:
    """For a closed volume: a way left open, the relief, the weakest joint, the furnace."""
    if row.case.kind == "planned":
        yield from _left_open(situation, row)
    yield from _relief(situation, row)
    yield from _joint(situation, row)
    yield _cooler(situation, row)


def _left_open(situation: Situation, row: ClosedRow) -> Iterator[Sequence[Edits]]:
    """A valve that the state keeps shut, opened from the charge toward a pump that runs or a bubbler."""
    state, work = row.case.moment.state, closed_of(situation)
    numbers = {part[0] for part in row.closed.inner.parts}
    for number in sorted(numbers) if row.closed.charge else ():
        piece = situation.tree.instances[number].row
        if piece.valve is None or piece.name in state.open:
            continue
        opened = (*state.open, piece.name)
        joined = inside_of(situation.tree, cuts_of(situation.tree, opened)).volume_at((0, 0.0))
        argon = plant_place(situation.rig, situation.tree, "argon")
        if work.leads_out(row.case, joined) and not (argon is not None and joined.holds(argon)):
            named = ", ".join(f'"{name}"' for name in opened)
            yield [(Edit(f"state.{state.name}.open", f"[{named}]"),)]


def _relief(situation: Situation, row: ClosedRow) -> Iterator[Sequence[Edits]]:
    """The relief opened lower; moved down the retort, where it stays warm; or one put there."""
    relief = situation.rig.plant.relief
    most = (1.0 - share_kept(situation)) * float(row.limit.values[0])
    gentle = f"{math.floor(max(most, _GENTLEST) / 1e2) / 10:.4g} kPa gauge"
    lower = (Edit("plant.relief.opens", gentle),)
    if relief is None:
        bore = "4 mm"
        yield [
            (Edit("plant.relief", f'{{ on = "{name}", at = "{at}", opens = "{gentle}", bore = "{bore}" }}'),)
            for name, at in _places(situation, row)
        ]
        return
    over = relief["opens"] - ATMOSPHERE
    if row.relief.serves == "opens":
        if over > most >= _GENTLEST:
            yield [lower]
        return
    if row.relief.serves == "small":
        yield [(Edit("plant.relief.bore", f"{each * 1e3:.3g} mm"),) for each in _wider(relief["bore"])]
        return
    moved = [
        (Edit("plant.relief.on", name), Edit("plant.relief.at", at)) for name, at in _places(situation, row)
    ]
    argon = plant_place(situation.rig, situation.tree, "argon")
    if row.closed.fed and argon is not None:  # beside the argon, beyond its valve
        name, at = situation.tree.instances[argon[0]].name, f"{argon[1] * 1e3:.4g} mm"
        moved = [(Edit("plant.relief.on", name), Edit("plant.relief.at", at)), *moved]
    yield moved if over <= most else [(*edits, *lower) for edits in moved]


def _places(situation: Situation, row: ClosedRow) -> list[tuple[str, str]]:
    """Places along the piece that the volume is called by, from its far end down."""
    single = situation.tree.instances[row.closed.piece]
    if single.row.count > 1:
        return []
    inside = [part for part in row.closed.inner.parts if part[0] == row.closed.piece]
    low, high = min(part[1] for part in inside), max(part[2] for part in inside)
    count = max(1, math.floor((high - low) / _STEP))
    return [
        (single.row.name, f"{math.floor((high - step * _STEP) * 1e3)} mm")
        for step in range(1, count)
        if math.floor((high - step * _STEP) * 1e3) > low * 1e3
    ]


def _joint(situation: Situation, row: ClosedRow) -> Iterator[Sequence[Edits]]:
    """A joint that bears more where a joint is the weakest."""
    joint = next((each for each in situation.tree.joints if each.key == row.at), None)
    high = row.judgement.high
    if joint is None or high is None:
        return
    instances = situation.tree.instances
    walls = [instances[number].row.of for number in (joint.onto, joint.instance) if number >= 0]
    needed, found = high / (1.0 - share_kept(situation)), []
    for kind in situation.tables.subjects("joints", "bears"):
        bears = situation.tables.find("joints", kind, "bears")
        if isinstance(bears, Row) and number_of(bears).best >= needed and fits(kind, walls):
            found.append((number_of(bears).best, kind))
    if found:
        yield [(Edit(joint.key, kind),) for _, kind in sorted(found)[:2]]


def _cooler(situation: Situation, row: ClosedRow) -> Sequence[Edits]:
    """The hottest step that matters to the case, cooler."""
    rig = situation.rig
    steps = [step for step in rig.steps if step.to is not None]
    until = steps if row.case.moment.number >= len(rig.steps) else rig.steps[: row.case.moment.number + 1]
    hot = [step for step in until if step.to is not None]
    if not hot or not closed_of(situation).has_metal(row.case.moment):
        return []
    top = max(hot, key=lambda step: step.to or 0.0)
    if sum(step.state == top.state for step in rig.steps) > 1:
        return []
    start = (top.to or 0.0) - 273.15
    key = f"programme.steps.{top.state}.to"
    return [(Edit(key, f"{start - less:.4g} degC"),) for less in _COOLER if start - less > 100.0]


def _wider(bore: float) -> list[float]:
    return [bore * each for each in _WIDER if bore * each <= _WIDEST]


def plant_proposals(situation: Situation, finding: Finding) -> Iterator[Sequence[Edits]]:
    """For relief, bubbler and what cooling draws back."""
    plant = situation.rig.plant
    if finding.check == "relief-capacity":
        entry = plant.relief if finding.place == "relief" else plant.bubbler
        bore = None if entry is None else entry.get("bore")
        if bore is not None:
            yield [(Edit(f"plant.{finding.place}.bore", f"{each * 1e3:.3g} mm"),) for each in _wider(bore)]
    if finding.check == "suck-back" and plant.argon is not None and finding.lost is None:
        flow = plant.argon.get("flow")
        state = next(each for each in situation.rig.states if each.name == finding.state)
        running = ", ".join(f'"{name}"' for name in (*state.running, "argon"))
        on = () if "argon" in state.running else (Edit(f"state.{state.name}.running", f"[{running}]"),)
        if flow is not None and "pump" not in state.running:
            more = [(*on, Edit("plant.argon.flow", f"{flow.best * each * 6e4:.3g} L/min")) for each in _MORE]
            yield [on, *more] if on else more
