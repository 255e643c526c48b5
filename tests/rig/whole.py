# SPDX-License-Identifier: MIT
"""The whole rig file of the tests: every key where it stands, and the text with one of them changed."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any

from retortwright.ground.errors import Mistake, RigError, allowed_words
from retortwright.ground.units import DIMENSIONS
from retortwright.rig.dotted import DottedKind
from retortwright.rig.kinds import Choice, Either, Kind, Listing, Name, Quantity, Text
from retortwright.rig.locate import Path, locate
from retortwright.rig.reading import rig_of
from retortwright.rig.rigfile import RIG_FILE, kind_within
from retortwright.rig.schema import LATER, Field, Named, Record
from retortwright.rig.vocabulary import assumed_later

__all__ = [
    "DOCUMENT",
    "FILE",
    "LINES",
    "SLOTS",
    "TEXT",
    "Slot",
    "Span",
    "allowance",
    "dotted",
    "fields_of",
    "ids",
    "line_at",
    "misspelt",
    "mistakes_of",
    "schema_key",
    "span_of",
    "the_mistake",
    "without_table",
]

FILE = "whole.toml"
TEXT = (FilePath(__file__).parent / FILE).read_text(encoding="utf-8")
DOCUMENT = tomllib.loads(TEXT)
LINES = locate(TEXT)
_STARTS = [0, *(match.end() for match in re.finditer("\n", TEXT))]


def dotted(path: Path) -> str:
    """A key as a message names it: steps by their state, where that is right, all else in a list from 1."""
    parts = [str(part + 1) if isinstance(part, int) else part for part in path]
    if path[:2] == ("programme", "steps") and len(path) == 4 and path[3] not in ("state", misspelt("state")):
        states = [step["state"] for step in DOCUMENT["programme"]["steps"]]
        state = states[int(path[2])]
        alike = [number for number, other in enumerate(states) if other == state]
        parts[2] = state if len(alike) == 1 else f"{state}#{alike.index(int(path[2])) + 1}"
    return ".".join(parts)


@dataclass(frozen=True, slots=True)
class Slot:
    """One key of the schema where it stands in the text."""

    path: Path
    kind: Kind
    used: str
    required: bool
    value: Any

    @property
    def dotted(self) -> str:
        """The key as a message names it."""
        return dotted(self.path)

    @property
    def is_table(self) -> bool:
        """Whether more keys stand inside it."""
        return isinstance(self.value, dict)

    @property
    def is_leaf(self) -> bool:
        """Whether it holds a value, or a list of names."""
        return not self.is_table and self.path != ("programme", "steps")


@dataclass(frozen=True, slots=True)
class Span:
    """Where a key and its value stand in the text."""

    key: tuple[int, int]
    value: tuple[int, int]

    def with_key(self, key: str) -> str:
        """The text with another key."""
        return TEXT[: self.key[0]] + key + TEXT[self.key[1] :]

    def with_value(self, value: str) -> str:
        """The text with another value, given as TOML."""
        return TEXT[: self.value[0]] + value + TEXT[self.value[1] :]

    def removed(self) -> str:
        """The text without the key and its value."""
        start, end = self.key[0], self.value[1]
        start -= len(TEXT[:start]) - len(re.sub(r"(?:[\w-]+\.)+$", "", TEXT[:start]))  # of a dotted key
        after = re.match(r"\s*,[ \t]*", TEXT[end:])
        before = re.search(r",\s*$", TEXT[:start])
        if after:
            end += after.end()
        elif before:
            start = before.start()
        return TEXT[:start] + TEXT[end:]


def fields_of(kind: Kind) -> tuple[Field, ...]:
    """The keys of a table of fixed keys."""
    record = getattr(kind, "record", kind)
    return record.fields if isinstance(record, Record) else ()


def _slots(kind: Kind, node: Any, path: Path, used: str) -> Iterator[Slot]:
    if isinstance(kind, Either):
        kind = kind.long
    if isinstance(kind, Listing):
        for index, item in enumerate(node):
            if not isinstance(item, dict):
                yield Slot((*path, index), kind.item, used, False, item)
            yield from _slots(kind.item, item, (*path, index), used)
    elif isinstance(node, dict) and isinstance(kind, DottedKind):
        yield from _dotted(kind, node, path, (), used)
    elif isinstance(node, dict):
        fields = {field.key: field for field in fields_of(kind)}
        for key, item in node.items():
            below = kind_within(kind, key)
            assert below is not None, (*path, key)
            field = fields.get(key)
            leaf = isinstance(kind, Named) and not isinstance(item, dict)
            if field is not None or leaf:
                yield Slot((*path, key), below, field.used if field else used, bool(field and field.required), item)
            yield from _slots(below, item, (*path, key), field.used if field else used)


def _dotted(kind: DottedKind, node: dict[str, Any], path: Path, keys: tuple[str, ...], used: str) -> Iterator[Slot]:
    for key, item in node.items():
        if isinstance(item, dict):
            yield from _dotted(kind, item, path, (*keys, key), used)
        else:
            name = ".".join((*keys, key))
            own = LATER if name in assumed_later() else used
            yield Slot((*path, *keys, key), kind.names()[name], own, False, item)


SLOTS = tuple(_slots(RIG_FILE, DOCUMENT, (), ""))


def schema_key(slot: Slot) -> str:
    """The key without the names that the user gave: the same for all that the schema defines once."""
    parts = ["*" if isinstance(part, int) else part for part in slot.path]
    if parts[0] in ("piece", "charge", "heat", "lag", "cool", "state"):
        parts[1] = "*"
    if len(parts) > 3 and parts[2] in ("contains", "over"):
        parts[3:] = ["*"]
    if parts[0] == "plant" and parts[1] == "P1":
        parts[1] = "a gauge"
    return ".".join(parts)


def span_of(path: Path) -> Span:
    """Where a key stands; its line must hold the key just once."""
    if isinstance(path[-1], int):
        return _item_span(path)
    line = LINES[path] - 1
    start, end = _STARTS[line], TEXT.find("\n", _STARTS[line])
    pattern = re.compile(rf'(?<![\w"-])"?{re.escape(path[-1])}"?(?=\s*=)')
    found = list(pattern.finditer(TEXT, start, end))
    assert len(found) == 1, f"{path} stands {len(found)} times on line {line + 1}"
    opens = TEXT.index("=", found[0].end()) + 1
    opens += len(TEXT[opens:]) - len(TEXT[opens:].lstrip(" "))
    span = Span(found[0].span(), (opens, _end_of_value(opens)))
    assert tomllib.loads(f"v = {TEXT[opens : span.value[1]]}")["v"] == _value_at(path)
    return span


def _item_span(path: Path) -> Span:
    opens, closes = span_of(path[:-1]).value
    items = list(re.finditer(r'"[^"]*"', TEXT[opens:closes]))
    start, end = items[int(path[-1])].span()
    return Span((opens + start, opens + end), (opens + start, opens + end))


def _end_of_value(at: int) -> int:
    depth = 0
    for match in re.compile(r'"[^"]*"|[\[{]|[\]}]|[,\n]').finditer(TEXT, at):
        if match[0] in "[{":
            depth += 1
        elif match[0] in "]}":
            depth -= 1
        if depth == 0 and match[0] not in ",\n":
            return match.end()
        if depth <= 0:
            return at + len(TEXT[at : match.start()].split("#")[0].rstrip())
    raise AssertionError("the value does not end")


def _value_at(path: Path) -> Any:
    node: Any = DOCUMENT
    for part in path:
        node = node[part]
    return node


def without_table(name: str) -> tuple[str, list[str]]:
    """The text without the sections of one root table, and these sections."""
    sections = re.split(r"(?m)^(?=\[)", TEXT)
    own = [section for section in sections if re.match(rf"\[{name}[.\]]", section)]
    return "".join(section for section in sections if section not in own), own


def line_at(text: str, position: int) -> int:
    """The line of a place in a text, from 1."""
    return text.count("\n", 0, position) + 1


def mistakes_of(text: str) -> tuple[Mistake, ...]:
    """The mistakes of a rig text; none if it is right."""
    try:
        rig_of(text, FILE)
    except RigError as error:
        return error.mistakes
    return ()


def ids(slots: list[Slot]) -> list[str]:
    """The dotted keys, to name the tests by."""
    return [slot.dotted for slot in slots]


def the_mistake(text: str, line: int, key: str) -> str:
    """What the one mistake of a text says, after its place has been checked."""
    found = mistakes_of(text)
    assert [str(mistake).partition(f": {key}: ")[0] for mistake in found] == [f"{FILE}:{line}"], found
    return found[0].says


def allowance(kind: Kind) -> str:
    """A part of the message that says what may be written there."""
    if isinstance(kind, Quantity):
        return DIMENSIONS[kind.dimension].allowed()
    if isinstance(kind, Choice):
        return f"allowed: {allowed_words(kind.words())}"
    if isinstance(kind, Name):
        return "there are: "
    if isinstance(kind, Either):
        return allowance(kind.short)
    if isinstance(kind, Named):
        return f"a table of {kind.what}"
    if isinstance(kind, Listing):
        return "a list in [ ]"
    if isinstance(kind, DottedKind | Text):
        return "a table" if isinstance(kind, DottedKind) else "a text in quotes"
    return kind.allowed()


def misspelt(word: str) -> str:
    """A slip of the pen: a letter left out, or one too many in a short word."""
    return word[0] + word[2:] if len(word) > 4 else word + "x"
