# SPDX-License-Identifier: MIT
"""Every key of the rig file does what the schema says of it: something in the answers, or nothing yet.

The keys of the whole rig file are given other values that are right there too. Where the schema
says that an answer uses a key, something in the findings changes; where it says that no answer
does, nothing changes, to the last bit.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator
from itertools import zip_longest
from typing import Any

import pytest

from retortwright.assess.assessment import ANSWERED
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import rig_of
from retortwright.rig.schema import DRAWING, LATER
from retortwright.rig.vocabulary import assumable, assumed_later
from retortwright.situation.situation import Situation
from rig.other_values import TOGETHER, as_toml, edit_key, other_values
from rig.whole import FILE, SLOTS, TEXT, Slot, schema_key

DRAWS = Draws(samples=6)
IDLE = (LATER, DRAWING)
RIG = rig_of(TEXT, FILE)
# The format has one value only; the steps are judged by the keys inside them.
FIXED = {"retortwright", "programme.steps"}
LEAVES = [
    slot for slot in SLOTS if not slot.is_table and not isinstance(slot.path[-1], int) and slot.dotted not in FIXED
]
USED: dict[str, list[Slot]] = {}  # by key of the schema, wherever it stands in the file
for one in LEAVES:
    if one.used not in IDLE:
        USED.setdefault(schema_key(one), []).append(one)
UNUSED = [slot for slot in LEAVES if slot.used in IDLE]


def answers(edits: list[Edit]) -> Iterator[tuple[Any, ...]]:
    """Every number, verdict and word of the findings of the rig with some edits made, one after another."""
    situation = Situation(edited(RIG, edits), shipped(), DRAWS) if edits else plain_situation()
    for answer in ANSWERED.values():
        for one in answer(situation):
            yield (one.id, one.judgement, one.limit, one.reserve, one.subject, one.at, one.because, one.missing,
                   one.single, one.notes)  # fmt: skip


@functools.cache
def plain_situation() -> Situation:
    """The rig as it stands, solved."""
    return Situation(RIG, shipped(), DRAWS)


@functools.cache
def plain_answers() -> list[tuple[Any, ...]]:
    """The findings of the rig as it stands."""
    return list(answers([]))


def something_changes(edits: list[Edit]) -> bool:
    """Whether the findings differ; the first difference is enough."""
    return any(one != other for one, other in zip_longest(answers(edits), plain_answers()))


def changes_of(slot: Slot) -> list[list[Edit]]:
    """Other values of one key, each with what has to be written beside it."""
    if slot.dotted in TOGETHER:
        return [[Edit(*pair) for pair in TOGETHER[slot.dotted].items()]]
    values = other_values(slot, 2 if slot in UNUSED else 3)
    return [[Edit(edit_key(slot), value if isinstance(value, str) else as_toml(value))] for value in values]


def test_the_findings_carry_numbers_to_compare() -> None:
    verdicts = [one[1].verdict for one in plain_answers()]
    assert len(verdicts) > 30
    assert verdicts.count("unknown") <= 0.1 * len(verdicts)
    assert not something_changes([Edit("aim.metal", "Rb")])  # solved anew, the same to the last bit
    assert something_changes([Edit("piece.line.length", "150.0001 mm")])
    assert len(USED) > 40
    assert len(UNUSED) > 30


@pytest.mark.parametrize("key", USED)
def test_a_key_that_is_used_changes_something(key: str) -> None:
    by_turns = zip_longest(*map(changes_of, USED[key]))
    assert any(something_changes(edits) for turn in by_turns for edits in turn if edits)


def test_keys_that_are_not_used_change_nothing() -> None:
    """All at once, twice with other values: only a freak would let two changes undo each other to the last bit."""
    for number in (0, -1):
        edits = [edit for slot in UNUSED for edit in changes_of(slot)[number]]
        if something_changes(edits):  # say which
            assert [edit for edit in edits if something_changes([edit])] == []
            raise AssertionError("some of these keys change something together, though none does alone")


def test_figures_that_may_be_assumed_are_used_but_for_those_that_are_listed() -> None:
    inputs = {belief.name for answer in ANSWERED.values() for one in answer(plain_situation()) for belief in one.inputs}
    beliefs = set(shipped().subjects("beliefs", "default")) | {"leak"}
    assert beliefs <= set(assumable())
    assert beliefs - inputs == assumed_later()


def test_a_table_is_used_where_a_key_inside_it_is() -> None:
    inside = {slot.path[:1]: slot.used for slot in LEAVES if slot.used not in IDLE and len(slot.path) > 1}
    tables = {slot.path: slot.used for slot in SLOTS if slot.is_table and len(slot.path) == 1}
    # The charge is used as a whole: with it there is a product whose vapour brings heat.
    assert {path for path, used in tables.items() if used not in IDLE} == {*inside, ("charge",)}
    without = TEXT.replace(TEXT[TEXT.index("[charge.RbCl]") : TEXT.index("[piece.retort]")], "")
    situation = Situation(rig_of(without, FILE), shipped(), DRAWS)
    assert "vapour-heat/retort/distil" in {one[0] for one in plain_answers()}
    assert "vapour-heat" not in {finding.check for finding in ANSWERED[4](situation)}
