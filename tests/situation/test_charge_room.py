# SPDX-License-Identifier: MIT
"""The room of a charge poured, melted and foaming; the heat that it takes."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.reference.tables import Tables, shipped
from retortwright.situation.charge import charge_of
from retortwright.situation.charge_heat import charge_power, furnace_power
from retortwright.situation.charge_room import ChargeRoom, charge_room
from retortwright.situation.figure import Figure
from situation.charges import rig_text, situation

AREA = np.pi / 4 * 0.021**2
POWER = ', power = "600 W"'


def room(
    metal: str, reagents: dict[str, str], tables: Tables | None = None, to: str = "680 degC"
) -> ChargeRoom:
    text = rig_text(metal, reagents).replace("680 degC", to)
    return charge_room(charge_of(situation(text, tables=tables)))


def heat(
    metal: str, reagents: dict[str, str], old: str = "", new: str = "", tables: Tables | None = None
) -> Figure:
    text = rig_text(metal, reagents, power=POWER)
    assert old in text
    return charge_power(charge_of(situation(text.replace(old, new) if old else text, tables=tables)))


def value(figure: Figure) -> float:
    assert not figure.missing
    return float(figure.values[0])


def test_poured() -> None:
    # exact: 9 g at 2.76 and 2 g at 1.54 g/cm3, half of the room voids
    solid = 9e-3 / 2760 + 2e-3 / 1540
    cold = room("Rb", {"RbCl": "9 g", "Ca": "2 g"}).cold()
    assert float(cold.said["volume"][0]) == pytest.approx(2 * solid, rel=1e-9)
    assert value(cold) == pytest.approx(2 * solid / AREA, rel=1e-5)


def test_melted_above_the_melting_point() -> None:
    # published: chemicals-library, RbCl at 1096.65 K between 2248 at 997.15 and 2072.3 at 1196.15 K
    at = 1096.65
    density = 2248 + (at - 997.15) / (1196.15 - 997.15) * (2072.3 - 2248)
    found = room("Rb", {"RbCl": "9 g", "Ca": "2 g"}, to="823.5 degC").melted()
    assert float(found.said["volume"][0]) == pytest.approx(9e-3 / density + 2e-3 / 1540, rel=1e-9)


def test_a_melt_below_its_own_melting_point_stands_as_at_that_point() -> None:
    # exact: the density at the cold end of its range
    found = room("Rb", {"RbCl": "9 g", "Ca": "2 g"}, to="680 degC")
    assert found.melts() is True
    assert float(found.melted().said["volume"][0]) == pytest.approx(9e-3 / 2248 + 2e-3 / 1540, rel=1e-9)


def test_above_the_range_of_its_density_there_is_no_number() -> None:
    found = room("Rb", {"RbCl": "9 g", "Ca": "2 g"}, to="950 degC")
    assert found.melted().missing[0].datum == "charges/RbCl/melt-density"
    assert np.isnan(found.melted().values).all()


def test_foam() -> None:
    # exact: three times the quiet melt
    found = room("Rb", {"RbCl": "9 g", "Ca": "2 g"})
    assert value(found.foaming()) == pytest.approx(3 * value(found.melted()), rel=1e-5)


@pytest.mark.parametrize(
    ("metal", "reagents", "to", "melts"),
    [
        ("Rb", {"RbCl": "9 g", "Ca": "2 g"}, "410 degC", False),  # 718 to 724 degC less 300 K
        ("Rb", {"RbCl": "9 g", "Ca": "2 g"}, "430 degC", True),
        (
            "Ca",
            {"CaO": "9 g", "Al": "2 g"},
            "1150 degC",
            False,
        ),  # lime stays solid, the aluminium makes no melt
        ("Rb", {"Rb": "5 g"}, "300 degC", True),
        ("Sm", {"Sm2O3": "9 g", "La": "2 g"}, "1200 degC", False),
        ("Eu", {"EuO": "9 g", "La": "2 g"}, "1200 degC", None),
    ],
)
def test_what_melts(metal: str, reagents: dict[str, str], to: str, melts: bool | None) -> None:
    assert room(metal, reagents, to=to).melts() is melts


@pytest.mark.parametrize(
    "address", ["charges/Ca/density", "charges/RbCl/melt-density", "rules/fill-melted/lowering"]
)
def test_room_without_one_of_its_data_has_no_number(address: str) -> None:
    assert room("Rb", {"RbCl": "9 g", "Ca": "2 g"}, shipped().without(address)).melted().missing


def test_the_reaction_takes_heat() -> None:
    # published: chloride and calcium for the alkali metals take 14 to 45 kJ/mol
    found = heat("Rb", {"RbCl": "9 g", "Ca": "2 g"})
    moles = 9.0 / 120.9208 * 0.9
    assert 14 < float(found.said["reaction"][0]) / moles / 1e3 < 45


def test_evaporation() -> None:
    # published: heat of vaporisation of rubidium at its boiling point 961 K, 69 kJ/mol within 5 %
    found = heat("Rb", {"Rb": "8.54678 g"}, "680 degC", "688 degC")
    assert float(found.said["vapour"][0]) / 0.1 / 1e3 == pytest.approx(69.2, rel=0.05)
    assert float(found.said["reaction"][0]) == 0.0


def test_warming_is_the_enthalpy_of_the_charge() -> None:
    # exact: the table's own enthalpies of solid salt, of calcium across its change of form
    from retortwright.reference.species import Species, find_species

    def of(name: str, temperature: float) -> float:
        species = find_species(shipped(), name)
        assert isinstance(species, Species)
        return float(species.enthalpy(temperature))

    found = heat("Rb", {"RbCl": "12.09208 g", "Ca": "4.0078 g"})
    top = 953.15
    expected = sum(0.1 * (of(name, top) - of(name, 298.15)) for name in ("RbCl(s)", "Ca(s)"))
    assert float(found.said["warming"][0]) == pytest.approx(expected, rel=1e-4)


def test_a_ramp_twice_as_fast_takes_twice_the_power() -> None:
    # exact
    charge = {"RbCl": "9 g", "Ca": "2 g"}
    slow, fast = heat("Rb", charge), heat("Rb", charge, 'ramp = "2 K/min"', 'ramp = "20 K/min"')
    first = heat("Rb", charge, 'ramp = "4 K/min"', 'ramp = "0.01 K/min"')
    assert float(fast.said["heating"][0]) == pytest.approx(10 * float(first.said["heating"][0]), rel=1e-9)
    assert value(slow) > 0


def test_a_ramp_that_is_not_said_is_missing_by_name() -> None:
    found = heat("Rb", {"RbCl": "9 g", "Ca": "2 g"}, ', ramp = "2 K/min"', "")
    assert found.missing[0].datum == "programme.steps.distil.ramp"


def test_a_substance_without_data_is_missing_by_name() -> None:
    found = heat("Eu", {"EuO": "9 g", "La": "2 g"})
    assert "EuO" in found.missing[0].says


def test_the_furnace_that_the_programme_leads() -> None:
    for power, expected in ((POWER, 600.0), ("", None)):
        picture = charge_of(situation(rig_text("Rb", {"RbCl": "9 g", "Ca": "2 g"}, power=power)))
        assert furnace_power(picture, "distil") == expected  # exact
        assert furnace_power(picture, "cold") is None
