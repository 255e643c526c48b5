# SPDX-License-Identifier: MIT
"""The closed unit words, against pint where pint knows the unit, and the reading of values with their bands."""

from __future__ import annotations

import math
import re

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retortwright.ground.units import DIMENSIONS, TAIL, Band, Dimension, read_band, read_single, shown

UNITS = pint.UnitRegistry()
# How pint writes what a rig file writes otherwise; all else is the same word in both.
ORACLE = {
    "%": "percent",
    "L/min": "liter/minute", "mL/min": "milliliter/minute", "L/h": "liter/hour", "L/s": "liter/second",
    "m3/h": "meter**3/hour", "m3": "meter**3", "mbar L/s": "millibar*liter/second", "Pa m3/s": "pascal*meter**3/second",
    "Torr L/s": "torr*liter/second", "atm cc/s": "atm*cm**3/second", "W/m2/K": "watt/meter**2/kelvin",
    "Torr": "torr", "micron": "millitorr", "h": "hour", "min": "minute", "K/h": "kelvin/hour", "K/min": "kelvin/minute",
    "": "dimensionless", "um": "micrometer", "in": "inch", "psi": "psi",
    "per g": "1/gram", "per kg": "1/kilogram", "per h": "1/hour",
}  # fmt: skip
WORDS = [(name, word) for name, dimension in DIMENSIONS.items() for word in dimension.words]
PLAIN = [(name, word) for name, word in WORDS if not word.endswith(" gauge")]
GAUGE = [(name, word) for name, word in WORDS if word.endswith(" gauge")]
SI = {"1": "dimensionless", "Pa m^3/s": "pascal*meter**3/second", "W/m^2/K": "watt/meter**2/kelvin"}


@pytest.mark.parametrize(("name", "word"), PLAIN)
def test_every_word_against_pint(name: str, word: str) -> None:
    dimension = DIMENSIONS[name]
    oracle = UNITS.Quantity(3.7, ORACLE.get(word, word)).to(SI.get(dimension.si, dimension.si.replace("^", "**")))
    found = read_single(f"3.7 {word}", dimension)
    assert found == pytest.approx(oracle.magnitude, rel=1e-12)  # published: the unit definitions that pint ships
    assert oracle.dimensionality == UNITS.Quantity(1, SI.get(dimension.si, dimension.si)).dimensionality


@pytest.mark.parametrize(("name", "word"), GAUGE)
def test_gauge_pressure_counts_from_one_atmosphere(name: str, word: str) -> None:
    dimension, plain = DIMENSIONS[name], word.removesuffix(" gauge")
    over = UNITS.Quantity(0.2, ORACLE.get(plain, plain)).to("pascal").magnitude
    assert read_single(f"0.2 {word}", dimension) == pytest.approx(101325.0 + over, rel=1e-12)
    assert read_single(f"-0.2 {word}", dimension) == pytest.approx(101325.0 - over, rel=1e-12)
    assert read_single(f"0.2 {plain}", dimension) == pytest.approx(over, rel=1e-12)


def test_fine_vacuum_has_no_gauge_words() -> None:
    assert {word for _, word in GAUGE} == {
        "hPa gauge", "kPa gauge", "MPa gauge", "mbar gauge", "bar gauge", "Torr gauge", "atm gauge", "psi gauge",
    }  # fmt: skip


def test_temperature_and_difference_are_two_things() -> None:
    assert read_single("20 degC", DIMENSIONS["temperature"]) == pytest.approx(293.15)
    assert read_single("-196 degC", DIMENSIONS["temperature"]) == pytest.approx(77.15)
    assert read_single("20 K", DIMENSIONS["temperature_difference"]) == 20.0
    with pytest.raises(ValueError, match=r"expected a temperature difference such as '40 K' \(units: K\), got"):
        read_single("20 degC", DIMENSIONS["temperature_difference"])
    band = read_band("18 +- 2 degC", DIMENSIONS["temperature"])
    assert (band.low, band.best, band.high) == pytest.approx((289.15, 291.15, 293.15))


@pytest.mark.parametrize("dimension", DIMENSIONS.values(), ids=DIMENSIONS)
def test_examples_are_right_and_no_word_serves_by_chance(dimension: Dimension) -> None:
    read_band(dimension.example, dimension)
    for other in DIMENSIONS.values():
        for word in set(other.words) - set(dimension.words):
            with pytest.raises(ValueError, match=r"expected|the unit is missing"):
                read_band(f"3 {word}", dimension)


@pytest.mark.parametrize(
    ("text", "low", "best", "high"),
    [
        ("160 mm", 0.16, 0.16, 0.16),
        ("160mm", 0.16, 0.16, 0.16),
        ("  1.6e2   mm ", 0.16, 0.16, 0.16),
        (".5 m", 0.5, 0.5, 0.5),
        ("5. m", 5.0, 5.0, 5.0),
        ("+5 m", 5.0, 5.0, 5.0),
        ("-5 mm", -0.005, -0.005, -0.005),
        ("10 to 20 mm", 0.01, 0.015, 0.02),
        ("10to20mm", 0.01, 0.015, 0.02),
        ("-1 to 1 m", -1.0, 0.0, 1.0),
        ("10 to 40 mm", 0.01, 0.02, 0.04),  # exact: wider than a factor 3, so the middle is geometric
        ("10 to 30 mm", 0.01, 0.02, 0.03),  # exact: a factor 3 is not wider
        ("15 +- 5 mm", 0.01, 0.015, 0.02),
        ("15 ± 5 mm", 0.01, 0.015, 0.02),
        ("15+-5mm", 0.01, 0.015, 0.02),
        ("25 +- 15 mm", 0.01, 0.02, 0.04),  # as "10 to 40 mm"
        ("0 +- 5 mm", -0.005, 0.0, 0.005),
        ("10 to 10 mm", 0.01, 0.01, 0.01),
    ],
)
def test_values_and_bands(text: str, low: float, best: float, high: float) -> None:
    band = read_band(text, DIMENSIONS["length"])
    assert (band.low, band.best, band.high) == pytest.approx((low, best, high))
    assert band.wide == (high > low)


