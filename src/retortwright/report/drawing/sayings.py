# SPDX-License-Identifier: MIT
"""What the labels of the drawing say."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from retortwright.assess.assessment import Assessment
from retortwright.assess.finding import Finding
from retortwright.ground.units import TAIL
from retortwright.ground.words import VERDICTS
from retortwright.report.digits import face_of, shown_number
from retortwright.report.drawing.covers import covers_of
from retortwright.report.drawing.labels import Line
from retortwright.rig.parts import Cool, Heat, Lag, Piece, Rig
from retortwright.rig.tree import Joint
from retortwright.situation.heat import HeatPicture
from retortwright.situation.regime import Regime

__all__ = [
    "JointSaying",
    "cover_lines",
    "joint_saying",
    "millimetres",
    "piece_lines",
    "plant_lines",
    "verdict_line",
]

_NAME, _SMALL = 12.5, 10.5
_FLAT, _UPRIGHT = math.radians(0.5), math.radians(89.5)
_FACE = face_of("temperature")
_CARRIED = {"before": "at the start", "peak": "on the way", "lasting": "at most"}  # heat of the state before


@dataclass(frozen=True, slots=True)
class JointSaying:
    """The gravest verdict of a joint in a state, and its label."""

    verdict: str  # empty where nothing was asked of it
    lines: tuple[Line, ...]
    limit: float | None = None  # hottest that it may be [K]


def joint_saying(
    assessment: Assessment, joint: Joint, picture: HeatPicture, state: str, alike: int, dry: bool = False
) -> JointSaying:
    """The worst finding of a joint in a state, its temperatures there, and what would be worst.

    `dry` where vapour belongs into the state and is not known: then a joint holds without it at best.
    """
    found = [each for each in assessment.findings if each.at == joint.key and each.state == state]
    worst = min(found, key=_gravity) if found else None
    own = joint.key.count(".") == 2 and joint.key.endswith(".joined")
    name = "" if own else f"{joint.name.removesuffix('.joined')}: "
    many = f" ({alike} alike)" if alike > 1 and not own else ""
    lines = [Line(f"{name or 'joint: '}{joint.kind}{many}", _SMALL)]
    verdict = worst.verdict if worst is not None else ""
    word = {"fails": "FAILS", "": "not asked"}.get(verdict, verdict)
    word += " without vapour" if dry and verdict in ("holds", "thin") else ""
    word += ", without vapour" if dry and verdict == "unknown" else ","
    lines.append(Line(f"{word} {_extreme(picture, joint, worst)}{_limit(worst)}", _SMALL, "bold"))
    if worst is not None and verdict != "holds":
        lines += _why(worst)
    above = worst is not None and worst.worse == "high" and worst.quantity == "temperature"
    return JointSaying(verdict, tuple(lines), worst.limit if worst is not None and above else None)


def _gravity(finding: Finding) -> tuple[int, bool, bool, float]:
    margin = finding.judgement.margin
    steady = finding.check == "seal-heat" and finding.lost is None
    graver = VERDICTS.index(finding.verdict)
    return graver, not steady, finding.quantity != "temperature", margin if margin is not None else math.inf


def _extreme(picture: HeatPicture, joint: Joint, worst: Finding | None) -> str:
    """The hottest figure, the upper end of its band; of a seal that is too cold the coldest."""
    cold = worst is not None and worst.worse == "low" and worst.verdict != "holds"
    carried = None if worst is None else _CARRIED.get(worst.when)
    if worst is not None and carried is not None and worst.judgement.high is not None:
        return f"up to {shown_number(worst.judgement.high, _FACE)} degC {carried}"
    values = picture.colder[joint.key] if cold else picture.joints[joint.key]
    good = values[np.isfinite(values)]
    if not len(good) or (len(good) < len(values) and (worst is None or worst.verdict != "fails")):
        return "temperature not known"
    figure = float(np.quantile(good, TAIL if cold else 1 - TAIL))
    return f"{'down' if cold else 'up'} to {shown_number(figure, _FACE)} degC"


def _limit(worst: Finding | None) -> str:
    if worst is None or worst.limit is None or worst.quantity != "temperature":
        return ""
    most = "at least" if worst.worse == "low" else "limit"
    return f", {most} {shown_number(worst.limit, _FACE)}"


def _why(worst: Finding) -> list[Line]:
    """What makes it so grave, where that is not what the line above says."""
    judgement = worst.judgement
    if worst.missing is not None:
        return [Line("why: see retortwright explain", _SMALL)]
    end = judgement.high if worst.worse == "high" else judgement.low
    if end is None or worst.quantity != "temperature" or worst.lost is None:
        return []
    happens = f" when {worst.happens}" if worst.happens else ""
    return [Line(f"{shown_number(end, _FACE)} degC{happens}", _SMALL)]


def millimetres(length: float) -> str:
    """A length in mm.

    >>> millimetres(0.0254), millimetres(0.8)
    ('25.4', '800')
    """
    return f"{length * 1e3:.4g}"


def verdict_line(
    assessment: Assessment, state: str, sayings: Sequence[JointSaying], blind: bool = False
) -> str:
    """What to do by the joints of a state and by what is refused, and how many joints bear each verdict.

    `blind` where the vapour of the state is not known.
    """
    counts = {word: sum(each.verdict == word for each in sayings) for word in (*VERDICTS, "")}
    named = {"fails": "FAIL", "holds": "hold", "": "not asked"}
    said = ", ".join(f"{number} {named.get(word, word)}" for word, number in counts.items() if number)
    if assessment.refused:
        lead = "DO NOT LIGHT: " + "; ".join(each.subject for each in assessment.refused) + "."
    elif counts["fails"]:
        lead = "DO NOT LIGHT."
    elif counts["unknown"] or blind:
        lead = "CANNOT SAY: do not light."
    elif counts["thin"]:
        lead = "LIGHT ONLY AFTER what is thin has been widened or measured."
    else:
        lead = "No joint asked stands against this state."
    return f"{lead}  Joints in state {state}: {said}."


def piece_lines(row: Piece, slanted: bool, is_open: bool) -> tuple[Line, ...]:
    """Name and material of a piece, then its size and slope."""
    many = f" ({row.count} alike)" if row.count > 1 else ""
    turned = "" if row.valve is None else " open" if is_open else " shut"
    size = f"{millimetres(row.tube.outside)} x {millimetres(row.tube.wall)}"
    if row.tapers_to is not None:
        size += f" to {millimetres(row.tapers_to.outside)} x {millimetres(row.tapers_to.wall)}"
    if row.bend is not None:
        shape = f"turns {_degrees(row.bend.turns)}, radius {millimetres(row.bend.radius)} mm"
    elif row.shape == "flask":
        size, shape = f"{size} mm", "flask"
    else:
        shape = f"{millimetres(row.length.best)} mm long{_slope(row)}"
    towards = f", to the {row.towards}" if row.towards in ("north", "south") else ""
    return (
        Line(f"{row.name}{turned}{many}, {row.of}", _NAME, "bold"),
        Line(f"{size}, {shape}{towards}{', drawn aslant' if slanted else ''}", _SMALL),
    )


def _slope(row: Piece) -> str:
    if abs(row.slope) < _FLAT:
        return ""
    if abs(row.slope) > _UPRIGHT:
        return ", up" if row.slope > 0 else ", down"
    return f", {'rises' if row.slope > 0 else 'falls'} {_degrees(abs(row.slope))}"


def _degrees(angle: float) -> str:
    return f"{math.degrees(angle):.3g} deg"


def cover_lines(rig: Rig, name: str, regime: Regime, running: bool) -> tuple[Line, ...]:
    """Name of a heating, lagging or cooling and what it does in the state."""
    cover = next(each for each in covers_of(rig) if each.name == name)
    return (Line(f"{name}: {_does(cover, regime, running)}", 11.5, "slanted"),)


def _does(cover: Heat | Lag | Cool, regime: Regime, running: bool) -> str:
    if isinstance(cover, Lag):
        return f"{cover.of}, {millimetres(cover.thick)} mm"
    if not running:
        return "off"
    if isinstance(cover, Heat):
        target = regime.set_point(cover.name)
        return "on" if target is None else f"{shown_number(target, _FACE)} degC"
    return cover.by


def plant_lines(name: str, words: str, running: Sequence[str]) -> tuple[Line, ...]:
    """Name and kind of a thing of the plant; whether it runs, where that can be."""
    off = ", off" if name in ("pump", "argon") and name not in running else ""
    return (Line(f"{name}{off}", 11.5, "bold"), Line(words, _SMALL))
