# SPDX-License-Identifier: MIT
"""From the text of a rig file to a `Rig`, with every mistake of the file at once."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path as FilePath
from typing import Any

from retortwright.ground.errors import AskError, Mistake, RigError
from retortwright.rig.assembly import assembled
from retortwright.rig.kinds import Context
from retortwright.rig.locate import Path, locate
from retortwright.rig.parts import Rig
from retortwright.rig.rigfile import RIG_FILE

__all__ = ["read_rig", "rig_of"]

_SUMMARY = re.compile(r"^(?P<says>.*?) \(at line (?P<line>\d+), column \d+\)$")


def read_rig(path: str) -> Rig:
    """The rig of a file. Raises RigError with all mistakes, AskError if it cannot be opened."""
    try:
        raw = FilePath(path).read_bytes()
    except OSError as error:
        raise AskError(f"cannot read the rig file '{path}': {error.strerror or error}") from error
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
        raise RigError(_placed(key, says, path, lines) for key, says in mistakes)
    return rig


def _parsed(text: str, path: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        match = _SUMMARY.match(str(error))
        line = int(match["line"]) if match else text.count("\n") + 1
        says = match["says"] if match else str(error)
        raise RigError([Mistake(path, line, "", f"not readable as TOML: {says}")]) from error
    except RecursionError as error:
        raise RigError([Mistake(path, 1, "", "not readable as TOML: nested too deeply")]) from error


def _placed(key: Path, says: str, path: str, lines: dict[Path, int]) -> Mistake:
    probe = key
    while probe and probe not in lines:
        probe = probe[:-1]
    line = lines.get(probe, 1)
    return Mistake(path, line, ".".join(str(part) for part in key), says)


def _names(document: dict[str, Any]) -> dict[str, tuple[str, ...]]:
    """The names that stand in the file, by what they name."""
    pieces = _table(document, "piece")
    rows = tuple(pieces)
    instances: list[str] = []
    for name, item in pieces.items():
        count = item.get("count", 1) if isinstance(item, dict) else 1
        several = isinstance(count, int) and not isinstance(count, bool) and 1 < count <= 60
        instances += [f"{name}.{index + 1}" for index in range(count)] if several else [name]
    valves = tuple(name for name, item in pieces.items() if isinstance(item, dict) and "valve" in item)
    switches = [*_table(document, "heat"), *_table(document, "cool")]
    switches += [name for name in ("pump", "argon") if name in _table(document, "plant")]
    return {
        "piece": tuple(instances),
        "row": rows,
        "valve": valves,
        "switch": tuple(switches),
        "state": tuple(_table(document, "state")),
    }


def _table(document: dict[str, Any], key: str) -> dict[str, Any]:
    found = document.get(key)
    return found if isinstance(found, dict) else {}
