# SPDX-License-Identifier: MIT
"""Question 7 on paper: what is known from memory only is said once, with every pair and place."""

from __future__ import annotations

from functools import cache

from retortwright.assess.assessment import Assessment, assess
from retortwright.belief.beliefs import Draws
from retortwright.report.explanation import explained
from retortwright.report.text_report import WIDTH, as_text
from retortwright.rig.reading import rig_of
from situation.vapour_rigs import plain


@cache
def assessed(edit: str = "") -> Assessment:
    """A small rig, assessed without remedies."""
    return assess(rig_of(plain() + edit, "pot.toml"), Draws(8), remedies=False)


def question_7(text: str) -> str:
    """The part of a report that is about question 7, on one line."""
    return " ".join(text.partition("7  What attacks what?")[2].partition("\n8  ")[0].split())


def test_what_is_known_from_memory_is_said_once() -> None:
    text = as_text(assessed())
    said = question_7(text)
    assert said.count("it is known from memory only") == 1
    assert "vapour of Rb on 304L (line, neck, pot)" in said
    assert "liquid Rb on 304L (glass, line)" in said
    assert "id attacked/" in said
    assert max(map(len, text.splitlines())) <= WIDTH


def test_what_harms_stands_before_it() -> None:
    said = question_7(as_text(assessed()))
    assert said.index("FAILS closure of neck (FKM O-ring cap) in vapour of Rb") < said.index("known from memory")


def test_one_finding_can_be_explained() -> None:
    assessment = assessed()
    text = explained(assessment, assessment.find("attacked/neck.closed.vapour-Rb/distil"), {})
    assert "Rb(g) on FKM" in text
    assert "Hotter never helps" in " ".join(text.split())


def test_experience_takes_its_pairs_out() -> None:
    said = question_7(as_text(assessed('\n[experience]\nRb.304L = "750 degC"\n')))
    assert "vapour of Rb on 304L" not in said.partition("known from memory")[0]
