# SPDX-License-Identifier: MIT
"""Where each uncertain input of a rig comes from: the user's figure first, then our tables.

A figure of the user's without a band keeps the relative band of the default it replaces.
"""

from __future__ import annotations

import numpy as np

from retortwright.belief.beliefs import Belief, Draws, quantile
from retortwright.ground.arrays import Array
from retortwright.ground.units import Band
from retortwright.reference.datum import Curve, Missing, Row, curve_of, number_of
from retortwright.reference.tables import Tables
from retortwright.rig.parts import Rig
from retortwright.rig.vocabulary import EMISSIVITY, FACTOR, sense_of

__all__ = ["Ledger"]

_BASIS = {"seen": "table", "recalled": "table", "practice": "common practice"}


class Ledger:
    """Answers every call for an input and writes down what was used, cited and missing."""

    def __init__(self, rig: Rig, tables: Tables, draws: Draws) -> None:
        self.rig = rig
        self.tables = tables
        self.draws = draws
        self.used: dict[str, Belief] = {}
        self.drawn: dict[str, Array] = {}
        self.cites: set[str] = set()
        self.missing: list[Missing] = []

    def row(self, table: str, subject: str, name: str) -> Row | None:
        """A row, cited; None with the reason written down."""
        found = self.tables.find(table, subject, name)
        self.cites.add(f"{table}/{subject}/{name}")
        if isinstance(found, Missing):
            self.missing.append(found)
            return None
        return found

    def default(self, name: str, lowest: float = -np.inf, highest: float = np.inf) -> Array:
        """Samples of a belief that has a default of common practice, within its least and most.

        `lowest` and `highest` may draw these closer where a formula needs it.
        """
        least, most = sense_of(name, self.tables)
        return self.sampled(name, "beliefs", name, "default", max(least, lowest), min(most, highest))

    def sampled(
        self, name: str, table: str, subject: str, prop: str, lowest: float = -1e9, highest: float = 1e9
    ) -> Array:
        """Samples of the belief `name`: the user's figure if there is one, else the row's number."""
        belief = self._assumed(name, table, subject, prop, lowest, highest)
        if belief is None:
            row = self.row(table, subject, prop)
            if row is None:
                return np.full(self.draws.size, np.nan)
            belief = _of_row(name, row, number_of(row), lowest, highest)
        return self._taken(belief)

    def emissivity(self, material: str, finish: str) -> Array:
        """Samples of the emissivity of a material in one finish."""
        return self.sampled(
            f"emissivity.{material}-{finish}", "materials", material, f"emissivity-{finish}", *EMISSIVITY
        )

    def curve(self, material: str, prop: str, table: str = "materials") -> tuple[Curve, Array] | None:
        """A property over temperature and the samples of its factor."""
        row = self.row(table, material, prop)
        if row is None:
            return None
        name = f"{prop}.{material}"
        assumed = self.rig.assume.get(name)
        if row.form == "constant":
            number = number_of(row)
            band = Band(number.low / number.best, 1.0, number.high / number.best)
        else:
            share = float(row.spread.rstrip("%")) / 100
            band = Band(1 - share, 1.0, 1 + share)
        if assumed is not None:
            band = assumed if assumed.wide else band.scaled_to(assumed.best)
            belief = self._of_file(name, band, "1", *FACTOR, f"assume.{name}")
        else:
            belief = _of_row(name, row, band, *FACTOR, unit="1")
        return curve_of(row), self._taken(belief)

    def figure(self, key: str, band: Band, unit: str, lowest: float = 0.0) -> Array:
        """Samples of a figure that stands in the rig file itself."""
        return self._taken(self._of_file(key, band, unit, lowest, 1e9, key))

    def ends(self, name: str) -> tuple[float, float]:
        """The least and most that a used belief can be drawn as, whichever samples are computed."""
        belief = self.used.get(name)
        if belief is None:
            return float("nan"), float("nan")
        low, high = quantile(self.draws.band_of(belief), np.array([0.0, 1.0]))
        return max(float(low), belief.lowest), min(float(high), belief.highest)

    def _assumed(
        self, name: str, table: str, subject: str, prop: str, lowest: float, highest: float
    ) -> Belief | None:
        assumed = self.rig.assume.get(name)
        if assumed is None:
            return None
        found = self.tables.find(table, subject, prop)
        unit = "1" if isinstance(found, Missing) else found.unit.replace("dK", "K")
        if not assumed.wide:
            row = self.row(table, subject, prop)
            if row is None:
                return None
            default = number_of(row)
            kelvin = row.unit in ("K", "dK")
            shift = assumed.best - default.best
            assumed = (
                Band(default.low + shift, assumed.best, default.high + shift)
                if kelvin
                else default.scaled_to(assumed.best)
            )
        return self._of_file(name, assumed, unit, lowest, highest, f"assume.{name}")

    def _of_file(self, name: str, band: Band, unit: str, lowest: float, highest: float, key: str) -> Belief:
        line = self.rig.line_of(key)
        address = f"{self.rig.path}:{line}" if line else f"{self.rig.path}: {key}"
        return Belief(name, band, unit, "file", address, "", "", True, lowest, highest)

    def _taken(self, belief: Belief) -> Array:
        self.used[belief.name] = belief
        if belief.name not in self.drawn:
            self.drawn[belief.name] = self.draws.values(belief)
        return self.drawn[belief.name]


def _of_row(
    name: str, row: Row, band: Band, lowest: float, highest: float, unit: str | None = None
) -> Belief:
    shown = (unit or row.unit).replace("dK", "K")
    return Belief(
        name,
        band,
        shown,
        _BASIS[row.known],
        row.address,
        row.source,
        row.locator,
        row.known != "recalled",
        lowest,
        highest,
    )
