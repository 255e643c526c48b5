# SPDX-License-Identifier: MIT
"""One cited datum: a row of a table, read as a number, a curve or words.

A curve knows the range in which it was measured. Asked outside it gives no number but a
`Missing` that says the datum, its range, its source and what was asked.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from retortwright.ground.arrays import Array, Real
from retortwright.ground.errors import TableError
from retortwright.ground.units import Band

__all__ = ["KNOWN", "Curve", "Missing", "Row", "curve_of", "number_of"]

KNOWN = ("seen", "recalled", "practice")


@dataclass(frozen=True, slots=True)
class Missing:
    """No number, and why: the datum that ran out, its range, what was asked."""

    datum: str
    says: str


@dataclass(frozen=True)  # no slots: cached parsing
class Row:
    """One row: a datum with its address."""

    table: str
    subject: str
    name: str  # of the property
    unit: str
    form: str
    data: str
    spread: str
    source: str
    locator: str
    known: str
    note: str
    line: int

    @property
    def address(self) -> str:
        """The name by which findings cite the row."""
        return f"{self.table}/{self.subject}/{self.name}"

    @cached_property
    def points(self) -> tuple[Array, Array]:
        """Temperatures [K] and values of a `points` row."""
        try:
            pairs = [tuple(map(float, pair.split(":"))) for pair in self.data.split()]
            temperature, value = (np.array(column) for column in zip(*pairs, strict=True))
        except ValueError as error:
            raise TableError(f"{self.table}.csv:{self.line}: cannot read points of {self.address}") from error
        return temperature, value

    def with_data(self, data: str) -> Row:
        """The same row with another datum (for tests and learning)."""
        return replace(self, data=data)


def number_of(row: Row) -> Band:
    """The number of a `constant` row with its band."""
    if row.form != "constant":
        raise TableError(f"{row.address} is no single number")
    try:
        best = float(row.data)
        if not row.spread:
            return Band(best, best, best)
        if row.spread.endswith("%"):
            share = float(row.spread[:-1]) / 100
            return Band(best - abs(best) * share, best, best + abs(best) * share)
        low, high = (float(part) for part in row.spread.split(" to "))
    except ValueError as error:
        raise TableError(f"{row.table}.csv:{row.line}: cannot read the number of {row.address}") from error
    return Band(low, best, high)


@dataclass(frozen=True, slots=True)
class Curve:
    """A property over temperature, linear between points, known only between its ends."""

    row: Row
    temperature: Array
    value: Array

    def at(self, temperature: Real) -> Array:
        """Values; nan outside the range."""
        return np.asarray(np.interp(temperature, self.temperature, self.value, left=np.nan, right=np.nan))

    def held(self, temperature: Real) -> Array:
        """Values with the end values carried on: for iterates on the way to a solution, never for answers."""
        return np.asarray(np.interp(temperature, self.temperature, self.value))

    def covers(self, temperature: Real) -> Array:
        """Whether each temperature lies in the range."""
        asked = np.asarray(temperature, dtype=float)
        return np.asarray((asked >= self.temperature[0]) & (asked <= self.temperature[-1]))

    def missing_at(self, temperature: float) -> Missing:
        """The sentence for a temperature outside the range."""
        low, high = self.temperature[0], self.temperature[-1]
        return Missing(
            self.row.address,
            f"{self.row.name} of {self.row.subject} is known from {low:.0f} to {high:.0f} K "
            f"({self.row.source}); asked at {temperature:.0f} K",
        )


def curve_of(row: Row) -> Curve:
    """The curve of a `points` row; a constant has no range of its own and serves at any temperature."""
    if row.form == "constant":
        best = number_of(row).best
        return Curve(row, np.array([4.0, 3000.0]), np.array([best, best]))
    temperature, value = row.points
    return Curve(row, temperature, value)
