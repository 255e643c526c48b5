# SPDX-License-Identifier: MIT
"""Question 3, what comes over: reductant, salt, other metals, and where to cut."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from retortwright.assess import clean_words as words
from retortwright.assess.check import Check, finding_of
from retortwright.assess.clean_again import once_more
from retortwright.assess.clean_check import grade_of, made, wanted_of
from retortwright.rig.vocabulary import grades
from retortwright.situation.figure import Figure
from retortwright.situation.purity import PurityWork
from retortwright.situation.purity_figures import carry_over, clean_until, other_metals
from retortwright.situation.purity_vapour import Kind

__all__ = ["carry_checks"]

_LEAST = (
    "the least that can land, by what is known: nothing that a slow reaction brings besides, nothing that comes "
    "after the part of the run that is known"
)
_NO_FASTER = "vapour in equilibrium and a laminar stream in the line: no rate of evaporation is in it"


def carry_checks(work: PurityWork) -> Iterator[Check]:
    """Each reductant and salt that lands, other metals together, the cut."""
    landed = work.landed(work.ledger())
    for kind in _kinds(work):
        yield _carry_over(work, kind)
    if landed is not None and any(each.sort == "neighbours" for each in landed.shares):
        yield _other_metals(work)
    yield _cut(work)


def _kinds(work: PurityWork) -> list[Kind]:
    """Reductant and salt of the charge, whether or not it is known how much of them lands."""
    landed = work.landed(work.ledger())
    known = [] if landed is None else [each for each in landed.shares if each.sort != "neighbours"]
    named = (("reductant", work.reductant), ("salt", work.salt))
    own = [Kind(sort, formula) for sort, formula in named if formula is not None]
    return [each for each in own if landed is None or each in known] + [
        each for each in known if each not in own
    ]


def _carry_over(work: PurityWork, kind: Kind) -> Check:
    figure, limit = carry_over(work, kind), grade_of(work, kind.sort)
    weighed = any(each.formula == kind.formula for each in work.rig.charge)
    at = f"charge.{kind.formula if weighed else work.salt}"
    subject = f"{kind.formula} in the {work.metal} that lands"
    because = words.carry_over(work, kind, figure)
    notes = (_NO_FASTER, *words.NOT_KNOWN)
    check = made(work, "carry-over", at, subject, "share", figure, limit, because, notes)
    return _as_far_as_known(work, check, lambda figure: words.carry_over(work, kind, figure))


def _as_far_as_known(work: PurityWork, check: Check, says: Callable[[Figure], str]) -> Check:
    """The check; where the line or the end of the run is not known, as a failure if the least fails, else unknown."""
    figure, landed = check.figure, work.landed(work.ledger())
    lost = figure.missing or not np.all(np.isfinite(figure.values))
    if landed is None or figure.missing or not (landed.lacks is not None or lost):
        return check
    least = replace(figure, values=figure.said["least"])
    trial = replace(check, figure=least, because=says(least), notes=(_LEAST, *check.notes))
    found = finding_of(work.situation, trial, 3)
    if found.verdict == "fails" and found.judgement.settled:
        return trial
    lacks = landed.unknown if landed.lacks is None else (landed.lacks,)
    blank = replace(figure, values=figure.values * np.nan, missing=lacks)
    return replace(check, figure=blank, because=says(blank))


def _other_metals(work: PurityWork) -> Check:
    figure = other_metals(work)
    subject, because = f"other metals in the {work.metal} that lands", words.other_metals(work, figure)
    limit, at = grade_of(work, "neighbours"), f"charge.{work.salt}"
    check = made(work, "other-metals", at, subject, "share", figure, limit, because)
    return (
        check
        if not np.any(np.isnan(figure.values))
        else _as_far_as_known(work, check, lambda found: words.other_metals(work, found))
    )


def _cut(work: PurityWork) -> Check:
    figure, limit = clean_until(work), wanted_of(work)
    others = {grade: clean_until(work, grade) for grade in grades() if grade != work.rig.aim.grade}
    because = words.cut(work, figure, others)
    subject = f"{work.metal} that may be taken before it is too impure"
    return made(work, "cut", f"charge.{work.salt}", subject, "mass", figure, limit, because, once_more(work))
