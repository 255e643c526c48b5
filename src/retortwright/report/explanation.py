# SPDX-License-Identifier: MIT
"""One finding down to its formula, its inputs and their addresses."""

from __future__ import annotations

import textwrap

from retortwright.assess.assessment import Assessment
from retortwright.assess.finding import Finding
from retortwright.assess.refusal import Refusal
from retortwright.belief.beliefs import Belief
from retortwright.reference.formulas import FORMULAS
from retortwright.report.digits import Face, unit_face
from retortwright.report.text_report import WIDTH, finding_lines, refusal_lines

__all__ = ["explained", "explained_refusal"]

_MOLECULE = 1e-8  # m, below which a length is that of a molecule


def explained(assessment: Assessment, finding: Finding, shares: dict[str, float]) -> str:
    """The text of an explanation."""
    formula = FORMULAS.get(finding.formula)
    lines = [*_cautions(assessment), finding.id, *finding_lines(finding)]
    lines += [f"            {note}" for note in finding.notes]
    if formula is not None:
        lines += [
            "",
            "Formula",
            *textwrap.wrap(formula.says, WIDTH, initial_indent="   ", subsequent_indent="   "),
        ]
        lines += [f"   {_source_line(assessment, key)}" for key in formula.sources]
    if finding.inputs:
        lines += ["", "Inputs (5 %, middle, 95 %; share of the spread; where from)"]
        ranked = sorted(finding.inputs, key=lambda belief: -shares.get(belief.name, 0.0))
        lines += [_input(belief, shares.get(belief.name, 0.0)) for belief in ranked]
    cited = [
        address
        for address in sorted(finding.cites)
        if address not in {belief.address for belief in finding.inputs}
    ]
    if cited:
        lines += ["", "Cited besides"]
        lines += [_cited(assessment, address) for address in cited]
    if finding.sources:
        lines += ["", "Sources", *(f"   {_source_line(assessment, key)}" for key in finding.sources)]
    return "\n".join(lines) + "\n"


def explained_refusal(assessment: Assessment, refusal: Refusal) -> str:
    """The text of a refusal down to the rows it rests on."""
    lines = [*_cautions(assessment), refusal.id, *refusal_lines(refusal)]
    asked = " ".join(str(number) for number in refusal.withholds)
    held = f"every answer to the questions {asked}" if asked else "nothing else"
    lines += ["", f"Withheld until it is gone: {held}."]
    lines += ["", "Cited", *(_cited(assessment, address) for address in sorted(refusal.cites))]
    lines += ["", "Sources", *(f"   {_source_line(assessment, key)}" for key in refusal.sources)]
    return "\n".join(lines) + "\n"


def _cautions(assessment: Assessment) -> list[str]:
    """What is said first on every face."""
    lines = [wrapped for each in assessment.cautions for wrapped in textwrap.wrap(each.text, WIDTH)]
    return [*lines, ""] if lines else []


def _source_line(assessment: Assessment, key: str) -> str:
    """A source in one line."""
    source = assessment.tables.sources.get(key)
    if source is None:
        return f"[{key}]"
    parts = (source.get(name) for name in ("by", "title", "where", "year"))
    return f"[{key}] " + ", ".join(str(part) for part in parts if part)


def _input(belief: Belief, share: float) -> str:
    face = unit_face(belief.unit, belief.name)
    if face.unit == "mm" and 0 < abs(belief.band.best) < _MOLECULE:
        face = Face("nm", 1e9)
    ends = (belief.band.low, belief.band.best, belief.band.high) if belief.band.wide else (belief.band.best,)
    band = " ".join(_digits(end, face) for end in ends)
    unit = "" if face.unit == "1" else f" {face.unit}"
    seen = "" if belief.seen else ", recalled"
    source = f" [{belief.source}: {belief.locator}]" if belief.source else ""
    return f"   {share:4.0%}  {belief.name}  {band}{unit}  {belief.basis}{seen}: {belief.address}{source}"


def _digits(value: float, face: Face) -> str:
    shown = f"{(value - face.offset) * face.factor:.3g}"
    return f"{float(shown):g}" if 1e-4 <= abs(float(shown)) < 1e6 else shown


def _cited(assessment: Assessment, address: str) -> str:
    table, subject, name = address.split("/", 2)
    row = assessment.tables.rows.get((table, subject, name))
    if row is None:
        return f"   {address}: no such row"
    unit = {"dK": " K", "1": "", "": ""}.get(row.unit, f" {row.unit}")
    return f"   {address} = {textwrap.shorten(row.data, 60)}{unit}, {row.known} [{row.source}: {row.locator}]"
