# SPDX-License-Identifier: MIT
"""The kinds of value a rig file holds.

One kind knows how its value is read, what is allowed (for messages and the reference page),
an example that is always right (for the tests that are made from the schema) and, where a
text holds several figures ("8 x 0.75 mm"), how one of them is changed inside the text.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Protocol

from retortwright.ground.errors import allowed_words, nearest
from retortwright.ground.formula import elements_of
from retortwright.ground.units import DIMENSIONS, Band, read_band, read_single
from retortwright.rig.locate import Path
from retortwright.rig.trade import meant

__all__ = [
    "Choice",
    "Context",
    "Count",
    "Either",
    "Formula",
    "Kind",
    "Listing",
    "Name",
    "Quantity",
    "Text",
    "length_kind",
]


@dataclass(frozen=True, slots=True)
class Context:
    """What a reading needs to know of the whole file, and where its mistakes are collected."""

    names: Mapping[str, tuple[str, ...]]
    mistakes: list[tuple[Path, str]] = field(default_factory=list)

    def wrong(self, path: Path, says: str) -> None:
        """Note a mistake at a path."""
        self.mistakes.append((path, says))


class Kind(Protocol):
    """How one value is read and described."""

    @property
    def example(self) -> str:
        """A TOML value that is right."""
        ...

    def allowed(self) -> str:
        """What may be written, as part of a sentence."""
        ...

    def read(self, value: Any, path: Path, context: Context) -> Any:
        """The value in SI, or None after noting a mistake."""
        ...


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with a unit, within plausible ends; with a band where `banded`."""

    dimension: str
    low: float
    high: float
    sample: str
    banded: bool = False
    beyond: str = "is not plausible"

    @property
    def example(self) -> str:
        """A value that is right."""
        return f'"{self.sample}"'

    def allowed(self) -> str:
        """What may be written."""
        band = ", may have a band ('a to b' or 'a +- b')" if self.banded else ""
        return f"{DIMENSIONS[self.dimension].allowed()}{band}"

    def read(self, value: Any, path: Path, context: Context) -> Band | float | None:
        """The band or number in SI."""
        dimension = DIMENSIONS[self.dimension]
        number = isinstance(value, int | float) and not isinstance(value, bool)
        if not isinstance(value, str) and not (number and "" in dimension.words):
            context.wrong(path, f"expected {dimension.allowed()} in quotes, got {value!r}")
            return None
        try:
            band = read_band(value, dimension)
            result = band if self.banded else read_single(value, dimension)
        except ValueError as error:
            context.wrong(path, str(error))
            return None
        if band.low < self.low or band.high > self.high:
            context.wrong(path, f"'{value}' {self.beyond}: {self.bounds()} is allowed")
            return None
        return result

    def bounds(self) -> str:
        """The plausible ends in the unit of the example."""
        dimension = DIMENSIONS[self.dimension]
        unit = re.sub(r"^[\d.eE+\- ]*(?:to [\d.eE+\- ]*)?", "", self.sample)
        factor, offset = dimension.words[unit]
        low, high = ((end - offset) / factor for end in (self.low, self.high))
        if offset:  # whole degrees inside the ends
            low, high = math.ceil(low), math.floor(high)
        return f"{low:.6g} to {high:.6g} {unit}".strip()


@dataclass(frozen=True, slots=True)
class Count:
    """A whole number."""

    low: int
    high: int
    example: str = "6"

    def allowed(self) -> str:
        """What may be written."""
        if self.low == self.high:
            return f"the number {self.low}"
        return f"a whole number from {self.low} to {self.high}"

    def read(self, value: Any, path: Path, context: Context) -> int | None:
        """The number."""
        if isinstance(value, bool) or not isinstance(value, int) or not self.low <= value <= self.high:
            context.wrong(path, f"expected {self.allowed()}, got {value!r}")
            return None
        return value


