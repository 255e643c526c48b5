# SPDX-License-Identifier: MIT
"""Double salts, melts and densities of charges against the diagrams and handbooks they come from."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.physics.melts import first_potential, second_potential
from retortwright.reference.datum import number_of
from retortwright.reference.species import Species, find_species, name_parts
from retortwright.reference.tables import shipped

TYPED = ("KCaCl3", "RbCaCl3", "CsCaCl3", "NaMgCl3", "KMgCl3", "RbMgCl3", "CsMgCl3")
OXIDES = ("CaAl2O4", "CaAl4O7", "Ca3Al2O6", "SrAl2O4", "BaAl2O4", "Ba3Al2O6", "Ca2SiO4")
CELSIUS = 273.15


def species(name: str) -> Species:
    found = find_species(shipped(), name)
    assert isinstance(found, Species)
    return found


def number(table: str, subject: str, name: str) -> float:
    return number_of(shipped().rows[table, subject, name]).best


def above_melt(pair: str, share: float, kelvin: Array, double: str = "") -> dict[str, Array]:
    """By how much the melt lies above each solid of the pair [J/mol of solid]: it freezes where positive."""
    one, two = pair.split("-")
    w, v = (
        number("melts", pair, f"excess-h{place}") - kelvin * number("melts", pair, f"excess-s{place}")
        for place in (0, 1)
    )
    first = first_potential(kelvin, share, species(f"{one}(l)").gibbs(kelvin), w, v)
    second = second_potential(kelvin, share, species(f"{two}(l)").gibbs(kelvin), w, v)
    found = {
        one: first - species(f"{one}(s)").gibbs(kelvin),
        two: second - species(f"{two}(s)").gibbs(kelvin),
    }
    if double:
        found[double] = first + second - species(f"{double}(s)").gibbs(kelvin)
    return found


def freezes(pair: str, share: float, solid: str, double: str = "") -> float:
    """Temperature at which a melt is saturated with a solid [degC]."""
    kelvin = np.arange(500.0, 1290.0, 0.25)
    above = above_melt(pair, share, kelvin, double)[solid]
    place = np.flatnonzero((above[:-1] > 0) & (above[1:] <= 0))
    assert place.size == 1
    return float(kelvin[place[0]] - CELSIUS)


@pytest.mark.parametrize("name", [*TYPED, *OXIDES])
def test_a_typed_solid_is_made_of_its_shares(name: str) -> None:
    solid = species(f"{name}(s)")
    total: dict[str, int] = {}
    for count, share in solid.shares:
        for element, atoms in elements_of(name_parts(share)[0]).items():
            total[element] = total.get(element, 0) + count * atoms
    assert total == dict(solid.elements)  # exact: balance


@pytest.mark.parametrize("name", [*TYPED, *OXIDES])
def test_a_typed_solid_is_continuous_and_starts_at_its_formation_enthalpy(name: str) -> None:
    solid = species(f"{name}(s)")
    room = float(solid.enthalpy(298.15))
    assert room == pytest.approx(number("species", f"{name}(s)", "formation-enthalpy"), abs=60.0)  # exact
    for edge in solid.pieces.high[:-1]:  # exact: no transition is carried
        below, above = (solid.gibbs(float(edge) + step) for step in (-1e-6, 1e-6))
        assert float(above - below) == pytest.approx(0.0, abs=0.5)
        lower, upper = (solid.enthalpy(float(edge) + step) for step in (-1e-6, 1e-6))
        assert float(upper - lower) == pytest.approx(0.0, abs=0.5)


@pytest.mark.parametrize(
    ("name", "enthalpy", "entropy", "kelvin"),
    [
        ("CsCaCl3", -33500, 23.4, 298.15),  # published: OSTI 7273867, abstract
        ("CaAl2O4", -17910, 17.38, 1500.0),  # published: Tetsu-to-Hagane 75 (1989) 2023, abstract
        ("CaAl4O7", -15650, 25.82, 1500.0),  # published: same
        ("Ca3Al2O6", -11790, 28.27, 1500.0),  # published: same
    ],
)
def test_formation_from_the_parts_is_the_published_one(
    name: str, enthalpy: float, entropy: float, kelvin: float
) -> None:
    solid = species(f"{name}(s)")
    parts = sum(count * float(species(share).gibbs(kelvin)) for count, share in solid.shares)
    assert float(solid.gibbs(kelvin)) - parts == pytest.approx(enthalpy - kelvin * entropy, abs=100.0)


def test_caesium_double_salt_at_room_temperature_within_its_published_band() -> None:
    solid = species("CsCaCl3(s)")
    parts = sum(float(species(share).gibbs(298.15)) for _, share in solid.shares)
    # published: -40.7 +- 6.4 kJ/mol, OSTI 7273867, abstract
    assert float(solid.gibbs(298.15)) - parts == pytest.approx(-40700, abs=500)


@pytest.mark.parametrize("name", TYPED)
def test_a_double_salt_is_stable_against_its_salts_where_it_is_used(name: str) -> None:
    solid = species(f"{name}(s)")
    for kelvin in (600.0, 700.0, 800.0):
        parts = sum(float(species(share).gibbs(kelvin)) for _, share in solid.shares)
        assert float(solid.gibbs(kelvin)) < parts


@pytest.mark.parametrize(
    ("pair", "share", "solid", "celsius", "off"),
    [
        ("LiCl-KCl", 0.415, "LiCl", 352, 1.0),  # published: J. Chem. Eng. Data 2016, 58.5:41.5, 625 K
        ("NaCl-RbCl", 0.567, "NaCl", 550.2, 1.0),  # published: Materials 15 (2022) 6411, abstract
        ("NaCl-RbCl", 0.567, "RbCl", 550.2, 1.0),  # published: same
        ("NaCl-CaCl2", 0.51, "NaCl", 500, 1.0),  # published: ECS meeting abstract 115262 (2018), table 1
        ("NaCl-CaCl2", 0.51, "CaCl2", 500, 1.0),  # published: same
        ("LiCl-SrCl2", 0.38, "LiCl", 489, 1.0),  # published: doi 10.13374/j.issn1001-053x.1986.03.011
        ("LiCl-SrCl2", 0.38, "SrCl2", 489, 1.0),  # published: same
        ("LiCl-BaCl2", 0.33, "LiCl", 526, 1.0),  # published: same
        ("LiCl-BaCl2", 0.33, "BaCl2", 526, 1.0),  # published: same
        ("KCl-CaCl2", 0.76, "CaCl2", 615, 1.5),  # published: CaCl2-KCl-CaCrO4 diagram, abstract
        ("KCl-CaCl2", 0.257, "KCl", 594, 1.5),  # published: same
    ],
)
def test_a_melt_freezes_where_its_diagram_says(
    pair: str, share: float, solid: str, celsius: float, off: float
) -> None:
    assert freezes(pair, share, solid) == pytest.approx(celsius, abs=off)


def meets(pair: str, double: str, solid: str, low: float, high: float) -> float:
    """Where the double salt and another solid freeze from the same melt [degC]."""
    for _ in range(12):
        middle = (low + high) / 2
        later = freezes(pair, middle, double, double) > freezes(pair, middle, solid)
        low, high = (middle, high) if later else (low, middle)
    return freezes(pair, low, double, double)


def test_the_potassium_double_salt_melts_where_its_diagram_says() -> None:
    # published: CaCl2-KCl-CaCrO4 diagram, abstract; one Gibbs energy serves three points, so none is exact
    assert freezes("KCl-CaCl2", 0.5, "KCaCl3", "KCaCl3") == pytest.approx(741, abs=15)
    assert meets("KCl-CaCl2", "KCaCl3", "CaCl2", 0.6, 0.9) == pytest.approx(615, abs=15)
    assert meets("KCl-CaCl2", "KCaCl3", "KCl", 0.4, 0.1) == pytest.approx(594, abs=15)


@pytest.mark.parametrize(
    ("salt", "ratio"),
    [("CsCl", 1.43), ("NaCl", 1.39), ("LiCl", 1.38), ("KCl", 1.30), ("RbCl", 1.23), ("CaCl2", 1.03)],
)
def test_a_salt_swells_on_melting_as_practice_says(salt: str, ratio: float) -> None:
    melt = shipped().rows["charges", salt, "melt-density"].points[1][0]
    assert number("charges", salt, "density") / melt == pytest.approx(ratio, abs=0.006)  # practice


def test_melts_are_lighter_than_their_solids_and_thin_with_heat() -> None:
    rows = shipped().rows
    for table, subject, name in [key for key in rows if key[0] == "charges" and key[2] == "melt-density"]:
        kelvin, values = rows[table, subject, name].points
        solid = number("charges", subject, "density")
        if kelvin[-1] - kelvin[0] > 30:  # over 20 K its source gives one figure
            assert np.all(np.diff(values) < 0), subject
        assert 0.6 * solid < values[0] < solid, subject  # practice: 0 to 45 % more room
