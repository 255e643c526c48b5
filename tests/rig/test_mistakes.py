# SPDX-License-Identifier: MIT
"""Each key of the rig file spoilt in each way it can be: made from the schema, read back as one mistake.

The text is the whole rig file of the tests. What is expected of a message is its line (counted
here from the place that was spoilt), its dotted key, what is allowed, and the nearest name.
"""

from __future__ import annotations

import re
import tomllib

import pytest

from retortwright.ground.errors import allowed_words
from retortwright.rig.compound import HoseKind, StretchKind, TubeKind
from retortwright.rig.dotted import DottedKind
from retortwright.rig.kinds import Choice, Count, Either, Formula, Kind, Listing, Name, Quantity, Text
from retortwright.rig.plantfile import PlantKind
from retortwright.rig.reading import rig_of
from retortwright.rig.rigfile import RIG_FILE, kind_within
from retortwright.rig.schema import Named
from rig.whole import (
    FILE,
    LINES,
    SLOTS,
    TEXT,
    Slot,
    allowance,
    dotted,
    fields_of,
    ids,
    line_at,
    misspelt,
    mistakes_of,
    schema_key,
    span_of,
    the_mistake,
    without_table,
)

LEAVES = [slot for slot in SLOTS if not slot.is_table]
TABLES = [slot for slot in SLOTS if len(slot.path) == 1 and slot.is_table]
WRITTEN = [slot for slot in SLOTS if slot not in TABLES]  # as key = value, the others as [table]
KEYS = [slot for slot in WRITTEN if not isinstance(slot.path[-1], int)]
SIZES = TubeKind | StretchKind | HoseKind


def test_the_whole_file_is_right_and_has_every_key() -> None:
    assert mistakes_of(TEXT) == ()
    found = set()

    def walk(kind: Kind, place: tuple[str, ...]) -> None:
        kind = kind.long if isinstance(kind, Either) else kind.item if isinstance(kind, Listing | Named) else kind
        if isinstance(kind, PlantKind):
            for name in ("pump", "argon", "relief", "bubbler", "a gauge"):
                walk(kind.within(name), (*place, name))
        for field in fields_of(kind):
            found.add((*place, field.key))
            walk(field.kind, (*place, field.key))

    walk(RIG_FILE, ())
    have = {tuple(schema_key(slot).replace("*.", "").split(".")) for slot in SLOTS if len(slot.path) > 1}
    have |= {slot.path for slot in SLOTS}
    assert found <= have  # exact: every key of the schema


# ---- (a) misspelt


@pytest.mark.parametrize("slot", KEYS, ids=ids(KEYS))
def test_a_misspelt_key(slot: Slot) -> None:
    span, last = span_of(slot.path), str(slot.path[-1])
    slip = misspelt(last)
    text = span.with_key(f'"{slip}"' if " " in slip else slip)
    key = dotted((*slot.path[:-1], slip))
    says = the_mistake(text, line_at(text, span.key[0]), key)
    holder = RIG_FILE
    for part in slot.path[:-1]:
        holder = holder.item if isinstance(holder, Listing) else kind_within(holder, part) or holder
    if isinstance(holder, DottedKind):
        name = slot.dotted.removeprefix(f"{slot.path[0]}.")
        assert f"did you mean {name}? allowed: {allowed_words(holder.names())}" in says
    elif isinstance(holder, Named) and isinstance(holder.among, Formula):
        assert holder.among.allowed() in says
    elif isinstance(holder, Named):
        assert f"did you mean {last}? there are: " in says
    else:
        assert f"did you mean {last}? allowed: {allowed_words(f.key for f in fields_of(holder))}" in says


@pytest.mark.parametrize("slot", TABLES, ids=ids(TABLES))
def test_a_misspelt_table(slot: Slot) -> None:
    slip = misspelt(str(slot.path[0]))
    text = re.sub(rf"(?m)^\[{slot.path[0]}(?=[.\]])", f"[{slip}", TEXT)
    says = the_mistake(text, line_at(text, text.index(f"[{slip}")), slip)
    assert says == f"unknown key; did you mean {slot.path[0]}? allowed: {allowed_words(f.key for f in RIG_FILE.fields)}"


