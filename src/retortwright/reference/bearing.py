# SPDX-License-Identifier: MIT
"""Up to what temperature a material is known to bear an agent, and from where on it is known to be attacked.

Two rules join the rows of a pair. Hotter never helps: what is eaten at one temperature counts as eaten at every
hotter one, since a wall that stands hotter has passed it, and what was read to bear an agent bears it colder
too. And a row from memory may take away but never give: `eaten` from memory counts, `bears` from memory does
not.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from retortwright.reference.attacks import Attack, attacks_on
from retortwright.reference.datum import Missing
from retortwright.reference.tables import Tables

__all__ = ["HARMS", "Bearing", "Said", "bearing_of"]

HARMS = ("eaten", "violent")  # words after which a wall is not fit
_BORNE = ("bears", "slow")
_ROUNDED = 0.5  # K: a metal that is harmful as soon as it melts stands in the table with a whole number of kelvins
_MEMORY = (
    "it is known from memory only: no text that was read says that it lasts so hot. What you have seen yourself "
    "counts: [experience], substance.material = the temperature to which it lasted"
)


@dataclass(frozen=True, slots=True)
class Said:
    """A temperature [K] and the statement that gives it; without a statement it is infinite or zero."""

    at: float
    by: Attack | None


@dataclass(frozen=True, slots=True)
class Bearing:
    """What all rows of one pair come to."""

    agent: str
    material: str
    said: tuple[Attack, ...]
    harmed: Said  # from here on eaten, whether read or recalled
    slowed: Said  # from here on attacked slowly, whether read or recalled
    bears: Said  # up to here read to bear it
    lasts: Said  # up to here read to bear it or to be attacked slowly
    told: Said  # up to here borne or slowly attacked, from memory too

    def verdict(self, temperature: float) -> str:
        """`bears`, `slow`, `harmed`, `memory` or `silent` at a temperature [K].

        >>> from retortwright.reference.tables import shipped
        >>> [bearing_of(shipped(), "Ca(s)", "nickel").verdict(each) for each in (500.0, 900.0)]
        ['memory', 'harmed']
        """
        if temperature >= self.harmed.at - _ROUNDED:
            return "harmed"
        if temperature > self.lasts.at:
            return "memory" if temperature <= self.told.at else "silent"
        return "bears" if temperature <= self.bears.at and temperature < self.slowed.at else "slow"

    def limit(self, temperature: float) -> Said:
        """Where the verdict at a temperature [K] ends for the worse."""
        if self.verdict(temperature) == "bears":
            return min(self.bears, self.slowed, self.harmed, key=lambda each: each.at)
        return min(self.lasts, self.harmed, key=lambda each: each.at)

    def missing(self, temperature: float) -> Missing:
        """The row that is not there, at a temperature [K] at which nothing that was read says that it lasts."""
        by = self.told.by
        if self.verdict(temperature) == "memory" and by is not None:
            return Missing(by.row.address, _MEMORY)
        address = f"attacks/{self.agent} on {self.material}/verdict-1"
        pair, asked = (
            f"what {self.agent} does to {self.material}",
            f"asked at {temperature - 273.15:.0f} degC",
        )
        if not self.said:
            return Missing(address, f"{pair} is not in our tables; {asked}")
        ends = f"to {self.told.at - 273.15:.0f} degC" if self.told.by else "only where it is worse"
        return Missing(address, f"{pair} is known {ends}; {asked}")


def bearing_of(tables: Tables, agent: str, material: str, own: float = 0.0) -> Bearing:
    """What the rows of a pair come to; `own` is up to where somebody has seen it borne [K], 0 where nobody has."""
    said = attacks_on(tables, agent, material)
    read = [each for each in said if each.seen]

    def low(words: tuple[str, ...]) -> Said:
        return _first(min, ((each.low, each) for each in said if each.word in words), math.inf)

    def high(words: tuple[str, ...], some: Iterable[Attack]) -> Said:
        found = _first(max, ((each.high, each) for each in some if each.word in words), 0.0)
        return Said(own, None) if own > found.at else found

    return Bearing(
        agent, material, said, low(HARMS), low(("slow",)), high(("bears",), read), high(_BORNE, read),
        high(_BORNE, said),
    )  # fmt: skip


def _first(
    which: Callable[..., tuple[float, Attack]], pairs: Iterable[tuple[float, Attack]], none: float
) -> Said:
    found = list(pairs)
    return Said(*which(found, key=lambda each: each[0])) if found else Said(none, None)
