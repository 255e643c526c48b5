# SPDX-License-Identifier: MIT
"""The one definition of the rig file: every key, its kind, its default and what uses it.

The reader, the writer, the reference page and the tests of mistakes are made from it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from retortwright.ground.errors import allowed_words, nearest, nearest_word
from retortwright.rig.kinds import Context, Kind
from retortwright.rig.locate import Path

__all__ = ["DRAWING", "LATER", "Field", "Named", "Record"]

DRAWING = "the drawing only"
LATER = "checked, not used by any answer yet"

_NAME = re.compile(r"^[A-Za-z][A-Za-z0-9-]*$")


@dataclass(frozen=True, slots=True)
class Field:
    """One key of a table."""

    key: str
    kind: Kind
    meaning: str
    used: str = LATER
    required: bool = False
    default: str = ""  # as one would write it, or what happens without the key


@dataclass(frozen=True, slots=True)
class Record:
    """A table with a closed set of keys."""

    fields: tuple[Field, ...]
    example: str = "{}"

    def allowed(self) -> str:
        """What may be written."""
        return f"a table with {', '.join(field.key for field in self.fields)}"

    def read(self, value: Any, path: Path, context: Context) -> dict[str, Any] | None:
        """The values by key; unknown and missing keys are noted.

        A key that is misspelt or missing counts as not readable, so that one slip is one mistake.
        """
        if not isinstance(value, dict):
            context.wrong(path, f"expected {self.allowed()}, got {value!r}")
            return None
        known = {field.key: field for field in self.fields}
        meant: dict[str, None] = {}
        for key in value:
            if key not in known:
                says = f"unknown key; {nearest(key, known)}allowed: {allowed_words(known)}"
                context.wrong((*path, key), says)
                word = nearest_word(key, known)
                meant |= {word: None} if word is not None else {}
        for field in self.fields:
            if field.required and field.key not in value and field.key not in meant:
                context.wrong(
                    path, f"the key {field.key} is missing ({field.meaning}): {field.kind.allowed()}"
                )
                meant[field.key] = None
        return meant | {
            key: known[key].kind.read(item, (*path, key), context)
            for key, item in value.items()
            if key in known
        }


@dataclass(frozen=True, slots=True)
class Named:
    """A table whose keys are names: free ones of the user's, or words of a closed list."""

    item: Kind
    what: str
    among: Kind | None = None
    example: str = "{}"

    def allowed(self) -> str:
        """What may be written."""
        keys = self.among.allowed() if self.among else f"a name of your own for each {self.what}"
        return f"a table; its keys: {keys}; each {self.item.allowed()}"

    def read(self, value: Any, path: Path, context: Context) -> dict[str, Any] | None:
        """The items by name."""
        if not isinstance(value, dict):
            context.wrong(path, f"expected a table of {self.what}, got {value!r}")
            return None
        read: dict[str, Any] = {}
        for key, item in value.items():
            if self.among is not None:
                if self.among.read(key, (*path, key), context) is None:
                    continue
            elif not _NAME.match(key):
                context.wrong(
                    (*path, key), f"'{key}' is no name: letters, digits and hyphens, a letter first"
                )
                continue
            read[key] = self.item.read(item, (*path, key), context)
        return read
