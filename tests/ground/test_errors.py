# SPDX-License-Identifier: MIT
"""The tree of errors, and the words of a message."""

from __future__ import annotations

import re

import pytest

from retortwright.ground import errors
from retortwright.ground.errors import (
    AskError,
    EditError,
    Mistake,
    RetortwrightError,
    RigError,
    TableError,
    UserError,
    allowed_words,
    nearest,
    nearest_word,
)
from retortwright.ground.words import BASES, QUESTIONS, VERDICTS, worst


def test_the_tree_is_as_drawn() -> None:
    assert [one.__mro__[1] for one in (RigError, EditError, AskError)] == [UserError] * 3
    assert UserError.__mro__[1] is TableError.__mro__[1] is RetortwrightError
    drawn = set(re.findall(r"\b\w+Error\b", errors.__doc__ or ""))
    made = {name for name, one in vars(errors).items() if isinstance(one, type) and issubclass(one, Exception)}
    assert drawn == made


def test_a_mistake_says_where() -> None:
    assert str(Mistake("a.toml", 3, "aim.metal", "is wrong")) == "a.toml:3: aim.metal: is wrong"
    assert str(Mistake("a.toml", 3, "", "is wrong")) == "a.toml:3: is wrong"
    assert str(Mistake("a.toml", 0, "", "is wrong")) == "a.toml: is wrong"


def test_mistakes_come_once_and_in_the_order_of_the_file() -> None:
    late, early, beside = (Mistake("a.toml", line, key, "x") for line, key in ((9, "a"), (2, "b"), (2, "a")))
    error = RigError([late, early, beside, late])
    assert error.mistakes == (beside, early, late)
    assert error.lines() == ["a.toml:2: a: x", "a.toml:2: b: x", "a.toml:9: a: x"]
    assert str(error) == "a.toml:2: a: x\na.toml:2: b: x\na.toml:9: a: x"


def test_other_errors_of_the_user_are_one_line() -> None:
    assert EditError("no such key").lines() == ["no such key"]


@pytest.mark.parametrize(
    ("name", "word"),
    [("lenght", "length"), ("LENGTH", "length"), ("fkm clamp", "FKM clamp"), ("zzz", None), ("", None)],
)
def test_the_nearest_word(name: str, word: str | None) -> None:
    allowed = ["length", "tube", "FKM clamp"]
    assert nearest_word(name, allowed) == word
    assert nearest(name, allowed) == (f"did you mean {word}? " if word else "")


def test_allowed_words_are_sorted_and_cut() -> None:
    assert allowed_words(["b", "C", "a"]) == "a, b, C"
    assert allowed_words(map(str, range(50)), most=3) == "0, 1, 10 and 47 more"
    assert allowed_words([]) == ""


def test_words_of_every_face() -> None:
    assert list(QUESTIONS) == list(range(1, 11))
    assert all(question.endswith("?") for question in QUESTIONS.values())
    assert worst(["holds", "thin", "unknown"]) == "unknown"
    assert worst(["unknown", "fails"]) == "fails"
    assert worst([]) == "unknown"  # nothing asked is not nothing wrong
    assert [worst([word, "holds"]) for word in VERDICTS] == list(VERDICTS)
    assert len(set(BASES)) == 5
