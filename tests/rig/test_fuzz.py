# SPDX-License-Identifier: MIT
"""Whatever stands in a rig file or behind --set: a rig comes out, or sentences for the user. Never a traceback."""

from __future__ import annotations

import re
from typing import Any

import tomlkit
from hypothesis import example, given, settings
from hypothesis import strategies as st

from retortwright.ground.errors import RigError, UserError
from retortwright.rig.edit import edited, parse_edit
from retortwright.rig.parts import Rig
from retortwright.rig.reading import rig_of
from retortwright.rig.rigfile import PIECE_KEYS, ROOT_KEYS
from retortwright.rig.tree import tree_of
from rig.whole import DOCUMENT, FILE, SLOTS, TEXT, Slot, span_of

FEWER = settings(max_examples=settings().max_examples // 4)  # for what takes long
TOKENS = re.findall(r'"[^"\n]*"|[\w.-]+|\s+|[^\w\s]', TEXT)
WORDS = sorted({token for token in TOKENS if not token.isspace()})
RIG = rig_of(TEXT, FILE)
ODD = [
    "", "nan", "inf", "-1", "0", "1e400", "true", "2026-01-31", "[[]]", "{}", "]", "=", "#", "'''", '"""',
    '"nan mm"', '"1e308 m"', '"-0 mm"', '"all"', '"0 x 0 mm"', '"0 to 0 mm"', '"1_000 mm"', '"１２ mm"', '"DN25"',
    "\x00", "\ud7ff", "😀", "é",
]  # fmt: skip


def only_sentences(text: str) -> Rig | None:
    """The rig of a text, or None after its mistakes have been looked at."""
    try:
        rig = rig_of(text, FILE)
    except RigError as error:
        mistakes = error.mistakes
    else:
        assert tree_of(rig).instances
        return rig
    assert mistakes
    assert all(1 <= mistake.line <= text.count("\n") + 1 and mistake.says for mistake in mistakes)
    return None


def sort_of(token: str) -> str:
    """Whether a token is a text in quotes, a word, blank or a mark."""
    return "text" if token[0] == '"' else "word" if token[0].isalnum() else "blank" if token.isspace() else "mark"


ALIKE = {sort: sorted({token for token in TOKENS if sort_of(token) == sort}) for sort in map(sort_of, TOKENS)}
change = st.tuples(
    st.sampled_from(["drop", "twice", "alike", "alike", "alike", "odd"]),
    st.integers(0, len(TOKENS) - 1),
    st.integers(0, 500),
    st.one_of(st.sampled_from(ODD), st.text(max_size=6)),
)


@given(st.lists(change, min_size=1, max_size=3))
def test_tokens_dropped_doubled_and_put_for_others(changes: list[tuple[str, int, int, str]]) -> None:
    tokens = list(TOKENS)
    for what, place, number, odd in changes:
        alike = ALIKE[sort_of(TOKENS[place])]
        tokens[place] = {"drop": "", "twice": TOKENS[place] * 2, "alike": alike[number % len(alike)], "odd": odd}[what]
    only_sentences("".join(tokens))


LEAVES = [slot for slot in SLOTS if isinstance(slot.value, str | int)]


@given(st.lists(st.tuples(st.sampled_from(LEAVES), st.floats(0.2, 5.0), st.integers(0, 99), st.text(max_size=9))))
def test_other_values_of_the_same_sort(draws: list[tuple[Slot, float, int, str]]) -> None:
    changes = {}
    for slot, factor, number, words in draws:
        others = [other.value for other in LEAVES if type(other.kind) is type(slot.kind)]
        scaled = re.sub(r"\d+\.?\d*", lambda found: f"{float(found[0]) * factor:.4g}", str(slot.value))  # noqa: B023
        value = [others[number % len(others)], scaled, scaled, words][number % 4]
        changes[span_of(slot.path).value] = tomlkit.item(value).as_string()
    text = TEXT
    for start, end in sorted(changes, reverse=True):
        text = text[:start] + changes[start, end] + text[end:]
    only_sentences(text)


def lines_of_text() -> list[str]:
    """The lines of the whole file."""
    return TEXT.splitlines(keepends=True)


@given(st.lists(st.tuples(st.integers(0, TEXT.count("\n") - 1), st.integers(0, TEXT.count("\n") - 1)), max_size=6))
def test_lines_dropped_and_moved(moves: list[tuple[int, int]]) -> None:
    lines = lines_of_text()
    for source, target in moves:
        lines[target], lines[source] = lines[source], ("" if source % 3 == 0 else lines[target])
    only_sentences("".join(lines))


KEY = st.one_of(
    st.sampled_from([*ROOT_KEYS, *PIECE_KEYS, "retort", "pump", "over", "by", "state", "steps", "open", "running"]),
    st.text(max_size=4),
)
LEAF = st.one_of(
    st.sampled_from([slot.value for slot in SLOTS if isinstance(slot.value, str | int)]),
    st.integers(-3, 70),
    st.floats(allow_nan=True),
    st.booleans(),
    st.datetimes(),
    st.text(max_size=8),
)
NODE = st.recursive(
    LEAF, lambda below: st.one_of(st.lists(below, max_size=3), st.dictionaries(KEY, below, max_size=4)), max_leaves=20
)


@given(st.dictionaries(KEY, NODE, max_size=8))
def test_any_document_of_likely_keys(document: dict[str, Any]) -> None:
    only_sentences(tomlkit.dumps(document))


@FEWER
@given(st.dictionaries(st.sampled_from(ROOT_KEYS), NODE, min_size=1, max_size=3))
def test_a_right_document_with_tables_put_for_others(spoilt: dict[str, Any]) -> None:
    only_sentences(tomlkit.dumps({**DOCUMENT, **spoilt}))


@given(st.sampled_from(sorted(DOCUMENT["piece"])), st.dictionaries(st.sampled_from(PIECE_KEYS), NODE, min_size=1))
def test_a_right_document_with_one_piece_spoilt(name: str, spoilt: dict[str, Any]) -> None:
    pieces = {**DOCUMENT["piece"], name: {**DOCUMENT["piece"][name], **spoilt}}
    only_sentences(tomlkit.dumps({**DOCUMENT, "piece": pieces}))


@given(st.text(max_size=200))
@example("")
@example("\ufeff")
@example("retortwright = 1\n" + "a." * 1200 + "b = 1")
@example("retortwright = " + "{a = " * 500 + "1" + "}" * 500)
@example("piece." + ".".join(["a"] * 1500) + " = 1")
def test_any_text(text: str) -> None:
    only_sentences(text)


# ---- edits


PARTS = {str(part) for slot in SLOTS for part in slot.path} | {"outside", "wall", "from", "to", "distil#1"}
PART = st.one_of(
    st.sampled_from(sorted(PARTS)),
    st.text(max_size=3),
)
ANY_KEY = st.one_of(
    st.sampled_from([slot.dotted for slot in SLOTS]),
    st.tuples(st.sampled_from([slot.dotted for slot in SLOTS]), PART).map(".".join),
    st.lists(PART, min_size=1, max_size=5).map(".".join),
)
ANY_VALUE = st.one_of(st.sampled_from(ODD), st.sampled_from(WORDS), st.text(max_size=10), NODE.map(repr))


def only_sentences_from_edits(rig: Rig, texts: list[str]) -> Rig:
    """The edited rig, or the rig as it was where the edits are refused."""
    try:
        return edited(rig, [parse_edit(text) for text in texts])
    except UserError as error:
        lines = error.lines()
    assert lines
    assert all(lines)
    return rig


@given(st.lists(st.tuples(ANY_KEY, ANY_VALUE).map("=".join), min_size=1, max_size=3))
def test_any_edit(texts: list[str]) -> None:
    only_sentences_from_edits(RIG, texts)


@given(st.text(max_size=20))
def test_any_text_as_an_edit(text: str) -> None:
    only_sentences_from_edits(RIG, [text])


@FEWER
@given(st.lists(st.tuples(st.sampled_from(SLOTS), st.integers(0, len(SLOTS) - 1)), min_size=2, max_size=4))
def test_edits_one_after_another(draws: list[tuple[Any, int]]) -> None:
    rig = RIG
    for slot, other in draws:
        if isinstance(slot.value, str):
            rig = only_sentences_from_edits(rig, [f"{slot.dotted}={SLOTS[other].value}"])
    assert only_sentences(rig.text) is not None
