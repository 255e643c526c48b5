# SPDX-License-Identifier: MIT
"""Files that the command line writes: never over a rig, nor over anything this program did not write."""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path

from retortwright.ground.errors import UserError
from retortwright.ground.units import DIMENSIONS, read_single
from retortwright.reference.tables import shipped
from retortwright.report.drawing.svg import MAKER

__all__ = ["every_of", "may_write", "write_new", "write_over_own"]

_SHORTEST, _LONGEST = 60.0, 36000.0  # s between two rows
_MUCH = 2**27  # bytes: no answer is longer
_OPENING = 40  # letters of a caution: every report begins with one
_REPORT = re.compile(
    r"^.+     asked [\d ]+ of 10     \d+ samples, seed \d+, bands 5 to 95 %\n(?s:.+)"
    r"^One step deeper: retortwright explain [^\n]+\n\Z",
    re.MULTILINE,
)
_EXPLANATION = re.compile(
    r"^(?P<id>[\w-]+/\S+/\S+)\n   (?:FAILS|unknown|thin|holds|refused) (?s:.+)"
    r"^            id      (?P=id)\n(?s:.*)^(?:Formula\n|Withheld until )",
    re.MULTILINE,
)
_CLOSED = re.compile(
    r"^Closed volumes: pressure inside, (?s:.+)^Rules that no number replaces\n", re.MULTILINE
)
_ROUTES = re.compile(r"^Routes to [a-z]+ \(\w+\), best first(?s:.+)retortwright\s+assess\.\n\Z", re.MULTILINE)
_ROUTE_LINES = "place,verdict,route,class,reaction,heat_kJ_per_mol_low,"  # the first line of routes as CSV
_FORECAST = re.compile(
    r"^.+     forecast of its programme     \d+ samples, seed \d+, bands 5 to 95 %\n(?s:.+)"
    r"^Whether it will work and whether it will hurt: retortwright assess [^\n]+\n\Z",
    re.MULTILINE,
)
_TABLE = re.compile(r"\A# retortwright forecast [^\n]+, tables sha256:[0-9a-f]+\n# \d+ samples, seed \d+, ")
_CARD = re.compile(
    r"^.+     card for fire, opening and quench\n(?s:.+)"
    r"^Whether it will work and whether it will hurt: retortwright assess [^\n]+\n\Z",
    re.MULTILINE,
)
_SOLUTION = re.compile(
    r"^as it stands\n   (?:FAILS|unknown|thin|holds|refused) (?s:.+)"
    r"^One step deeper: retortwright explain [^\n]+\n\Z",
    re.MULTILINE,
)
_TEXTS = (_REPORT, _EXPLANATION, _CLOSED, _ROUTES, _FORECAST, _CARD, _SOLUTION)
_PICTURE = re.compile(rf"\A<\?xml [^\n]+\?>\n<!-- {re.escape(MAKER)} [^\n]+ -->\n<svg (?s:.*)</svg>\n\Z")


def every_of(text: str) -> float:
    """How far apart the rows of a table are [s]. Raises UserError where that is no time."""
    try:
        apart = read_single(text, DIMENSIONS["time"])
    except ValueError as error:
        raise UserError(f"--every: {error}") from error
    if not _SHORTEST <= apart <= _LONGEST:
        raise UserError(f"--every: rows may stand 1 min to 10 h apart, got '{text}'; leave it out for 10 min")
    return apart


def write_new(file: str, text: str) -> None:
    """Write a file that is not there yet. Raises UserError where it is."""
    try:
        with _place(file).open("x", encoding="utf-8") as handle:
            handle.write(text)
    except FileExistsError:
        raise _left_alone(file) from None
    except OSError as error:
        raise _cannot(file, error) from error


def write_over_own(file: str, text: str, rig: str) -> None:
    """Write a file that may be written."""
    try:
        may_write(file, rig).write_text(text, encoding="utf-8")
    except OSError as error:
        raise _cannot(file, error) from error


def may_write(file: str, rig: str) -> Path:
    """The place of a file to write; one that is there must be empty or an answer of this program, and not the rig.

    Raises UserError where it may not be written: known before anything is computed.
    """
    place = _place(file)
    try:
        place.parent.stat()
        if place.exists():
            if Path(rig).exists() and place.samefile(rig):
                raise UserError(f"'{file}' is the rig file itself and is left alone; give another name")
            if place.is_file() and not _own(place):
                raise _left_alone(file)
    except OSError as error:
        raise _cannot(file, error) from error
    return place


def _place(file: str) -> Path:
    if not file.strip():
        raise UserError("the name of the file to write is empty; give one such as rig.toml")
    if file.endswith(("/", "\\")) or Path(file).is_dir():
        raise UserError(f"'{file}' is a folder; give the name of a file in it")
    return Path(file)


def _own(place: Path) -> bool:
    """Whether a file is empty or an answer that this program wrote before."""
    raw = place.read_bytes() if place.stat().st_size < _MUCH else b"far too long"
    text = raw.decode("utf-8", errors="replace")
    if text.startswith("{"):
        return _own_document(text)
    if text.startswith(_ROUTE_LINES):
        return len({len(row) for row in csv.reader(text.splitlines())}) == 1  # a line of notes has other cells
    if text.startswith("<"):
        return _PICTURE.match(text) is not None
    if text.startswith("# "):
        return _TABLE.match(text) is not None
    kinds = (("cautions", "text"), ("hazards", "says"))
    openings = tuple(row.data[:_OPENING] for key, row in shipped().rows.items() if key[::2] in kinds)
    if not text.startswith(openings):
        return not text
    return any(each.search(text) is not None for each in _TEXTS)


def _own_document(text: str) -> bool:
    try:
        document = json.loads(text)
    except (ValueError, RecursionError):
        return False
    made_by = document.get("made_by")
    return isinstance(document.get("form"), int) and isinstance(made_by, dict) and "tables" in made_by


def _left_alone(file: str) -> UserError:
    return UserError(f"'{file}' exists already and is left alone; give another name")


def _cannot(file: str, error: OSError) -> UserError:
    return UserError(f"cannot write '{file}': {error.strerror}; give a place that can be written")
