# SPDX-License-Identifier: MIT
"""Every key of the rig file does what the schema says of it: something in the answers, or nothing yet.

The keys of the whole rig file are given other values that are right there too. Where the schema
says that an answer uses a key, something in the findings changes; where it says that no answer
does, nothing changes, to the last bit.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterable, Iterator
from itertools import chain, zip_longest
from pathlib import Path
from typing import Any

import pytest

from retortwright.assess.assessment import ANSWERED
from retortwright.assess.joints_live import joints_live
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.rig.edit import Edit, edited
from retortwright.rig.kinds import Name
from retortwright.rig.parts import Rig
from retortwright.rig.reading import read_rig, rig_of
from retortwright.rig.schema import DRAWING, LATER
from retortwright.rig.vocabulary import assumable, assumed_later
from retortwright.situation.situation import Situation
from rig.other_values import TOGETHER, as_toml, edit_key, other_values
from rig.whole import FILE, SLOTS, TEXT, Slot, schema_key
from situation.crossings import ZINC, changed

DRAWS = Draws(samples=4)
IDLE = (LATER, DRAWING)
EXAMPLES = Path(__file__).parents[2] / "examples"
RIG = rig_of(TEXT, FILE)
FREEZING = changed(ZINC, ("heat.tape.holds", "100 degC"))  # a metal that lands solid
# Metals beside the product: a solute, an impurity of its own kind and one of another; a reductant in an alloy.
MIXED = [(read_rig(str(EXAMPLES / "zinc-redistilled.toml")), number) for number in (1, 3)]
MIXED.append((read_rig(str(EXAMPLES / "magnesium-dolime.toml")), 1))
CELLS = (EXAMPLES / "rubidium-cells.toml").read_text(encoding="utf-8")
AGAIN = '[charge.Rb]\nmass = "20 g"\ncontains = { Na = "1 %" }\n\n'
MIXED.append((rig_of(re.sub(r"(?ms)^\[charge\.RbCl\].*?(?=^\[piece)", AGAIN, CELLS, count=1), FILE), 3))
# The format has one value only; the steps are judged by the keys inside them; two have tests of their own.
FIXED = {"retortwright", "programme.steps", "plant.pump.kind", "plant.argon.at"}
LEAVES = [
    slot for slot in SLOTS if not slot.is_table and not isinstance(slot.path[-1], int) and slot.dotted not in FIXED
]
USED: dict[str, list[Slot]] = {}  # by key of the schema, wherever it stands in the file
for one in LEAVES:
    if one.used not in IDLE:
        USED.setdefault(schema_key(one), []).append(one)
UNUSED = [slot for slot in LEAVES if slot.used in IDLE]


def answers(situation: Situation, question: int) -> Iterator[tuple[Any, ...]]:
    """Every number, verdict and word of the findings of one question, one after another.

    The joints without vapour go first, for they are soon solved: most keys show there.
    """
    first = joints_live(situation, "rise") if question == 4 else iter(())
    for one in chain(first, ANSWERED[question](situation)):
        yield (one.id, one.judgement, one.limit, one.reserve, one.subject, one.at, one.because, one.missing,
               one.single, one.notes)  # fmt: skip


@functools.cache
def plain_situation() -> Situation:
    """The rig as it stands, solved."""
    return Situation(RIG, shipped(), DRAWS)


@functools.cache
def plain_answers(*questions: int) -> list[tuple[Any, ...]]:
    """The findings of the rig as it stands, by a situation that was asked these questions and no other.

    What was solved before serves as a first guess, which shows in the last digits: a trial must have the
    same history, or everything would seem to differ.
    """
    asked = plain_situation() if questions == tuple(ANSWERED) else Situation(RIG, shipped(), DRAWS)
    return [one for question in questions for one in answers(asked, question)]


def something_changes(edits: list[Edit], questions: Iterable[int] = ANSWERED) -> bool:
    """Whether the findings of some questions differ with some edits made."""
    return differs(edited(RIG, edits), questions)


def differs(rig: Rig, questions: Iterable[int] = ANSWERED) -> bool:
    """Whether the findings of another rig differ; the first difference is enough."""
    situation = Situation(rig, shipped(), DRAWS)
    found = (one for question in questions for one in answers(situation, question))
    return any(one != other for one, other in zip_longest(found, plain_answers(*questions)))


def changes_of(slot: Slot) -> list[list[Edit]]:
    """Other values of one key, each with what has to be written beside it."""
    if slot.dotted in TOGETHER:
        return [[Edit(*pair) for pair in TOGETHER[slot.dotted].items()]]
    values = other_values(slot, 1 if slot in UNUSED else 12 if isinstance(slot.kind, Name) else 3)
    return [[Edit(edit_key(slot), value if isinstance(value, str) else as_toml(value))] for value in values]


def test_the_findings_carry_numbers_to_compare() -> None:
    plain_answers(*ANSWERED)
    for question in ANSWERED:
        verdicts = [one[1].verdict for one in answers(plain_situation(), question)]
        assert verdicts
        # what is known from memory only never holds: of what attacks what more is unknown until somebody has seen it
        assert verdicts.count("unknown") <= (0.4 if question == 7 else 0.2) * len(verdicts)
    assert something_changes([Edit("piece.line.length", "150.0001 mm")], [4])
    assert len(USED) > 40
    assert UNUSED


@pytest.mark.parametrize("key", USED)
def test_a_key_that_is_used_changes_something(key: str) -> None:
    """And in the answers to the very questions that the schema names."""
    slots = sorted(USED[key], key=lambda slot: slot.dotted not in TOGETHER)  # what is chosen to matter first
    by_turns = [edits for turn in zip_longest(*map(changes_of, slots)) for edits in turn if edits]
    questions = [int(number) for number in re.findall(r"\d+", USED[key][0].used)]
    assert questions
    if key.startswith(("assume.", "tighten.")):  # one word for the whole table
        assert any(something_changes(edits) for edits in by_turns)
        return
    for question in questions:
        assert any(something_changes(edits, [question]) for edits in by_turns)


def test_keys_that_are_not_used_change_nothing() -> None:
    """All at once: only a freak would let two changes undo each other to the last bit."""
    edits = [edit for slot in UNUSED for edit in changes_of(slot)[0]]
    if something_changes(edits):  # say which
        assert [edit for edit in edits if something_changes([edit])] == []
        raise AssertionError("some of these keys change something together, though none does alone")


def test_figures_that_may_be_assumed_are_used_but_for_those_that_are_listed() -> None:
    # A stronger tape and no cloth that boils: so that a loss is followed in time.
    strong_tape = TEXT.replace('power = "12 W"', 'power = "60 W"').replace(', elbow = "5 to 20 mm"', "")
    no_times = re.sub(r', (?:ramp|hold) = "[^"]*"', "", TEXT)
    assert TEXT not in (strong_tape, no_times)
    fluoride = TEXT.replace("[charge.RbCl]", "[charge.RbF]")  # of whose melt nothing is published
    glued = TEXT.replace('joined = "graded glass seal"', 'joined = "epoxy"', 1)  # the manifold to its cone of steel
    others = [(rig_of(strong_tape, FILE), 4), (rig_of(no_times, FILE), 6), (FREEZING, 2), (rig_of(fluoride, FILE), 1)]
    others += [(rig_of(glued, FILE), 5), (rig_of(TEXT.replace('"butyl"', '"nylon"', 1), FILE), 5)]
    scraped = rig_of(TEXT.replace('metal  = "Rb"', 'metal  = "Ba"'), FILE)  # a metal that is scraped off
    others += [(scraped, 10), *MIXED]
    asked = [(plain_situation(), question) for question in ANSWERED]
    asked += [(Situation(rig, shipped(), DRAWS), question) for rig, question in others]
    inputs = {
        belief.name
        for situation, question in asked
        for one in ANSWERED[question](situation)
        for belief in one.inputs
    }
    beliefs = set(shipped().subjects("beliefs", "default"))
    assert beliefs <= set(assumable())
    assert beliefs - inputs == assumed_later() - {"leak"}  # of the leak there is no default; it is a key above


def test_the_kind_of_a_pump_matters_where_its_ultimate_pressure_is_not_stated() -> None:
    pumps = (f'{{ on = "hose", kind = "{kind}", speed = "4 m3/h" }}' for kind in ("rotary, two-stage", "scroll"))
    one, other = (Situation(edited(RIG, [Edit("plant.pump", pump)]), shipped(), DRAWS) for pump in pumps)
    assert any(mine != theirs for mine, theirs in zip_longest(answers(one, 6), answers(other, 6)))


def test_where_argon_comes_in_matters_on_either_side_of_a_seat() -> None:
    entry = '{{ on = "V1", at = "{} mm", purity = "99.99 %", hose = "1.5 m nylon", flow = "0.2 L/min" }}'
    one, other = (
        Situation(edited(RIG, [Edit("plant.argon", entry.format(at))]), shipped(), DRAWS) for at in (10, 50)
    )
    assert any(mine != theirs for mine, theirs in zip_longest(answers(one, 8), answers(other, 8)))


def test_a_table_is_used_where_a_key_inside_it_is() -> None:
    inside = {slot.path[:1]: slot.used for slot in LEAVES if slot.used not in IDLE and len(slot.path) > 1}
    tables = {slot.path: slot.used for slot in SLOTS if slot.is_table and len(slot.path) == 1}
    # The charge is used as a whole: with it there is a product whose vapour brings heat.
    assert {path for path, used in tables.items() if used not in IDLE} == {*inside, ("charge",)}
    without = TEXT.replace(TEXT[TEXT.index("[charge.RbCl]") : TEXT.index("[piece.retort]")], "")
    assert differs(rig_of(without, FILE))
