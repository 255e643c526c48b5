# SPDX-License-Identifier: MIT
"""A view drawn at one scale: pieces, covers, signs, and the labels beside them."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from retortwright.report.drawing.covers import Band, bands_of
from retortwright.report.drawing.filled import drawn_fill
from retortwright.report.drawing.labels import Board, Box, Label, Line, Placed
from retortwright.report.drawing.metal import landed_bands, mark_labels, marks_drawn, vapour_fills
from retortwright.report.drawing.sayings import cover_lines, millimetres, piece_lines, plant_lines
from retortwright.report.drawing.strips import NARROWEST, THINNEST, Frame, Strip, strip_of
from retortwright.report.drawing.svg import INK, Point, line
from retortwright.report.drawing.symbols import fall_arrow, valve_sign, verdict_sign
from retortwright.report.drawing.view import View
from retortwright.report.drawing.walls import break_marks, ends, knee, opening, piece, self_closed
from retortwright.rig.tree import Joint

__all__ = ["Section", "sections"]

_RATIOS = (
    0.5,
    0.75,
    1,
    1.25,
    1.5,
    2,
    2.5,
    3,
    3.5,
    4,
    5,
    6,
    7,
    8,
    10,
    12,
    15,
    20,
    25,
    30,
    40,
    50,
    60,
    80,
    100,
)
_ACROSS, _DOWN = 0.80, 0.88  # of the area that the pieces may take
_SIGN = 8.0  # half the room of a verdict's sign
_GLASS = frozenset({"borosilicate", "fused silica", "soda-lime glass", "aluminosilicate"})
_SLOPING = (math.radians(1.5), math.radians(88))
_OWN, _OTHER = ".joined", (".bottom.joined", ".meets.joined")  # a piece's own near end, and other joints


def sections(view: View, area: Box, unit: float, most: int) -> Iterator[Section]:
    """Sections of falling scale that fit an area; `unit` is a metre of paper."""
    low, high = view.corners()
    across = (area.right - area.left) * _ACROSS / max(high[0] - low[0], 1e-3)
    down = (area.bottom - area.top) * _DOWN / max(high[1] - low[1], 1e-3)
    most_scale = min(across, down)
    ratios = [ratio for ratio in _RATIOS if unit / ratio <= most_scale] or [unit / most_scale]
    for ratio in ratios[:most]:
        scale = unit / ratio
        spare = area.right - area.left - scale * (high[0] - low[0])
        left = area.left + _left_of_it(view, low[0], high[0]) * spare - scale * low[0]
        foot = (area.top + area.bottom + scale * (low[1] + high[1])) / 2
        yield Section(view, area, Frame(scale, left, foot), ratio)


def _left_of_it(view: View, low: float, high: float) -> float:
    """The share of the room beside the rig that is left of it: more where most joints are at its left."""
    places = [view.flats[joint.instance].at(joint.place)[0][0] for joint in view.tree.joints]
    middle = sum(places) / len(places) if places else high
    return min(max(1.1 - (middle - low) / max(high - low, 1e-6), 0.2), 0.8)


class Section:
    """One view at one scale."""

    def __init__(self, view: View, area: Box, frame: Frame, ratio: float) -> None:
        self.view, self.area, self.frame, self.ratio = view, area, frame, ratio
        mesh = view.picture.mesh
        self.strips: list[Strip] = []
        for number, (single, flat) in enumerate(zip(view.tree.instances, view.flats, strict=True)):
            cells = slice(mesh.first[number], mesh.last[number] + 1)
            self.strips.append(strip_of(single, flat, frame, [*mesh.start[cells], single.length]))
        self.bands: list[Band] = bands_of(view.rig, self.strips, view.running)
        self.signs = list(self._signs())
        self.filled, self.fill_anchor = drawn_fill(self.strips[0], view.fill)

    # ---- what is drawn

    def drawn(self) -> Iterator[str]:
        """The pieces with everything on and in them."""
        view, strips = self.view, self.strips
        mesh, middle, scale = view.picture.mesh, view.middle, view.scale
        for band in self.bands:
            yield from band.drawn()
        yield from self._apart()
        for number, strip in enumerate(strips):
            if strip.single.at_end and strip.single.parent >= 0 and strip.flat.apart is None:
                yield from knee(strip, strips[strip.single.parent], self._colour(number, 0))
        by_pass = [number for number, strip in enumerate(strips) if strip.single.row.meets is not None]
        rest = [number for number in range(len(strips) - 1, -1, -1) if number not in by_pass]
        for number in (*by_pass, *rest):
            yield from piece(strips[number], number, mesh, middle, scale)
        for strip in strips:
            if strip.single.parent >= 0 and strip.flat.apart is None:
                yield from opening(strip, strips[strip.single.parent])
        yield from vapour_fills(strips, mesh, view.vapour.filled)
        yield from landed_bands(strips, mesh, view.vapour.landed)
        yield from self.filled
        for number, strip in enumerate(strips):
            yield from ends(strip, self._colour(number, 0), self._colour(number, -1))
            if self._is_shut_by_itself(number):
                yield from self_closed(strip, self._colour(number, -1), strip.single.row.of in _GLASS)
            yield from break_marks(strip)
            yield from self._arrow(strip)
            if strip.single.row.valve is not None:
                at, along = strip.axis(strip.single.length / 2)
                half = strip.halves(strip.single.length / 2)[0]
                yield from valve_sign(at, along, half, strip.single.row.name in view.open)
        yield from marks_drawn(strips, view.marks)

    def _colour(self, number: int, which: int) -> str:
        mesh = self.view.picture.mesh
        cell = mesh.first[number] if which == 0 else mesh.last[number]
        return self.view.scale.colour(float(self.view.middle[cell]))

    def _apart(self) -> Iterator[str]:
        for strip in self.strips:
            if strip.flat.apart is not None:
                start, end = self.frame.to(strip.flat.apart), self.frame.to(strip.flat.points[0])
                yield line(start, end, stroke=INK, stroke_width=1.0, stroke_dasharray="4 3")

    def _is_shut_by_itself(self, number: int) -> bool:
        """Whether a piece has an end at which nothing sits, that nothing shuts and where nothing is connected."""
        single = self.view.tree.instances[number]
        if single.row.closed is not None or single.row.meets is not None:
            return False
        if any(each.parent == number and each.at_end for each in self.view.tree.instances):
            return False
        things = (each for each in self.view.plant if each.kind != "gauge")
        return not any(each.instance == number and each.place >= single.length * 0.999 for each in things)

    def _slopes(self, strip: Strip) -> bool:
        row = strip.single.row
        return row.bend is None and row.meets is None and _SLOPING[0] < abs(row.slope) < _SLOPING[1]

    def _arrow(self, strip: Strip) -> Iterator[str]:
        """Down the middle of a sloping piece."""
        length = strip.single.length
        if not self._slopes(strip) or strip.flat.slanted or strip.flat.length * self.frame.scale < 50:
            return
        middle, along = strip.axis(0.62 * length)
        if strip.flat.cut is not None:
            middle, along = strip.axis(0.12 * length)
        down = 1.0 if along[1] > 0 else -1.0
        start = (middle[0] - along[0] * down * 12, middle[1] - along[1] * down * 12)
        yield from fall_arrow(start, (middle[0] + along[0] * down * 12, middle[1] + along[1] * down * 12))

    def joint_signs(self) -> Iterator[str]:
        """The verdicts at the joints, the gravest on top."""
        for _, verdict, at in reversed(self.signs):
            yield from verdict_sign(verdict, at)

    def _signs(self) -> Iterator[tuple[Joint, str, Point]]:
        """Each joint with its verdict and place; signs that would hide each other stand side by side."""
        taken = [
            (strip.axis(strip.single.length / 2)[0], max(strip.halves(0.0)[0], 8.0) + 3.0)
            for strip in self.strips
            if strip.single.row.valve is not None
        ]
        for joints, saying in self.view.joints:
            for joint in joints:
                strip = self.strips[joint.instance]
                place = min(joint.place, strip.single.length)
                at = strip.axis(place)[0]
                for part in range(1, 14):
                    if all(math.dist(at, other) > _SIGN * 0.95 + room for other, room in taken):
                        break
                    at = strip.edge(place, (part // 2) * 9.0 * (1 if part % 2 else -1))
                taken.append((at, _SIGN))
                yield joint, saying.verdict, at

    # ---- what is said

    def extras(self) -> list[str]:
        """The other signs that need a word in the legend."""
        valves = [one.row for one in self.view.tree.instances if one.row.valve is not None]
        said = ["open"] if any(row.name in self.view.open for row in valves) else []
        said += ["shut"] if any(row.name not in self.view.open for row in valves) else []
        said += ["falls"] if any(self._slopes(strip) for strip in self.strips) else []
        said += ["break"] if self.view.choices.cuts else []
        said += ["charge"] if self.view.fill.cold is not None else []
        said += ["melted"] if self.view.fill.melted is not None else []
        said += ["vapour"] if np.any(self.view.vapour.filled > 0) else []
        said += ["landed"] if np.any(self.view.vapour.landed > 0) else []
        kinds = {mark.kind for mark in self.view.marks}
        said += [kind for kind in ("front", "dew", "melting") if kind in kinds]
        return said + (["aside"] if self.view.choices.moved else [])

    def notes(self) -> list[str]:
        """What is not as it is in space."""
        view = self.view
        wall, tube = (size / self.frame.scale for size in (THINNEST, 2 * NARROWEST))
        tubes = [single.row.tube for single in view.tree.instances]
        said = []
        if any(each.wall < wall for each in tubes):
            said.append(f"Walls are drawn at least {wall * 1e3:.2g} mm thick.")
        if any(each.outside < tube for each in tubes):
            said.append(f"Tubes are drawn at least {tube * 1e3:.2g} mm wide.")
        if view.choices.turned:
            said.append(f"Turned over for room: {', '.join(sorted(view.choices.turned))}.")
        if view.choices.cuts:
            said.append(
                f"Shortened: {', '.join(sorted(view.choices.cuts))}; heights beyond are shifted if it slopes."
            )
        if any(single.row.meets is not None for single in view.tree.instances):
            said.append("A by-pass is drawn as a curve between its two joints.")
        if any(flat.slanted for flat in view.flats):
            said.append("What is drawn aslant would lie on its stem in this plane.")
        missing = [each.says for each in view.picture.missing]
        return said + [f"Temperatures are not known: {each}." for each in missing[:1]]

    def labels(self) -> list[Placed] | None:
        """All labels in their places; None where one finds no room."""
        board = Board(self.area)
        self._block(board)
        return board.arrange(list(self._wanted()))

    def _block(self, board: Board) -> None:
        """Nothing is written over the rig."""
        for strip in self.strips:
            whole = (0.0, strip.single.length)
            one, other = (strip.ribbon(*whole, 0.0, 3.0, side) for side in (1, -1))
            half = len(one) // 2
            board.block(one[half:] + other[half:][::-1])
            for place in whole:
                (x, y), room = strip.axis(place)[0], strip.halves(place)[0] + 6
                board.block(Box(x - room, y - room, x + room, y + room).corners)
            if strip.single.row.valve is not None:
                (x, y), room = strip.axis(strip.single.length / 2)[0], max(strip.halves(0.0)[0], 8.0) + 4
                board.block(Box(x - room, y - room, x + room, y + room).corners)
        for band in self.bands:
            for outline in band.outlines:
                board.block(outline)
        for _, _, (x, y) in self.signs:
            board.block(Box(x - _SIGN, y - _SIGN, x + _SIGN, y + _SIGN).corners)

    def _wanted(self) -> Iterator[Label]:
        """Every label, those that need their place most first."""
        yield from self._plant_labels()
        yield from self._piece_labels()
        for joints, saying in self.view.joints:
            if not joints[0].key.endswith(_OWN) or joints[0].key.endswith(_OTHER):
                anchors = tuple(at for joint, _, at in self.signs if joint in joints)
                yield Label(f"joint {joints[0].key}", anchors, saying.lines, clear=_SIGN)
        yield from self._cover_labels()
        yield from mark_labels(self.strips, self.view.marks)
        if self.fill_anchor:
            yield Label("charge", self.fill_anchor, (Line(self._charge_words(), 11.5, "slanted"),))

    def _charge_words(self) -> str:
        fill = self.view.fill
        melted = f", {millimetres(round(fill.melted, 3))} mm melted" if fill.melted is not None else ""
        return f"charge {millimetres(round(fill.cold or 0.0, 3))} mm deep{melted}"

    def _plant_labels(self) -> Iterator[Label]:
        for thing in self.view.plant:
            strip = self.strips[thing.instance]
            half = strip.halves(thing.place)[0]
            at_end = thing.place >= strip.single.length * 0.999 and self._leads_on(thing.instance)
            anchors = (
                (strip.axis(thing.place)[0],)
                if at_end
                else tuple(strip.edge(thing.place, side * half) for side in (1, -1))
            )
            lines = plant_lines(thing.name, thing.words, self.view.running)
            yield Label(f"plant {thing.name}", anchors, lines, symbol=26.0, clear=14.0)

    def _leads_on(self, number: int) -> bool:
        """Whether the far end of a piece is free for a connection."""
        row = self.view.tree.instances[number].row
        return row.closed is None and not any(
            each.parent == number and each.at_end for each in self.view.tree.instances
        )

    def _piece_labels(self) -> Iterator[Label]:
        """Each row with the joint at its own near end, to which it is led."""
        by_row: dict[str, list[Strip]] = {}
        for strip in self.strips:
            by_row.setdefault(strip.single.row.name, []).append(strip)
        own = {joints[0].key: (joints, saying) for joints, saying in self.view.joints}
        for name, strips in by_row.items():
            row = strips[0].single.row
            lines = piece_lines(row, any(strip.flat.slanted for strip in strips), name in self.view.open)
            joints, saying = own.get(f"piece.{name}.joined", ((), None))
            if saying is not None:
                anchors = tuple(at for joint, _, at in self.signs if joint in joints)
                yield Label(f"piece {name}", anchors, (*lines, *saying.lines), clear=_SIGN)
                continue
            anchors = tuple(
                strip.edge(share * row.length.best, side * strip.halves(share * row.length.best)[0])
                for strip in strips
                for share in (0.5, 0.3, 0.7)
                for side in (1, -1)
            )
            yield Label(f"piece {name}", anchors, lines)

    def _cover_labels(self) -> Iterator[Label]:
        regime = self.view.picture.regime
        for name, bands in self._bands_together():
            anchors = tuple(point for band in bands for point in band.middles)
            lines = cover_lines(self.view.rig, name, regime, bands[0].running)
            yield Label(f"cover {name} {bands[0].piece}", anchors, lines)

    def _bands_together(self) -> Iterator[tuple[str, list[Band]]]:
        """The bands of each cover; of one that lies over pieces far from each other, in groups."""
        groups: list[tuple[str, set[str], list[Band]]] = []
        for band in self.bands:
            single = self.view.tree.instances[band.piece]
            stem = self.view.tree.instances[single.parent].row.name if single.parent >= 0 else ""
            near = {single.row.name, stem}
            for name, rows, bands in groups:
                if name == band.name and single.row.name in rows | ({stem} if stem in rows else set()):
                    bands.append(band)
                    break
                if name == band.name and near & {
                    self.view.tree.instances[each.piece].row.name for each in bands
                }:
                    rows.add(single.row.name)
                    bands.append(band)
                    break
            else:
                groups.append((band.name, {single.row.name}, [band]))
        for name, _, bands in groups:
            yield name, bands
