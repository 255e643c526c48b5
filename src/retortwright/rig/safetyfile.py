# SPDX-License-Identifier: MIT
"""The keys of `[safety]`: what stands ready around the rig, for the fire and for the people."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from retortwright.ground.units import DIMENSIONS, read_single
from retortwright.rig.compound import Compound
from retortwright.rig.kinds import Choice, Context, Count, Quantity, length_kind
from retortwright.rig.locate import Path
from retortwright.rig.parts import Agent
from retortwright.rig.schema import Field, Record

__all__ = ["SAFETY", "AgentKind", "agents", "screens"]

_Q8 = "question 8"
_UNKNOWN = "what needs it is unknown"
_MASS = DIMENSIONS["mass"]
_AGENT = re.compile(r"^\s*([\d.eE+-]+\s*[a-z]+)(?:\s+of)?\s+(.+?)\s*$")


def agents() -> tuple[str, ...]:
    """What people keep against a fire; some of it is refused on burning metal."""
    return (
        "NaCl powder",
        "graphite powder",
        "copper powder",
        "soda ash",
        "lithium chloride powder",
        "dry sand",
        "ABC powder",
        "CO2",
        "water",
        "foam",
        "halon",
    )


def screens() -> tuple[str, ...]:
    """What may stand between glass and a face."""
    return ("polycarbonate", "laminated glass", "wire mesh", "none")


@dataclass(frozen=True, slots=True)
class AgentKind(Compound):
    """A mass and what it is a mass of."""

    example: str = '"5 kg NaCl powder"'
    parts = ("mass", "kind")

    def allowed(self) -> str:
        """What may be written."""
        return f"a mass and {_KIND.allowed()}, such as '5 kg NaCl powder'"

    def read(self, value: Any, path: Path, context: Context) -> Agent | None:
        """The agent."""
        try:
            parts = self.split(value if isinstance(value, str) else repr(value))
            mass = read_single(parts["mass"], _MASS)
        except ValueError as error:
            context.wrong(path, str(error))
            return None
        if not 0 < mass <= 1000:
            context.wrong(path, f"'{value}' is not plausible: above 0 and up to 1000 kg is allowed")
            return None
        kind = _KIND.read(parts["kind"], path, context)
        return None if kind is None else Agent(mass, kind)

    def split(self, text: str) -> dict[str, str]:
        """Mass and kind of a text."""
        match = _AGENT.match(text)
        if match is None:
            raise ValueError(f"expected {self.allowed()}, got '{text}'")
        return {"mass": match[1], "kind": match[2]}

    def join(self, parts: dict[str, str]) -> str:
        """The agent as text."""
        return f"{parts['mass']} {parts['kind']}"


_KIND = Choice("agent", agents)

SAFETY = Record(
    (
        Field(
            "agent",
            AgentKind(),
            "what stands ready against burning metal, within reach",
            _Q8,
            default=_UNKNOWN,
        ),
        Field(
            "tray",
            Quantity("volume", 1e-5, 1.0, "5 L"),
            "what the steel tray under the receivers holds",
            _Q8,
            default=_UNKNOWN,
        ),
        Field(
            "clear",
            length_kind(50.0, "1.5 m", 0.0),
            "how far from the tray the nearest thing is that burns",
            _Q8,
            default=_UNKNOWN,
        ),
        Field(
            "people",
            Count(1, 20, "2"),
            "how many are there while it is hot and when it is opened",
            _Q8,
            default=_UNKNOWN,
        ),
        Field(
            "screen",
            Choice("screen", screens),
            "what stands between glass under vacuum and a face",
            _Q8,
            default=_UNKNOWN,
        ),
        Field(
            "hood",
            Quantity("volume_flow", 1e-6, 100.0, "500 m3/h", banded=True),
            "what the hood draws in which the residue is quenched",
            _Q8,
            default=_UNKNOWN,
        ),
        Field("room", Quantity("volume", 1.0, 1e5, "60 m3"), "of the room", _Q8, default=_UNKNOWN),
        Field(
            "ventilation",
            Quantity("volume_flow", 0.0, 1e3, "60 m3/h", banded=True),
            "fresh air into the room while the rig stands there",
            _Q8,
            default="none",
        ),
        Field(
            "water",
            length_kind(100.0, "3 m", 0.0),
            "how far the nearest tap, sink or sprinkler is",
            _Q8,
            default=_UNKNOWN,
        ),
    )
)