@pytest.mark.parametrize("name", ["pump", "argon", "relief", "bubbler"])
def test_a_misspelt_table_of_the_plant(name: str) -> None:
    text = re.sub(rf"(?m)^{name}(?= +=)", misspelt(name), TEXT)
    says = the_mistake(text, line_at(TEXT, TEXT.index(f"\n{name} ") + 1), f"plant.{misspelt(name)}")
    assert f"did you mean {name}? allowed: " in says
    assert "every other name is a gauge" in says


def test_a_misspelt_piece_is_named_wherever_it_dangles() -> None:
    text = TEXT.replace("[piece.cone]", "[piece.coone]")
    found = mistakes_of(text)
    assert [mistake.key for mistake in found] == ["piece.manifold.on", "heat.tape.over.cone"]
    assert all("did you mean coone? there are: ampoule" in mistake.says for mistake in found)


# ---- (e) dangling names and unknown words


WORDS = [slot for slot in LEAVES if isinstance(slot.kind, Name | Choice | Either)]


@pytest.mark.parametrize("slot", WORDS, ids=ids(WORDS))
def test_a_name_that_nothing_bears(slot: Slot) -> None:
    span = span_of(slot.path)
    slip = misspelt(slot.value)
    says = the_mistake(span.with_value(f'"{slip}"'), line_at(TEXT, span.key[0]), slot.dotted)
    assert repr(slip) in says
    meant = f"'{slot.value}'" if "," in slot.value else slot.value
    assert f"did you mean {meant}? " in says
    assert allowance(slot.kind) in says


def test_names_of_sizes_and_hoses() -> None:
    cases = {
        ("piece", "retort", "tube"): ('"1 in sch 41"', "pipe 1 in has no 'sch 41' in", "allowed: sch 10S, sch 40"),
        ("piece", "line", "tube"): ('"DN26 sch 40"', "no pipe size 'DN26'; did you mean DN", " 1 in, "),
        ("plant", "argon", "hose"): ('"1.5 m nilon"', "did you mean nylon? allowed: ", "butyl"),
    }
    for path, (value, *parts) in cases.items():
        span = span_of(path)
        says = the_mistake(span.with_value(value), line_at(TEXT, span.key[0]), ".".join(path))
        assert all(part in says for part in parts), says


# ---- (f) the wrong type of TOML


TYPES = {"a number": "7", "a fraction": "7.5", "a truth": "true", "a list": "[1, 2]", "a table": "{ xyz = 1 }",
         "a text": '"some words"', "a date": "2026-01-31"}  # fmt: skip


def fits(kind: Kind, name: str) -> bool:
    """Whether values of this type are among what the key takes, or have mistakes of their own inside."""
    if isinstance(kind, Count):
        return name == "a number"
    if isinstance(kind, Text | Choice | Name | SIZES):
        return name == "a text"
    if isinstance(kind, Quantity):
        return name == "a text" or (kind.dimension == "plain" and name in ("a number", "a fraction"))
    if isinstance(kind, Listing):
        return name == "a list"
    return name == "a table" or (isinstance(kind, Either) and name == "a text")


@pytest.mark.parametrize("slot", WRITTEN, ids=ids(WRITTEN))
def test_the_wrong_type(slot: Slot) -> None:
    span = span_of(slot.path)
    for name, value in TYPES.items():
        if not fits(slot.kind, name):
            says = the_mistake(span.with_value(value), line_at(TEXT, span.key[0]), slot.dotted)
            assert allowance(slot.kind) in says, name


@pytest.mark.parametrize("slot", TABLES, ids=ids(TABLES))
def test_a_value_where_a_table_belongs(slot: Slot) -> None:
    rest, sections = without_table(str(slot.path[0]))
    assert sections
    for name, value in TYPES.items():
        if name != "a table":
            text = rest.replace("\nabout =", f"\n{slot.path[0]} = {value}\nabout =", 1)
            assert allowance(slot.kind) in the_mistake(text, 4, str(slot.path[0]))


