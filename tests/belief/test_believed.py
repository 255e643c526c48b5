# SPDX-License-Identifier: MIT
"""Which figure is believed: the user's before ours, with the band that is missing taken from ours."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.belief.beliefs import Belief, Draws
from retortwright.belief.believed import Ledger
from retortwright.reference.datum import Row, number_of
from retortwright.reference.tables import Tables, shipped
from retortwright.rig.reading import rig_of

PLAIN = """retortwright = 1
[aim]
metal = "Na"
[piece.tube]
tube = "12 x 1 mm"
length = "100 mm"
of = "304L"
[state]
rest = { open = [], running = [] }
[programme]
steps = [ { state = "rest" } ]
"""


def ledger(assume: str = "", draws: Draws | None = None, tables: Tables | None = None) -> Ledger:
    text = PLAIN + (f"[assume]\n{assume}\n" if assume else "")
    return Ledger(rig_of(text, "my.toml"), tables or shipped(), draws or Draws())


def row(table: str, subject: str, name: str) -> Row:
    found = shipped().find(table, subject, name)
    assert isinstance(found, Row)
    return found


def used(name: str, assume: str = "") -> Belief:
    book = ledger(assume)
    if name.startswith("emissivity."):
        material, finish = name.removeprefix("emissivity.").rsplit("-", 1)
        book.emissivity(material, finish)
    elif name.startswith("conductivity."):
        book.curve(name.removeprefix("conductivity."), "conductivity")
    else:
        book.default(name)
    return book.used[name]


def test_a_default_comes_from_its_row() -> None:
    found = used("emissivity.304L-oxidised")
    expected = row("materials", "304L", "emissivity-oxidised")
    assert found.band == number_of(expected)
    assert (found.basis, found.address) == ("table", "materials/304L/emissivity-oxidised")
    assert (found.source, found.locator) == (expected.source, expected.locator)
    assert used("convection.free").basis == "common practice"


def test_a_figure_of_the_file_outranks_the_table() -> None:
    found = used("emissivity.304L-oxidised", 'emissivity.304L-oxidised = "0.6 to 0.64"')
    assert (found.band.low, found.band.best, found.band.high) == pytest.approx((0.6, 0.62, 0.64))
    line = PLAIN.count("\n") + 2
    assert (found.basis, found.address, found.source) == ("file", f"my.toml:{line}", "")


def test_a_figure_without_a_band_keeps_the_relative_band_of_ours() -> None:
    default = number_of(row("beliefs", "convection.free", "default"))
    found = used("convection.free", 'convection.free = "1.6"')
    # exact: both ends in proportion
    assert found.band.low == pytest.approx(1.6 * default.low / default.best, rel=1e-14)
    assert found.band.high == pytest.approx(1.6 * default.high / default.best, rel=1e-14)
    assert found.basis == "file"


def test_a_temperature_without_a_band_keeps_the_width_of_ours_in_kelvins() -> None:
    for name, text, best in (("room.temperature", "30 degC", 303.15), ("furnace.offset", "5 K", 5.0)):
        default = number_of(row("beliefs", name, "default"))
        found = used(name, f'{name} = "{text}"')
        # exact: 15 K below and above stay 15 K
        assert found.band.best == pytest.approx(best)
        assert found.band.low - best == pytest.approx(default.low - default.best)
        assert found.band.high - best == pytest.approx(default.high - default.best)


def test_a_factor_on_a_curve() -> None:
    share = float(row("materials", "304L", "conductivity").spread.rstrip("%")) / 100
    plain = used("conductivity.304L")
    assert (plain.band.low, plain.band.high) == pytest.approx((1 - share, 1 + share))
    assert plain.unit == "1"
    alone = used("conductivity.304L", 'conductivity.304L = "1.1"')
    # exact: the relative band of the row about the user's factor
    assert (alone.band.low, alone.band.high) == pytest.approx((1.1 * (1 - share), 1.1 * (1 + share)))
    assert alone.basis == "file"
    wide = used("conductivity.304L", 'conductivity.304L = "0.95 to 1.05"')
    assert (wide.band.low, wide.band.high) == pytest.approx((0.95, 1.05))


def test_one_belief_is_drawn_once_for_all_that_use_it() -> None:
    book = ledger()
    first, second = book.emissivity("304L", "oxidised"), book.emissivity("304L", "oxidised")
    np.testing.assert_array_equal(first, second)
    assert list(book.used) == ["emissivity.304L-oxidised"]


def test_what_is_asked_is_cited() -> None:
    book = ledger()
    book.default("room.temperature")
    book.curve("304L", "conductivity")
    assert book.cites == {"beliefs/room.temperature/default", "materials/304L/conductivity"}
    assert book.missing == []


def test_a_blanked_row_gives_no_number_and_a_reason() -> None:
    address = "materials/304L/emissivity-oxidised"
    book = ledger(tables=shipped().without(address))
    assert np.isnan(book.emissivity("304L", "oxidised")).all()
    assert [missing.datum for missing in book.missing] == [address]
    assert ledger(tables=shipped().without("materials/304L/conductivity")).curve("304L", "conductivity") is None


def test_the_users_band_needs_no_row_of_ours() -> None:
    tables = shipped().without("beliefs/convection.free/default")
    book = ledger('convection.free = "0.9 to 1.1"', tables=tables)
    assert np.isfinite(book.default("convection.free")).all()
    assert book.missing == []
    # a figure without a band needs ours for its band
    alone = ledger('convection.free = "0.9"', tables=tables)
    assert np.isnan(alone.default("convection.free")).all()
    assert len(alone.missing) > 0


def test_ends_do_not_depend_on_which_samples_are_computed() -> None:
    whole, one = ledger(), ledger(draws=Draws(pick=(7,)))
    for book in (whole, one):
        book.default("bore.emissivity", 0.05, 0.98)
    assert whole.ends("bore.emissivity") == one.ends("bore.emissivity")
    low, high = whole.ends("bore.emissivity")
    values = whole.default("bore.emissivity", 0.05, 0.98)
    assert low <= values.min() <= values.max() <= high


def test_recalled_rows_say_so() -> None:
    book = ledger()
    book.emissivity("tantalum", "unstated")
    belief = book.used["emissivity.tantalum-unstated"]
    assert row("materials", "tantalum", "emissivity-unstated").known == "recalled"
    assert not belief.seen
    assert used("emissivity.304L-oxidised").seen


@pytest.mark.parametrize("finish", ["bright", "oxidised", "unstated"])
def test_every_emissivity_of_a_metal_can_be_drawn(finish: str) -> None:
    tables = shipped()
    for material in tables.subjects("materials", f"emissivity-{finish}"):
        values = ledger().emissivity(material, finish)
        assert np.all((values > 0) & (values < 1)), material
