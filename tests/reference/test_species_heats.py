# SPDX-License-Identifier: MIT
"""The species put together from an enthalpy, an entropy and a heat capacity, held against what was read."""

from __future__ import annotations

import math
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from retortwright.physics.constants import GAS_CONSTANT
from retortwright.reference.species import Species, find_species
from retortwright.reference.tables import shipped

ROOT = Path(__file__).resolve().parents[2]


def species(name: str) -> Species:
    """A species that has to be there."""
    found = find_species(shipped(), name)
    assert isinstance(found, Species), found
    return found


def pressure(metal: str, temperature: float) -> float:
    """Vapour pressure of the metal, as its atoms [Pa]."""
    condensed = [float(species(f"{metal}({phase})").gibbs(temperature)) for phase in condensed_phases(metal)]
    stable = min(value for value in condensed if not math.isnan(value))
    energy = float(species(f"{metal}(g)").gibbs(temperature)) - stable
    return 1e5 * math.exp(-energy / (GAS_CONSTANT * temperature))


def condensed_phases(metal: str) -> tuple[str, ...]:
    """Solid, and liquid where it is carried."""
    return ("s", "l") if f"{metal}(l)" in shipped().subjects("species") else ("s",)


def test_the_file_is_up_to_date() -> None:
    # regression: the rows are written by the tool
    done = subprocess.run(
        [sys.executable, str(ROOT / "tools" / "type-heats"), "--check"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(
    ("name", "enthalpy", "entropy", "capacity"),
    [
        # published: chemicals-library, CRC standard thermodynamic properties, kJ/mol, J/mol/K, J/mol/K
        ("Sm2O3(s)", -1823.0, 151.0, 114.5),
        ("Eu2O3(s)", -1651.4, 146.0, 122.2),
        ("Yb2O3(s)", -1814.6, 133.1, 115.4),
        ("Tm2O3(s)", -1888.7, 139.7, 116.7),
        ("La2O3(s)", -1793.7, 127.3, 108.8),
        ("ZnO(s)", -350.5, 43.7, 40.3),
        ("Sm(s)", 0.0, 69.6, 29.5),
        ("Eu(s)", 0.0, 77.8, 27.7),
        ("Yb(s)", 0.0, 59.9, 26.7),
        ("Tm(s)", 0.0, 74.0, 27.0),
        ("La(s)", 0.0, 56.9, 27.1),
        ("Sm(g)", 206.7, 183.0, 30.4),
        ("Tm(g)", 232.2, 190.1, 20.8),
        ("Li2SiO3(s)", -1648.1, 79.8, 99.1),
    ],
)
def test_values_at_room_temperature(name: str, enthalpy: float, entropy: float, capacity: float) -> None:
    found = species(name)
    room = 298.15
    high = float(found.enthalpy(room + 2.0))
    assert float(found.enthalpy(room)) / 1e3 == pytest.approx(enthalpy, abs=0.06)
    assert (float(found.enthalpy(room)) - float(found.gibbs(room))) / room == pytest.approx(entropy, abs=0.06)
    # Perry's curves and the JANAF curve lie up to 2.5 % off the table of one temperature
    assert (high - float(found.enthalpy(room))) / 2.0 == pytest.approx(capacity, rel=0.025)


@pytest.mark.parametrize(
    ("metal", "constants", "range_"),
    [
        # published: chemicals-library, Alcock, Itkin and Horrigan 1984, ln(p/Pa) = A + B/T + C ln T + D T, 5 %
        ("Eu", (26.4445372690049, -21506.1447685644, -0.1659, -0.000828930633477857), (600.0, 1095.0)),
        ("Sm", (20.4624211974064, -24759.697504965, 0.8499, -0.00160858594596564), (600.0, 1345.0)),
        ("Tm", (27.7869443782205, -28056.9993581325, -0.3098, -0.000464891930275498), (600.0, 1400.0)),
        ("La", (28.8277128402538, -51930.2016022947, -0.3323, 0.0000142760275765631), (900.0, 1193.0)),
    ],
)
def test_vapour_pressure_meets_the_equation(
    metal: str, constants: tuple[float, float, float, float], range_: tuple[float, float]
) -> None:
    a, b, c, d = constants
    own = shipped().rows["species", f"{metal}(s)", "own-spread"]
    half = float(own.spread.split(" to ")[1])
    for temperature in np.linspace(*range_, 7):
        equation = a + b / temperature + c * math.log(temperature) + d * temperature
        apart = GAS_CONSTANT * temperature * abs(math.log(pressure(metal, float(temperature))) - equation)
        assert apart <= half + 0.05 * GAS_CONSTANT * temperature, f"{metal} at {temperature:.0f} K"


@pytest.mark.parametrize(
    ("metal", "boils"),
    [("Eu", 1802.15), ("Sm", 2067.15), ("Yb", 1469.15)],  # published: chemicals-library, CRC boiling points
)
def test_boiling_points_lie_in_the_band(metal: str, boils: float) -> None:
    own = shipped().rows["species", f"{metal}(l)", "own-spread"]
    half = float(own.spread.split(" to ")[1])
    apart = GAS_CONSTANT * boils * abs(math.log(pressure(metal, boils) / 101325.0))
    assert apart <= half


def test_what_is_recalled_stays_unseen() -> None:
    names = ("Li4SiO4(s)", "ZnCl2(g)")
    assert [name for name in names if species(name).seen] == []
    for name in ("CaSiO3(s)", "FeSi(s)", "La2O3(s)"):  # from texts that were read
        assert species(name).seen
