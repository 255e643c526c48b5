# SPDX-License-Identifier: MIT
"""A pure metal and its vapour over the samples: saturation, dew and frost, triple point, heat of landing.

All gases of the metal alone count, over whichever condensed phase is stable. Solved anew at every
call; `saturation_table` holds the same pressures as a table for the many calls of a line.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array, Real
from retortwright.physics.melts import equilibrium_pressure
from retortwright.reference.datum import Missing
from retortwright.reference.species import STANDARD_PRESSURE, Species, condensed_of, gases_of
from retortwright.situation.chemistry import Chemistry

__all__ = ["PureMetal", "pure_metal"]

_PLACES = 40
_TURNS = 9
_LEAST = 1e-300  # Pa
_INSIDE = 1e-9  # of the ends of what is known


@dataclass(frozen=True, slots=True)
class PureMetal:
    """The phases of one metal; temperatures and pressures have the samples as their last axis."""

    chemistry: Chemistry
    metal: str
    condensed: tuple[Species, ...]
    gases: tuple[Species, ...]

    @property
    def melts(self) -> float:
        """Melting point [K]."""
        return next(each.melts for each in self.condensed if each.melts is not None)

    @property
    def reach(self) -> tuple[float, float]:
        """Between which temperatures every gas and some condensed phase is known [K]."""
        low = max([min(each.lowest for each in self.condensed), *(gas.lowest for gas in self.gases)])
        high = min([max(each.highest for each in self.condensed), *(gas.highest for gas in self.gases)])
        return low, high

    def parts(self, temperature: Real) -> dict[str, Array]:
        """Saturated pressure of each gas [Pa]; nan where it is not known."""
        pure = self.chemistry.lowest([each.name for each in self.condensed], temperature)
        return {
            gas.name: np.asarray(
                equilibrium_pressure(
                    temperature,
                    gas.elements[self.metal] * pure,
                    self.chemistry.gibbs(gas.name, temperature),
                    STANDARD_PRESSURE,
                )
            )
            for gas in self.gases
        }

    def pressure(self, temperature: Real) -> Array:
        """Saturated pressure of all gases together [Pa]; nan where it is not known."""
        return np.asarray(np.sum(list(self.parts(temperature).values()), axis=0))

    def triple_pressure(self) -> Array:
        """Saturated pressure at the melting point: below it the metal lands solid on any wall [Pa]."""
        return self.pressure(self.melts)

    def lands_from(self, pressure: Real) -> Array:
        """The warmest wall on which vapour of a pressure lands, dew or frost [K]; nan beyond what is known."""
        with np.errstate(divide="ignore"):
            wanted = np.log(np.asarray(pressure, dtype=float)) + np.zeros(self.chemistry.ledger.draws.size)
        coldest, hottest = self.reach
        places = np.linspace((1 + _INSIDE) / hottest, (1 - _INSIDE) / coldest, _PLACES)
        table = self._logarithm(places.reshape(-1, *np.ones(wanted.ndim, dtype=int)))
        table = np.broadcast_to(table, (_PLACES, *wanted.shape))
        above = np.sum(table > wanted, axis=0)
        known = (above > 0) & (above < _PLACES)
        cold = np.clip(above, 1, _PLACES - 1)
        ends = [
            (places[place], np.take_along_axis(table, place[None], axis=0)[0] - wanted)
            for place in (cold - 1, cold)
        ]
        return np.where(known, 1 / self._between(ends[0], ends[1], wanted), np.nan)

    def _logarithm(self, inverse: Array) -> Array:
        """Logarithm of the saturated pressure over the inverse of the temperature, nearly straight."""
        return np.asarray(np.log(np.maximum(self.pressure(1 / inverse), _LEAST)))

    def _between(self, hot: tuple[Array, Array], cold: tuple[Array, Array], wanted: Array) -> Array:
        """Inverse temperature of a wanted pressure between two, by false position, an idle end halved."""
        (x, over), (y, under) = hot, cold
        guess, before = x, np.zeros(np.shape(wanted))
        for _ in range(_TURNS):
            with np.errstate(invalid="ignore", divide="ignore"):
                guess = np.nan_to_num((x * under - y * over) / (under - over), nan=1 / self.melts)
            off = self._logarithm(guess) - wanted
            idle = np.where(before == np.sign(off), 0.5, 1.0)
            x, y = np.where(off >= 0, guess, x), np.where(off >= 0, y, guess)
            over, under = np.where(off >= 0, off, over * idle), np.where(off >= 0, under * idle, off)
            before = np.sign(off)
        return guess

    def heat_of_landing(self, temperature: Real) -> Array:
        """Heat that saturated vapour gives per mole of atoms as it lands [J/mol]; nan where it is not known."""
        solid_or_liquid = self._stable_enthalpy(temperature)
        pressures = self.parts(temperature)
        atoms, heat = np.zeros(1), np.zeros(1)
        for gas in self.gases:
            count = gas.elements[self.metal]
            enthalpy = gas.enthalpy(temperature) + self.chemistry.doubt(gas, temperature)
            atoms = atoms + count * pressures[gas.name]
            heat = heat + pressures[gas.name] * (enthalpy - count * solid_or_liquid)
        with np.errstate(invalid="ignore", divide="ignore"):
            return np.asarray(heat / atoms)

    def _stable_enthalpy(self, temperature: Real) -> Array:
        """Formation based enthalpy of the condensed phase with the lowest Gibbs energy [J/mol]."""
        found = [self.chemistry.gibbs(each.name, temperature) for each in self.condensed]
        first = np.argmin(np.nan_to_num(found, nan=np.inf), axis=0)
        enthalpies = [self.chemistry.enthalpy(each.name, temperature) for each in self.condensed]
        return np.asarray(np.take_along_axis(np.array(enthalpies), first[None], axis=0)[0])


def pure_metal(chemistry: Chemistry, metal: str) -> PureMetal | None:
    """A metal of the species table; None with what is missing written down."""
    tables = chemistry.ledger.tables
    condensed = tuple(each for each in condensed_of(tables, [metal]) if each.formula == metal)
    gases = gases_of(tables, [metal])
    if not gases or not any(each.melts is not None for each in condensed):
        says = f"no thermochemical data of {metal} and its vapour in our tables"
        chemistry.ledger.missing.append(Missing(f"species/{metal}(g)", says))
        return None
    for species in (*condensed, *gases):
        chemistry.find(species.name)
    return PureMetal(chemistry, metal, condensed, gases)
