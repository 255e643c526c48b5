# SPDX-License-Identifier: MIT
"""What a drawing shows of the product in a state: where its vapour is, where it lands, where it is solid.

Places are those of the middle of all samples: of the wall in each cell, and of the dew point. Where
the vapour is not known, or none is counted, a sentence says so.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL
from retortwright.reference.datum import Missing
from retortwright.reference.species import Species, find_species
from retortwright.report.drawing.marks import Course, Crossing, Mark, Spot, course_of, crossings
from retortwright.situation.mesh import Mesh
from retortwright.situation.situation import Situation
from retortwright.situation.vapour import Vapour
from retortwright.situation.vapour_state import VapourState
from retortwright.situation.vapour_ways import Arm, Way, ways_of

__all__ = ["GONE", "VapourView", "landed_on", "melting_point", "span", "vapour_view"]

_ZERO = 273.15
GONE = 0.01  # of what enters: beyond it a way counts as free of vapour
_SOME = 0.01  # of the metal: a piece on which less lands is not labelled
_SHORT = 1e-3  # m: vapour that comes no farther into an arm is not drawn
_WHOLE = 0.99  # of an arm


@dataclass(frozen=True, slots=True)
class VapourView:
    """The product in a state. `filled` and `landed` are (cells,)."""

    metal: str
    says: str  # what there is to say of vapour in this state, above all that it is not known
    grave: bool  # whether that has to stand out
    filled: Array  # share of each cell, from its near end on, that vapour fills
    landed: Array  # share of the metal that lands on each cell
    marks: tuple[Mark, ...]


def melting_point(situation: Situation) -> float | None:
    """Where the product melts [K]."""
    found = find_species(situation.tables, f"{situation.rig.aim.metal}(l)")
    return found.melts if isinstance(found, Species) else None


def vapour_view(situation: Situation, state: str, middle: Array) -> VapourView:
    """The view of a state; `middle` are the wall temperatures of the picture [K]."""
    metal, mesh = situation.rig.aim.metal, situation.mesh
    together = situation.vapour(state)
    says, grave = _says(situation, together)
    nothing = np.zeros(len(mesh.start))
    if not isinstance(together, VapourState) or grave:
        walls = situation.dry(state).temperature
        ways = () if grave else ways_of(situation.rig, situation.tree, mesh, state, 0.0).ways
        return VapourView(
            metal, says, grave, nothing, nothing, tuple(_melting(situation, ways, (), middle, walls))
        )
    vapour, walls = together.vapour, together.heat.temperature
    marks = (
        *_dew(situation, vapour, middle, walls),
        *_melting(situation, vapour.ways.ways, vapour.ways.arms, middle, walls, vapour),
        *_fronts(situation, vapour),
        *_landings(situation, vapour),
    )
    landed = np.mean(landed_on(vapour, len(mesh.start)), axis=1)
    return VapourView(metal, says, grave, _filled(situation, vapour), landed, marks)


def _says(situation: Situation, together: VapourState | Missing | None) -> tuple[str, bool]:
    """A sentence on the vapour of a state, and whether it is a warning."""
    metal = situation.rig.aim.metal
    lead = f"THE VAPOUR OF {metal} IS NOT IN THIS PICTURE: "
    if isinstance(together, Missing):
        return f"{lead}{together.says}; walls and seals are drawn as without it and may be far hotter.", True
    if isinstance(together, VapourState) and together.heat.missing:
        return f"{lead}{together.heat.missing[0].says}; nor are the walls then known.", True
    if isinstance(together, VapourState):
        dew = span(together.vapour.dew - _ZERO, "degC")
        pressure = span(together.vapour.pressure, "Pa")
        return f"Vapour of {metal} is in it: {pressure} in the retort, dew point {dew}.", False
    if not situation.rig.charge:
        return f"The retort is empty: no vapour of {metal} is in this picture.", False
    return (
        f"No vapour of {metal} is in it: the charge is taken to give none in this state (metal.from).",
        False,
    )


def span(values: Array, unit: str) -> str:
    """The middle of some samples with its band, in two or three digits.

    >>> span(np.array([280.0, 286.0, 300.0]), "degC")
    '286 degC (281 to 299)'
    """
    low, middle, high = (_number(float(each)) for each in np.quantile(values, [TAIL, 0.5, 1 - TAIL]))
    space = "" if unit.startswith(" ") else " "
    return f"{middle}{space}{unit}" + (f" ({low} to {high})" if low != high else "")


def _number(value: float) -> str:
    return f"{value + 0.0:.0f}" if abs(value) >= 9.95 else f"{value + 0.0:.2g}"


def landed_on(vapour: Vapour, cells: int) -> Array:
    """The share of the metal that lands on each cell, over all ways together, (cells, samples)."""
    whole = np.zeros((cells, len(vapour.entering)))
    for number, landing in enumerate(vapour.landings):
        part = vapour.same.count(number) / len(vapour.same)
        whole[landing.cells] += part * np.maximum(landing.landed, 0.0) / landing.entering
    return whole


def _filled(situation: Situation, vapour: Vapour) -> Array:
    """The share of each cell that vapour fills: on the ways until hardly any is left, in the arms to its front."""
    mesh = situation.mesh
    filled = np.zeros(len(mesh.start))
    filled[vapour.ways.back] = 1.0
    for landing, which in zip(vapour.landings, range(len(vapour.landings)), strict=True):
        way = vapour.ways.ways[vapour.same.index(which)]
        before = np.concatenate([np.full(1, 1.0), np.median(landing.passing / landing.entering, axis=1)[:-1]])
        filled[way.cells[: len(landing.cells)]] = before > GONE
    for arm in vapour.ways.arms:
        reach, width = float(np.median(vapour.reaches[arm.name])), mesh.width[arm.cells]
        if reach > _SHORT:
            inside = (reach - (arm.outward - width / 2)) / width
            filled[arm.cells] = np.maximum(filled[arm.cells], np.clip(inside, 0.0, 1.0))
    return filled


def _name(situation: Situation, spot: Spot) -> str:
    return situation.tree.instances[spot[0]].row.name


def _placed(situation: Situation, course: Course, crossing: Crossing) -> str:
    """Where a crossing is, in words: along which piece."""
    spot = course.spot(crossing.distance)
    words = f"{spot[1] * 1e3:.0f} mm along {_name(situation, spot)}"
    if not (math.isfinite(crossing.near) and math.isfinite(crossing.far)):
        return f"{words}, not so in every sample"
    ends = [course.spot(each) for each in (crossing.near, crossing.far)]
    if any(end[0] != spot[0] for end in ends):
        return f"{words}, give or take {(crossing.far - crossing.near) * 500:.0f} mm"
    low, high = sorted(f"{end[1] * 1e3:.0f}" for end in ends)
    low, high = sorted((low, high), key=float)
    return words if low == high else f"{words} ({low} to {high})"


def _dew(situation: Situation, vapour: Vapour, middle: Array, walls: Array) -> Iterator[Mark]:
    """Where the wall first falls to the dew point of the retort, on each way that is told apart."""
    metal, dew = situation.rig.aim.metal, vapour.dew
    found: dict[tuple[str, ...], list[Spot]] = {}
    for way in vapour.ways.ways:
        course = course_of(situation.mesh, way.cells)
        level = float(np.median(dew))
        down = [
            each
            for each in crossings(course, middle[way.cells], level, walls[way.cells], dew)
            if each.falling
        ]
        if not down:
            continue
        back = down[0].distance < (course.ends[way.crest - 1] if way.crest else 0.0)
        does = "condenses and runs back" if back else "can land from here on"
        spot = course.spot(down[0].distance)
        words = (
            f"dew point, {span(dew - _ZERO, 'degC')}",
            f"{metal} {does}, {_placed(situation, course, down[0])}",
        )
        spots = found.setdefault(words, [])
        spots += [] if spot in spots else [spot]
    return (Mark("dew", words, tuple(spots)) for words, spots in found.items())


def _melting(
    situation: Situation,
    ways: Sequence[Way],
    arms: Sequence[Arm],
    middle: Array,
    walls: Array,
    vapour: Vapour | None = None,
) -> Iterator[Mark]:
    """Where the wall crosses the melting point, along the ways and in the arms as far as vapour comes."""
    point = melting_point(situation)
    if point is None or not np.all(np.isfinite(middle)):
        return
    metal = situation.rig.aim.metal
    found: dict[tuple[str, bool], list[tuple[Spot, str]]] = {}
    for cells, most in _courses(ways, arms, vapour):
        course = course_of(situation.mesh, cells)
        for each in crossings(course, middle[cells], point, walls[cells], point):
            if each.distance > most:
                continue
            spot = course.spot(each.distance)
            spots = found.setdefault((_name(situation, spot), each.falling), [])
            if all(math.dist(spot, other) > 1e-6 for other, _ in spots):
                spots.append((spot, _placed(situation, course, each)))
    for (name, falling), places in found.items():
        is_so = "is solid from here on" if falling else "melts from here on"
        singles = {spot[0] for spot, _ in places}
        if len(places) == 1:
            where = places[0][1]
        else:
            ends = sorted({round(end(spot[1] for spot, _ in places) * 1e3) for end in (min, max)})
            spread = " to ".join(str(each) for each in ends)
            where = f"{spread} mm along {name}" if len(singles) > 1 else f"along {name}"
        words = (f"melting point, {point - _ZERO:.0f} degC", f"{metal} {is_so}, {where}")
        yield Mark("melting", words, tuple(spot for spot, _ in places))


def _courses(
    ways: Sequence[Way], arms: Sequence[Arm], vapour: Vapour | None
) -> Iterator[tuple[NDArray[np.intp], float]]:
    """The cells of each way and arm, and up to where crossings matter there [m]."""
    for way in ways:
        yield way.cells, math.inf
    for arm in arms:
        straight = np.concatenate([[True], np.diff(arm.outward) > 0])
        most = int(np.argmin(straight)) if not np.all(straight) else len(straight)
        reach = 0.0 if vapour is None else float(np.quantile(vapour.reaches[arm.name], 1 - TAIL))
        yield arm.cells[:most], reach


def _fronts(situation: Situation, vapour: Vapour) -> Iterator[Mark]:
    """How far vapour comes into each arm."""
    mesh, metal = situation.mesh, situation.rig.aim.metal
    for arm in vapour.ways.arms:
        reach = float(np.median(vapour.reaches[arm.name]))
        goes_on = arm.begins > 0.0 and any(
            each.at_end for each in situation.tree.instances if each.parent == 0
        )
        if not reach > _SHORT or (goes_on and reach > _WHOLE * arm.length):
            continue
        near, far = arm.outward - mesh.width[arm.cells] / 2, arm.outward + mesh.width[arm.cells] / 2
        ends = np.flatnonzero((near < reach) & (reach <= far + 1e-9))
        if not len(ends):
            continue
        spots = tuple(
            (int(mesh.instance[arm.cells[each]]), float(mesh.start[arm.cells[each]] + reach - near[each]))
            for each in ends
        )
        runs = "runs back" if arm.returns else "stays there"
        if reach > _WHOLE * arm.length:
            words = (f"{metal} vapour fills {arm.name} to its end", f"and what condenses {runs}")
        else:
            into = span(vapour.reaches[arm.name] * 1e3, "mm")
            words = (
                f"front of the {metal} vapour, {into} into {arm.name}",
                f"what condenses before it {runs}",
            )
        yield Mark("front", words, spots)


def _landings(situation: Situation, vapour: Vapour) -> Iterator[Mark]:
    """How much of the metal lands on the pieces of each row."""
    mesh, tree, metal = situation.mesh, situation.tree, situation.rig.aim.metal
    landed = landed_on(vapour, len(mesh.start))
    for row in dict.fromkeys(one.row.name for one in tree.instances):
        singles = [number for number, one in enumerate(tree.instances) if one.row.name == row]
        parts = [landed[mesh.first[n] : mesh.last[n] + 1] for n in singles]
        whole = 100 * np.sum([np.sum(part, axis=0) for part in parts], axis=0)
        if float(np.quantile(whole, 1 - TAIL)) < 100 * _SOME:
            continue
        spots = tuple(
            spot
            for number, part in zip(singles, parts, strict=True)
            for spot in _most_of_it(mesh, number, np.mean(part, axis=1))
        )
        name = f"{row} ({len(singles)} together)" if len(singles) > 1 else row
        yield Mark("landed", (f"{metal} lands on {name}: {span(whole, '%')}",), spots)


def _most_of_it(mesh: Mesh, number: int, landed: Array) -> Iterator[Spot]:
    """Where a half, a quarter and three quarters of what lands on a piece have landed; nowhere if nothing does."""
    whole = np.cumsum(landed)
    if whole[-1] > 0.0:
        for share in (0.5, 0.25, 0.75):
            yield (
                number,
                float(mesh.middle[mesh.first[number] + int(np.searchsorted(whole, share * whole[-1]))]),
            )
