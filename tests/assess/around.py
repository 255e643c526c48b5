# SPDX-License-Identifier: MIT
"""A small rig for the tests of fire, opening and room: any charge, any word about what stands ready."""

from __future__ import annotations

from retortwright.assess.check import finding_of
from retortwright.assess.finding import Finding
from retortwright.assess.hurts_you import around_checks
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import Tables, shipped
from retortwright.rig.reading import rig_of
from retortwright.situation.situation import Situation
from situation.charges import rig_text

__all__ = ["READY", "RUBIDIUM", "found", "ready", "situated"]

DRAWS = Draws(samples=16)
RUBIDIUM = {"RbCl": '14 g; H2O = "0.02 %"', "Ca": '3.25 g; CaO = "5 %"'}
READY = {
    "agent": '"5 kg NaCl powder"',
    "tray": '"5 L"',
    "clear": '"1.5 m"',
    "people": "2",
    "screen": '"polycarbonate"',
    "hood": '"500 m3/h"',
    "room": '"60 m3"',
    "ventilation": '"30 m3/h"',
    "water": '"3 m"',
}


def ready(**other: str | None) -> str:
    """The table of what stands ready, with some keys otherwise or (None) not said."""
    said = {**READY, **other}
    return (
        "[safety]\n"
        + "\n".join(f"{key} = {value}" for key, value in said.items() if value is not None)
        + "\n"
    )


def situated(
    metal: str = "Rb", reagents: dict[str, str] | None = None, safety: str | None = None, more: str = "",
    tables: Tables | None = None, draws: Draws = DRAWS,
) -> Situation:  # fmt: skip
    """The situation of a charge."""
    text = rig_text(
        metal, RUBIDIUM if reagents is None else reagents, more=(ready() if safety is None else safety)
    )
    return Situation(rig_of(text + more, "around.toml"), tables or shipped(), draws)


def found(at: Situation) -> dict[str, Finding]:
    """The findings of fire, opening and room by the name of their check."""
    return {check.name: finding_of(at, check, 8) for check in around_checks(at)}