def test_a_wide_band_of_temperature_stays_straight() -> None:
    band = read_band("20 to 900 K", DIMENSIONS["temperature"])
    assert band.best == pytest.approx(math.sqrt(20 * 900))  # a ratio scale: kelvin have a true zero
    band = read_band("-250 to 627 degC", DIMENSIONS["temperature"])
    assert band.best == pytest.approx((23.15 + 900.15) / 2)


def test_plain_numbers_need_no_quotes() -> None:
    for value in (0.7, "0.7", " .7 "):
        assert read_single(value, DIMENSIONS["plain"]) == 0.7
    assert read_band("0.70 to 0.85", DIMENSIONS["plain"]).best == pytest.approx(0.775)


@pytest.mark.parametrize(
    ("text", "name", "says"),
    [
        ("160", "length", "the unit is missing: expected a length such as '160 mm' (units: m, mm, cm, um, in), got"),
        ("160 mn", "length", "expected a length such as '160 mm' (units: m, mm, cm, um, in), got '160 mn'"),
        ("160 kg", "length", "expected a length such as '160 mm' (units: m, mm, cm, um, in), got '160 kg'"),
        ("mm", "length", "expected a length"),
        ("", "length", "expected a length"),
        ("some mm", "length", "expected a length"),
        ("1,5 mm", "length", "got '1,5 mm'; write a decimal point, not a comma"),
        ("1,5 to 2,5 mm", "length", "; write a decimal point, not a comma"),
        ("10-20 mm", "length", "; write a band with the word to: '10 to 20 mm'"),
        ("10 – 20 mm", "length", "; write a band with the word to: '10 to 20 mm'"),
        ("10..20 mm", "length", "; write a band with the word to: '10 to 20 mm'"),
        ("20 to 10 mm", "length", "the second figure of a band must be the larger one, got '20 to 10 mm'"),
        ("20 +- -5 mm", "length", "the figure after +- must not be negative, got '20 +- -5 mm'"),
        ("1e400 m", "length", "expected a finite number, got '1e400 m'"),
        ("nan mm", "length", "expected a length"),
        ("１２ mm", "length", "expected a length"),
        ("inf mm", "length", "expected a length"),
        ("20 C", "temperature", "did you mean degC? expected a temperature"),
        ("20 °C", "temperature", "did you mean degC? "),
        ("20 deg C", "temperature", "did you mean degC? "),
        ("90 °", "angle", "did you mean deg? expected an angle"),
        ('1 "', "length", "did you mean in? "),
        ("5 mb", "pressure", "did you mean mbar? "),
        ("5 mbarg", "pressure", "did you mean mbar? "),
        ("5 torr", "pressure", "did you mean Torr? "),
        ("2 l/min", "volume_flow", "did you mean L/min? "),
        ("0.1", "mass_fraction", "the unit is missing: expected a mass fraction such as"),
        ("0.7 %", "plain", "(units: a plain number), got '0.7 %'"),
    ],
)
def test_what_is_wrong_is_said(text: str, name: str, says: str) -> None:
    with pytest.raises(ValueError, match=re.escape(says)):
        read_band(text, DIMENSIONS[name])


def test_a_band_where_one_number_belongs() -> None:
    with pytest.raises(ValueError, match="takes one number without a band, got '1 to 2 mm'"):
        read_single("1 to 2 mm", DIMENSIONS["length"])
    assert read_single("2 to 2 mm", DIMENSIONS["length"]) == pytest.approx(0.002)


@given(st.sampled_from(WORDS), st.floats(1e-6, 1e6))
def test_what_is_shown_reads_back(name_and_word: tuple[str, str], value: float) -> None:
    name, word = name_and_word
    dimension = DIMENSIONS[name]
    text = shown(value, dimension, word, digits=15)
    assert read_single(text, dimension) == pytest.approx(value, rel=1e-9, abs=1e-9)


@given(st.text(max_size=20), st.sampled_from(sorted(DIMENSIONS)))
def test_any_text_gives_a_band_or_a_sentence(text: str, name: str) -> None:
    try:
        band = read_band(text, DIMENSIONS[name])
    except ValueError as error:
        said = str(error)
    else:
        said = ""
        assert band.low <= band.best <= band.high
    assert said == "" or "got " in said


def test_a_band_scaled_to_another_middle() -> None:
    band = Band(0.8, 1.0, 1.5).scaled_to(10.0)
    assert (band.low, band.best, band.high) == pytest.approx((8.0, 10.0, 15.0))  # exact
    band = Band(-15.0, 0.0, 15.0).scaled_to(4.0)
    assert (band.low, band.best, band.high) == pytest.approx((-11.0, 4.0, 19.0))  # exact: no middle to scale by
    assert TAIL == 0.05


def test_which_bands_are_geometric() -> None:
    assert Band(1.0, 2.0, 4.0).geometric
    assert not Band(1.0, 2.0, 3.0).geometric
    assert not Band(0.0, 2.0, 4.0).geometric
    assert not Band(-4.0, -2.0, -1.0).geometric
