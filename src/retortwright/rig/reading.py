# SPDX-License-Identifier: MIT
"""From the text of a rig file to a `Rig`, with every mistake of the file at once."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from pathlib import Path as FilePath
from typing import Any

from retortwright.ground.errors import AskError, Mistake, RigError, nearest_word
from retortwright.rig.assembly import assembled
from retortwright.rig.kinds import Context
from retortwright.rig.locate import Path, locate
from retortwright.rig.parts import Rig
from retortwright.rig.plantfile import PlantKind
from retortwright.rig.rigfile import PIECE_KEYS, RIG_FILE, ROOT_KEYS

__all__ = ["read_rig", "rig_of"]

_SUMMARY = re.compile(r"^(?P<says>.*?) \(at line (?P<line>\d+), column \d+\)$")

_TODO = {  # what a user does about the commonest mistakes of form, by a word of what the reader of TOML says
    "overwrite": "a key may be written only once in its table: keep one of them",
    "twice": "a table may be opened only once: put its keys together",
    "Invalid value": 'texts and quantities stand in double quotes, such as "160 mm"',
    "Expected newline": "one key = value to a line; a text or quantity stands in double quotes from end to end",
    "Unescaped": "write / for a backslash, or double it",
}
_LOOK = "see the line, or begin anew with: retortwright new rig.toml"


def read_rig(path: str) -> Rig:
    """The rig of a file. Raises RigError with all mistakes, AskError if it cannot be opened."""
    try:
        raw = FilePath(path).read_bytes()
    except OSError as error:
        says = f"cannot read the rig file '{path}': {error.strerror or error}"
        raise AskError(f"{says}; give the path of a rig file, or begin one with: retortwright new rig.toml") from error
    except ValueError as error:  # a null byte in the name
        raise AskError(f"cannot read the rig file {path!r}: {error}; give the path of a rig file") from error
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise RigError([Mistake(path, line, "", "the file is not UTF-8 text; save it as UTF-8")]) from error
    return rig_of(text, path)


def rig_of(text: str, path: str = "rig") -> Rig:
    """The rig that a text describes. Raises RigError with all mistakes."""
    document = _parsed(text, path)
    lines = locate(text.replace("\r\n", "\n"))
    context = Context(_names(document))
    read = RIG_FILE.read(document, (), context)
    mistakes = list(context.mistakes)
    rig: Rig | None = None
    if read is not None:
        rig = assembled(read, path, text, lines, mistakes)
    if mistakes or rig is None:
        raise RigError(_placed(key, says, path, lines, document) for key, says in mistakes)
    return rig


def _parsed(text: str, path: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        match = _SUMMARY.match(str(error))
        line = int(match["line"]) if match else text.count("\n") + 1
        says = match["says"] if match else str(error)
        todo = next((do for word, do in _TODO.items() if word in says), _LOOK)
        raise RigError([Mistake(path, line, "", f"not readable as TOML: {says}; {todo}")]) from error
    except RecursionError as error:
        raise RigError([Mistake(path, 1, "", "not readable as TOML: nested too deeply")]) from error


def _placed(key: Path, says: str, path: str, lines: dict[Path, int], document: dict[str, Any]) -> Mistake:
    probe = key
    while probe and probe not in lines:
        probe = probe[:-1]
    line = lines.get(probe, 1)
    return Mistake(path, line, _said(key, document), says)


def _said(key: Path, document: dict[str, Any]) -> str:
    """The key as an edit says it: a step by its state, other items of a list by number from 1."""
    parts: list[str] = []
    node: Any = document
    for part in key:
        word = str(part)
        if isinstance(part, int):
            word = _step(node, part, document) if parts == ["programme", "steps"] else str(part + 1)
        parts.append(word)
        inside = isinstance(node, dict) and part in node
        listed = isinstance(node, list) and isinstance(part, int) and part < len(node)
        node = node[part] if inside or listed else None
    return ".".join(parts)


def _step(steps: Any, index: int, document: dict[str, Any]) -> str:
    """The state of a step, with a number where several run in it; its own number where it has no right state."""
    runs = [step.get("state") if isinstance(step, dict) else None for step in steps]
    state, known = runs[index], document.get("state")
    if not isinstance(state, str) or not isinstance(known, dict) or state not in known:
        return str(index + 1)
    return state if runs.count(state) == 1 else f"{state}#{runs[: index + 1].count(state)}"


def _names(document: dict[str, Any]) -> dict[str, tuple[str, ...]]:
    """The names that stand in the file, by what they name; no entry where they cannot be known."""
    pieces, states, heat, cool, plant = (
        _meant(document, key, ROOT_KEYS) for key in ("piece", "state", "heat", "cool", "plant")
    )
    names: dict[str, tuple[str, ...]] = {}
    if isinstance(pieces, dict):
        names["row"] = tuple(pieces)
        names["piece"] = tuple(single for name, item in pieces.items() for single in _singles(name, item))
        names["valve"] = tuple(name for name, item in pieces.items() if _may_be_valve(item))
    if isinstance(states, dict):
        names["state"] = tuple(states)
    if all(table is None or isinstance(table, dict) for table in (heat, cool, plant)):
        running = {PlantKind().meant(name, item) for name, item in (plant or {}).items()} & _RUNNING
        names["switch"] = (*(heat or {}), *(cool or {}), *running)
    return names


_RUNNING = {"pump", "argon"}  # of the plant


def _meant(table: dict[str, Any], key: str, known: Iterable[str]) -> Any:
    """What stands under a key or under a misspelling of it, None if neither is there."""
    if key in table:
        return table[key]
    known = tuple(known)
    near = (item for word, item in table.items() if word not in known and nearest_word(word, known) == key)
    return next(near, None)


def _singles(name: str, item: Any) -> list[str]:
    """The names of the single pieces of a row: all that may be where the count cannot be read."""
    if not isinstance(item, dict):
        return [name]
    count = _meant(item, "count", PIECE_KEYS)
    if count is None:
        return [name]
    if "count" in item and isinstance(count, int) and not isinstance(count, bool) and 1 <= count <= 60:
        return [f"{name}.{index + 1}" for index in range(count)] if count > 1 else [name]
    return [name, *(f"{name}.{index + 1}" for index in range(60))]


def _may_be_valve(item: Any) -> bool:
    return not isinstance(item, dict) or _meant(item, "valve", PIECE_KEYS) is not None
