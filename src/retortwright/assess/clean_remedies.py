# SPDX-License-Identifier: MIT
"""Remedies of question 3: a colder charge, an earlier cut, a purer salt, a tighter rig, a warmer landing.

The charge is followed and the line solved again for each trial, as in question 2. Purer and tighter
mean that it has to be bought or found and measured so, not that a number may be typed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from retortwright.assess.across_remedies import RemedySearch
from retortwright.assess.finding import Finding
from retortwright.assess.how_clean import HOW_CLEAN
from retortwright.ground.formula import elements_of
from retortwright.rig.edit import Edit
from retortwright.situation.situation import Situation

__all__ = ["with_clean_mends"]

_Edits = tuple[Edit, ...]

_COLDER = (20.0, 40.0, 60.0, 80.0, 120.0, 160.0, 200.0)  # K
_LESS = (0.9, 0.75, 0.5, 0.33, 0.25)
_PURER = (0.5, 0.25, 0.1, 0.05, 0.02)
_WARMER = (20.0, 40.0, 80.0, 120.0, 160.0)  # K
_CUTS = ("carry-over", "cut", "purity")


def with_clean_mends(
    situation: Situation, findings: tuple[Finding, ...], one: str | None = None
) -> tuple[Finding, ...]:
    """The findings; each of question 3 (or one of them) that fails or is thin with what would mend it."""
    return tuple(
        RemedySearch(situation, each, findings, HOW_CLEAN, _proposals).mended()
        if one in (None, each.id) and each.question == HOW_CLEAN.number and each.verdict in ("fails", "thin")
        else each
        for each in findings
    )


def _proposals(situation: Situation, finding: Finding) -> Iterator[Sequence[_Edits]]:
    """Changes of one kind, the smallest first."""
    if finding.check in _CUTS:
        yield from _earlier(situation)
        yield from _colder(situation, finding)
    if finding.check in ("other-metals", "cut", "purity"):
        yield from _purer(situation)
    if finding.check in ("oxygen-in", "nitrogen-in"):
        yield from _tighter(situation)
    if finding.check == "form":
        yield from _warmer(situation, finding)


def _earlier(situation: Situation) -> Iterator[Sequence[_Edits]]:
    amount = situation.rig.aim.amount
    if amount is not None:
        yield [(Edit("aim.amount", f"{amount * 1e3 * share:.3g} g"),) for share in _LESS]


def _colder(situation: Situation, finding: Finding) -> Iterator[Sequence[_Edits]]:
    target = situation.rig.set_point(finding.state)
    if target is not None:
        key = f"programme.steps.{finding.state}.to"
        yield [(Edit(key, f"{target - 273.15 - less:.0f} degC"),) for less in _COLDER]


def _purer(situation: Situation) -> Iterator[Sequence[_Edits]]:
    """All other metals that the file states in salts and metals, at a share of their worse end."""
    others = [
        (f"charge.{each.formula}.contains.{name}", band.high)
        for each in situation.rig.charge
        for name, band in each.contains.items()
        if situation.rig.aim.metal in elements_of(each.formula) and not {"H", "O"} & set(elements_of(name))
    ]
    if others:
        yield [tuple(Edit(key, f"{high * share * 100:.2g} %") for key, high in others) for share in _PURER]


def _tighter(situation: Situation) -> Iterator[Sequence[_Edits]]:
    leak = situation.rig.assume.get("leak")
    if leak is not None:
        yield [(Edit("assume.leak", f"{leak.high * 10 * share:.2g} mbar L/s"),) for share in _PURER]


def _warmer(situation: Situation, finding: Finding) -> Iterator[Sequence[_Edits]]:
    running = next(each.running for each in situation.rig.states if each.name == finding.state)
    for tape in situation.rig.heat:
        if tape.holds is not None and tape.name in running:
            celsius = tape.holds - 273.15
            yield [(Edit(f"heat.{tape.name}.holds", f"{celsius + more:.0f} degC"),) for more in _WARMER]
