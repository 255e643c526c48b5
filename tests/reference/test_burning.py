# SPDX-License-Identifier: MIT
"""Facts of the trade about burning and water, against the numbers they rest on."""

from __future__ import annotations

import pytest

from retortwright.reference.burning import Burning, burning_of, hydrogen_of_water
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.tables import shipped

TABLES = shipped()
MOLAR_VOLUME = 22.414e-3  # m3/mol at 0 degC and 1 atm


@pytest.mark.parametrize(
    ("metal", "heat"),
    # recalled: CRC formation enthalpies, as heat of burning in kJ/g to the oxide that really forms
    [("Li", 43.1), ("Mg", 24.8), ("Ca", 15.8), ("Na", 11.1), ("K", 7.3), ("Zn", 5.4), ("Rb", 3.3), ("Cs", 2.15)],
)
def test_heat_of_burning(metal: str, heat: float) -> None:
    found = burning_of(TABLES, metal)
    assert isinstance(found, Burning)
    assert found.heat / 1e6 == pytest.approx(heat, rel=0.02)


def test_seven_grams_of_lithium_burn_as_hot_as_a_hundred_and_fifty_of_caesium() -> None:
    # practice: true with the superoxide as what caesium burns to; as Cs2O it would be far less
    lithium, caesium = burning_of(TABLES, "Li"), burning_of(TABLES, "Cs")
    assert isinstance(lithium, Burning)
    assert isinstance(caesium, Burning)
    assert (lithium.oxide, caesium.oxide) == ("Li2O", "CsO2")
    assert 0.007 * lithium.heat == pytest.approx(0.150 * caesium.heat, rel=0.08)


@pytest.mark.parametrize(
    ("metal", "millilitres"),
    # exact: stoichiometry; mL of hydrogen at 0 degC and 1 atm from a gram of metal
    [("Li", 1615), ("Na", 488), ("K", 287), ("Rb", 131), ("Cs", 84), ("Ca", 559)],
)
def test_hydrogen_from_water(metal: str, millilitres: float) -> None:
    found = hydrogen_of_water(TABLES, metal)
    assert isinstance(found, float)
    assert found * MOLAR_VOLUME * 1e3 == pytest.approx(millilitres, rel=0.005)


@pytest.mark.parametrize(
    ("metal", "heat"),
    # recalled: CRC and NBS values for the dissolved hydroxides, kJ per gram of metal
    [("Li", 32.1), ("Na", 8.0), ("K", 5.0), ("Rb", 2.3), ("Cs", 1.5), ("Ca", 10.8)],
)
def test_heat_with_water(metal: str, heat: float) -> None:
    row, mass = TABLES.find("hazards", metal, "water-heat"), TABLES.find("elements", metal, "atomic-mass")
    assert isinstance(row, Row)
    assert isinstance(mass, Row)
    assert number_of(row).best / number_of(mass).best / 1e6 == pytest.approx(heat, rel=0.02)


def test_a_millilitre_of_water_on_potassium() -> None:
    # exact: ideal gas; half a mole of hydrogen a mole of water: +0.344 bar in 2 L at 25 degC
    moles = 0.997e-3 / 18.015e-3 / 2
    assert moles * 8.314463 * 298.15 / 2e-3 == pytest.approx(0.344e5, rel=0.01)


@pytest.mark.parametrize("metal", ["Li", "Na", "K", "Rb", "Cs", "Mg", "Ca", "Sr", "Ba", "Zn"])
def test_every_metal_says_what_to_put_on_it_and_what_never(metal: str) -> None:
    never, agent = TABLES.find("hazards", metal, "never"), TABLES.find("hazards", metal, "agent")
    assert isinstance(never, Row)
    assert isinstance(agent, Row)
    for word in (
        "water",
        "CO2",
        "halon",
    ):  # published: [rodgers-everson-1965], [doe-hdbk-1081]: never on alkali metal
        assert word in never.data
        assert word not in agent.data
    assert isinstance(TABLES.find("hazards", metal, "statements"), Row)


def test_lithium_takes_graphite() -> None:
    # published: [rodgers-everson-1965], chloride powders serve all alkali metals except lithium
    row = TABLES.find("hazards", "Li", "agent")
    assert isinstance(row, Row)
    assert "graphite" in row.data
    assert "chloride" not in row.data


def test_statements_of_lithium() -> None:
    # published: safety data sheet, H260 and H314
    row = TABLES.find("hazards", "Li", "statements")
    assert isinstance(row, Row)
    assert row.data == "H260 H314"


def test_statements_of_barium() -> None:
    # published: [nite-ghs-barium]: class 4.3, packing group II, category 2, H261
    row = TABLES.find("hazards", "Ba", "statements")
    assert isinstance(row, Row)
    assert (row.data, row.known) == ("H261", "seen")


def test_water_reactive_statements_say_so_in_words() -> None:
    # published: [clp-annex-1], table 2.12.2: category 1 is H260, 2 and 3 are H261; prevention P223, P231 + P232, P280
    for code, part in (("H260", "take fire by itself"), ("H261", "flammable gas with water")):
        row = TABLES.find("hazards", code, "means")
        assert isinstance(row, Row)
        assert part in row.data
    row = TABLES.find("hazards", "prevention", "codes")
    assert isinstance(row, Row)
    assert row.data == "P223 P231 P232 P280"


def test_a_metal_without_an_oxide_in_the_table_is_unknown() -> None:
    assert isinstance(burning_of(TABLES, "Fe"), Missing)