@dataclass(frozen=True, slots=True)
class Choice:
    """One of a closed list of words."""

    what: str
    words: Callable[[], tuple[str, ...]]

    @property
    def example(self) -> str:
        """A word that is right."""
        return f'"{self.words()[0]}"'

    def allowed(self) -> str:
        """What may be written."""
        return f"{self.what}: {allowed_words(self.words())}"

    def read(self, value: Any, path: Path, context: Context) -> str | None:
        """The word."""
        words = self.words()
        if not isinstance(value, str) or value not in words:
            close = meant(value, words) if isinstance(value, str) else ""
            context.wrong(
                path, f"{value!r} is no {self.what} known here; {close}allowed: {allowed_words(words)}"
            )
            return None
        return value


@dataclass(frozen=True, slots=True)
class Name:
    """The name of something that stands elsewhere in the same file."""

    of: str
    said: str = ""  # what to call it in a sentence, where `of` is no plain word

    @property
    def example(self) -> str:
        """A name; only a whole file can say whether it is right."""
        return '"retort"'

    def allowed(self) -> str:
        """What may be written."""
        return f"the name of a {self.said or self.of} of this file"

    def read(self, value: Any, path: Path, context: Context) -> str | None:
        """The name, if something bears it.

        Where the names of this sort cannot be known the file has a graver mistake, noted elsewhere.
        """
        names, what = context.names.get(self.of), self.said or self.of
        if names is None:
            return None
        if not isinstance(value, str) or value not in names:
            close = nearest(value, names) if isinstance(value, str) else ""
            known = f"there are: {allowed_words(names)}" if names else f"the file has no {what}"
            context.wrong(path, f"no {what} is called {value!r}; {close}{known}")
            return None
        return value


@dataclass(frozen=True, slots=True)
class Formula:
    """A chemical formula."""

    example: str = '"RbCl"'

    def allowed(self) -> str:
        """What may be written."""
        return "a chemical formula such as RbCl or Ca(OH)2"

    def read(self, value: Any, path: Path, context: Context) -> str | None:
        """The formula as written."""
        try:
            elements_of(str(value))
        except ValueError as error:
            context.wrong(path, f"{error}; expected {self.allowed()}")
            return None
        return str(value)


@dataclass(frozen=True, slots=True)
class Text:
    """Free words."""

    example: str = '"some words"'

    def allowed(self) -> str:
        """What may be written."""
        return "any text"

    def read(self, value: Any, path: Path, context: Context) -> str | None:
        """The text."""
        if not isinstance(value, str):
            context.wrong(path, f"expected a text in quotes, got {value!r}")
            return None
        return value


@dataclass(frozen=True, slots=True)
class Listing:
    """A list of values of one kind."""

    item: Kind

    @property
    def example(self) -> str:
        """A list that is right."""
        return "[]"

    def allowed(self) -> str:
        """What may be written."""
        return f"a list of {self.item.allowed()}"

    def read(self, value: Any, path: Path, context: Context) -> tuple[Any, ...] | None:
        """The items, or None where one of them could not be read."""
        if not isinstance(value, list):
            context.wrong(path, f"expected a list in [ ], got {value!r}")
            return None
        read = tuple(self.item.read(item, (*path, index), context) for index, item in enumerate(value))
        return None if any(item is None for item in read) else read


@dataclass(frozen=True, slots=True)
class Either:
    """A word alone, or a table that says more."""

    short: Kind
    long: Kind

    @property
    def example(self) -> str:
        """The short form."""
        return self.short.example

    def allowed(self) -> str:
        """What may be written."""
        return f"{self.short.allowed()}; or {self.long.allowed()}"

    def read(self, value: Any, path: Path, context: Context) -> Any:
        """A table goes to the long form, all else to the short."""
        return (self.long if isinstance(value, dict) else self.short).read(value, path, context)


def length_kind(high: float, sample: str, low: float = 0.0) -> Quantity:
    """A length up to `high` metres, without a band."""
    return Quantity("length", low, high, sample)
