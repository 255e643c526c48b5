# SPDX-License-Identifier: MIT
"""An assessment as plain text: what to do first, the gravest findings before the others."""

from __future__ import annotations

import textwrap

from retortwright.assess.assessment import Assessment
from retortwright.assess.attacked import QUESTION as ATTACKS
from retortwright.assess.finding import Finding
from retortwright.assess.hurts_you import QUESTION as HURTS
from retortwright.assess.joints_live import QUESTION as JOINTS
from retortwright.assess.refusal import Refusal
from retortwright.ground.words import QUESTIONS, VERDICTS, worst
from retortwright.report.closed_table import closed_lines
from retortwright.report.digits import face_of, shown_band, shown_difference, shown_number

__all__ = ["WIDTH", "as_text", "finding_lines", "front_line", "refusal_lines"]

WIDTH = 100
_NEAREST = 12  # of what holds: nearest to its limit first
_MANY = 3  # checks that lack the same thing: said once
_PLACES = 4  # places at which one check lacks the same thing: said once


def as_text(assessment: Assessment) -> str:
    """The text of an assessment."""
    lines = [wrapped for caution in assessment.cautions for wrapped in textwrap.wrap(caution.text, WIDTH)]
    lines += ["", _headline(assessment), "", f"  {front_line(assessment)}", ""]
    lines += _refused(assessment)
    for question in assessment.asked:
        lines += _question(assessment, question)
    lines += _not_asked(assessment)
    return "\n".join(lines) + "\n"


def _headline(assessment: Assessment) -> str:
    draws = assessment.draws
    asked = " ".join(str(number) for number in assessment.asked)
    edits = "".join(f"  with {key}={value}" for key, value in assessment.edits)
    drawn = f"{draws.samples} samples, seed {draws.seed}, bands 5 to 95 %"
    return f"{assessment.rig.path}{edits}     asked {asked} of 10     {drawn}"


def front_line(assessment: Assessment) -> str:
    """What to do, and how many findings bear each verdict."""
    counts = assessment.counts()
    said = ", ".join(f"{number} {_plural(word, number)}" for word, number in counts.items() if number)
    if assessment.refused:
        return f"DO NOT LIGHT.   {len(assessment.refused)} refused, {said}.   What is refused comes first."
    if assessment.verdict == "fails":
        return f"DO NOT LIGHT.   {said}.   Mend from the top."
    if assessment.verdict == "unknown":
        return f"CANNOT SAY: do not light.   {said}."
    if assessment.verdict == "thin":
        return f"LIGHT ONLY AFTER what is thin has been widened or measured.   {said}."
    return f"Nothing asked stands against a thermal blank.   {said}.   Not all was asked: see below."


def _plural(word: str, number: int) -> str:
    one_or_many = {"fails": ("fails", "fail"), "holds": ("holds", "hold")}
    return one_or_many.get(word, (word, word))[0 if number == 1 else 1]


def _refused(assessment: Assessment) -> list[str]:
    """What is refused, before anything that is sized."""
    if not assessment.refused:
        return []
    lines = ["REFUSED, before anything is sized"]
    for refusal in assessment.refused:
        lines += refusal_lines(refusal)
    return [*lines, ""]


def refusal_lines(refusal: Refusal) -> list[str]:
    """One refusal: what, why, what to do instead."""
    lines = textwrap.wrap(
        f"refused  {refusal.subject}", WIDTH, initial_indent="   ", subsequent_indent=" " * 12
    )
    lines += _paragraph("", f"{refusal.says}.")
    if refusal.because:
        lines += _paragraph("", f"{refusal.because}.")
    lines += _paragraph("instead ", f"{refusal.do}.")
    return [*lines, *_paragraph("id      ", refusal.id)]


def _lacking(findings: list[Finding]) -> dict[str, list[Finding]]:
    """Findings that lack the same thing together: all that a refusal withholds, else several checks or places."""
    groups: dict[str, list[Finding]] = {}
    for finding in findings:
        if finding.verdict == "unknown" and finding.missing is not None:
            lead = "" if _is_withheld(finding) else "missing "
            groups.setdefault(lead + finding.missing.says, []).append(finding)
    return {
        says: group
        for says, group in groups.items()
        if _is_withheld(group[0])
        or len({each.check for each in group}) >= _MANY
        or len({each.place for each in group}) >= _PLACES
    }


