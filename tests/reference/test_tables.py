# SPDX-License-Identifier: MIT
"""The tables refuse what has no address, and hold what a rig needs."""

from __future__ import annotations

import tomllib
from importlib.resources import files

import numpy as np
import pytest

from retortwright.ground.errors import TableError
from retortwright.reference.datum import KNOWN, Missing, Row, curve_of, number_of
from retortwright.reference.tables import TABLES, read_rows, shipped

HEADER = "subject,property,unit,form,data,spread,source,locator,known,note"
SOURCES = {"a-book": {"title": "A book"}, "another-book": {"title": "Another"}}
BOUNDS = {
    "classes": {"metal": ["tin"]},
    "conductivity": {"metal": [5, 650]},
    "limit": {"any": [290, 1500]},
}
GOOD = "tin,conductivity,W/m/K,points,300:66 400:62,5 %,a-book,p. 3,seen,"
NUMBER = "putty,limit,K,constant,400,350 to 450,a-book,p. 4,practice,soft"

WALLS = (
    "mild steel", "304L", "316L", "310S", "nickel", "Ni-Cr-Fe", "copper", "tantalum", "borosilicate", "alumina",
)  # fmt: skip


def read(*rows: str) -> list[Row]:
    return read_rows("materials", "\n".join([HEADER, *rows]), SOURCES, BOUNDS)


def refusal(*rows: str) -> str:
    with pytest.raises(TableError) as error:
        read(*rows)
    return str(error.value)


def test_good_rows_are_read() -> None:
    curve, number = read(GOOD, "", NUMBER)
    assert (curve.address, curve.source, curve.locator, curve.known) == (
        "materials/tin/conductivity", "a-book", "p. 3", "seen",
    )  # fmt: skip
    assert (number.line, number.note) == (4, "soft")
    band = number_of(number)
    assert (band.low, band.best, band.high) == (350.0, 400.0, 450.0)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("a-book", "", "has no source"),
        ("a-book", "a-bok", "'a-bok' is not in sources.toml"),
        ("p. 3", "", "has no locator"),
        ("p. 3", "  ", "has no locator"),
        ("tin", "", "has no subject"),
        ("conductivity", "", "has no name"),
        ("300:66 400:62", "", "has no data"),
        ("seen", "", "known must be one of seen, recalled, practice"),
        ("seen", "certain", "got 'certain'"),
        ("points", "line", "form must be one of constant, points, words"),
        ("400:62", "400:6200", "plausible is 5 to 650"),
        ("5 %", "0 %", "needs a relative spread"),
        ("300:66", "300:0.66", "plausible is 5 to 650"),
        ("300:66 400:62", "400:62 300:66", "temperatures must rise"),
        ("300:66 400:62", "400:62 400:66", "temperatures must rise"),
        ("300:66 400:62", "300:66", "temperatures must rise"),
        ("300:66 400:62", "300:66 400", "cannot read points"),
        ("300:66 400:62", "300:66 warm:62", "cannot read points"),
        ("5 %", "", "needs a relative spread"),
        ("5 %", "60 to 70", "needs a relative spread"),
        ("tin,cond", "lead,cond", "no plausible bounds for conductivity of class 'any'"),
        ("conductivity", "colour", "no plausible bounds for colour"),
        (",seen,", ",seen,,", "11 cells, expected 10"),
    ],
)
def test_a_bad_curve_is_refused_in_words(old: str, new: str, says: str) -> None:
    assert old in GOOD
    message = refusal(GOOD.replace(old, new, 1))
    assert says in message
    assert "materials.csv:2" in message


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("350 to 450", "410 to 450", "the datum 400 lies outside its spread"),
        ("350 to 450", "450 to 350", "the datum 400 lies outside its spread"),
        ("350 to 450", "-5 %", "the datum 400 lies outside its spread"),
        ("350 to 450", "50", "cannot read the number"),
        ("350 to 450", "some %", "cannot read the number"),
        ("350 to 450", "200 to 450", "plausible is 290 to 1500"),
        ("350 to 450", "350 to 2000", "plausible is 290 to 1500"),
        (",400,", ",forty,", "cannot read the number"),
    ],
)
def test_a_bad_number_is_refused_in_words(old: str, new: str, says: str) -> None:
    assert old in NUMBER
    message = refusal(NUMBER.replace(old, new, 1))
    assert says in message
    assert "materials.csv:2" in message


