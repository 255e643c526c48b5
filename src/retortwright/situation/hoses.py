# SPDX-License-Identifier: MIT
"""Hoses that are pumped empty: the wall over the bore that they have, and that they want to stay open."""

from __future__ import annotations

import numpy as np

from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.standing import Standing

__all__ = ["flattened", "needed_share"]

_STIFF = ("nylon", "PTFE")


def needed_share(material: str) -> str:
    """The belief that says how much wall over bore a hose of a material wants."""
    return "stiff-hose.wall" if material in _STIFF else "hose.wall"


def flattened(standing: Standing) -> Figure:
    """The wall over the bore that a hose wants, over what it has."""
    ledger = standing.ledger()
    name = needed_share(standing.piece.of)
    wants = np.asarray(ledger.default(name))
    tube = standing.piece.tube
    return figure_of(ledger, wants * tube.bore / tube.wall, {"wants": wants})  # no temperature is in it
