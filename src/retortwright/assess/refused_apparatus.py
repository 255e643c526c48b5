# SPDX-License-Identifier: MIT
"""What is refused of the apparatus: a heated closed volume, a thin can under vacuum, PTFE and zinc in the heat."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from retortwright.assess.closed_rows import ClosedRow, middle_of, rows_of_case
from retortwright.assess.hurts_words import bar, kilopascal
from retortwright.assess.refusal import Refusal
from retortwright.physics.collapse import long_tube_collapse, short_tube_collapse
from retortwright.physics.constants import ATMOSPHERE
from retortwright.reference.datum import Curve, Row, curve_of, number_of
from retortwright.reference.tables import Tables
from retortwright.rig.tree import Instance
from retortwright.situation.closed_front import gas_pressure
from retortwright.situation.closed_pressure import closed_of
from retortwright.situation.isolated import Case, Inner, cuts_of, inside_of
from retortwright.situation.situation import Situation
from retortwright.situation.timing import is_after_heat

__all__ = ["refuse_closed", "refuse_materials", "refuse_thin_can"]

_POISSON = 0.3
_ZERO = 273.15
_WITHHOLDS = {"thin-can": (5, 6), "PTFE-in-heat": (6,), "zinc-in-heat": (6,)}  # what its walls and joints decide
_VACUUM = 5e4  # Pa: a volume with less in it counts as evacuated


def _words(tables: Tables, subject: str) -> Mapping[str, Row]:
    return {key[2]: row for key, row in tables.rows.items() if key[:2] == ("rules", subject)}


def _planned(situation: Situation) -> Iterator[Case]:
    for case in closed_of(situation).cases():
        if case.kind == "planned":
            yield case


def _refusal(
    situation: Situation, kind: str, place: str, at: str, subject: str, because: str, more: frozenset[str]
) -> Refusal:
    rows = _words(situation.tables, kind)
    cites = frozenset(row.address for row in rows.values()) | more
    sources = tuple(sorted({situation.tables.rows[_key(each)].source for each in cites}))
    withholds = _WITHHOLDS.get(kind, ())
    return Refusal(
        kind, place, at, subject, rows["says"].data, because, rows["do"].data, withholds, sources, cites
    )


def _key(address: str) -> tuple[str, str, str]:
    table, subject, name = address.split("/", 2)
    return table, subject, name


# ---- closed and heated


def refuse_closed(situation: Situation) -> Iterator[Refusal]:
    """A volume that is shut and hot as planned, without relief, and comes beyond what its weakest part bears."""
    seen: set[str] = set()
    for case in _planned(situation):
        if not is_after_heat(situation.rig, case.state):
            continue
        for row in rows_of_case(situation, case):
            name = situation.tree.instances[row.closed.piece].row.name
            if name not in seen and row.relief.serves != "opens" and _least(row) > float(row.limit.values[0]):
                seen.add(name)
                yield _closed(situation, row, name)


def _least(row: ClosedRow) -> float:
    """The pressure over the room in the middle of the samples; where water is not stated, of the gas alone."""
    found = middle_of(row.gauge.values)
    return found if np.isfinite(found) else middle_of(row.closed.figure.said["gas"]) - ATMOSPHERE


def _closed(situation: Situation, row: ClosedRow, name: str) -> Refusal:
    inside = bar(_least(row) + ATMOSPHERE)
    because = (
        f"in {row.case.state} nothing leads out of the {row.closed.volume * 1e6:.3g} mL of the {name}: {inside} "
        f"inside, and the weakest, {row.weakest}, bears {kilopascal(float(row.limit.values[0]))} over the room"
    )
    subject = f"heating the closed {name} without a relief, {row.case.state}"
    return _refusal(
        situation, "heated-closed", name, f"state.{row.case.state}", subject, because, row.limit.cites
    )


# ---- a thin can under vacuum


def refuse_thin_can(situation: Situation) -> Iterator[Refusal]:
    """A piece that even elastic buckling of a perfect tube lets collapse at its temperature under vacuum."""
    for number, single in enumerate(situation.tree.instances):
        row = situation.tables.find("materials", single.row.of, "modulus")
        if not isinstance(row, Row) or single.row.name != single.name:
            continue
        curve = curve_of(row)
        if not _collapses(single, float(curve.value[-1])):  # the hottest that is known is the weakest
            continue
        for case in _planned(situation):
            hot = _hottest_under_vacuum(situation, case, number)
            if hot is not None and hot >= curve.temperature[0] and _collapses(single, float(curve.held(hot))):
                yield _thin(situation, single, case.state, hot, curve)
                break


def _strength(single: Instance, modulus: float) -> float:
    """The pressure at which the piece buckles: as a tube without ends, or held round by them, whichever is more."""
    wall, middle = single.row.tube.wall, single.row.tube.outside - single.row.tube.wall
    long = float(long_tube_collapse(modulus, _POISSON, wall, middle / 2))
    short = float(short_tube_collapse(modulus, _POISSON, wall, middle, single.length))
    found = [each for each in (long, short) if np.isfinite(each)]
    return max(found, default=float("inf"))


def _collapses(single: Instance, modulus: float) -> bool:
    return _strength(single, modulus) < ATMOSPHERE


def _hottest_under_vacuum(situation: Situation, case: Case, number: int) -> float | None:
    """The hottest of the wall in a state in which its inside is evacuated, in the middle of the samples [K]."""
    inside = inside_of(situation.tree, cuts_of(situation.tree, case.open))
    inner: Inner = inside.volume_at((number, 0.0))
    work = closed_of(situation)
    if not is_after_heat(situation.rig, case.state) or not _evacuated(situation, case, inner):
        return None
    mesh = situation.mesh
    middle = work.middle(situation.heat(case.state))[mesh.first[number] : mesh.last[number] + 1]
    return float(np.max(middle)) if np.all(np.isfinite(middle)) else None


def _evacuated(situation: Situation, case: Case, inner: Inner) -> bool:
    """Whether the pump draws on a volume, or has left it without gas."""
    work = closed_of(situation)
    if "pump" in case.running and work.has(inner, "pump"):
        return True
    inside = work.slivers.inside(inner)
    room = np.sum(work.room_at(situation.heat(case.state))[inside], axis=0)
    return bool(middle_of(gas_pressure(work.gas.moles(case, inside, room), room)) < _VACUUM)


def _thin(situation: Situation, single: Instance, state: str, hot: float, curve: Curve) -> Refusal:
    tube = single.row.tube
    strength = _strength(single, float(curve.held(hot)))
    because = (
        f"{tube.outside * 1e3:.4g} x {tube.wall * 1e3:.3g} mm of {single.row.of} at {hot - _ZERO:.0f} degC in {state}: "
        f"a perfect tube flattens at {kilopascal(strength)}, the room presses with {kilopascal(ATMOSPHERE)}"
    )
    name = single.row.name
    subject = f"the thin {name} under vacuum, {state}"
    return _refusal(
        situation, "thin-can", name, f"piece.{name}.tube", subject, because, frozenset({curve.row.address})
    )


# ---- PTFE, zinc


def refuse_materials(situation: Situation) -> Iterator[Refusal]:
    """Walls and joints that metal vapour or their own heat makes dangerous."""
    for kind in ("PTFE-in-heat", "zinc-in-heat"):
        rows = _words(situation.tables, kind)
        named = set(rows["what"].data.split("; "))
        limit = number_of(rows["from"]).best
        for key, what, numbers in _parts(situation, named):
            because = _reached(situation, numbers) or _too_hot(situation, key, numbers, limit)
            if because:
                name = key.removeprefix("piece.")
                yield _refusal(situation, kind, name, key, f"{what} at {name}", because, frozenset())


def _parts(situation: Situation, named: set[str]) -> Iterator[tuple[str, str, tuple[int, ...]]]:
    """Joints and pieces of those kinds: dotted key, kind, the pieces that it is on."""
    tree = situation.tree
    found: dict[str, tuple[str, tuple[int, ...]]] = {}
    for joint in tree.joints:
        if joint.kind in named:
            _, before = found.get(joint.key, ("", ()))
            found[joint.key] = (joint.kind, (*before, joint.instance))
    for number, single in enumerate(tree.instances):
        if single.row.of in named:
            key = f"piece.{single.row.name}.of"
            _, before = found.get(key, ("", ()))
            found[key] = (single.row.of, (*before, number))
    for key, (what, numbers) in found.items():
        yield key, what, numbers


def _reached(situation: Situation, numbers: tuple[int, ...]) -> str:
    """Whether metal comes there: it is on a way to a receiver in a state with metal."""
    work = closed_of(situation)
    if not any(work.has_metal(moment) for moment in work.moments) or not set(numbers) & work.on_way():
        return ""
    return f"it lies on the way of the {situation.rig.aim.metal} to the receiver"


def _too_hot(situation: Situation, key: str, numbers: tuple[int, ...], limit: float) -> str:
    """Whether it gets beyond its limit in a state as planned, in the middle of the samples."""
    work, mesh = closed_of(situation), situation.mesh
    for state in dict.fromkeys(moment.state.name for moment in work.moments):
        picture = situation.heat(state)
        if picture.missing:
            continue
        if key in picture.joints:
            hot = float(np.median(picture.joints[key]))
        else:
            hot = max(float(np.max(work.middle(picture)[mesh.first[n] : mesh.last[n] + 1])) for n in numbers)
        if hot > limit:
            return f"it gets to {hot - _ZERO:.0f} degC in {state}; {limit - _ZERO:.0f} is the most"
    return ""
