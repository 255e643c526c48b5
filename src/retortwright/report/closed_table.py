# SPDX-License-Identifier: MIT
"""Closed volumes as a table that can be read at the furnace: state, what is wrong, pressure, what gives way."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from retortwright.assess.cautions import cautions_of
from retortwright.assess.closed_rows import ClosedRow, closed_rows, is_heated, is_own, middle_of
from retortwright.assess.closed_rules import Wait, near_after, rules_of
from retortwright.assess.finding import Finding
from retortwright.assess.hurts_plant import PLANT
from retortwright.assess.hurts_words import bar, do_of, what_wrong
from retortwright.assess.hurts_you import HURTS_YOU
from retortwright.assess.refusals import refusals_of
from retortwright.physics.constants import ATMOSPHERE
from retortwright.report.digits import Face, in_face
from retortwright.report.made_by import made_by, rig_document
from retortwright.situation.situation import Situation

__all__ = ["closed_document", "closed_json", "closed_lines", "closed_text"]

_TITLE = "Closed volumes: pressure inside, absolute; what the weakest part bears, over the room"
_EDITED = ("", "  with ")
_WIDTH = 100
_FEW = 6
_CELSIUS = Face("degC", 1.0, 273.15)
_PASCAL = Face("Pa")
_ENDS = {"fails": "gives way", "thin": "near its limit", "holds": "holds", "unknown": "not known"}


def closed_text(situation: Situation, edits: Sequence[str] = ()) -> str:
    """Cautions, what is refused, the whole table, gravest first, with what to do; and the rules."""
    lines = [wrapped for each in cautions_of(situation) for wrapped in textwrap.wrap(each.text, _WIDTH)]
    lines += ["", f"{situation.rig.path}{_EDITED[bool(edits)]}{', '.join(edits)}"]
    for refusal in refusals_of(situation):
        said = f"REFUSED  {refusal.subject}: {refusal.says}. Instead {refusal.do}."
        lines += ["", *textwrap.wrap(said, _WIDTH, initial_indent="   ", subsequent_indent=" " * 12)]
    lines += ["", _TITLE, ""]
    lines += closed_lines(situation, None, do=True)
    stops = [line for each in HURTS_YOU.findings(situation) if each.check in PLANT for line in _plant(each)]
    lines += ["", "Relief, bubbler, and what stops", "", *(stops or ["   nothing to ask of this rig"])]
    lines += ["", "Rules that no number replaces", ""]
    for rule in rules_of(situation):
        lines += textwrap.wrap(rule, _WIDTH, initial_indent="   ", subsequent_indent="   ")
    return "\n".join(lines) + "\n"


def _plant(finding: Finding) -> list[str]:
    """One finding about the plant; how long is left where that is what is asked."""
    mark = finding.verdict.upper() if finding.verdict == "fails" else finding.verdict
    when = f", {finding.happens}" if finding.happens else ""
    because = finding.because
    low, best = finding.judgement.low, finding.judgement.best
    if finding.quantity == "time" and low is not None and best is not None:
        because = f"{_spoken(best)}, perhaps only {_spoken(low)}; {because}"
    elif finding.missing is not None:
        because = finding.missing.says
    said = f"{mark:<8} {finding.state}{when}: {finding.subject}: {because}"
    return textwrap.wrap(
        said, _WIDTH, initial_indent="   ", subsequent_indent=" " * 12, break_on_hyphens=False
    )


def _spoken(seconds: float) -> str:
    """A time in minutes, or in hours where it is long."""
    number, unit = (seconds / 60, "min") if seconds < 6000 else (seconds / 3600, "h")
    return f"{float(f'{number:.2g}'):g} {unit}"


def _three(number: float) -> str:
    """Three digits, never with an exponent."""
    return f"{float(f'{number:.3g}'):g}"


def closed_lines(situation: Situation, most: int | None = _FEW, do: bool = False) -> list[str]:
    """The table, gravest first; only so many lines, the states of which the same is true in one."""
    warm = [row for row in closed_rows(situation) if is_heated(situation, row)]
    rows = [row for row in warm if is_own(situation, row) and not _is_under_vacuum(row)]
    groups = _alike(situation, rows)
    lines: list[str] = []
    for group in groups[:most]:
        lines += _entry(situation, group, do)
    rest = sum(len(group) for group in groups) - sum(len(group) for group in groups[:most])
    if rest:
        lines.append(f"   and {rest} {'case' if rest == 1 else 'cases'} more, none graver")
    low = sum(is_own(situation, row) and _is_under_vacuum(row) for row in warm)
    if low:
        cases = "case of a closed volume stays" if low == 1 else "cases of closed volumes stay"
        lines.append(f"   holds    {low} {cases} below the pressure of the room")
    again = sum(not is_own(situation, row) for row in warm)
    if again:
        lines.append(f"            and {again} {'is' if again == 1 else 'are'} as planned whatever else is wrong")
    cold = len(closed_rows(situation)) - len(warm)
    if cold:
        stay = "stays" if cold == 1 else "stay"
        lines.append(f"            and {cold} {stay} as cold as the room; --format json lists every one")
    return lines or ["   every volume has a way out whatever goes wrong"]


def _is_under_vacuum(row: ClosedRow) -> bool:
    """Whether a volume as it is after something has gone wrong holds, and stays below the pressure of the room."""
    high = row.judgement.high
    return row.verdict == "holds" and row.case.kind != "planned" and high is not None and high <= 0.0


def _alike(situation: Situation, rows: Iterable[ClosedRow]) -> list[list[ClosedRow]]:
    """Rows that say the same of several states."""
    groups: dict[tuple[Any, ...], list[ClosedRow]] = {}
    for row in rows:
        key = (what_wrong(situation, row.case), row.closed.piece, row.verdict, row.weakest, _pressure(row))
        groups.setdefault(key, []).append(row)
    return list(groups.values())


def _entry(situation: Situation, group: list[ClosedRow], do: bool) -> list[str]:
    row = group[0]
    mark = row.verdict.upper() if row.verdict == "fails" else row.verdict
    in_turn = sorted(group, key=lambda each: each.case.moment.number)
    states = ", ".join(dict.fromkeys(each.case.state for each in in_turn))
    volume = f"{situation.tree.instances[row.closed.piece].name} {_three(row.closed.volume * 1e6)} mL"
    bears = f"weakest {row.weakest}, {float(row.limit.values[0]) / 1e5:.2g} bar over"
    ends = _ENDS[row.verdict]
    if row.relief.serves == "opens" and row.weakest != "relief":
        bears += f"; relief opens at {row.relief.opens / 1e5:.2g}"
    if row.relief.serves == "small":
        bears += "; relief may be too small"
    if row.relief.serves == "frozen":
        bears += "; relief may be frozen shut"
    said = (
        f"{mark:<8} {states}, {what_wrong(situation, row.case)}: {volume}, {_pressure(row)}; {bears}: {ends}"
    )
    if do and row.verdict != "holds":
        said += f". {do_of(situation, row)}"
    return textwrap.wrap(
        said, _WIDTH, initial_indent="   ", subsequent_indent=" " * 12, break_on_hyphens=False
    )


def _pressure(row: ClosedRow) -> str:
    """The pressure inside, with its high end where that is another."""
    best, high = row.judgement.best, row.judgement.high
    if best is None or high is None:
        missing, weak = row.closed.figure.missing, row.gauge.missing
        if weak and not missing:
            return f"{bar(middle_of(row.closed.figure.values))} ({weak[0].says})"
        return f"pressure not known ({missing[0].says})" if missing else "pressure not known"
    one, other = bar(best + ATMOSPHERE), bar(high + ATMOSPHERE)
    return one if one == other else f"{one} (up to {other})"


def closed_document(situation: Situation) -> list[dict[str, Any]]:
    """Every row, gravest first, as plain dicts; pressures in Pa, over the room where it says so."""
    return [_as_dict(situation, row) for row in closed_rows(situation)]


def closed_json(situation: Situation, edits: Sequence[tuple[str, str]] = ()) -> str:
    """Cautions, refusals, rules and the whole table as JSON, one row a line."""
    rig, draws = situation.rig, situation.draws
    rows = closed_document(situation)
    lines = ",\n".join(f"    {json.dumps(each, allow_nan=False, ensure_ascii=False)}" for each in rows)
    document = {
        "form": 1,
        "made_by": made_by(situation.tables, draws),
        "rig": rig_document(rig, edits),
        "cautions": [{"text": each.text, "source": each.source} for each in cautions_of(situation)],
        "refused": [{"id": each.id, "says": each.says, "do": each.do} for each in refusals_of(situation)],
        "go_near": _waited(near_after(situation)),
        "rules": list(rules_of(situation)),
    }
    head = json.dumps(document, indent=2, allow_nan=False, ensure_ascii=False).removesuffix("\n}")
    return head + ',\n  "closed": [\n' + lines + "\n  ]\n}\n"


def _waited(wait: Wait | None) -> dict[str, float | None] | None:
    """A wait with its units."""
    if wait is None:
        return None
    times = {name: _rounded(getattr(wait, name)) for name in ("low", "best", "high")}
    return {
        "below_degC": in_face(wait.temperature, _CELSIUS),
        **{f"{name}_s": value for name, value in times.items()},
    }


def _as_dict(situation: Situation, row: ClosedRow) -> dict[str, Any]:
    closed, judgement = row.closed, row.judgement
    missing = closed.figure.missing
    said = {} if missing else {name: _rounded(float(np.median(v))) for name, v in closed.figure.said.items()}
    names = dict.fromkeys(situation.tree.instances[part[0]].name for part in closed.inner.parts)
    hottest = float(np.median(closed.hottest))
    return {
        "state": row.case.state,
        "wrong": what_wrong(situation, row.case),
        "kind": row.case.kind,
        "volume_of": situation.tree.instances[closed.piece].name,
        "pieces": list(names),
        "volume_mL": _rounded(closed.volume * 1e6),
        "hottest_degC": in_face(hottest if np.isfinite(hottest) else None, _CELSIUS),
        "charge": closed.charge,
        "fed": closed.fed,
        "parts_Pa": {
            name: said[name] for name in ("gas", "hydrogen", "vapour", "bound", "liquid") if name in said
        },
        "low_over_Pa": in_face(judgement.low, _PASCAL),
        "best_over_Pa": in_face(judgement.best, _PASCAL),
        "high_over_Pa": in_face(judgement.high, _PASCAL),
        "weakest": row.weakest,
        "bears_over_Pa": in_face(float(row.limit.values[0]), _PASCAL),
        "relief": row.relief.serves,
        "verdict": row.verdict,
        "missing": None if not missing else {"datum": missing[0].datum, "says": missing[0].says},
    }


def _rounded(value: float) -> float | None:
    return float(f"{value:.6g}") if np.isfinite(value) else None
