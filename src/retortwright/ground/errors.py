# SPDX-License-Identifier: MIT
"""Everything that can go wrong, as one small tree.

    RetortwrightError
    |-- UserError         something the user gave; shown as plain lines, exit code 2
    |   |-- RigError      mistakes in a rig file, all of them at once
    |   |-- EditError     a change of a rig that cannot be made
    |   `-- AskError      a question, finding or option that does not exist
    `-- TableError        one of our own tables is wrong: a defect of this program

A datum that is missing or asked outside its range is no error: it travels as a
`retortwright.reference.datum.Missing` and ends as the verdict *unknown*.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass

__all__ = [
    "AskError",
    "EditError",
    "Mistake",
    "RetortwrightError",
    "RigError",
    "TableError",
    "UserError",
    "allowed_words",
    "nearest",
    "nearest_word",
]


_CLOSE = 0.7  # likeness of two words; glass and brass are alike by 0.6


class RetortwrightError(Exception):
    """Root of the tree."""


class UserError(RetortwrightError):
    """Something the user gave cannot be used."""

    def lines(self) -> list[str]:
        """The sentences to show, one a line."""
        return [str(self)]


class AskError(UserError):
    """A question, finding, option or file that does not exist."""


class EditError(UserError):
    """A change of a rig that cannot be made."""


class TableError(RetortwrightError):
    """A shipped table breaks its own rules."""


@dataclass(frozen=True, slots=True)
class Mistake:
    """One mistake in a rig file: where it is and what to do about it."""

    file: str
    line: int
    key: str
    says: str

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}" if self.line else self.file
        return f"{where}: {self.key}: {self.says}" if self.key else f"{where}: {self.says}"


class RigError(UserError):
    """All the mistakes of one rig file."""

    def __init__(self, mistakes: Iterable[Mistake]) -> None:
        self.mistakes = tuple(sorted(set(mistakes), key=lambda m: (m.line, m.key, m.says)))
        super().__init__("\n".join(self.lines()))

    def lines(self) -> list[str]:
        """The mistakes in the order of the file."""
        return [str(mistake) for mistake in self.mistakes]


def nearest(name: str, allowed: Iterable[str]) -> str:
    """The closest allowed name as a question, or an empty text. A word with a comma stands in quotes.

    >>> nearest("lenght", ["length", "tube"])
    'did you mean length? '
    """
    word = nearest_word(name, allowed)
    if word is None:
        return ""
    return f"did you mean '{word}'? " if "," in word else f"did you mean {word}? "


def nearest_word(name: str, allowed: Iterable[str]) -> str | None:
    """The closest allowed name, None where nothing is close.

    >>> nearest_word("lenght", ["length", "tube"])
    'length'
    """
    folded = {word.casefold(): word for word in allowed}
    close = difflib.get_close_matches(name.casefold(), folded, n=1, cutoff=_CLOSE)
    return folded[close[0]] if close else None


def allowed_words(allowed: Iterable[str], most: int = 40) -> str:
    """The allowed words in a sentence, cut where the list is long."""
    words = sorted(allowed, key=str.casefold)
    shown = ", ".join(f"'{word}'" if "," in word else word for word in words[:most])
    return shown + (f" and {len(words) - most} more" if len(words) > most else "")
