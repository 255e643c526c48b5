# SPDX-License-Identifier: MIT
"""What happens in a rig: solved once per regime over all samples, asked by every question."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing, curve_of
from retortwright.reference.tables import Tables
from retortwright.rig.parts import Rig
from retortwright.rig.tree import Tree, tree_of
from retortwright.situation.heat import CLOSE, HeatPicture, steady_heat
from retortwright.situation.mesh import Mesh, mesh_of
from retortwright.situation.regime import Regime, regime_of

__all__ = ["Situation"]

ROUGH = 1e-2  # K


class Situation:
    """The pictures of one rig for one set of draws, computed when first asked for."""

    def __init__(self, rig: Rig, tables: Tables, draws: Draws, split: int = 1, rough: bool = False) -> None:
        self.rig = rig
        self.tables = tables
        self.draws = draws
        self.split = split  # parts that each cell is cut into, to study the error
        self.rough = rough  # to a hundredth of a kelvin only: for a search that is confirmed afterwards
        self.tree: Tree = tree_of(rig)
        self.mesh: Mesh = mesh_of(rig, self.tree, _ordinary_conductivity(rig, tables), split)
        self._heat: dict[Regime, HeatPicture] = {}

    def heat(self, state: str) -> HeatPicture:
        """The steady temperatures in a state."""
        return self.heat_in(regime_of(self.rig, state))

    def heat_in(self, regime: Regime, start: Array | None = None) -> HeatPicture:
        """The steady temperatures in a regime."""
        if regime not in self._heat:
            if start is None and not self.rough:
                start = self._middle(regime)
            ledger = Ledger(self.rig, self.tables, self.draws)
            close = ROUGH if self.rough else CLOSE
            self._heat[regime] = steady_heat(self.rig, self.tree, self.mesh, regime, ledger, start, close)
        return self._heat[regime]

    def _middle(self, regime: Regime) -> Array | None:
        """A first guess for all samples: the picture with every belief at its middle."""
        draws = Draws(self.draws.samples, self.draws.seed, width=0.0, pick=(0,))
        ledger = Ledger(self.rig, self.tables, draws)
        picture = steady_heat(self.rig, self.tree, self.mesh, regime, ledger)
        if not np.all(np.isfinite(picture.temperature)):
            return None
        return np.repeat(picture.temperature, self.draws.size, axis=1)

    def drawn(self, draws: Draws) -> Situation:
        """The same rig with other draws."""
        return Situation(self.rig, self.tables, draws, self.split)


def _ordinary_conductivity(rig: Rig, tables: Tables) -> Mapping[str, float]:
    """Conductivity near 500 K, only to size the cells."""
    found: dict[str, float] = {}
    for piece in rig.pieces:
        row = tables.find("materials", piece.of, "conductivity")
        found[piece.of] = 10.0 if isinstance(row, Missing) else float(curve_of(row).held(500.0))
    return found
