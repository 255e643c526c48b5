# SPDX-License-Identifier: MIT
"""The head of every document: what made it, and of which rig."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from typing import Any

from retortwright import __version__
from retortwright.belief.beliefs import Draws
from retortwright.ground.units import TAIL
from retortwright.reference.tables import Tables
from retortwright.rig.parts import Rig

__all__ = ["made_by", "rig_document"]


def made_by(tables: Tables, draws: Draws) -> dict[str, Any]:
    """What made a document: enough to make it again."""
    return {
        "version": __version__,
        "tables": f"sha256:{tables.digest}",
        "samples": draws.samples,
        "seed": draws.seed,
        "ends": [TAIL, 1 - TAIL],
    }


def rig_document(rig: Rig, edits: Iterable[tuple[str, str]]) -> dict[str, Any]:
    """Which rig a document is of, with the edits that made it another for this once."""
    return {
        "path": rig.path,
        "sha256": hashlib.sha256(rig.text.encode()).hexdigest(),
        "edits": dict(edits),
    }
