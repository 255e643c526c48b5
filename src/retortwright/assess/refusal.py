# SPDX-License-Identifier: MIT
"""What a refusal is: no finding, without band and margin; it withholds what would presuppose what it forbids."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Refusal"]


@dataclass(frozen=True, slots=True)
class Refusal:
    """One thing that is refused, where it stands in the file, why, and what to do instead."""

    kind: str
    place: str  # dotted key without its table
    at: str  # dotted key in the rig file
    subject: str
    says: str
    because: str
    do: str
    withholds: tuple[int, ...]
    sources: tuple[str, ...] = ()
    cites: frozenset[str] = frozenset()

    @property
    def id(self) -> str:
        """refused/kind/place."""
        return f"refused/{self.kind}/{self.place}"
