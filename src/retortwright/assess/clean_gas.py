# SPDX-License-Identifier: MIT
"""Question 3, what gas brings: oxygen, nitrogen where the metal forms a nitride, hydrogen."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from retortwright.assess import clean_words as words
from retortwright.assess.check import Check, finding_of
from retortwright.assess.clean_check import grade_of, made
from retortwright.reference.datum import Missing
from retortwright.situation.figure import figure_of
from retortwright.situation.purity import PurityWork
from retortwright.situation.purity_gas import forms_nitride, gas_taken, hydrogen_taken

__all__ = ["gas_checks"]

_NOT_IN_IT = "water that the walls give off hot, and what an opened receiver takes up, are not in it"


def gas_checks(work: PurityWork) -> Iterator[Check]:
    """Oxygen, nitrogen and hydrogen, each against what the grade allows."""
    for element in ("oxygen", "nitrogen") if forms_nitride(work) else ("oxygen",):
        yield _taken(work, element)
    yield _hydrogen(work)


def _taken(work: PurityWork, element: str) -> Check:
    figure, limit = gas_taken(work, element), grade_of(work, element)
    subject, because = f"{element} in the {work.metal}", words.gas_in(work, element, figure)
    at = "assume.leak" if "leak" in work.rig.assume else _retort(work)
    return replace(
        made(work, f"{element}-in", at, subject, "share", figure, limit, because, (_NOT_IN_IT,)),
        place="product",
    )


def _retort(work: PurityWork) -> str:
    return f"piece.{work.situation.tree.instances[0].row.name}"


def _hydrogen(work: PurityWork) -> Check:
    """All hydrogen there is: where that is little enough it holds, else nobody knows how much stays."""
    figure, limit = hydrogen_taken(work), grade_of(work, "hydrogen")
    because = words.hydrogen(work, figure)
    at = f"charge.{work.salt or work.metal}"
    check = replace(
        made(work, "hydrogen-in", at, f"hydrogen in the {work.metal}", "share", figure, limit, because),
        place="product",
    )
    if finding_of(work.situation, check, 3).verdict in ("holds", "unknown"):
        return check
    says = f"no figure with a source says how much of the hydrogen stays in {work.metal} that is distilled"
    lacks = work.ledger()
    lacks.missing.append(Missing(f"getters/{work.metal}/hydrogen", says))
    unknown = figure_of(lacks, figure.values, figure.said)
    return replace(check, figure=replace(unknown, inputs=figure.inputs, cites=figure.cites))
