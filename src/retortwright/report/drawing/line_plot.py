# SPDX-License-Identifier: MIT
"""Wall temperature along every branch of the rig, with its joints, their limits, and where the product melts."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import PurePath

import numpy as np

from retortwright.assess.assessment import Assessment
from retortwright.ground.arrays import Array
from retortwright.ground.errors import AskError
from retortwright.ground.units import TAIL
from retortwright.report.drawing.covers import pattern
from retortwright.report.drawing.dew_curves import DewCurve, dew_curves
from retortwright.report.drawing.labels import Board, Box, Label, Line, Placed, drawn_label
from retortwright.report.drawing.metal import METAL
from retortwright.report.drawing.placing import roomy
from retortwright.report.drawing.plot import STYLES, Frame, Style, axis_of, key
from retortwright.report.drawing.sayings import verdict_line
from retortwright.report.drawing.scene import state_to_draw
from retortwright.report.drawing.sheet import Head, header
from retortwright.report.drawing.svg import (
    FAINT,
    INK,
    Point,
    document,
    element,
    group,
    line,
    path,
    polygon,
    rectangle,
    text,
)
from retortwright.report.drawing.symbols import verdict_sign
from retortwright.report.drawing.vapour_view import melting_point
from retortwright.report.drawing.view import View, view_of
from retortwright.rig.tree import Tree
from retortwright.situation.vapour_state import VapourState

__all__ = ["line_plot"]

_WIDTH, _HEIGHT = 1400.0, 900.0
_ZERO = 273.15
_KEY = 210.0
_SIGN = 8.0


@dataclass(frozen=True, slots=True)
class _Branch:
    """The pieces from where a branch leaves an earlier one to its far end, and its style."""

    name: str
    pieces: tuple[int, ...]
    style: Style


def line_plot(assessment: Assessment, state: str | None = None) -> str:
    """The SVG of the temperatures along the branches in a state."""
    situation = assessment.situation
    if situation is None:
        raise AskError("an assessment without its situation cannot be drawn")
    name = state_to_draw(assessment.rig, state)
    view = view_of(assessment, situation, name, roomy(assessment.rig, situation.tree), ())
    head = _head(view)
    branches = _branches(view.tree)
    for size in (1.0, 1.2, 1.5, 2.0, 3.0):
        width, height = _WIDTH * size, _HEIGHT * size
        above, top = header(head, width)
        frame = _frame(view, Box(92.0, top + 34, width - _KEY - 24, height - 52))
        signs, placed = _labelled(view, frame, branches)
        if placed is not None:
            break
    else:
        raise AskError("the rig has too many joints for one plot")
    named, corner = [(branch.name, branch.style) for branch in branches], (width - _KEY, top + 50)
    made = [
        element("defs", {}, frame.clip("inside"), pattern("dew", 4.0, "M0,4L4,0", METAL, 0.6)),
        group("head", above),
        group("frame", frame.drawn("wall temperature, middle and 5 to 95 % band")),
        group(
            "curves",
            [*_curves(view, frame, branches), *_limits(view, frame, signs)],
            clip_path="url(#inside)",
        ),
        group("labels", [part for each in placed for part in drawn_label(each)]),
        group("joints", [part for _, verdict, at in signs for part in verdict_sign(verdict, at)]),
        group("key", [*key(named, corner), *_straight_key(view, (corner[0], corner[1] + 20 * len(named)))]),
    ]
    ways = ", ".join(branch.name for branch in branches)
    about = f"Wall temperature against the way from the foot of the retort, along: {ways}. {view.vapour.says}"
    return document(width, height, head.title, about, made)


def _head(view: View) -> Head:
    assessment = view.assessment
    return Head(
        f"{PurePath(assessment.rig.path).name}, state {view.state}: temperatures along the branches",
        " ".join(caution.text for caution in assessment.cautions),
        verdict_line(assessment, view.state, [saying for _, saying in view.joints], view.vapour.grave),
        view.vapour.says,
        view.vapour.grave,
        "An estimate. Of pieces alike the last is drawn. A thick bar is the limit of the joint that it is tied to. "
        "Bands run from the 5 to the 95 % point of the samples.",
    )


def _starts(tree: Tree) -> list[float]:
    """The way from the foot of the retort to the near end of each piece [m]."""
    starts: list[float] = []
    for single in tree.instances:
        starts.append(0.0 if single.parent < 0 else starts[single.parent] + single.at)
    return starts


def _last_of_each(tree: Tree) -> dict[str, int]:
    return {single.row.name: number for number, single in enumerate(tree.instances)}


def _branches(tree: Tree) -> list[_Branch]:
    """Chains of pieces that continue each other, each from where it leaves an earlier one."""
    shown = set(_last_of_each(tree).values())
    shown |= {up for number in list(shown) for up in _way(tree, number)}
    chains: list[list[int]] = []
    for number in sorted(shown):
        single = tree.instances[number]
        goes_on = next((chain for chain in chains if single.at_end and chain[-1] == single.parent), None)
        if goes_on is not None:
            goes_on.append(number)
        else:
            chains.append([number])
    found = []
    for order, chain in enumerate(chains):
        first, last = (tree.instances[chain[which]].name for which in (0, -1))
        name = first if first == last else f"{first} to {last}"
        found.append(_Branch(name, tuple(chain), STYLES[order % len(STYLES)]))
    return found


def _way(tree: Tree, number: int) -> list[int]:
    """A piece and all that it sits on, up to the retort."""
    way = [number]
    while tree.instances[way[-1]].parent >= 0:
        way.append(tree.instances[way[-1]].parent)
    return way


def _frame(view: View, box: Box) -> Frame:
    tree = view.tree
    far = max(start + single.length for start, single in zip(_starts(tree), tree.instances, strict=True))
    good = view.picture.temperature[np.isfinite(view.picture.temperature)] - _ZERO
    low, high = (float(good.min()), float(good.max())) if len(good) else (0.0, 100.0)
    melting = _melting(view)
    low = min(low, melting - 10) if melting is not None else low
    dews = [each.high[np.isfinite(each.high)] - _ZERO for each in _dews(view)]
    high = max([high, *(float(each.max()) for each in dews if len(each))])
    up = axis_of(low, max(high * 1.06, low + 40), "temperature, degC", 9)
    across = axis_of(0.0, far * 1e3, "way along the axis from the foot of the retort, mm", 12)
    return Frame(box, across, up)


def _melting(view: View) -> float | None:
    """The melting point of the product [degC]."""
    found = melting_point(view.situation)
    return None if found is None else found - _ZERO


def _dews(view: View) -> list[DewCurve]:
    """The dew points of the vapour; none where it is not known or none is counted."""
    together = view.situation.vapour(view.state)
    if not isinstance(together, VapourState) or view.vapour.grave:
        return []
    return list(dew_curves(together.vapour, view.picture.mesh, _starts(view.tree)))


def _spots(view: View, number: int, start: float) -> tuple[Array, Array, Array, Array]:
    """The way [mm] and the band [degC] along a piece."""
    mesh = view.picture.mesh
    cells = slice(mesh.first[number], mesh.last[number] + 1)
    values = view.picture.temperature[cells] - _ZERO
    known = np.all(np.isfinite(values), axis=1)
    ends = np.full((3, len(values)), np.nan)
    if np.any(known):
        ends[:, known] = np.quantile(values[known], [TAIL, 0.5, 1 - TAIL], axis=1)
    return (start + mesh.middle[cells]) * 1e3, ends[0], ends[1], ends[2]


def _curves(view: View, frame: Frame, branches: Sequence[_Branch]) -> Iterator[str]:
    starts = _starts(view.tree)
    for order, branch in enumerate(branches):
        points = _leaves(view, branch.pieces[0], starts)
        for number in branch.pieces:
            way, low, middle, high = _spots(view, number, starts[number])
            if np.all(np.isfinite(low)):
                outline = [frame.to(float(x), float(y)) for x, y in zip(way, low, strict=True)]
                outline += [frame.to(float(x), float(y)) for x, y in zip(way[::-1], high[::-1], strict=True)]
                yield polygon(outline, fill=branch.style.colour, fill_opacity=0.15)
            points += [(float(x), float(y)) for x, y in zip(way, middle, strict=True)]
        yield from frame.curve(points, branch.style, shift=3 * order)
    for dew in _dews(view):
        yield from _dew_drawn(dew, frame)
    melting = _melting(view)
    if melting is not None:
        y = frame.to(0.0, melting)[1]
        yield line(
            (frame.box.left, y),
            (frame.box.right, y),
            stroke=INK,
            stroke_width=1.0,
            stroke_dasharray="7 3",
        )


def _dew_drawn(dew: DewCurve, frame: Frame) -> Iterator[str]:
    """Dots at the middle, over a hatched band."""
    known = np.isfinite(dew.middle)
    way = dew.way[known] * 1e3
    low, middle, high = (each[known] - _ZERO for each in (dew.low, dew.middle, dew.high))
    outline = [frame.to(float(x), float(y)) for x, y in zip(way, low, strict=True)]
    outline += [frame.to(float(x), float(y)) for x, y in zip(way[::-1], high[::-1], strict=True)]
    yield polygon(outline, fill="url(#dew)", fill_opacity=0.6)
    points = [frame.to(float(x), float(y)) for x, y in zip(way, middle, strict=True)]
    yield path(points, stroke=METAL, stroke_width=2.4, stroke_dasharray="0.1 4.5", stroke_linecap="round")


def _straight_key(view: View, corner: Point) -> Iterator[str]:
    """What the other lines are."""
    left, down = corner
    if _dews(view):
        yield rectangle((left, down - 10), 34, 12, fill="url(#dew)")
        start, end = (left, down - 4), (left + 34, down - 4)
        yield line(
            start, end, stroke=METAL, stroke_width=2.4, stroke_dasharray="0.1 4.5", stroke_linecap="round"
        )
        yield text(f"dew point of the {view.rig.aim.metal}", (left + 42, down), 11.5)
        down += 20
    if _melting(view) is not None:
        start, end = (left, down - 4), (left + 34, down - 4)
        yield line(start, end, stroke=INK, stroke_width=1.0, stroke_dasharray="7 3")
        yield text(f"{view.rig.aim.metal} melts", (left + 42, down), 11.5)


def _leaves(view: View, number: int, starts: Sequence[float]) -> list[tuple[float, float]]:
    """Where a branch leaves the piece it sits on."""
    single = view.tree.instances[number]
    if single.parent < 0:
        return []
    way, _, middle, _ = _spots(view, single.parent, starts[single.parent])
    place = starts[number] * 1e3
    return [(place, float(np.interp(place, way, middle)))]


def _labelled(
    view: View, frame: Frame, branches: Sequence[_Branch]
) -> tuple[list[tuple[str, str, Point]], list[Placed] | None]:
    """Key, verdict and place of each joint, the gravest last; and all labels, None where one finds no room."""
    board = Board(frame.box)
    starts, shown = _starts(view.tree), {number for branch in branches for number in branch.pieces}
    for number in sorted(shown):
        way, _, middle, _ = _spots(view, number, starts[number])
        for x, y in zip(way, middle, strict=True):
            if math.isfinite(float(y)):
                board.block(_square(frame.to(float(x), float(y)), 4.0))
    signs, labels = [], []
    for joints, saying in view.joints:
        joint = next((each for each in reversed(joints) if each.instance in shown), None)
        values = view.picture.joints[joints[0].key]
        good = values[np.isfinite(values)]
        if joint is None or not len(good):
            continue
        at = frame.to((starts[joint.instance] + joint.place) * 1e3, float(np.median(good)) - _ZERO)
        signs.append((joint.key, saying.verdict, at))
        if saying.limit is not None and saying.limit - _ZERO <= frame.up.high:
            top = frame.to(0.0, saying.limit - _ZERO)[1]
            board.block([(at[0] - 1, top), (at[0] + 1, top), (at[0] + 1, at[1]), (at[0] - 1, at[1])])
            board.block(_square((at[0], top), 9.0))
        board.block(_square(at, _SIGN))
        name = joint.name.removesuffix(".joined")
        words = saying.lines[1].words
        labels.append(
            Label(f"joint {joint.key}", (at,), (Line(name, 11, "bold"), Line(words, 10)), clear=_SIGN)
        )
    labels += _melting_label(view, frame, board)
    return list(reversed(signs)), board.arrange(labels)


def _melting_label(view: View, frame: Frame, board: Board) -> list[Label]:
    """The name of the line at the melting point, over which nothing else is written."""
    melting = _melting(view)
    if melting is None:
        return []
    y, wide = frame.to(0.0, melting)[1], frame.box.right - frame.box.left
    for x in np.arange(frame.box.left, frame.box.right, 8.0):
        board.block(_square((float(x) + 4, y), 3.0))
    anchors = tuple((frame.box.left + share * wide, y) for share in (0.9, 0.5, 0.2))
    words = f"{view.rig.aim.metal} melts, {melting:.0f} degC"
    return [Label("melting", anchors, (Line(words, 11, "slanted"),))]


def _limits(view: View, frame: Frame, signs: Sequence[tuple[str, str, Point]]) -> Iterator[str]:
    """A bar at the limit of each joint, tied to its sign."""
    limits = {joints[0].key: saying.limit for joints, saying in view.joints}
    for joint, _, (x, y) in signs:
        limit = limits[joint]
        if limit is not None and limit - _ZERO <= frame.up.high:
            top = frame.to(0.0, limit - _ZERO)[1]
            yield line((x, y), (x, top), stroke=FAINT, stroke_width=0.7, stroke_dasharray="1.5 2.5")
            yield line((x - 9, top), (x + 9, top), stroke=INK, stroke_width=2.2)


def _square(at: Point, half: float) -> tuple[Point, ...]:
    return Box(at[0] - half, at[1] - half, at[0] + half, at[1] + half).corners