@pytest.mark.parametrize(
    "row",
    [
        GOOD.replace("400:62", "400:nan"),
        GOOD.replace("400:62", "nan:62"),
        GOOD.replace("5 %", "-5 %"),
        GOOD.replace("5 %", "nan %"),
        GOOD.replace("5 %", "five %"),
        NUMBER.replace(",400,", ",nan,"),
        NUMBER.replace("350 to 450", "nan to 450"),
        NUMBER.replace("350 to 450", "nan %"),
    ],
)
def test_no_number_is_no_datum(row: str) -> None:
    with pytest.raises(TableError):
        read(row)


def test_a_near_miss_of_a_source_is_named() -> None:
    assert "a-book" in refusal(GOOD.replace("a-book", "a-bok")).split("sources.toml")[1]


def test_a_row_that_stands_twice_is_refused() -> None:
    assert "stands twice" in refusal(GOOD, NUMBER, GOOD.replace("66", "67"))


def test_another_header_is_refused() -> None:
    for header in ("", HEADER.replace("locator", "page"), HEADER + ",more"):
        with pytest.raises(TableError, match="the header must be"):
            read_rows("materials", f"{header}\n{GOOD}", SOURCES, BOUNDS)


def test_every_shipped_row_passes_by_itself() -> None:
    folder = files("retortwright.reference") / "tables"
    sources = tomllib.loads((folder / "sources.toml").read_text(encoding="utf-8"))
    bounds = tomllib.loads((folder / "bounds.toml").read_text(encoding="utf-8"))
    count = 0
    for name in TABLES:
        head, *lines = (folder / f"{name}.csv").read_text(encoding="utf-8").splitlines()
        for line in lines:
            (row,) = read_rows(name, f"{head}\n{line}", sources, bounds)
            assert row.known in KNOWN
            assert row.source in sources
            count += 1
    assert count == len(shipped().rows) > 400


def test_every_shipped_number_and_curve_can_be_read() -> None:
    for row in shipped().rows.values():
        if row.form == "constant":
            band = number_of(row)
            assert np.isfinite([band.low, band.best, band.high]).all(), row.address
            assert band.low <= band.best <= band.high, row.address
        elif row.form == "points":
            temperature, value = row.points
            assert np.isfinite([*temperature, *value]).all(), row.address
            assert 0 < float(row.spread.rstrip("%")) < 100, row.address


@pytest.mark.parametrize("material", WALLS)
def test_a_wall_material_has_all_that_heat_asks(material: str) -> None:
    tables = shipped()
    metal = material not in ("borosilicate", "alumina")
    finishes = ("bright", "oxidised", "unstated") if metal else ("plain",)
    for name in ("conductivity", "expansion", *(f"emissivity-{finish}" for finish in finishes)):
        row = tables.find("materials", material, name)
        assert isinstance(row, Row), f"{name} of {material}"
        curve = curve_of(row)
        assert np.isfinite(curve.at(600.0)), f"{name} of {material} at 600 K"
        if name == "conductivity":
            assert curve.value.min() > 0
            assert curve.covers(298.15), f"{material} in a warm room"
    bands = [number_of(row) for name in finishes if (row := _constant(material, f"emissivity-{name}"))]
    for band in bands:
        assert 0 < band.low <= band.high <= 1


def _constant(material: str, name: str) -> Row | None:
    row = shipped().find("materials", material, name)
    return row if isinstance(row, Row) and row.form == "constant" else None


def test_twenty_joints_have_limit_leak_and_what_may_touch_them() -> None:
    tables = shipped()

    def has(joint: str, name: str) -> bool:
        return isinstance(tables.find("joints", joint, name), Row)

    whole = [
        joint
        for joint in tables.subjects("joints")
        if (has(joint, "limit") or has(joint, "as-parent")) and has(joint, "leak") and has(joint, "touches")
    ]
    assert len(whole) >= 20
    assert set(whole) == set(tables.subjects("joints"))
    assert all(has(joint, "contact") for joint in whole)
    assert not any(has(joint, "limit") and has(joint, "as-parent") for joint in whole)


def test_a_blanked_or_unknown_row_is_missing_by_name() -> None:
    tables = shipped()
    address = "materials/304L/conductivity"
    found = tables.without(address).find("materials", "304L", "conductivity")
    assert isinstance(found, Missing)
    assert found.datum == address
    assert "conductivity of 304L" in found.says
    assert isinstance(tables.find("materials", "304L", "conductivity"), Row)
    assert isinstance(tables.without(address).find("materials", "316L", "conductivity"), Row)
    nothing = tables.find("materials", "cheese", "conductivity")
    assert isinstance(nothing, Missing)
    assert "cheese" in nothing.says
