# SPDX-License-Identifier: MIT
"""A datum gives numbers inside its range and a reason outside."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.ground.errors import TableError
from retortwright.reference.datum import Row, curve_of, number_of
from retortwright.reference.tables import shipped


def row(form: str, data: str, spread: str = "", table: str = "materials") -> Row:
    return Row(table, "tin", "conductivity", "W/m/K", form, data, spread, "a-book", "p. 3", "seen", "", 7)


CURVE = curve_of(row("points", "300:66 400:62 500:60", "5 %"))


def test_a_curve_is_straight_between_its_points() -> None:
    # exact: linear interpolation, the points themselves included
    np.testing.assert_allclose(CURVE.at(np.array([300.0, 350.0, 475.0, 500.0])), [66.0, 64.0, 60.5, 60.0])


def test_outside_its_range_a_curve_gives_no_number() -> None:
    asked = np.array([299.9999, 500.0001, -5.0, np.nan])
    assert np.isnan(CURVE.at(asked)).all()
    assert not CURVE.covers(asked).any()
    assert CURVE.covers(np.array([300.0, 500.0])).all()


def test_what_is_missing_says_range_source_and_what_was_asked() -> None:
    missing = CURVE.missing_at(777.7)
    assert missing.datum == "materials/tin/conductivity"
    assert missing.says == "conductivity of tin is known from 300 to 500 K (a-book); asked at 778 K"


def test_held_values_are_the_ends() -> None:
    np.testing.assert_allclose(CURVE.held(np.array([10.0, 5000.0])), [66.0, 60.0])


def test_a_constant_serves_as_a_flat_curve() -> None:
    curve = curve_of(row("constant", "57.5", "53 to 66"))
    np.testing.assert_allclose(curve.at(np.array([77.0, 1800.0])), 57.5)


@pytest.mark.parametrize(
    ("data", "spread", "band"),
    [
        ("20", "", (20.0, 20.0, 20.0)),
        ("20", "10 %", (18.0, 20.0, 22.0)),
        ("-20", "10 %", (-22.0, -20.0, -18.0)),
        ("20", "15 to 40", (15.0, 20.0, 40.0)),
        ("0", "-15 to 15", (-15.0, 0.0, 15.0)),
    ],
)
def test_a_number_has_its_band(data: str, spread: str, band: tuple[float, float, float]) -> None:
    found = number_of(row("constant", data, spread))
    np.testing.assert_allclose((found.low, found.best, found.high), band, rtol=1e-14, atol=1e-14)


def test_a_curve_is_no_number() -> None:
    with pytest.raises(TableError, match="no single number"):
        number_of(row("points", "300:66 400:62", "5 %"))


def test_another_datum_is_another_row() -> None:
    first = row("points", "300:66 400:62", "5 %")
    second = first.with_data("300:33 400:31")
    np.testing.assert_allclose(second.points[1], first.points[1] / 2)
    assert second.address == first.address


@pytest.mark.parametrize(
    ("material", "temperature", "conductivity"),
    [
        # published: EN 1993-1-2:2005, 3.4.1.3, k = 54 - 3.33e-2 t W/m/K of carbon steel, 27.3 from 800 degC
        ("mild steel", 473.15, 47.34),
        ("mild steel", 873.15, 34.02),
        ("mild steel", 1173.15, 27.3),
    ],
)
def test_conductivity_as_published(material: str, temperature: float, conductivity: float) -> None:
    found = shipped().find("materials", material, "conductivity")
    assert isinstance(found, Row)
    assert float(curve_of(found).at(temperature)) == pytest.approx(conductivity, abs=0.05)


@pytest.mark.parametrize(
    ("temperature", "printed"), [(300, 14.9), (400, 16.6), (600, 19.8), (800, 22.6), (1000, 25.4), (1200, 28.0)]
)
def test_stainless_agrees_with_the_textbook(temperature: float, printed: float) -> None:
    # published: Incropera & DeWitt, table A.1, AISI 304, recalled; within the spread that the row declares
    found = shipped().find("materials", "304L", "conductivity")
    assert isinstance(found, Row)
    spread = float(found.spread.rstrip("%")) / 100
    assert float(curve_of(found).at(temperature)) == pytest.approx(printed, rel=spread)


@pytest.mark.parametrize(
    ("celsius", "printed"), [(20, 14.9), (200, 17.1), (400, 19.7), (600, 22.2), (800, 24.8)]
)
def test_stainless_agrees_with_the_building_code(celsius: float, printed: float) -> None:
    # published: EN 1993-1-2:2005, C.3.3, k = 14.6 + 1.27e-2 t of austenitic stainless steel; within the
    # spread that the row declares
    found = shipped().find("materials", "316L", "conductivity")
    assert isinstance(found, Row)
    spread = float(found.spread.rstrip("%")) / 100
    assert float(curve_of(found).at(celsius + 273.15)) == pytest.approx(printed, rel=spread)