NAMED_ENTRIES = [
    "charge.Ca", "piece.line", "heat.tape", "lag.wool", "cool.fan", "state.distil", "plant.pump", "plant.P1"
]  # fmt: skip


@pytest.mark.parametrize("key", NAMED_ENTRIES)
def test_a_value_where_a_named_table_belongs(key: str) -> None:
    table, name = key.split(".")
    text = re.sub(rf"(?ms)^\[{table}\.{name}\]\n.*?(?=^\[)", "", TEXT)
    text = re.sub(rf"(?m)^{name} .*\n", "", text)
    header = f"[{table}]\n"
    text = text.replace(header, f"{header}{name} = 7\n") if header in text else text + f"\n{header}{name} = 7\n"
    found = [mistake for mistake in mistakes_of(text) if mistake.key == key]
    line = line_at(text, text.index(f"\n{name} = 7") + 1)
    assert [str(mistake).partition(": expected a table with ")[0] for mistake in found] == [f"{FILE}:{line}: {key}"]


# ---- (g) missing


REQUIRED = [slot for slot in WRITTEN if slot.required]
BY_RULE = {  # keys that the whole file asks for, and the words that ask
    "piece.line.length": "near end to far end",
    "piece.line.joined": "the joint at its near end",
    "piece.ampoule.at": "where the first one sits",
    "piece.ampoule.every": "distance from one to the next",
    "cool.coil.flow": "a cooling by water coil needs it",
    "cool.coil.inlet": "a cooling by water coil needs it",
    "cool.cloth.feed": "a cooling by wet wrap needs it",
    "cool.fan.speed": "a cooling by air needs it",
}
NEEDED = [*REQUIRED, *(slot for slot in WRITTEN if slot.dotted in BY_RULE)]


@pytest.mark.parametrize("slot", NEEDED, ids=ids(NEEDED))
def test_a_missing_key(slot: Slot) -> None:
    text = span_of(slot.path).removed()
    tomllib.loads(text)
    holder = dotted(slot.path[:-1])
    line = LINES[slot.path[:-1]] if holder else 1  # the table's own line; a slip above would have shown in (a)
    if not holder:
        found = mistakes_of(text)
        assert [(mistake.line, mistake.key) for mistake in found] == [(1, "")]
        says = found[0].says
    else:
        says = the_mistake(text, line, holder)
    assert f"the key {slot.path[-1]} is missing" in says
    assert BY_RULE.get(slot.dotted) or slot.kind.allowed() in says
    assert BY_RULE.get(slot.dotted, "") in says


@pytest.mark.parametrize("slot", [slot for slot in TABLES if slot.required], ids=lambda slot: slot.dotted)
def test_a_missing_table(slot: Slot) -> None:
    text, _ = without_table(str(slot.path[0]))
    found = mistakes_of(text)
    assert [(mistake.line, mistake.key) for mistake in found] == [(1, "")], found
    assert f"the key {slot.path[0]} is missing" in found[0].says


def test_optional_keys_may_be_left_out() -> None:
    kept = {"piece.bulb.shape", "piece.elbow.bend"} | {slot.dotted for slot in NEEDED}
    for slot in WRITTEN:
        if isinstance(slot.path[-1], int) or slot.dotted in kept or slot.path[-1] in ("length", "joined"):
            continue
        found = [mistake.says for mistake in mistakes_of(span_of(slot.path).removed())]
        if slot.dotted == "piece.V1.valve":
            assert found == ["no valve is called 'V1'; the file has no valve"]
        elif slot.dotted == "heat.tape.holds":
            assert found == ["tape runs in state backfill, but no step of that state says how hot: give it a `to`"]
        elif slot.path[-1] == "on":
            assert len(found) == 1
            assert "sits on nothing" in found[0]
        elif slot.dotted == "piece.ampoule.count":
            assert len(found) == 1
            assert found[0].startswith("no piece is called 'ampoule.2'; did you mean ampoule? there are: ampoule, bulb")
        else:
            assert found == [], slot.dotted


def test_the_text_is_read_as_it_stands() -> None:
    assert rig_of(TEXT, FILE).text == TEXT
