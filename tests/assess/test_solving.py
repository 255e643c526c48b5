# SPDX-License-Identifier: MIT
"""What `solve` finds, on a blank rig with few samples."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from retortwright.assess.assessment import findings_of
from retortwright.assess.solving import Solution, parse_until, solve
from retortwright.belief.beliefs import Draws
from retortwright.ground.errors import AskError
from retortwright.reference.tables import shipped
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import read_rig
from retortwright.situation.situation import Situation

BLANK = read_rig(str(Path(__file__).parents[2] / "examples" / "thermal-blank.toml"))
SHORT = edited(BLANK, [Edit("piece.retort.closed", "FKM O-ring cap")])  # its cap is far too near the furnace
SEAL = "seal-heat/retort.closed/distil"
FEW = Draws(16)


@cache
def longer() -> Solution:
    return solve(SHORT, shipped(), "piece.retort.length", SEAL, FEW)


def verdict_with(value: str) -> str:
    situation = Situation(edited(SHORT, [Edit("piece.retort.length", value)]), shipped(), FEW)
    return next(each.verdict for each in findings_of(situation) if each.id == SEAL)


def test_a_longer_retort_saves_its_cap_and_half_of_the_change_does_not() -> None:
    found = longer()
    assert found.before.verdict == "fails"
    assert found.edit is not None
    assert found.after is not None
    assert found.after.verdict == "holds"
    length = float(found.edit.value.removesuffix(" mm"))
    assert 220 < length < 1000
    assert verdict_with(found.edit.value) == "holds"  # exact: the same evaluation
    assert verdict_with(f"{(220 + length) / 2:.0f} mm") != "holds"


def test_what_turns_besides_is_named_with_its_way() -> None:
    for each in longer().turned:
        assert each.id != SEAL
        assert each.was != each.then
        assert each.worse == (["fails", "unknown", "thin", "holds"].index(each.then)
                              < ["fails", "unknown", "thin", "holds"].index(each.was))  # fmt: skip


def test_a_cooler_furnace_serves_too_and_degrees_are_added() -> None:
    found = solve(SHORT, shipped(), "programme.steps.distil.to", SEAL, FEW)
    assert found.edit is not None
    assert float(found.edit.value.removesuffix(" degC")) < float(found.written.text.removesuffix(" degC"))


def test_words_are_tried_one_by_one() -> None:
    found = solve(SHORT, shipped(), "piece.retort.closed", SEAL, FEW)
    assert found.edit is not None
    assert found.edit.value != "FKM O-ring cap"
    assert found.after is not None
    assert found.after.verdict == "holds"


def test_what_cannot_do_it_says_what_was_tried() -> None:
    found = solve(SHORT, shipped(), "piece.hose.length", SEAL, FEW)
    assert found.edit is None
    assert not found.good
    assert len(found.tried) == 2


def test_what_holds_already_needs_nothing() -> None:
    found = solve(BLANK, shipped(), "piece.retort.length", SEAL, FEW)
    assert found.edit is None
    assert found.good


def test_an_unknown_finding_is_named_with_its_nearest() -> None:
    with pytest.raises(AskError, match=r"did you mean seal-heat/retort.closed/distil"):
        solve(BLANK, shipped(), "piece.retort.length", "seal-heat/retort.close/distil", FEW)


@pytest.mark.parametrize(("text", "read"), [("a/b/c", ("a/b/c", "holds")), ("a/b/c=thin", ("a/b/c", "thin"))])
def test_a_finding_alone_is_to_hold(text: str, read: tuple[str, str]) -> None:
    assert parse_until(text) == read


def test_nobody_can_ask_for_a_failure() -> None:
    with pytest.raises(AskError, match="'holds' or 'thin', not 'fails'"):
        parse_until("a/b/c=fails")
