# SPDX-License-Identifier: MIT
"""One number of a rig over all samples, with everything it was made from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from retortwright.belief.beliefs import Belief
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing
from retortwright.situation.heat import HeatPicture

__all__ = ["Figure", "figure_of"]


@dataclass(frozen=True, slots=True)
class Figure:
    """Values over the samples, nan where there is no number, and what else came out on the way."""

    values: Array
    said: Mapping[str, Array]
    inputs: tuple[Belief, ...]
    cites: frozenset[str]
    missing: tuple[Missing, ...]

    @property
    def recalled(self) -> Missing | None:
        """A datum from memory that no text confirms, if one was used."""
        for belief in self.inputs:
            if not belief.seen:
                return Missing(belief.address, f"{belief.name} is from memory only and not confirmed")
        return None


def figure_of(
    ledger: Ledger, values: Array, said: Mapping[str, Array] | None = None, picture: HeatPicture | None = None
) -> Figure:
    """A figure of what a ledger has written down; whatever is missing leaves no number."""
    inputs = dict(ledger.used)
    cites, missing = set(ledger.cites), list(ledger.missing)
    if picture is not None:
        inputs = {belief.name: belief for belief in picture.inputs} | inputs
        cites |= picture.cites
        missing += picture.missing
    if missing:
        values = np.full(ledger.draws.size, np.nan)
    spread = np.broadcast_to(np.asarray(values, dtype=float), (ledger.draws.size,))
    return Figure(spread, said or {}, tuple(inputs.values()), frozenset(cites), tuple(missing))
