# SPDX-License-Identifier: MIT
"""Question 3, what comes over: reductant, salt, other metals, and where to cut."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from retortwright.assess import clean_words as words
from retortwright.assess.check import Check, finding_of
from retortwright.assess.clean_again import once_more
from retortwright.assess.clean_check import grade_of, made, wanted_of
from retortwright.rig.vocabulary import grades
from retortwright.situation.purity import PurityWork
from retortwright.situation.purity_figures import carry_over, clean_until, other_metals
from retortwright.situation.purity_vapour import Kind

__all__ = ["carry_checks"]

_LEAST = "the least that can land: the line is not known, and nothing is counted that a slow reaction brings besides"
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
    landed = work.landed(work.ledger())
    if landed is None or landed.lacks is None or finding_of(work.situation, check, 3).judgement.settled:
        return check if landed is None or landed.lacks is None else replace(check, notes=(_LEAST, *notes))
    blank = replace(figure, values=figure.values * np.nan, missing=(landed.lacks,))
    return replace(check, figure=blank, because=words.carry_over(work, kind, blank))


def _other_metals(work: PurityWork) -> Check:
    figure = other_metals(work)
    subject, because = f"other metals in the {work.metal} that lands", words.other_metals(work, figure)
    limit, at = grade_of(work, "neighbours"), f"charge.{work.salt}"
    return made(work, "other-metals", at, subject, "share", figure, limit, because)


def _cut(work: PurityWork) -> Check:
    figure, limit = clean_until(work), wanted_of(work)
    others = {grade: clean_until(work, grade) for grade in grades() if grade != work.rig.aim.grade}
    because = words.cut(work, figure, others)
    subject = f"{work.metal} that may be taken before it is too impure"
    return made(work, "cut", f"charge.{work.salt}", subject, "mass", figure, limit, because, once_more(work))
