# SPDX-License-Identifier: MIT
"""An assessment as JSON: fixed units, no NaN, all that is needed to compute it again."""

from __future__ import annotations

import json
from typing import Any

from retortwright.assess.assessment import Assessment
from retortwright.assess.finding import Finding, Mend, Next
from retortwright.assess.refusal import Refusal
from retortwright.belief.beliefs import Belief
from retortwright.report.closed_table import closed_document
from retortwright.report.digits import Face, difference_face, face_of, in_face, unit_face
from retortwright.report.made_by import made_by, rig_document

__all__ = ["FORM", "as_document", "as_json", "finding_document", "input_document"]

FORM = 1  # version of the shape


def as_json(assessment: Assessment) -> str:
    """The text of the document, one finding a line."""
    document = as_document(assessment)
    findings = document.pop("findings")
    head = json.dumps(document, indent=2, allow_nan=False, ensure_ascii=False)
    lines = ",\n".join(f"    {json.dumps(each, allow_nan=False, ensure_ascii=False)}" for each in findings)
    return head.removesuffix("\n}") + ',\n  "findings": [\n' + lines + "\n  ]\n}\n"


def as_document(assessment: Assessment) -> dict[str, Any]:
    """The document as plain dicts and lists."""
    rig, draws = assessment.rig, assessment.draws
    return {
        "form": FORM,
        "made_by": made_by(assessment.tables, draws),
        "rig": rig_document(rig, assessment.edits),
        "record": None,
        "asked": list(assessment.asked),
        "not_asked": list(assessment.not_asked),
        "verdict": assessment.verdict,
        "cautions": [{"text": caution.text, "source": caution.source} for caution in assessment.cautions],
        "refused": [_refusal(each) for each in assessment.refused],
        "closed": [] if assessment.situation is None else closed_document(assessment.situation),
        "findings": [
            finding_document(finding) for question in assessment.asked for finding in assessment.of(question)
        ],
    }


def _refusal(refusal: Refusal) -> dict[str, Any]:
    return {
        "id": refusal.id,
        "class": refusal.kind,
        "at": refusal.at,
        "subject": refusal.subject,
        "says": refusal.says,
        "because": refusal.because or None,
        "do": refusal.do,
        "withholds": list(refusal.withholds),
        "cites": sorted(refusal.cites),
        "sources": list(refusal.sources),
    }


def finding_document(finding: Finding) -> dict[str, Any]:
    """One finding."""
    face = face_of(finding.quantity)
    judgement, difference = finding.judgement, difference_face(finding.quantity)
    return {
        "id": finding.id,
        "check": finding.check,
        "question": finding.question,
        "subject": finding.subject,
        "at": finding.at,
        "single": finding.single,
        "state": finding.state,
        "lost": finding.lost,
        "when": finding.when,
        "peak_after_min": None if finding.peak_after is None else round(finding.peak_after / 60, 1),
        "limit_after_min": None if finding.limit_after is None else round(finding.limit_after / 60, 1),
        "verdict": finding.verdict,
        "settled": judgement.settled,
        "low": in_face(judgement.low, face),
        "best": in_face(judgement.best, face),
        "high": in_face(judgement.high, face),
        "unit": face.unit,
        "worse": finding.worse,
        "limit_of": finding.limit_of,
        "limit": in_face(finding.limit, face),
        "reserve": None if finding.reserve is None else in_face(finding.reserve, difference),
        "margin": in_face(judgement.margin, difference),
        "margin_unit": difference.unit,
        "driver": _driver(finding),
        "because": finding.because,
        "missing": _missing(finding),
        "next": _next(finding.next, face) if finding.next else None,
        "mend": [_mend(mend, face) for mend in finding.mend],
        "formula": finding.formula,
        "inputs": [input_document(belief) for belief in finding.inputs],
        "cites": sorted(finding.cites),
        "sources": list(finding.sources),
        "notes": list(finding.notes),
    }


def _driver(finding: Finding) -> dict[str, Any] | None:
    driver = finding.driver
    return None if driver is None else {"input": driver.input, "share": round(driver.share, 3)}


def _missing(finding: Finding) -> dict[str, Any] | None:
    missing = finding.missing
    return None if missing is None else {"datum": missing.datum, "says": missing.says}


def _next(measurement: Next, face: Face) -> dict[str, Any]:
    return {
        "do": measurement.do,
        "narrows": measurement.narrows,
        "low_then": in_face(measurement.low_then, face),
        "high_then": in_face(measurement.high_then, face),
        "verdict_then": measurement.verdict_then,
    }


def _mend(mend: Mend, face: Face) -> dict[str, Any]:
    return {
        "edits": dict(mend.edits),
        "low_then": in_face(mend.low_then, face),
        "high_then": in_face(mend.high_then, face),
        "verdict_then": mend.verdict_then,
        "also": list(mend.also),
    }


def input_document(belief: Belief) -> dict[str, Any]:
    """One input as plain dicts."""
    face = unit_face(belief.unit, belief.name)
    return {
        "name": belief.name,
        "low": in_face(belief.band.low, face),
        "best": in_face(belief.band.best, face),
        "high": in_face(belief.band.high, face),
        "unit": face.unit,
        "basis": belief.basis,
        "from": belief.address,
        "source": belief.source or None,
        "locator": belief.locator or None,
        "seen": belief.seen if belief.basis in ("table", "measured") else None,
    }
