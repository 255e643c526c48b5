# SPDX-License-Identifier: MIT
"""The room that a charge takes in the retort: poured cold, melted, foaming.

A melt colder than the melting point of its salt takes its densest known value at that point: a
melt only gets denser on cooling, so it stands no higher than that.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.species import Species, find_species
from retortwright.rig.parts import Reagent
from retortwright.situation.charge import ChargePicture
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.timing import hottest_state
from retortwright.situation.vessel import Vessel, vessel_of

__all__ = ["ChargeRoom", "charge_room"]

_HALIDES = frozenset({"F", "Cl", "Br", "I"})


class ChargeRoom:
    """Volumes of the charge and how high they stand in the retort of the rig."""

    def __init__(self, picture: ChargePicture) -> None:
        self.picture, self.rig = picture, picture.rig
        self.vessel: Vessel = vessel_of(picture.situation.tree)
        state = hottest_state(self.rig)
        self.hottest = self.rig.set_point(state) if state is not None else None

    def cold(self) -> Figure:
        """How high the charge stands as it was poured in [m]."""
        return self.picture.once("cold", self._cold)

    def _cold(self) -> Figure:
        ledger = self.picture.ledger()
        solid = self.solid(ledger)
        volume = solid / ledger.default("charge.packed", 0.05, 1.0)
        return self._standing(ledger, volume, {"solid": solid})

    def solid(self, ledger: Ledger) -> Array:
        """Volume of the charge without the voids [m^3]."""
        parts = [self.picture.mass(ledger, each) / self._density(ledger, each) for each in self.rig.charge]
        return np.asarray(sum(parts, np.zeros(ledger.draws.size)))

    def melted(self) -> Figure:
        """How high the melt stands at the hottest set-point, what stays solid in it [m]."""
        return self.picture.once("melted", self._melted)

    def _melted(self) -> Figure:
        ledger = self.picture.ledger()
        return self._standing(ledger, self._melt(ledger), {})

    def foaming(self) -> Figure:
        """How high the melt stands where vapour makes it foam [m]."""
        return self.picture.once("foaming", self._foaming)

    def _foaming(self) -> Figure:
        ledger = self.picture.ledger()
        melt = self._melt(ledger)
        return self._standing(ledger, melt * ledger.default("charge.foam", 1.0, 100.0), {"quiet": melt})

    def _standing(self, ledger: Ledger, volume: Array, said: dict[str, Array]) -> Figure:
        return figure_of(ledger, self.vessel.depth(volume), said | {"volume": volume})

    def melts(self) -> bool | None:
        """Whether a salt, or the metal that is to be distilled once more, melts; None where nobody can say."""
        found = [self.is_melt(self.picture.ledger(), each) for each in self._pools()]
        if any(found):
            return True
        return None if None in found else False

    def _pools(self) -> Iterator[Reagent]:
        """The reagents that can become the melt: compounds, and the metal itself."""
        for each in self.rig.charge:
            if len(elements_of(each.formula)) > 1 or each.formula == self.picture.metal:
                yield each

    def is_melt(self, ledger: Ledger, reagent: Reagent) -> bool | None:
        """Whether a reagent is melted at the hottest set-point; None with the reason written down.

        Mixed halides melt far lower than each alone, so a halide counts as melted that much lower.
        """
        if self.hottest is None:
            ledger.missing.append(Missing("programme.steps", "no step of the programme heats the charge"))
            return None
        formula = reagent.formula
        liquid, solid = (find_species(ledger.tables, f"{formula}({phase})") for phase in ("l", "s"))
        if isinstance(liquid, Species) and liquid.melts is not None:
            ledger.cites |= set(liquid.addresses)
            lower = self._lowering(ledger) if not _HALIDES.isdisjoint(elements_of(formula)) else 0.0
            return self.hottest >= liquid.melts - lower
        if isinstance(solid, Species) and solid.highest >= self.hottest:
            ledger.cites |= set(solid.addresses)
            return False
        says = f"whether {formula} melts at {self.hottest - 273.15:.0f} degC is not in our tables"
        ledger.missing.append(Missing(f"species/{formula}(l)", says))
        return None

    def _lowering(self, ledger: Ledger) -> float:
        if len(self.rig.charge) < 2:
            return 0.0
        row = ledger.row("rules", "fill-melted", "lowering")
        return number_of(row).best if isinstance(row, Row) else float("nan")

    def _melt(self, ledger: Ledger) -> Array:
        """Volume of the melt with what stays solid in it [m^3]."""
        total = np.zeros(ledger.draws.size)
        pools = [each.formula for each in self._pools()]
        for each in self.rig.charge:
            melted = each.formula in pools and self.is_melt(ledger, each)
            density = self._melt_density(ledger, each) if melted else self._density(ledger, each)
            total = total + self.picture.mass(ledger, each) / density
        return total

    def _density(self, ledger: Ledger, reagent: Reagent) -> Array:
        formula = reagent.formula
        return ledger.sampled(f"density.{formula}", "charges", formula, "density", 10.0, 3e4)

    def _melt_density(self, ledger: Ledger, reagent: Reagent) -> Array:
        found = ledger.curve(reagent.formula, "melt-density", "charges")
        if found is None or self.hottest is None:
            return np.full(ledger.draws.size, np.nan)
        curve, factor = found
        asked = max(self.hottest, float(curve.temperature[0]))
        if not curve.covers(asked):
            ledger.missing.append(curve.missing_at(asked))
        return curve.at(asked) * factor


def charge_room(picture: ChargePicture) -> ChargeRoom:
    """The room that a charge takes, made once."""
    return picture.situation.once("charge room", lambda: ChargeRoom(picture))