def _said_once(groups: dict[str, list[Finding]]) -> list[str]:
    """One entry for all findings that lack the same thing."""
    lines = []
    for says, group in groups.items():
        checks = list(dict.fromkeys(finding.check for finding in group))
        places = list(dict.fromkeys(finding.place for finding in group))
        at = f" of {', '.join(places)}" if len(places) >= _PLACES and len(checks) < _MANY else ""
        if group[0].question == ATTACKS:
            at = f": {'; '.join(_pairs(group))}"
        said = f"unknown  {len(group)} {'finding' if len(group) == 1 else 'findings'}: {', '.join(checks)}{at}"
        lines += textwrap.wrap(
            said, WIDTH, initial_indent="   ", subsequent_indent=" " * 12, break_on_hyphens=False
        )
        lines += _paragraph("", says)
        if at:
            lines += _paragraph("id      ", group[0].id)
    return lines


def _pairs(group: list[Finding]) -> list[str]:
    """What touches which material, and where, of several findings about that."""
    pairs: dict[str, list[str]] = {}
    for finding in group:
        pairs.setdefault(finding.limit_of or "", []).append(finding.at.removeprefix("piece.").removesuffix(".of"))
    return [f"{pair} ({', '.join(places)})" for pair, places in pairs.items()]


def _question(assessment: Assessment, question: int) -> list[str]:
    findings = assessment.of(question)
    verdict = worst([finding.verdict for finding in findings]) if findings else "nothing to ask of this rig"
    lines = [f"{question}  {QUESTIONS[question]:<72}{verdict}"]
    lacking = _lacking(list(findings))
    said = {each.id for group in lacking.values() for each in group}
    shown = [finding for finding in findings if finding.verdict != "holds" and finding.id not in said]
    fails = [finding for finding in shown if finding.verdict == "fails"]
    for alike in _alike(fails):
        lines += finding_lines(alike[0], tuple(alike[1:]))
    lines += _said_once(lacking)
    for alike in _alike([finding for finding in shown if finding.verdict != "fails"]):
        lines += finding_lines(alike[0], tuple(alike[1:]))
    lines += _holding([finding for finding in findings if finding.verdict == "holds"], bool(shown or said))
    if question == HURTS and assessment.situation is not None:
        lines += ["", "   closed volumes, gravest first (retortwright closed RIG prints all of them)"]
        lines += closed_lines(assessment.situation)
        lines += ["", "   fire, opening and quench on one page: retortwright card RIG"]
    return [*lines, ""]


def _is_withheld(finding: Finding) -> bool:
    return finding.missing is not None and finding.missing.datum.startswith("refused/")


def _alike(findings: list[Finding]) -> list[list[Finding]]:
    """Findings of one place and one face together: the same answer in several states is said once."""
    groups: dict[tuple[str, str, str, str, str], list[Finding]] = {}
    for finding in findings:
        place = finding.missing.says if finding.missing is not None else finding.at
        key = (finding.check, f"{place}-{finding.lost}", finding.verdict, _numbers(finding), finding.because)
        if finding.when == "before":  # its numbers stand at the state as planned: said once of all joints
            key = (finding.check, "before", finding.verdict, "", finding.because)
        groups.setdefault(key, []).append(finding)
    return list(groups.values())


def finding_lines(finding: Finding, alike: tuple[Finding, ...] = ()) -> list[str]:
    """One finding with all that is said of it, and the others of which the same is true."""
    mark = finding.verdict.upper() if finding.verdict == "fails" else finding.verdict
    states = list(dict.fromkeys(each.state for each in (finding, *alike)))
    subjects = list(dict.fromkeys(each.subject for each in (finding, *alike)))
    subject = finding.subject
    if len(subjects) > 1:
        places = list(dict.fromkeys(each.place for each in (finding, *alike)))
        named = f" ({', '.join(places)})" if finding.when == "before" else f", {_the(finding.subject)} among them"
        kind = "joints" if finding.when == "before" or finding.check.startswith("seal") else "places"
        subject = f"{len(subjects)} {kind}{named}"
    happens = list(dict.fromkeys(each.happens for each in (finding, *alike) if each.happens))
    place = f"{subject}, {_listed(states)}" + (f", when {_either(happens)}" if happens else "")
    if finding.single and len(subjects) == 1:
        place += f", {finding.single}"
    lines = textwrap.wrap(f"{mark:<8} {place}", WIDTH, initial_indent="   ", subsequent_indent=" " * 12)
    numbers = _numbers(finding)
    if numbers and (len(subjects) == 1 or finding.when != "before"):
        lines += _paragraph("", numbers, whole=True)
    lines += _paragraph("", finding.because)
    if finding.missing is not None:
        lines += _paragraph("missing ", finding.missing.says)
    if finding.driver is not None:
        lines += _paragraph("driver  ", f"{finding.driver.input} ({finding.driver.share:.0%} of the spread)")
    for number, mend in enumerate(finding.mend):
        face = face_of(finding.quantity)
        then = f"{shown_number(mend.low_then, face)} to {shown_number(mend.high_then, face)} {face.unit}"
        edits = ", ".join(f"{key} = {value}" for key, value in mend.edits.items())
        lines += _paragraph(
            "mend    " if number == 0 else "or      ", f"{edits}  ->  {then}, {mend.verdict_then}"
        )
        for also in mend.also[:3]:
            lines += _paragraph("        ", f"also {also}")
    if finding.next is not None:
        face = face_of(finding.quantity)
        ends = (shown_number(end, face) for end in (finding.next.low_then, finding.next.high_then))
        then = f"{' to '.join(ends)} {face.unit}"
        lines += _paragraph("next    ", f"{finding.next.do}  ->  {then}, {finding.next.verdict_then}")
    lines += _paragraph("id      ", finding.id)
    return lines


