# SPDX-License-Identifier: MIT
"""A charge reckoned with the few species that matter to it now; of all others there is next to nothing.

Which those are follows from the potentials of the elements: a species so far below its own potential
that less than a trillionth of its phase would be of it is left out, and taken in again before there
could be a billionth.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.ground.ranges import Mask, quietly
from retortwright.physics.phase_equilibrium import PhaseEquilibrium
from retortwright.physics.phase_system import PhaseSystem
from retortwright.reference.species import STANDARD_PRESSURE
from retortwright.situation.any_charge import Conditions

__all__ = ["Few", "levels_of"]

_LEAVES, _COMES = -27.0, -18.0  # how far below its own potential over R T; melts bind by up to ten
_GASES = 6.0  # how much farther a gas: most of the gas phase may be a carrier
_NOTHING = 1e-300


@quietly
def levels_of(at: Conditions, found: PhaseEquilibrium, pressure: Array) -> Array:
    """By how much every species is above its own potential over R T, (points, species); nan where not known."""
    levels = found.potentials @ at.phases.system.atoms.T - at.standard
    levels[:, : at.phases.gases] -= np.log(pressure / STANDARD_PRESSURE)[:, None]
    return np.asarray(levels)


@dataclass(frozen=True, slots=True)
class Few:
    """Some of the species of a charge."""

    whole: Conditions
    which: Mask  # of the species of the whole
    at: Conditions

    @classmethod
    def of(cls, whole: Conditions, which: Mask) -> Few:
        """Some species by themselves."""
        pairs = whole.interactions
        if pairs is not None:
            here = np.array([which[one] and which[other] for one, other in whole.phases.system.pairs])
            pairs = (pairs[0][:, here], pairs[1][:, here])
        at = Conditions(whole.phases.kept(which), whole.kelvin, whole.standard[:, which], pairs)
        return cls(whole, which, at)

    @classmethod
    def enough(cls, whole: Conditions, levels: Array, always: Mask) -> Few:
        """All species that might matter near some levels, those without data at a point, and some others."""
        with np.errstate(invalid="ignore"):
            near = (_weighed(whole, levels) > _LEAVES).any(0)
        return cls.of(whole, near | always | ~np.isfinite(whole.standard).all(0))

    def lacks(self, levels: Array) -> bool:
        """Whether a species that was left out may matter now."""
        with np.errstate(invalid="ignore"):
            return bool((_weighed(self.whole, levels)[:, ~self.which] > _COMES).any())

    def of_all(self, found: PhaseEquilibrium, levels: Array) -> PhaseEquilibrium:
        """What was found, in the species of the whole."""
        system, points = self.whole.phases.system, len(found.potentials)
        shares = np.where(np.isfinite(levels), np.exp(np.clip(levels, -690.0, 0.0)), _NOTHING)
        shares[:, system.first_pure :] = 1.0
        shares[:, self.which] = found.shares
        moles = np.zeros((points, len(system.atoms)))
        moles[:, self.which] = found.moles
        opened = np.ones((points, len(system.atoms)), dtype=bool)
        opened[:, self.which] = found.open
        phases = _phase_numbers(self.whole, self.at)
        phase_moles, excess = np.zeros((points, system.phases)), np.full((points, system.phases), -50.0)
        excess[:, len(system.mixed) :] = np.nan_to_num(levels[:, system.first_pure :], nan=-1e4)
        phase_moles[:, phases], excess[:, phases] = found.phase_moles, found.excess
        return PhaseEquilibrium(
            moles, phase_moles, shares, excess, found.potentials, found.imbalance, found.uneven,
            found.converged, found.one_melt, opened,
        )  # fmt: skip

    def of_these(self, found: PhaseEquilibrium) -> PhaseEquilibrium:
        """What was found of the whole, in these species."""
        phases = _phase_numbers(self.whole, self.at)
        shares = found.shares[:, self.which]
        system: PhaseSystem = self.at.phases.system
        for part in system.slices:
            shares[:, part] /= shares[:, part].sum(1, keepdims=True)
        return PhaseEquilibrium(
            found.moles[:, self.which], found.phase_moles[:, phases], shares, found.excess[:, phases],
            found.potentials.copy(), found.imbalance.copy(), found.uneven.copy(), found.converged.copy(),
            found.one_melt.copy(), found.open[:, self.which],
        )  # fmt: skip


def _weighed(at: Conditions, levels: Array) -> Array:
    more = np.zeros(levels.shape[1])
    more[: at.phases.gases] = _GASES
    return levels + more


def _phase_numbers(whole: Conditions, at: Conditions) -> list[int]:
    place = {name: number for number, name in enumerate(whole.phases.names)}
    return [place[name] for name in at.phases.names]
