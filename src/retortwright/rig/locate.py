# SPDX-License-Identifier: MIT
"""On which line of a TOML text each key stands.

The parser of the standard library says what a text means but not where; this scanner says
where but trusts that the text has already been accepted, so it only has to find its way.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right

__all__ = ["Path", "locate"]

Path = tuple[str | int, ...]

_BLANK = re.compile(r"[ \t]*")
_BETWEEN = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}(?!")'
    r"|'''.*?'{3,5}(?!')"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'",
    re.DOTALL,
)
_SCALAR = re.compile(r"[^,\]\}#\r\n]+")


def locate(text: str) -> dict[Path, int]:
    """The line (from 1) of every key, table and list item of a TOML text.

    >>> locate('[piece.line]\\nlength = "20 mm"')[("piece", "line", "length")]
    2
    """
    return _Scanner(text).scanned()


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.starts = [0, *(match.end() for match in re.finditer("\n", text))]
        self.found: dict[Path, int] = {}
        self.items: dict[Path, int] = {}  # how often each [[array of tables]] has been opened

    def scanned(self) -> dict[Path, int]:
        base: Path = ()
        at = self._between(0)
        while at < len(self.text):
            if self.text[at] == "[":
                base, at = self._header(at)
            else:
                at = self._pair(at, base)
            at = self._between(at)
        return self.found

    def _note(self, path: Path, at: int) -> None:
        self.found.setdefault(path, bisect_right(self.starts, at))

    def _between(self, at: int) -> int:
        match = _BETWEEN.match(self.text, at)
        return match.end() if match else at

    def _blank(self, at: int) -> int:
        match = _BLANK.match(self.text, at)
        return match.end() if match else at

    def _header(self, at: int) -> tuple[Path, int]:
        double = self.text.startswith("[[", at)
        keys, end = self._key(at + (2 if double else 1))
        path: Path = ()
        for key in keys[:-1]:
            path = self._inside((*path, key))
            self._note(path, at)
        path = (*path, keys[-1])
        if double:
            self._note(path, at)
            self.items[path] = self.items.get(path, -1) + 1
        path = self._inside(path)
        self._note(path, at)
        return path, end + (2 if double else 1)

    def _inside(self, path: Path) -> Path:
        return (*path, self.items[path]) if path in self.items else path

    def _key(self, at: int) -> tuple[list[str], int]:
        keys: list[str] = []
        while True:
            at = self._blank(at)
            match = _BARE_KEY.match(self.text, at) or _STRING.match(self.text, at)
            if match is None:
                raise ValueError(f"no key at position {at}")
            part = match[0]
            keys.append(str(tomllib.loads(f"k = {part}")["k"]) if part[0] in "\"'" else part)
            at = self._blank(match.end())
            if self.text[at : at + 1] != ".":
                return keys, at
            at += 1

    def _pair(self, at: int, base: Path) -> int:
        start = at
        keys, at = self._key(at)
        for depth in range(1, len(keys) + 1):
            self._note((*base, *keys[:depth]), start)
        return self._value(self._blank(at + 1), (*base, *keys))

    def _value(self, at: int, path: Path) -> int:
        opening = self.text[at]
        if opening == "[":
            return self._list(at + 1, path)
        if opening == "{":
            return self._inline_table(at + 1, path)
        match = (_STRING if opening in "\"'" else _SCALAR).match(self.text, at)
        if match is None:
            raise ValueError(f"no value at position {at}")
        return match.end()

    def _list(self, at: int, path: Path) -> int:
        at = self._between(at)
        index = 0
        while self.text[at] != "]":
            self._note((*path, index), at)
            at = self._between(self._value(at, (*path, index)))
            index += 1
            if self.text[at] == ",":
                at = self._between(at + 1)
        return at + 1

    def _inline_table(self, at: int, path: Path) -> int:
        at = self._between(at)
        while self.text[at] != "}":
            at = self._between(self._pair(at, path))
            if self.text[at] == ",":
                at = self._between(at + 1)
        return at + 1
