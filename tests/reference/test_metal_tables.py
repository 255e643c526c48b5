# SPDX-License-Identifier: MIT
"""Sizes, surface tension and viscosity of the metals beside printed figures and each other."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.draining import least_draining_radius
from retortwright.physics.tubepassage import tube_flow
from retortwright.physics.vaporisation import hard_sphere_diffusivity
from retortwright.physics.viscosity import hard_sphere_viscosity
from retortwright.reference.datum import Row, curve_of, number_of
from retortwright.reference.tables import shipped

VAPOURS = ["Li", "Na", "K", "Rb", "Cs", "Mg", "Ca", "Sr", "Ba", "Zn", "Sm", "Eu", "Yb"]
LIQUIDS = VAPOURS[:10]
MOLAR = {"Li": 0.00694, "Na": 0.02298977, "K": 0.0390983, "Rb": 0.0854678, "Cs": 0.1329055}


def row(metal: str, prop: str, table: str = "metals") -> Row:
    """A row that has to be there."""
    found = shipped().find(table, metal, prop)
    assert isinstance(found, Row), found
    return found


def viscosities(metal: str, temperature: float) -> tuple[float, float]:
    """The ends of the band of the vapour's viscosity."""
    band = number_of(row(metal, "collision-diameter"))
    low, high = (
        float(hard_sphere_viscosity(temperature, MOLAR[metal], end)) for end in (band.high, band.low)
    )
    return low, high


@pytest.mark.parametrize("metal", VAPOURS)
def test_a_vapour_has_its_sizes(metal: str) -> None:
    alike, argon = (number_of(row(metal, f"{kind}-diameter")) for kind in ("collision", "argon"))
    # practice: atoms of argon are 3.5e-10 m wide and hold less tightly to a metal than it to its like
    assert 3.0e-10 < argon.best < alike.high
    assert alike.low < alike.best < alike.high


@pytest.mark.parametrize(
    ("metal", "temperature", "viscosity"),
    [
        ("Li", 600.0, 75e-7),
        ("Li", 1000.0, 123e-7),
        ("Li", 1200.0, 144e-7),
        ("Na", 500.0, 0.624e-7 * 500.0**0.827),
        ("Na", 1200.0, 0.624e-7 * 1200.0**0.827),
        ("K", 500.0, 0.400e-7 * 500.0**0.883),
        ("K", 1200.0, 0.400e-7 * 1200.0**0.883),
    ],
)
def test_vapour_viscosity_lies_in_the_band(metal: str, temperature: float, viscosity: float) -> None:
    # published: Bouledroua and others 2005, table I (Li); Bouledroua 2004, abstract (Na, K)
    low, high = viscosities(metal, temperature)
    assert low <= viscosity <= high


@pytest.mark.parametrize("temperature", [700.0, 900.0, 1200.0])
def test_lithium_vapour_agrees_with_a_second_source(temperature: float) -> None:
    # published: Vargaftik and Yargin 1985, eq. (56): 130.6 + 0.1014 (T - 1000) - 4.55e-6 (T - 1000)^2, 1e-7 Pa s
    rise = temperature - 1000.0
    low, high = viscosities("Li", temperature)
    assert low <= (130.6 + 0.1014 * rise - 4.55e-6 * rise**2) * 1e-7 <= high


@pytest.mark.parametrize(("metal", "viscosity"), [("Rb", 21.5e-6), ("Cs", 24e-6)])
def test_heavy_vapours_hold_what_is_recalled(metal: str, viscosity: float) -> None:
    # practice: tabulated at 1000 K, recalled
    low, high = viscosities(metal, 1000.0)
    assert low <= viscosity <= high


def test_rubidium_diffuses_in_argon_between_neon_and_krypton() -> None:
    # published: Chrapkiewicz and others 2014, abstract: neon 0.20, krypton 0.068 cm2/s at 0 degC, one atmosphere
    size = number_of(row("Rb", "argon-diameter")).best
    found = hard_sphere_diffusivity(101325.0, 273.15, MOLAR["Rb"], 0.039948, size) * 1e4
    assert 0.068 < found < 0.20


def line_flow(bore: float, pressure: float, size: float) -> float:
    """Rubidium through 0.2 m of line at 630 degC into vacuum [g/min]."""
    thick = hard_sphere_viscosity(903.15, MOLAR["Rb"], size)
    ends = (903.15, 903.15, thick, thick)
    return float(tube_flow(bore / 2, 0.2, pressure, 0.0, *ends, MOLAR["Rb"], 1.0, 5 / 3).mass_flow) * 60e3


@pytest.mark.parametrize(
    ("bore", "pressure"), [(0.004, 760.0), (0.006, 330.0), (0.010, 116.0), (0.016, 44.0)]
)
def test_line_for_rubidium(bore: float, pressure: float) -> None:
    # exact: 0.3 g/min worked out apart, with a larger atom: 7.0e-10 m gives it back within 4 %
    assert line_flow(bore, pressure, 7.0e-10) == pytest.approx(0.3, rel=0.04)
    # regression: the size of the table needs 7 to 12 % more pressure for the same flow
    size = number_of(row("Rb", "collision-diameter")).best
    assert line_flow(bore, 1.07 * pressure, size) < 0.3 < line_flow(bore, 1.12 * pressure, size)


@pytest.mark.parametrize("metal", LIQUIDS)
def test_a_liquid_has_its_curves(metal: str) -> None:
    melts = curve_of(row(metal, "melt-density", "charges")).temperature[0]
    tension, viscosity = (curve_of(row(metal, name)) for name in ("surface-tension", "liquid-viscosity"))
    for curve in (tension, viscosity):
        # exact: known from the melting point to 300 K above it
        assert curve.covers(melts + 10.0)
        assert curve.covers(melts + 300.0)
        assert np.all(np.diff(curve.value) < 0.0)


@pytest.mark.parametrize(("metal", "bore"), [("Cs", 3.6), ("Rb", 4.5), ("K", 6.7), ("Na", 8.4), ("Li", 16.0)])
def test_smallest_bore_that_drains(metal: str, bore: float) -> None:
    tension = curve_of(row(metal, "surface-tension"))
    density = curve_of(row(metal, "melt-density", "charges"))
    melts = max(tension.temperature[0], density.temperature[0])
    found = 2e3 * float(least_draining_radius(float(density.at(melts)), float(tension.at(melts))))
    # exact: worked out apart from Bretherton's 0.842; surface tensions of two sources differ by 6 %
    assert found == pytest.approx(bore, rel=0.03)


@pytest.mark.parametrize(("metal", "lowest", "highest"), [("Na", 0.6e-3, 0.75e-3), ("K", 0.45e-3, 0.6e-3)])
def test_liquid_viscosity_at_the_melting_point(metal: str, lowest: float, highest: float) -> None:
    # practice: handbooks, recalled: sodium 0.68, potassium 0.54 mPa s
    assert lowest < curve_of(row(metal, "liquid-viscosity")).value[0] < highest
