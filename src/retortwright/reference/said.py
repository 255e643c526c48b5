# SPDX-License-Identifier: MIT
"""A computation in words, with its sources."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Formula"]


@dataclass(frozen=True, slots=True)
class Formula:
    """One computation in words."""

    says: str
    sources: tuple[str, ...]
