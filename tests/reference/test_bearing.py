# SPDX-License-Identifier: MIT
"""Up to where a pair is borne: hotter never helps, memory takes away but never gives."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retortwright.reference.attacks import agents, attacked, attacks_on
from retortwright.reference.bearing import bearing_of
from retortwright.reference.datum import Row
from retortwright.reference.tables import Tables, shipped

TABLES = shipped()
PAIRS = [(agent, material) for agent in agents(TABLES) for material in attacked(TABLES, agent)]
GRAVE = ("bears", "slow", "memory", "silent", "harmed")  # from good to bad, as a finding has it


def table(*rows: tuple[str, str, str]) -> Tables:
    """A table with one pair, whose rows are (word, range, known)."""
    bare = replace(TABLES, rows={key: row for key, row in TABLES.rows.items() if key[0] != "attacks"})
    for number, (word, span, known) in enumerate(rows, start=1):
        row = Row("attacks", "X(l) on wall", f"verdict-{number}", "K", "words", word, span,
                  "handbook-memory", "here", known, "", number)  # fmt: skip
        bare = bare.with_row(row)
    return bare


def verdict(kelvin: float, *rows: tuple[str, str, str], own: float = 0.0) -> str:
    """The verdict of such a table."""
    return bearing_of(table(*rows), "X(l)", "wall", own).verdict(kelvin)


@settings(max_examples=200, deadline=None)
@given(
    st.sampled_from(PAIRS),
    st.floats(280.0, 2000.0),
    st.floats(0.0, 800.0),
    st.sampled_from([0.0, 700.0, 1200.0]),
)
def test_hotter_never_helps(pair: tuple[str, str], kelvin: float, more: float, own: float) -> None:
    bearing = bearing_of(TABLES, *pair, own)
    cold, hot = bearing.verdict(kelvin), bearing.verdict(kelvin + more)
    assert GRAVE.index(hot) >= GRAVE.index(cold)  # exact: each rule of the verdict only turns worse


@pytest.mark.parametrize(
    ("kelvin", "rows", "expected"),
    [
        (500.0, [("bears", "400 to 900", "seen")], "bears"),
        (350.0, [("bears", "400 to 900", "seen")], "bears"),  # colder than what was read
        (950.0, [("bears", "400 to 900", "seen")], "silent"),
        (500.0, [("bears", "400 to 900", "recalled")], "memory"),
        (950.0, [("bears", "400 to 900", "recalled")], "silent"),
        (500.0, [("slow", "400 to 900", "seen")], "slow"),
        (500.0, [("slow", "400 to 900", "recalled")], "memory"),
        (500.0, [("bears", "400 to 900", "seen"), ("slow", "450 to 600", "recalled")], "slow"),
        (430.0, [("bears", "400 to 900", "seen"), ("slow", "450 to 600", "recalled")], "bears"),
        (500.0, [("bears", "400 to 900", "seen"), ("eaten", "450 to 600", "recalled")], "harmed"),
        (
            800.0,
            [("bears", "400 to 900", "seen"), ("eaten", "450 to 600", "seen")],
            "harmed",
        ),  # it has passed 450
        (500.0, [("violent", "600 up", "seen")], "silent"),
        (700.0, [], "silent"),
    ],
)
def test_the_rules_case_by_case(kelvin: float, rows: list[tuple[str, str, str]], expected: str) -> None:
    assert verdict(kelvin, *rows) == expected  # exact: the rules


def test_what_somebody_has_seen_counts_as_read_but_not_against_harm() -> None:
    recalled = ("bears", "400 to 900", "recalled")
    assert verdict(600.0, recalled, own=650.0) == "bears"  # exact: the rule
    assert verdict(700.0, recalled, own=650.0) == "memory"
    assert verdict(600.0, ("eaten", "500 up", "recalled"), own=650.0) == "harmed"
    assert verdict(600.0, ("slow", "500 up", "recalled"), own=650.0) == "slow"


def test_what_is_missing_is_named() -> None:
    memory = bearing_of(TABLES, "Rb(g)", "304L")
    assert memory.missing(900.0).datum == "attacks/Rb(g) on 304L/verdict-1"
    assert "from memory only" in memory.missing(900.0).says
    assert "known to 871 degC; asked at 1127 degC" in memory.missing(1400.0).says
    nothing = bearing_of(TABLES, "Rb(g)", "brass")
    assert nothing.missing(400.0).says == "what Rb(g) does to brass is not in our tables; asked at 127 degC"


def test_a_blanked_row_is_as_if_it_were_not_there() -> None:
    (row,) = {each.row.address for each in attacks_on(TABLES, "Ca(g)", "mild steel")}
    assert bearing_of(TABLES, "Ca(g)", "mild steel").verdict(900.0) == "bears"
    assert bearing_of(TABLES.without(row), "Ca(g)", "mild steel").verdict(900.0) == "silent"


def test_limits_are_those_of_the_rows() -> None:
    found = bearing_of(TABLES, "Ca(s)", "nickel")
    assert found.harmed.at == 878.0  # published: ca-ni-1965, eutectic at 605 degC
    assert bearing_of(TABLES, "Na(l)", "316L").limit(900.0).at == 1089.0  # published: anp-1956-09, 1500 F
    assert math.isinf(bearing_of(TABLES, "Na(l)", "graphite").limit(400.0).at)


def test_lithium_harms_glass_as_soon_as_it_melts() -> None:
    # practice: no glass for lithium; it melts at 453.65 K, and the table has whole kelvins
    assert bearing_of(TABLES, "Li(l)", "borosilicate").verdict(453.65) == "harmed"
    assert bearing_of(table(("eaten", "500 up", "seen")), "X(l)", "wall").verdict(499.0) == "silent"