def _numbers(finding: Finding) -> str:
    judgement, face = finding.judgement, face_of(finding.quantity)
    if judgement.low is None or judgement.best is None or judgement.high is None:
        return ""
    band = shown_band(judgement.low, judgement.best, judgement.high, face)
    may = _may(finding)
    if finding.limit is None or finding.reserve is None or not may:
        return band
    limit, reserve = shown_number(finding.limit, face), shown_difference(finding.reserve, face)
    whose = f" of {finding.limit_of}," if finding.limit_of else ""
    kept = f"and {reserve} above" if finding.worse == "low" else f"less {reserve}"
    return f"{band}     {may} (limit {limit}{whose} {kept})"


def _may(finding: Finding) -> str:
    """How far it may go: the limit with the reserve taken off."""
    if finding.limit is None or finding.reserve is None:
        return ""
    face = face_of(finding.quantity)
    if finding.worse == "low":
        return f"may fall to {shown_number(finding.limit + finding.reserve, face)}"
    return f"may reach {shown_number(finding.limit - finding.reserve, face)}"


def _paragraph(lead: str, text: str, whole: bool = False) -> list[str]:
    """Wrapped lines; a text that is one line is left as it is, however many blanks are in it, if `whole`."""
    indent = " " * 12
    if whole and len(indent + lead + text) <= WIDTH:
        return [indent + lead + text]
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=indent + lead,
        subsequent_indent=indent + " " * len(lead),
        break_on_hyphens=False,
    )


def _holding(holding: list[Finding], others: bool) -> list[str]:
    """One line for each of the nearest places that hold; of those after a loss only how many and the nearest."""
    if not holding:
        return []
    lost = [finding for finding in holding if finding.lost is not None]
    word = "other" if others else "finding"
    lines = [f"   holds    {len(holding)} {word}{'' if len(holding) == 1 else 's'}"]
    groups: dict[tuple[str, str], list[str]] = {}
    for finding in holding:
        if finding.lost is None:
            place = finding.place if finding.question == JOINTS and finding.limit_of else finding.subject
            groups.setdefault((place, _short(finding)), []).append(finding.state)
    for (place, short), states in list(groups.items())[:_NEAREST]:
        said = f"{place} in {_listed(list(dict.fromkeys(states)))}{short}"
        lines += textwrap.wrap(
            said, WIDTH, initial_indent=" " * 12, subsequent_indent=" " * 14, break_on_hyphens=False
        )
    if len(groups) > _NEAREST:
        rest = len(groups) - _NEAREST
        lines += _paragraph("", f"and {rest} farther from their limits; --format json lists every one")
    if lost:
        nearest = lost[0]
        lines += _paragraph(
            "", f"and {len(lost)} after a loss; nearest is the {nearest.subject}, {nearest.state}"
        )
        lines += _paragraph("", f"when {nearest.happens}: {_numbers(nearest)}")
    return lines


def _short(finding: Finding) -> str:
    """Band and how far it may go, as short as can be."""
    judgement = finding.judgement
    if judgement.low is None or judgement.best is None or judgement.high is None:
        return ""
    band = shown_band(judgement.low, judgement.best, judgement.high, face_of(finding.quantity))
    return ", ".join(part for part in (f": {band}", _may(finding)) if part)


def _not_asked(assessment: Assessment) -> list[str]:
    numbers = " ".join(str(number) for number in assessment.not_asked)
    words = "; ".join(QUESTIONS[number].rstrip("?").lower() for number in assessment.not_asked)
    found = [finding for question in assessment.asked for finding in assessment.of(question)]
    worst_first = sorted(found, key=lambda each: VERDICTS.index(each.verdict))  # of equals the first asked
    lines = textwrap.wrap(f"Not asked: {numbers} ({words}). Nothing above says anything about them.", WIDTH)
    deeper = [*(each.id for each in assessment.refused), *(each.id for each in worst_first)]
    if deeper:
        lines.append(f"One step deeper: retortwright explain {assessment.rig.path} {deeper[0]}")
    return lines


def _either(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def _the(subject: str) -> str:
    return subject if subject.startswith("the ") else f"the {subject}"


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
