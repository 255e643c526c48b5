# SPDX-License-Identifier: MIT
"""The rig in one state as a section to scale, put together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import PurePath

from retortwright.assess.assessment import Assessment
from retortwright.ground.errors import AskError, nearest
from retortwright.report.drawing.covers import kinds_of, patterns
from retortwright.report.drawing.labels import Placed, drawn_label, run_over
from retortwright.report.drawing.marks import Mark
from retortwright.report.drawing.placing import roomy
from retortwright.report.drawing.sayings import verdict_line
from retortwright.report.drawing.section import Section, sections
from retortwright.report.drawing.sheet import Head, Sheet, header, heights, legend, notes, scale_bar
from retortwright.report.drawing.svg import document, element, group
from retortwright.report.drawing.symbols import plant_sign
from retortwright.report.drawing.view import View, view_of
from retortwright.rig.parts import Rig
from retortwright.situation.timing import hottest_state

__all__ = ["Layout", "drawing", "laid_out", "state_to_draw", "written"]

_WIDTH, _HEIGHT = 1400.0, 990.0
_UNIT = _WIDTH / 0.297  # a metre of A4
_FITS = 10  # scales that are tried on one size of paper
_GROWS = 1.25  # how much larger paper gets where labels find no room
_SIZES = 8
_TRIES = 4  # layouts that are tried where leaders run over words


def state_to_draw(rig: Rig, state: str | None) -> str:
    """The state that is asked for, or the hottest one. Raises AskError where there is none of that name."""
    names = [each.name for each in rig.states]
    if state is None:
        return hottest_state(rig) or names[0]
    if state not in names:
        raise AskError(f"no state is called '{state}'; {nearest(state, names)}there are: {', '.join(names)}")
    return state


@dataclass(frozen=True, slots=True)
class Layout:
    """A drawing with everything in its place, before it is written."""

    head: Head
    sheet: Sheet
    view: View
    section: Section
    placed: tuple[Placed, ...]
    above: tuple[str, ...]


def laid_out(assessment: Assessment, state: str | None = None, marks: Sequence[Mark] = ()) -> Layout:
    """The largest scale at which every label finds room; on larger paper where none does on A4.

    Where a leader runs over words there, a few smaller scales are tried as well.
    """
    if assessment.situation is None:
        raise AskError("an assessment without its situation cannot be drawn")
    name = state_to_draw(assessment.rig, state)
    room = roomy(assessment.rig, assessment.situation.tree)
    view = view_of(assessment, assessment.situation, name, room, marks)
    found: list[tuple[int, Layout]] = []
    for layout in _layouts(view):
        found.append((len(run_over(layout.placed)), layout))
        if not found[-1][0] or len(found) == _TRIES:
            break
    if not found:
        raise AskError("the rig has too many pieces for one drawing")
    return min(found, key=lambda each: each[0])[1]


def _layouts(view: View) -> Iterator[Layout]:
    """The layouts in which every label has room, larger scales and smaller papers first."""
    head, size = _head(view), 1.0
    for _ in range(_SIZES):
        above, top = header(head, _WIDTH * size)
        sheet = Sheet(_WIDTH * size, _HEIGHT * size, top)
        for section in sections(view, sheet.area, _UNIT * size, _FITS):
            placed = section.labels()
            if placed is not None:
                yield Layout(head, sheet, view, section, tuple(placed), tuple(above))
        size *= _GROWS


def drawing(assessment: Assessment, state: str | None = None, marks: Sequence[Mark] = ()) -> str:
    """The SVG of a rig in a state, with marks along its pieces."""
    return written(laid_out(assessment, state, marks))


def written(layout: Layout) -> str:
    """The SVG of a drawing that is laid out."""
    sheet = layout.sheet
    return document(sheet.width, sheet.height, layout.head.title, _about(layout.view), _whole(layout))


def _head(view: View) -> Head:
    assessment, state = view.assessment, view.state
    edits = "".join(f", with {key}={value}" for key, value in assessment.edits)
    lost = any(each.state == state and each.lost is not None for each in assessment.findings)
    losses = "losses in that state among them" if lost else "with nothing lost"
    cools = any(each.state == state and each.when != "steady" for each in assessment.findings)
    rest = (
        "Walls are drawn as they come to rest; joints bring the heat of the state before. " if cools else ""
    )
    says = (
        f"Section to scale, unfolded into one plane. An estimate: colours are the middle of "
        f"{assessment.draws.samples} samples, 'up to' holds for 95 % of them. Joints: the worst in state {state}, "
        f"{losses}. {rest}What is lost, stuck or asked otherwise: retortwright assess."
    )
    return Head(
        f"{PurePath(assessment.rig.path).name}, state {state}{edits}",
        " ".join(caution.text for caution in assessment.cautions),
        verdict_line(assessment, state, [saying for _, saying in view.joints], view.vapour.grave),
        view.vapour.says,
        view.vapour.grave,
        says,
    )


def _about(view: View) -> str:
    """The picture in words, for those who cannot see it."""
    said = [f"{saying.lines[0].words}: {saying.lines[1].words}" for _, saying in view.joints]
    marks = [", ".join(mark.words) for mark in view.marks]
    return " ".join(
        (
            f"A section through the apparatus in state {view.state} with wall temperatures. {view.vapour.says}",
            f"Joints: {'; '.join(said)}.",
            f"Marked: {'; '.join(marks)}." if marks else "",
        )
    ).strip()


def _whole(layout: Layout) -> list[str]:
    view, section, placed, sheet = layout.view, layout.section, layout.placed, layout.sheet
    kinds, (low, high) = kinds_of(section.bands), view.corners()
    made = [element("defs", {}, *patterns(kinds)), group("head", layout.above)]
    made.append(group("heights", heights(section.frame, low[1], high[1])))
    made.append(group("rig", section.drawn()))
    signs = [sign for each in placed for sign in _sign(each, view)]
    words = [part for each in placed for part in drawn_label(each)]
    made.append(group("labels", [*words, *signs]))
    made.append(group("joints", section.joint_signs()))
    made.append(group("legend", legend(view.scale, kinds, section.extras(), sheet)))
    made.append(
        group("foot", [*scale_bar(section.frame, section.ratio, sheet), *notes(section.notes(), sheet)])
    )
    return made


def _sign(placed: Placed, view: View) -> list[str]:
    """The sign of a thing of the plant, in the room that its label keeps for it."""
    for thing in view.plant:
        if placed.label.name == f"plant {thing.name}":
            runs = thing.name in view.running or thing.kind not in ("pump", "argon")
            return plant_sign(thing.kind, placed.symbol, placed.label.symbol, runs)
    return []
