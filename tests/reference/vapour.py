# SPDX-License-Identifier: MIT
"""Vapour over a pure metal or salt from the species table, and the second sources it is held against."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from scipy.optimize import brentq  # type: ignore[import-untyped]

from retortwright.ground.formula import elements_of
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.reference.datum import Row, number_of
from retortwright.reference.species import STANDARD_PRESSURE, Species, find_species
from retortwright.reference.tables import Tables, shipped

ATMOSPHERE = 101325.0  # Pa
SECOND = Path(__file__).parent / "second_sources.toml"


def second_sources() -> dict[str, list[dict[str, Any]]]:
    """Everything in the file of second sources."""
    found: dict[str, list[dict[str, Any]]] = tomllib.loads(SECOND.read_text(encoding="utf-8"))
    return found


def pressure_of(equation: dict[str, Any], temperature: float) -> float:
    """What an equation of the file says [Pa]."""
    a, b, c, *rest = equation["constants"]
    if equation["form"] == "natural":
        extra = rest[0] * temperature if rest else 0.0
        return float(np.exp(a + b / temperature + c * np.log(temperature) + extra))
    return float(10 ** (5.006 + a + b / temperature + c * np.log10(temperature)))


def own_half(name: str, tables: Tables | None = None) -> float:
    """Half-width of what a row says is its own uncertainty [J/mol]."""
    row = (tables or shipped()).find("species", name, "own-spread")
    return number_of(row).high if isinstance(row, Row) else 0.0


@dataclass(frozen=True, slots=True)
class Vapour:
    """A pure substance and every gas made of whole formula units of it."""

    solid: Species
    liquid: Species
    gases: tuple[tuple[int, Species], ...]

    def condensed(self, temperature: float) -> float:
        """Gibbs energy of the stable condensed phase [J/mol]; nan where neither is known."""
        solid = float(self.solid.gibbs(temperature))
        liquid = float(self.liquid.gibbs(temperature))
        return min((g for g in (solid, liquid) if g == g), default=float("nan"))

    def parts(self, temperature: float, side: float = 0.0) -> dict[str, float]:
        """Partial pressures [Pa]; `side` moves every gas to that end of its own band, -1 to 1."""
        over = self.condensed(temperature)
        return {
            gas.name: STANDARD_PRESSURE * float(
                np.exp(
                    -(float(gas.gibbs(temperature)) - side * own_half(gas.name) - units * over)
                    / (GAS_CONSTANT * temperature)
                )
            )
            for units, gas in self.gases
        }  # fmt: skip

    def pressure(self, temperature: float, side: float = 0.0) -> float:
        """All of it [Pa]."""
        return sum(self.parts(temperature, side).values())

    def boiling(self, side: float = 0.0) -> float:
        """Temperature at which all of it reaches one atmosphere [K]."""
        top = min([self.liquid.highest, *(gas.highest for _, gas in self.gases)]) - 1.0
        return float(brentq(lambda t: np.log(self.pressure(t, side) / ATMOSPHERE), 500.0, top))


def vapour_over(formula: str) -> Vapour:
    """The vapour over one substance of the table."""
    tables = shipped()
    solid, liquid = (find_species(tables, f"{formula}({phase})") for phase in "sl")
    assert isinstance(solid, Species)
    assert isinstance(liquid, Species)
    return Vapour(solid, liquid, tuple(_gases(formula)))


def _gases(formula: str) -> Iterator[tuple[int, Species]]:
    """Gases of one, two or three formula units."""
    unit = dict(elements_of(formula))
    for name in shipped().subjects("species"):
        if not name.endswith("(g)"):
            continue
        parts = dict(elements_of(name[:-3]))
        for units in (1, 2, 3):
            if parts == {element: units * count for element, count in unit.items()}:
                gas = find_species(shipped(), name)
                assert isinstance(gas, Species)
                yield units, gas
