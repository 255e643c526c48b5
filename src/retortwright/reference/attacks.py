# SPDX-License-Identifier: MIT
"""What attacks what: the verdict of an agent on a material at a temperature.

A row of the table says one word of one pair over a range of temperature. Where several rows hold at
the same temperature the worst word rules. Where none holds the verdict is not known: outside every
range nothing is said, and the likeness of one metal with another is not taken here but in the rows.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from retortwright.ground.errors import TableError
from retortwright.reference.datum import Missing, Row
from retortwright.reference.tables import Tables

__all__ = ["WORDS", "Attack", "agents", "attacked", "attacks_on", "verdict_at", "wetted_part"]

WORDS = ("bears", "slow", "eaten", "violent")  # from good to bad
_ON = " on "


@dataclass(frozen=True, slots=True)
class Attack:
    """One statement: an agent on a material between two temperatures [K]."""

    agent: str
    material: str
    word: str
    low: float
    high: float
    how: str  # in plain words; may be empty
    row: Row

    @property
    def seen(self) -> bool:
        """Whether the statement was read in a text or worked out, not recalled."""
        return self.row.known == "seen"

    @property
    def rank(self) -> int:
        """Place among the words, the worst last."""
        return WORDS.index(self.word)

    def covers(self, temperature: float) -> bool:
        """Whether it speaks of this temperature [K]."""
        return self.low <= temperature <= self.high


def agents(tables: Tables) -> tuple[str, ...]:
    """Every agent of the table, in the order of the file."""
    return tuple(dict.fromkeys(pair[0] for pair in _pairs(tables)))


def attacked(tables: Tables, agent: str | None = None) -> tuple[str, ...]:
    """Every material of the table (that has a row with the agent), in the order of the file."""
    wanted = (material for one, material in _pairs(tables) if agent in (None, one))
    return tuple(dict.fromkeys(wanted))


def attacks_on(tables: Tables, agent: str, material: str) -> tuple[Attack, ...]:
    """Every statement of one pair, in the order of the file; those that are blanked are left out."""
    found = []
    number = 1
    while (row := tables.rows.get(("attacks", f"{agent}{_ON}{material}", f"verdict-{number}"))) is not None:
        number += 1
        if row.address not in tables.blanked:
            found.append(_read(row, agent, material))
    return tuple(found)


def verdict_at(tables: Tables, agent: str, material: str, temperature: float) -> Attack | Missing:
    """The worst statement that holds at a temperature [K], a read one before a recalled one.

    >>> from retortwright.reference.tables import shipped
    >>> found = verdict_at(shipped(), "Ca(g)", "nickel", 900.0)
    >>> found.word, found.row.source
    ('eaten', 'ca-ni-1965')
    """
    said = attacks_on(tables, agent, material)
    holding = [each for each in said if each.covers(temperature)]
    if holding:
        return max(holding, key=lambda each: (each.rank, each.seen))
    address = f"attacks/{agent}{_ON}{material}/verdict-1"
    if not said:
        return Missing(address, f"what {agent} does to {material} is not in our tables")
    ranges = ", ".join(_range(each) for each in said)
    return Missing(
        address, f"what {agent} does to {material} is known {ranges}; asked at {temperature:.0f} K"
    )


def wetted_part(tables: Tables, joint: str) -> str | None:
    """The material of a joint that the metal can touch; None where it is that of the walls."""
    row = tables.find("attacks", joint, "wets")
    return row.data if isinstance(row, Row) else None


def _pairs(tables: Tables) -> Iterator[tuple[str, str]]:
    for subject in tables.subjects("attacks", "verdict-1"):
        agent, _, material = subject.partition(_ON)
        yield agent, material


def _read(row: Row, agent: str, material: str) -> Attack:
    if row.data not in WORDS:
        raise TableError(f"{row.address}: the verdict must be one of {', '.join(WORDS)}, got '{row.data}'")
    low, high = _ends(row)
    return Attack(agent, material, row.data, low, high, row.note, row)


def _ends(row: Row) -> tuple[float, float]:
    """The range of a row: '312 to 1100', or '878 up' without an upper end."""
    try:
        if row.spread.endswith(" up"):
            low, high = float(row.spread.removesuffix(" up")), math.inf
        else:
            low, high = (float(end) for end in row.spread.split(" to "))
    except ValueError as error:
        raise TableError(
            f"{row.address}: the range must be such as '312 to 1100' or '878 up', got '{row.spread}'"
        ) from error
    if not 0.0 < low < high:
        raise TableError(f"{row.address}: the range must rise, got '{row.spread}'")
    return low, high


def _range(attack: Attack) -> str:
    return (
        f"from {attack.low:.0f} K up"
        if attack.high == math.inf
        else f"from {attack.low:.0f} to {attack.high:.0f} K"
    )
