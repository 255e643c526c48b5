# SPDX-License-Identifier: MIT
"""Cautions: what is said first on every face, each a row of the tables with its source, shown where it applies."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from retortwright.assess.refusals import advice_of
from retortwright.reference.datum import Missing
from retortwright.reference.tables import Tables
from retortwright.rig.parts import Rig
from retortwright.situation.situation import Situation

__all__ = ["WHEN", "Caution", "cautions_of"]


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution with its source."""

    text: str
    source: str


def _cooled_by(*kinds: str) -> Callable[[Rig], bool]:
    return lambda rig: any(cool.by in kinds for cool in rig.cool)


def _ends_open(rig: Rig) -> bool:
    """Whether nothing is said of what closes one of the ends of the retort."""
    first = next(piece for piece in rig.pieces if piece.on is None)
    goes_on = any(piece.on == first.name and piece.at is None for piece in rig.pieces)
    return first.bottom is None or (first.closed is None and not goes_on)


# What the column `when` of a caution may say, and whether it holds of a rig.
WHEN: dict[str, Callable[[Rig], bool]] = {
    "always": lambda _: True,
    "charge": lambda rig: bool(rig.charge),
    "no charge": lambda rig: not rig.charge,
    "water": _cooled_by("water coil", "wet wrap", "ice water"),
    "cold bath": _cooled_by("dry ice", "liquid nitrogen"),
    "argon": lambda rig: rig.plant.argon is not None,
    "open retort": _ends_open,
    "household steel": lambda rig: any(piece.of == "household steel" for piece in rig.pieces),
}


def cautions_of(situation: Situation) -> tuple[Caution, ...]:
    """Every caution that applies to a rig: of the rig, of its metal, of what is flagged in its charge."""
    rig, tables = situation.rig, situation.tables
    found = []
    for subject in tables.subjects("cautions"):
        text, when = tables.rows[("cautions", subject, "text")], tables.rows[("cautions", subject, "when")]
        if WHEN[when.data](rig):
            found.append(Caution(text.data, text.source))
    if rig.charge:
        found += _of_the_metal(rig.aim.metal, tables)
    return (*found, *(Caution(each.text, each.source) for each in advice_of(situation)))


def _of_the_metal(metal: str, tables: Tables) -> Iterator[Caution]:
    """What this metal does in air, and what may and must not go on it."""
    agent, never, marks = (tables.find("hazards", metal, name) for name in ("agent", "never", "statements"))
    if isinstance(agent, Missing) or isinstance(never, Missing) or isinstance(marks, Missing):
        return
    text = f"Burning {metal}: {agent.data}; never {never.data}. Marked {marks.data.replace(' ', ', ')}."
    yield Caution(text, agent.source)
