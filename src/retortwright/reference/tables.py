# SPDX-License-Identifier: MIT
"""The loader of the shipped tables: it refuses a row without an address.

Every row names its source (a key of `sources.toml`), where in it (locator), and whether the
number was *seen* in a text, *recalled* from memory or is common *practice*. A row outside the
plausible bounds of its class is refused too: a slip of a factor ten is not data.
"""

from __future__ import annotations

import csv
import hashlib
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from typing import Any

from retortwright.ground.errors import TableError, nearest
from retortwright.reference.datum import KNOWN, Missing, Row, number_of

__all__ = ["TABLES", "Tables", "read_rows", "shipped"]

TABLES = (
    "materials", "joints", "beliefs", "rules", "metals", "measurements", "pipes", "cautions",
    "gases", "outgassing", "permeability", "gauges", "pumps", "grades", "getters",
    "elements", "species", "hazards", "melts", "charges", "reductants", "routes", "attacks", "usual", "experiments",
)  # fmt: skip
_HEADER = ["subject", "property", "unit", "form", "data", "spread", "source", "locator", "known", "note"]
_COLUMNS = ["name" if column == "property" else column for column in _HEADER]
_FORMS = ("constant", "points", "words", "nine-term")


@dataclass(frozen=True, slots=True)
class Tables:
    """All rows by (table, subject, property), the sources, and what has been blanked."""

    rows: Mapping[tuple[str, str, str], Row]
    sources: Mapping[str, Mapping[str, Any]]
    digest: str
    blanked: frozenset[str] = frozenset()

    def find(self, table: str, subject: str, name: str) -> Row | Missing:
        """The row, or why there is none."""
        row = self.rows.get((table, subject, name))
        address = f"{table}/{subject}/{name}"
        if row is None:
            return Missing(address, f"no {name} of {subject} in our tables")
        if address in self.blanked:
            return Missing(address, f"{name} of {subject} is not known")
        return row

    def subjects(self, table: str, name: str | None = None) -> tuple[str, ...]:
        """Every subject of a table (that has the property), in the order of the file."""
        wanted = (key[1] for key in self.rows if key[0] == table and (name is None or key[2] == name))
        return tuple(dict.fromkeys(wanted))

    def without(self, *addresses: str) -> Tables:
        """A copy in which these rows are not known."""
        return replace(self, blanked=self.blanked | set(addresses))

    def with_row(self, row: Row) -> Tables:
        """A copy in which one row is replaced or added."""
        return replace(self, rows={**self.rows, (row.table, row.subject, row.name): row})


def read_rows(
    name: str, text: str, sources: Mapping[str, Any], bounds: Mapping[str, Mapping[str, Any]]
) -> list[Row]:
    """The rows of one CSV text. Raises TableError on a row without an address or out of bounds."""
    lines = list(csv.reader(text.splitlines()))
    if not lines or lines[0] != _HEADER:
        raise TableError(f"{name}.csv:1: the header must be {','.join(_HEADER)}")
    rows: list[Row] = []
    seen: set[tuple[str, str]] = set()
    for number, cells in enumerate(lines[1:], start=2):
        if not cells:
            continue
        if len(cells) != len(_HEADER):
            raise TableError(f"{name}.csv:{number}: {len(cells)} cells, expected {len(_HEADER)}")
        row = Row(name, **dict(zip(_COLUMNS, (cell.strip() for cell in cells), strict=True)), line=number)
        _check(row, sources, bounds)
        if (row.subject, row.name) in seen:
            raise TableError(f"{name}.csv:{number}: {row.address} stands twice")
        seen.add((row.subject, row.name))
        rows.append(row)
    return rows


def _check(row: Row, sources: Mapping[str, Any], bounds: Mapping[str, Mapping[str, Any]]) -> None:
    where = f"{row.table}.csv:{row.line}: {row.address}"
    for column in ("subject", "name", "data", "source", "locator"):
        if not getattr(row, column):
            raise TableError(f"{where} has no {column}")
    if row.source not in sources:
        raise TableError(
            f"{where}: source '{row.source}' is not in sources.toml; {nearest(row.source, sources)}"
        )
    if row.known not in KNOWN:
        raise TableError(f"{where}: known must be one of {', '.join(KNOWN)}, got '{row.known}'")
    if row.form not in _FORMS:
        raise TableError(f"{where}: form must be one of {', '.join(_FORMS)}, got '{row.form}'")
    if row.form == "nine-term":
        _check_piece(row, where)
    elif row.form != "words":
        _check_values(row, where, bounds)


def _check_piece(row: Row, where: str) -> None:
    try:
        numbers = [float(number) for number in row.data.split()]
    except ValueError as error:
        raise TableError(f"{where}: cannot read its eleven numbers") from error
    if len(numbers) != 11 or not 0.0 < numbers[0] < numbers[1]:
        raise TableError(
            f"{where}: expected a rising range and nine coefficients, got {len(numbers)} numbers"
        )


def _check_values(row: Row, where: str, bounds: Mapping[str, Mapping[str, Any]]) -> None:
    if row.form == "points":
        temperature, value = row.points
        if len(temperature) < 2 or not all(temperature[1:] > temperature[:-1]):
            raise TableError(f"{where}: temperatures must rise")
        values = [float(v) for v in value]
        if not _is_percentage(row.spread):
            raise TableError(f"{where}: a curve needs a relative spread in %, got '{row.spread}'")
    else:
        band = number_of(row)
        if not band.low <= band.best <= band.high:
            raise TableError(f"{where}: the datum {row.data} lies outside its spread {row.spread}")
        values = [band.low, band.best, band.high]
    kind = _class_of(row.subject, bounds)
    known = bounds.get(row.name, {})
    limits = known.get(row.table, known.get(kind))  # a table's own bounds come before those of the class
    if limits is None:
        raise TableError(f"{where}: no plausible bounds for {row.name} of class '{kind}' in bounds.toml")
    if not all(limits[0] <= value <= limits[1] for value in values):
        raise TableError(f"{where}: {row.data} {row.unit}; plausible is {limits[0]} to {limits[1]}")


def _is_percentage(spread: str) -> bool:
    try:
        return spread.endswith("%") and 0.0 < float(spread[:-1]) <= 100.0
    except ValueError:
        return False


def _class_of(subject: str, bounds: Mapping[str, Mapping[str, Any]]) -> str:
    for kind, members in bounds.get("classes", {}).items():
        if subject in members:
            return str(kind)
    return "any"


@cache
def shipped() -> Tables:
    """The tables that come with the program."""
    folder = files("retortwright.reference") / "tables"
    texts = {name: (folder / f"{name}.csv").read_text(encoding="utf-8") for name in TABLES}
    source_text = (folder / "sources.toml").read_text(encoding="utf-8")
    bounds_text = (folder / "bounds.toml").read_text(encoding="utf-8")
    sources, bounds = tomllib.loads(source_text), tomllib.loads(bounds_text)
    rows = [row for name, text in texts.items() for row in read_rows(name, text, sources, bounds)]
    digest = hashlib.sha256("\0".join([*texts.values(), source_text]).encode()).hexdigest()
    return Tables(_keyed(rows), sources, digest)


def _keyed(rows: Iterable[Row]) -> dict[tuple[str, str, str], Row]:
    return {(row.table, row.subject, row.name): row for row in rows}
