# SPDX-License-Identifier: MIT
"""`Edit`: the one way a rig is changed.

The command line, a remedy, a sweep and the page all change the text of the rig file through
here, so that comments survive and a change can always be said again as KEY=VALUE. A key may
reach inside a text that holds several figures (`piece.line.tube.wall`), and a step of the
programme is named by its state (`programme.steps.distil.to`).
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from retortwright.ground.errors import EditError, allowed_words, nearest
from retortwright.rig.compound import Compound
from retortwright.rig.dotted import DottedKind
from retortwright.rig.kinds import Either, Formula, Kind, Listing
from retortwright.rig.parts import Rig
from retortwright.rig.reading import rig_of
from retortwright.rig.rigfile import RIG_FILE, kind_within
from retortwright.rig.schema import Named, Record

__all__ = ["Edit", "edited", "edited_text", "parse_edit", "step_index"]


@dataclass(frozen=True, slots=True)
class Edit:
    """One change: a dotted key and the value to write there, as TOML or as plain words."""

    key: str
    value: str

    def __str__(self) -> str:
        return f"{self.key}={self.value}"


def parse_edit(text: str) -> Edit:
    """An edit from KEY=VALUE. Raises EditError.

    >>> parse_edit("piece.line.length=250 mm")
    Edit(key='piece.line.length', value='250 mm')
    """
    key, equals, value = text.partition("=")
    if not equals or not key.strip():
        raise EditError(f"expected KEY=VALUE such as piece.line.length='250 mm', got '{text}'")
    return Edit(key.strip(), value.strip())


def edited(rig: Rig, edits: Sequence[Edit]) -> Rig:
    """A rig with some edits made. Raises EditError or RigError."""
    return rig_of(edited_text(rig.text, edits), rig.path) if edits else rig


def edited_text(text: str, edits: Iterable[Edit]) -> str:
    """The text of a rig file with some edits made; all else stays to the letter."""
    document = tomlkit.parse(text)
    for edit in edits:
        _make(document, edit)
    return tomlkit.dumps(document)


def _make(document: Any, edit: Edit) -> None:
    parts = edit.key.split(".")
    holder: Any = document
    kind: Kind = RIG_FILE
    for depth, part in enumerate(parts):
        rest = parts[depth:]
        if isinstance(kind, DottedKind):
            _set_dotted(holder, rest, edit, kind)
            return
        if isinstance(kind, Listing):
            index = step_index(holder, part, edit.key)
            if len(rest) == 1:
                raise EditError(f"{edit.key}: name the key of the step too, such as {edit.key}.to")
            holder, kind = holder[index], kind.item
            continue
        below = kind_within(kind, part)
        if below is None:
            raise EditError(f"{edit.key}: unknown key '{part}'; {_known(kind, part)}")
        if len(rest) == 1:
            holder[part] = _value(edit, below)
            return
        if isinstance(below, Either):
            below = below.long if isinstance(holder.get(part), dict) else below.short
        if isinstance(below, Compound):
            _set_inside(holder, part, rest[1:], edit, below)
            return
        if part not in holder:
            _open(holder, part, kind, below, edit, depth)
        holder, kind = holder[part], below
    raise EditError(f"{edit.key}: this is a table; name a key inside it")


def _open(holder: Any, part: str, kind: Kind, below: Kind, edit: Edit, depth: int) -> None:
    """Make the table that an edit reaches into, where that cannot be a slip of the pen."""
    if isinstance(kind, Named) or not isinstance(below, Record | Named | DottedKind):
        where = ".".join(edit.key.split(".")[: depth + 1])
        raise EditError(
            f"{edit.key}: there is no {where} in the file; {nearest(part, holder)}there are: {allowed_words(holder)}; "
            f"a new one is written whole, as {where}={{ ... }}"
        )
    holder[part] = tomlkit.table() if depth == 0 else tomlkit.inline_table()


def _known(kind: Kind, part: str) -> str:
    if isinstance(kind, Record):
        keys = [field.key for field in kind.fields]
        return f"{nearest(part, keys)}allowed: {allowed_words(keys)}"
    return f"what stands there is {kind.allowed()}"


def step_index(steps: Any, part: str, key: str) -> int:
    """Which step of the programme a state names, as in `distil` or `distil#2`. Raises EditError."""
    if not isinstance(steps, list):
        raise EditError(f"{key}: what stands there is no list")
    state, _, number = part.partition("#")
    found = [
        index for index, step in enumerate(steps) if isinstance(step, dict) and step.get("state") == state
    ]
    if not found:
        states = [str(step.get("state")) for step in steps if isinstance(step, dict)]
        raise EditError(
            f"{key}: no step runs in state '{part}'; {nearest(part, states)}there are: {allowed_words(states)}"
        )
    if not number and len(found) > 1:
        which = " or ".join(f"{state}#{place + 1}" for place in range(len(found)))
        raise EditError(f"{key}: {len(found)} steps run in state {state}; say {which}")
    place = int(number) - 1 if number.isdecimal() else -1 if number else 0
    if not 0 <= place < len(found):
        raise EditError(f"{key}: there are {len(found)} steps in state {state}")
    return found[place]


def _set_dotted(holder: Any, rest: list[str], edit: Edit, kind: DottedKind) -> None:
    name = ".".join(rest)
    known = kind.names()
    if name not in known:
        raise EditError(
            f"{edit.key}: no {kind.what} is called '{name}'; {nearest(name, known)}allowed: {allowed_words(known)}"
        )
    for key in rest[:-1]:
        if key not in holder:
            holder[key] = tomlkit.table()
        holder = holder[key]
    holder[rest[-1]] = edit.value


def _set_inside(holder: Any, part: str, rest: list[str], edit: Edit, kind: Compound) -> None:
    if part not in holder:
        raise EditError(f"{edit.key}: there is no {part} in the file to change")
    if len(rest) != 1 or rest[0] not in kind.parts:
        raise EditError(f"{edit.key}: inside {part} stand: {', '.join(kind.parts)}")
    try:
        holder[part] = kind.changed(str(holder[part]), rest[0], edit.value)
    except ValueError as error:
        raise EditError(f"{edit.key}: {error}") from error


def _value(edit: Edit, kind: Kind) -> Any:
    """The value as TOML where it is TOML and not meant as plain words."""
    try:
        parsed = tomllib.loads(f"value = {edit.value}")["value"]
    except tomllib.TOMLDecodeError:
        return edit.value
    if isinstance(parsed, str | dict | list | int) and not isinstance(kind, Formula):
        try:
            return tomlkit.parse(f"value = {edit.value}")["value"]
        except TOMLKitError:
            return edit.value
    return edit.value
