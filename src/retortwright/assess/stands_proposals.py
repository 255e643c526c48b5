# SPDX-License-Identifier: MIT
"""What could be changed about a wall, an end, an opening or a hose that is too weak, and what it brings with it.

A proposal is one kind of change from small to large, in sizes that one can buy.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from retortwright.assess.finding import Finding
from retortwright.rig.edit import Edit
from retortwright.rig.pairing import fits, is_metal
from retortwright.rig.parts import Piece
from retortwright.situation.openings import openings_of
from retortwright.situation.situation import Situation
from retortwright.situation.standing import standing_of

__all__ = ["Change", "changes_of"]

_WALLS = (1.0, 1.2, 1.5, 1.6, 2.0, 2.3, 2.6, 2.9, 3.2, 3.6, 4.0, 4.5, 5.0, 5.6, 6.3, 7.1, 8.0)  # mm, of tube
_PLATES = (2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0)  # mm
_HOSES = (4.0, 5.0, 6.0, 7.0, 8.0, 10.0, 12.0)  # mm, walls of hose for vacuum
_COOLER = (10, 20, 30, 50, 75, 100, 150, 200)  # K
_SHORTER = (0.8, 0.6, 0.4)
_FARTHER = (10, 20, 30, 50)  # mm along a wall, out of the heat
_THICKEST = 0.2  # of the outside diameter
_BETTER = {
    "household steel": ("304L", "310S"),
    "mild steel": ("304L", "310S"),
    "304L": ("310S",),
    "316L": ("310S",),
}
_RUNS = ("creep-runs", "scale-runs")


@dataclass(frozen=True, slots=True)
class Change:
    """One kind of change from small to large, and what it brings with it in words."""

    choices: tuple[tuple[Edit, ...], ...]
    brings: str


def changes_of(situation: Situation, finding: Finding) -> Iterator[Change]:
    """The changes that could mend a finding of question 5, best first."""
    name = finding.place.split(".")[0]
    piece = next(each for each in situation.rig.pieces if each.name == name)
    if finding.check == "hose":
        yield from _hose(piece)
    elif finding.check in ("glue-shear", "joint-swell"):
        yield from _joint(situation, finding)
    else:
        yield from _wall(situation, finding, piece)


def _single(key: str, values: Iterator[str] | list[str], brings: str) -> Iterator[Change]:
    choices = tuple((Edit(key, value),) for value in values)
    if choices:
        yield Change(choices, brings)


def _hose(piece: Piece) -> Iterator[Change]:
    """A thicker wall round the same bore, or a narrower bore in the same outside."""
    bore, outside, wall = (each * 1e3 for each in (piece.tube.bore, piece.tube.outside, piece.tube.wall))
    more = [each for each in _HOSES if each > wall]
    around = [f"{bore + 2 * each:.4g} x {each:g} mm" for each in more]
    yield from _single(f"piece.{piece.name}.tube", around, "a stiffer hose: it pulls on what it hangs on")
    within = [f"{outside:.4g} x {each:g} mm" for each in more if outside - 2 * each >= 4.0]
    yield from _single(f"piece.{piece.name}.tube", within, "a narrower bore: the pump draws less through it")


def _wall(situation: Situation, finding: Finding, piece: Piece) -> Iterator[Change]:
    """Thicker, another end, shorter, cooler, of better steel."""
    key = f"piece.{piece.name}"
    if finding.check == "ends" or (finding.check == "creep-runs" and piece.bottom is not None):
        yield from _end(finding, piece)
    if finding.check == "openings":
        yield from _opening(situation, piece)
    if finding.check != "ends" and is_metal(piece.of) and piece.tapers_to is None:
        yield from _thicker(key, piece)
    if finding.check == "collapse" and piece.bottom is not None and piece.closed is not None:
        shorter = [f"{piece.length.best * share * 1e3:.4g} mm" for share in _SHORTER]
        yield from _single(f"{key}.length", shorter, "less room in it; heat and joints move")
    yield from _single(
        f"{key}.of", list(_BETTER.get(piece.of, ())), "another rod to weld with, another price"
    )
    if finding.check in _RUNS:
        yield from _less_time(situation, finding)
    yield from _cooler(situation, finding)


def _thicker(key: str, piece: Piece) -> Iterator[Change]:
    wall, outside = piece.tube.wall * 1e3, piece.tube.outside * 1e3
    more = [f"{each:g} mm" for each in _WALLS if each > wall and each <= _THICKEST * outside]
    yield from _single(
        f"{key}.tube.wall",
        more,
        "a thicker wall carries more heat to its joints and takes longer to heat and cool",
    )


def _end(finding: Finding, piece: Piece) -> Iterator[Change]:
    """A thicker end; a flat one dished."""
    which = "closed" if finding.place.endswith(".closed") else "bottom"
    end = piece.closed if which == "closed" else piece.bottom
    if end is None or end.thick is None or end.shape is None:
        return
    thick = end.thick * 1e3
    key = f"piece.{piece.name}.{which}"
    more = [f"{each:g} mm" for each in _PLATES if each > thick]
    yield from _single(f"{key}.thick", more, "a thicker end wants a bevel for its weld and heats last")
    if end.shape == "flat":
        dished: list[tuple[Edit, ...]] = [(Edit(f"{key}.shape", "dished"),)]
        dished += [(Edit(f"{key}.shape", "dished"), Edit(f"{key}.thick", each)) for each in more]
        yield Change(tuple(dished), "a dished end is bought or spun, and holds some more below the tube")


def _opening(situation: Situation, piece: Piece) -> Iterator[Change]:
    """The arm farther out of the heat, or of a thicker wall."""
    for each in openings_of(standing_of(situation, piece.name)):
        arm = next(row for row in situation.rig.pieces if row.name == each.row)
        if arm.at is not None and arm.count == 1:
            places = [f"{arm.at * 1e3 + more:.4g} mm" for more in _FARTHER]
            yield from _single(f"piece.{arm.name}.at", places, "the vapour has a longer way up to it")
        if is_metal(arm.of) and arm.tapers_to is None:
            yield from _thicker(f"piece.{arm.name}", arm)


def _cooler(situation: Situation, finding: Finding) -> Iterator[Change]:
    """The hottest step of the state, cooler."""
    steps = [step for step in situation.rig.steps if step.state == finding.state and step.to is not None]
    if len(steps) != 1 or steps[0].to is None:
        return
    start = steps[0].to - 273.15
    less = [f"{start - each:.4g} degC" for each in _COOLER if start - each > 100.0]
    brings = "less pressure of vapour: it takes longer, or does not come over at all"
    yield from _single(f"programme.steps.{finding.state}.to", less, brings)


def _less_time(situation: Situation, finding: Finding) -> Iterator[Change]:
    """A shorter hold."""
    steps = [step for step in situation.rig.steps if step.state == finding.state and step.hold]
    if len(steps) == 1 and steps[0].hold is not None:
        less = [f"{steps[0].hold * share / 60:.3g} min" for share in _SHORTER]
        brings = "less time for the charge to react and the metal to come over"
        yield from _single(f"programme.steps.{finding.state}.hold", less, brings)


def _joint(situation: Situation, finding: Finding) -> Iterator[Change]:
    """A seal that carries its mismatch inside it instead of glue; the same metal on both sides of a weld."""
    joint = next(each for each in situation.tree.joints if each.key == finding.at)
    pair = [situation.tree.instances[each].row for each in (joint.instance, joint.onto)]
    if finding.check == "glue-shear":
        seals = [kind for kind in ("graded glass seal",) if fits(kind, [each.of for each in pair])]
        yield from _single(joint.key, seals, "a seal that is bought and blown on")
        return
    for one, other in (pair, pair[::-1]):
        yield from _single(f"piece.{one.name}.of", [other.of], "another rod to weld with, another price")
