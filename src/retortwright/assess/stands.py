# SPDX-License-Identifier: MIT
"""Question 5: will the walls stand? Vacuum behind hot walls, creep, scale, ends, openings, pressure, swelling."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from retortwright.assess import stands_words as words
from retortwright.assess.check import Check, Limit, limit_from_rule, sense_of_rule
from retortwright.assess.finding import Finding
from retortwright.assess.questioned import Questioned
from retortwright.assess.stands_flat import flat_checks
from retortwright.rig.pairing import wall_class
from retortwright.situation.figure import Figure
from retortwright.situation.hoses import flattened
from retortwright.situation.openings import openings_of, replaced
from retortwright.situation.overpressure import overpressure_of
from retortwright.situation.situation import Situation
from retortwright.situation.standing import Standing, standing_of
from retortwright.situation.swelling import Swelling, swellings
from retortwright.situation.wall_metal import LONGEST_RUNS

__all__ = ["STANDS", "checks_of"]

_DATA = {"collapse": ("modulus", "yield"), "ends": ("modulus", "yield"), "over-pressure": ("yield",)}
_RUNS = f"runs ({LONGEST_RUNS:.0f} at most)"
_JOINTS = ("glue-shear", "joint-swell")
_STURDY = 25.0  # outside over wall up to which a cold tube of metal is not looked at


def _made(situation: Situation) -> Iterator[Check]:
    for piece in situation.rig.pieces:
        yield from checks_of(situation, piece.name)
    for found in swellings(situation):
        yield _swelling(situation, found)


def checks_of(situation: Situation, row: str, only: str | None = None) -> Iterator[Check]:
    """The checks of one row of pieces (and of its own joints, where one of those alone is asked for)."""
    standing = standing_of(situation, row)
    if only in _JOINTS:
        yield from (_swelling(situation, each) for each in swellings(situation))
    elif wall_class(standing.piece.of) == "hose":
        yield from _hose(standing)
    else:
        for names, make in _KINDS:
            if only is None or only in names:
                yield from make(standing)


def _check(
    standing: Standing,
    name: str,
    state: str,
    subject: str,
    at: str,
    quantity: str,
    figure: Figure,
    because: str,
) -> Check:
    ledger = standing.ledger()
    limit = limit_from_rule(ledger, name)
    sense = sense_of_rule(standing.situation.tables, name)
    place = at.removeprefix("piece.")
    told = _told(standing, name, figure, because)
    return Check(name, state, place, subject, at, quantity, figure, limit, told, sense, (words.CODES,))


def _told(standing: Standing, name: str, figure: Figure, because: str) -> Callable[[Finding], str]:
    """The sentence; where only some samples have a number, that this is so, and why."""

    def sentence(finding: Finding) -> str:
        if finding.verdict != "unknown" or figure.missing:
            return because
        if figure.recalled is not None:
            return f"by a figure from memory, by which nothing holds: {because}"
        return f"{words.beyond(standing, _DATA.get(name, ()), figure)}; in the rest: {because}"

    return sentence


# ---- from outside


def _hose(standing: Standing) -> Iterator[Check]:
    """A hose that is pumped empty."""
    row, state = standing.row, standing.state
    if state is not None:
        figure = flattened(standing)
        yield _check(
            standing, "hose", state, f"wall that the {row} wants under vacuum, of its own", f"piece.{row}",
            "portion", figure, words.hose(standing, figure),
        )  # fmt: skip


def _under_vacuum(standing: Standing) -> Iterator[Check]:
    row, state = standing.row, standing.state
    figure = standing.collapse() if _matters(standing) else None
    if state is None or figure is None:
        return
    yield _check(
        standing, "collapse", state, f"the {row} under vacuum", f"piece.{row}", "portion", figure,
        words.collapse(standing, figure),
    )  # fmt: skip
    for which, found in standing.ends().items():
        end = standing.piece.bottom if which == "bottom" else standing.piece.closed
        shape = None if end is None else end.shape
        subject = f"{'bottom' if which == 'bottom' else 'closed end'} of the {row} under vacuum"
        yield _check(
            standing,
            "ends",
            state,
            subject,
            f"piece.{row}.{which}",
            "portion",
            found,
            words.end(standing, which, shape, found),
        )
    creep = standing.creep()
    if creep is not None:
        yield _check(
            standing, "creep-runs", state, f"{_RUNS} until creep ends the {row}", f"piece.{row}", "runs",
            creep, words.creep(standing, creep),
        )  # fmt: skip


def _matters(standing: Standing) -> bool:
    """Whether a wall is looked at: the retort, glass and ceramic, all that is thin or gets hot enough to creep."""
    piece = standing.piece
    sturdy = wall_class(piece.of) == "metal" and piece.tube.outside <= _STURDY * piece.tube.wall
    return piece.on is None or not sturdy or standing.is_above("creep-from")


def _openings(standing: Standing) -> Iterator[Check]:
    """Openings in a wall where it is hot enough to creep under vacuum, the worst for all."""
    found, row, state = openings_of(standing), standing.row, standing.state
    if found and state is not None:
        figure = replaced(standing, found)
        yield _check(
            standing, "openings", state, f"wall to spare round the openings of the {row}", f"piece.{row}",
            "portion", figure, words.openings(standing, found, figure),
        )  # fmt: skip


def _scale(standing: Standing) -> Iterator[Check]:
    figure, state = standing.scale(), _hottest_state(standing)
    if figure is not None and state is not None:
        yield _check(
            standing, "scale-runs", state, f"{_RUNS} until scale retires the {standing.row}",
            f"piece.{standing.row}", "runs", figure, words.scale(standing, figure),
        )  # fmt: skip


def _hottest_state(standing: Standing) -> str | None:
    rig = standing.situation.rig
    return max(
        dict.fromkeys(step.state for step in rig.steps),
        key=lambda each: rig.set_point(each) or 0.0,
        default=None,
    )


# ---- from inside, and from beside


def _inside(standing: Standing) -> Iterator[Check]:
    """Pressure inside the retort, and inside what gets hot enough to creep: glass and joints are question 8."""
    looked_at = standing.piece.on is None or standing.is_above("creep-from")
    over = overpressure_of(standing) if looked_at else None
    if over is not None:
        yield _check(
            standing, "over-pressure", over.state, f"pressure inside the {standing.row}", f"piece.{standing.row}",
            "portion", over.figure, words.over_pressure(standing, over),
        )  # fmt: skip


def _swelling(situation: Situation, found: Swelling) -> Check:
    name = "glue-shear" if found.glued else "joint-swell"
    single = situation.tree.instances[found.joint.instance]
    standing = standing_of(situation, single.row.name)
    limit: Limit = limit_from_rule(standing.ledger(), name)
    subject = f"unequal swelling at {found.joint.name} ({found.joint.kind})"
    return Check(
        name, found.state, found.joint.name, subject, found.joint.key, "stress" if found.glued else "portion",
        found.figure, limit,
        words.swelling(found), sense_of_rule(situation.tables, name), (words.CODES,),
    )  # fmt: skip


_KINDS: tuple[tuple[tuple[str, ...], Callable[[Standing], Iterator[Check]]], ...] = (
    (("collapse", "ends", "creep-runs"), _under_vacuum),
    (("flat-end",), flat_checks),
    (("openings",), _openings),
    (("scale-runs",), _scale),
    (("over-pressure",), _inside),
)

STANDS = Questioned(5, _made)
