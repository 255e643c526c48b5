# SPDX-License-Identifier: MIT
"""The shipped rigs, each assessed once: all that is asked of it, over 64 samples and without remedies."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np

from retortwright.assess.assessment import Assessment, assess
from retortwright.assess.finding import Finding
from retortwright.assess.gets_across import GETS_ACROSS
from retortwright.belief.beliefs import Draws
from retortwright.ground.arrays import Array
from retortwright.reference.tables import shipped
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import read_rig
from retortwright.situation.situation import Situation

__all__ = ["across", "assessed", "band", "finding", "findings", "of_verdict"]

EXAMPLES = Path(__file__).parents[2] / "examples"


@cache
def assessed(name: str) -> Assessment:
    """The assessment of an example by its name."""
    return assess(read_rig(str(EXAMPLES / f"{name}.toml")), Draws(samples=64), remedies=False)


@cache
def findings(name: str) -> dict[str, Finding]:
    """All findings of an example by their ids, question 2 among them."""
    whole = assessed(name)
    assert whole.situation is not None
    return {each.id: each for each in (*whole.findings, *GETS_ACROSS.findings(whole.situation))}


@cache
def across(name: str, *edits: tuple[str, str]) -> dict[str, Finding]:
    """The findings of question 2 of a changed example."""
    rig = edited(read_rig(str(EXAMPLES / f"{name}.toml")), [Edit(*each) for each in edits])
    return {each.id: each for each in GETS_ACROSS.findings(Situation(rig, shipped(), Draws(samples=64)))}


def finding(name: str, which: str) -> Finding:
    """One finding of an example."""
    return findings(name)[which]


def of_verdict(name: str, verdict: str) -> set[str]:
    """The ids of all findings that bear a verdict."""
    return {each.id for each in findings(name).values() if each.verdict == verdict}


def band(one: Finding) -> Array:
    """Its low end, best and high end; a temperature in degrees Celsius."""
    said = one.judgement
    assert said.low is not None
    assert said.best is not None
    assert said.high is not None
    return np.array([said.low, said.best, said.high]) - (273.15 if one.quantity == "temperature" else 0.0)
