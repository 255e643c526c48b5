# SPDX-License-Identifier: MIT
"""What a wall is made of, as its strength goes: stiffness, yield, creep rupture, scale; nan beyond the data.

Colder than the data the coldest figure counts: metals and glasses only get stiffer and stronger there.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.creep import rupture_time
from retortwright.reference.datum import Curve, Missing, Row, number_of

__all__ = ["LONGEST_RUNS", "WallMetal", "is_above", "kept_back", "limit_of", "needed_of", "rule_number"]

LONGEST_RUNS = 1e3  # that are counted: more is more than a retort is ever run


def rule_number(ledger: Ledger, check: str, name: str) -> float:
    """A number of the rules, cited; nan with the reason written down."""
    row = ledger.row("rules", check, name)
    return number_of(row).best if isinstance(row, Row) else float("nan")


def limit_of(ledger: Ledger, check: str) -> float:
    """The least that a rule asks for, or more if the user asks for more."""
    value = rule_number(ledger, check, "limit")
    key = ledger.tables.find("rules", check, "tighten-limit")
    return max(value, ledger.rig.tighten.get(key.data, value)) if isinstance(key, Row) else value


def kept_back(ledger: Ledger, check: str) -> float:
    """The share of its limit that a rule keeps back, or more if the user asks for more."""
    share = rule_number(ledger, check, "reserve-share")
    key = ledger.tables.find("rules", check, "tighten")
    return max(share, ledger.rig.tighten.get(key.data, 0.0)) if isinstance(key, Row) else share


def needed_of(ledger: Ledger, check: str) -> float:
    """What a rule asks for with its reserve, or more if the user asks for more."""
    return limit_of(ledger, check) * (1.0 + kept_back(ledger, check))


def is_above(ledger: Ledger, material: str, prop: str, temperature: Array) -> bool:
    """Whether the middle of the samples lies above a temperature of the material's table; if there is none, yes."""
    row = ledger.tables.find("materials", material, prop)
    good = temperature[np.isfinite(temperature)]
    if isinstance(row, Missing) or not len(good):
        return True
    return bool(np.median(good) > number_of(row).best)


@dataclass(frozen=True, slots=True)
class WallMetal:
    """One material and the ledger that writes down what is asked of it."""

    ledger: Ledger
    material: str

    def modulus(self, temperature: Array) -> Array:
        """Of elasticity [Pa]."""
        return self._curve("modulus", temperature)

    def yield_stress(self, temperature: Array) -> Array:
        """At which the wall yields or, of glass, may break [Pa]."""
        return self._curve("yield", temperature)

    def poisson(self) -> Array:
        """Poisson's ratio [1]."""
        return self.ledger.sampled(
            f"poisson.{self.material}", "materials", self.material, "poisson", 0.05, 0.45
        )

    def expansion(self, temperature: Array) -> Array:
        """Mean expansion from 20 degC [1/K]."""
        return self._curve("expansion", temperature, both=True)

    def _curve(self, prop: str, temperature: Array, both: bool = False) -> Array:
        found = self.ledger.curve(self.material, prop)
        if found is None:
            return np.full(self.ledger.draws.size, np.nan)
        curve, factor = found
        right = curve.value[-1] if both else np.nan
        value = np.interp(temperature, curve.temperature, curve.value, right=right)
        value = np.where(np.isfinite(temperature), value, np.nan)
        self._lost(curve, value, temperature)
        return np.asarray(value * factor)

    def _lost(self, curve: Curve, value: Array, temperature: Array) -> None:
        """Write down that a datum ends before the wall is as hot as it gets."""
        asked = temperature[np.isfinite(temperature)]
        if len(asked) and not np.any(np.isfinite(value)):
            self.ledger.missing.append(curve.missing_at(float(np.median(asked))))

    def life(self, stress: Array, temperature: Array) -> Array:
        """Hours until the wall breaks under a stress at a temperature; nan beyond the tests, never above the longest.

        A stress below the least that was tested counts as that one: it lasts at least so long.
        """
        found = self.ledger.curve(self.material, "rupture")
        until = self.ledger.row("materials", self.material, "rupture-to")
        if found is None or until is None:
            return np.full(self.ledger.draws.size, np.nan)
        curve, factor = found
        constant = rule_number(self.ledger, "creep-runs", "constant")
        longest = rule_number(self.ledger, "creep-runs", "longest")
        asked = np.log(np.maximum(stress / factor, 1.0))
        known = np.log(curve.value)
        order = np.argsort(known)
        parameter = np.interp(asked, known[order], curve.temperature[order], right=np.nan)
        parameter = np.where(np.isfinite(stress), parameter, np.nan)
        cold = parameter / temperature - constant > np.log10(longest)
        hours = np.where(cold, longest, np.asarray(rupture_time(parameter, temperature, constant)))
        return np.asarray(np.where(temperature > number_of(until).best, np.nan, np.minimum(hours, longest)))

    def note_beyond(self, temperature: Array) -> None:
        """Write down that a wall is hotter than all creep tests, if the middle of its samples is."""
        row = self.ledger.tables.find("materials", self.material, "rupture-to")
        good = temperature[np.isfinite(temperature)]
        if isinstance(row, Row) and len(good) and np.median(good) > number_of(row).best:
            says = (
                f"creep of {self.material} is known up to {number_of(row).best - 273.15:.0f} degC ({row.source}); "
                f"asked at {np.median(good) - 273.15:.0f} degC"
            )
            self.ledger.missing.append(Missing(row.address, says))

    def least_tested(self) -> Array:
        """The least stress under which it was tested for rupture [Pa]."""
        found = self.ledger.curve(self.material, "rupture")
        size = self.ledger.draws.size
        return np.full(size, np.nan) if found is None else np.full(size, np.min(found[0].value))

    def creeps_from(self) -> float:
        """Temperature below which creep does not count [K]."""
        return self._from("creep-from")

    def scales_from(self) -> float:
        """Temperature below which scale does not count [K]."""
        return self._from("scaling-from")

    def _from(self, prop: str) -> float:
        row = self.ledger.row("materials", self.material, prop)
        return number_of(row).best if isinstance(row, Row) else float("nan")

    def scaling(self, prop: str, temperature: Array) -> Array:
        """A rate of scaling, straight in its logarithm; the coldest figure below the data, nan above it."""
        found = self.ledger.curve(self.material, prop)
        if found is None:
            return np.full(self.ledger.draws.size, np.nan)
        curve, factor = found
        rate = np.exp(np.interp(temperature, curve.temperature, np.log(curve.value), right=np.nan))
        rate = np.where(np.isfinite(temperature), rate, np.nan)
        self._lost(curve, rate, temperature)
        return np.asarray(rate * factor)
