# SPDX-License-Identifier: MIT
"""What a search for one key found, as text and as JSON."""

from __future__ import annotations

import json
import textwrap
from typing import Any

from retortwright.assess.cautions import cautions_of
from retortwright.assess.solving import Solution, Turned
from retortwright.report.json_report import FORM, finding_document
from retortwright.report.made_by import made_by, rig_document
from retortwright.report.text_report import WIDTH, finding_lines
from retortwright.situation.situation import Situation

__all__ = ["solution_json", "solution_text"]

_MOST = 12  # findings that turn, listed on the screen


def solution_text(solution: Solution, situation: Situation) -> str:
    """Cautions, what to write, the finding before and after, and what else turns."""
    lines = [line for each in cautions_of(situation) for line in textwrap.wrap(each.text, WIDTH)]
    lines += ["", *_wrapped(_front(solution)), ""]
    lines += ["as it stands", *finding_lines(solution.before)]
    if solution.after is not None:
        lines += ["", "with the change", *finding_lines(solution.after)]
    if solution.edit is not None:
        lines += ["", *_elsewhere(solution)]
    lines += ["", f"One step deeper: retortwright explain {solution.rig.path} {solution.before.id}"]
    return "\n".join(lines) + "\n"


def _front(solution: Solution) -> str:
    written, name = solution.written, solution.before.id
    if solution.edit is not None:
        return f"{written.key} = {solution.edit.value}   instead of {written.text}: then {name} {solution.wanted}."
    if solution.good:
        return f"{name} {solution.before.verdict} already, with {written.key} = {written.text}: nothing to change."
    among = (
        f"no other word serves: {', '.join(solution.tried)}"
        if written.choice is not None
        else f"nothing from {' to '.join(solution.tried)} serves"
    )
    return f"{written.key} alone does not do it: {among}. Vary another key, or two with --set and this one."


def _elsewhere(solution: Solution) -> list[str]:
    """What is refused anew, what gets worse, what gets better."""
    worse = [each for each in solution.turned if each.worse]
    better = [each for each in solution.turned if not each.worse]
    lines = [line for each in solution.refused for line in _wrapped(f"refused then: {each}")]
    if not solution.turned and not solution.refused:
        return ["   no other finding changes its verdict."]
    for name, group in (("worse", worse), ("better", better)):
        for each in group[:_MOST]:
            lines += _wrapped(f"{name}: {each.id} {each.was} -> {each.then}")
        if len(group) > _MOST:
            lines += _wrapped(f"and {len(group) - _MOST} more get {name}; --format json lists every one")
    return lines


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent="   ", subsequent_indent="      ", break_on_hyphens=False)


def solution_json(solution: Solution, situation: Situation, edits: list[tuple[str, str]]) -> str:
    """The same as a document."""
    rig = solution.rig
    document = {
        "form": FORM,
        "made_by": made_by(situation.tables, solution.draws),
        "rig": rig_document(rig, edits),
        "cautions": [{"text": each.text, "source": each.source} for each in cautions_of(situation)],
        "vary": solution.written.key,
        "stands": solution.written.text,
        "until": {"finding": solution.before.id, "verdict": solution.wanted},
        "found": None if solution.edit is None else solution.edit.value,
        "serves": solution.good,
        "tried": list(solution.tried),
        "before": finding_document(solution.before),
        "after": None if solution.after is None else finding_document(solution.after),
        "refused_then": list(solution.refused),
        "turned": [_turned(each) for each in solution.turned],
    }
    return json.dumps(document, indent=2, allow_nan=False, ensure_ascii=False) + "\n"


def _turned(each: Turned) -> dict[str, Any]:
    return {"id": each.id, "was": each.was, "then": each.then}
