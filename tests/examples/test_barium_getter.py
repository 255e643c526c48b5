# SPDX-License-Identifier: MIT
"""Barium by aluminium out of an oxide with carbonate left in it."""

from __future__ import annotations

from examples.shipped_rigs import assessed, band, finding

RIG = "barium-getter"


def test_it_is_not_to_be_lit() -> None:
    assert assessed(RIG).verdict == "fails"


def test_the_carbonate_that_was_left_fails_and_says_why() -> None:
    left = finding(RIG, "carbonate/BaO.BaCO3/reduce")
    assert left.verdict == "fails"
    for word in ("without water", "acetylene", "1350 degC"):
        assert word in left.because


def test_the_gas_of_the_carbonate_is_that_of_its_moles() -> None:
    """One percent of BaCO3 in 50 g is 2.5 mmol, 61 mL at 20 degC."""
    said = finding(RIG, "carbonate/BaO.BaCO3/reduce").because
    volume = float(said.split(" give ")[1].split(" mL")[0])
    assert abs(volume - 52 * 0.015 / 197.34 * 24055) < 5  # exact: moles times the volume of one


def test_the_slag_keeps_a_quarter_of_the_oxide() -> None:
    low, best, high = band(finding(RIG, "yield-ceiling/BaO/reduce"))
    whole = 52e-3 * 0.984 * 137.327 / 153.326
    assert abs(best / whole - 0.75) < 0.01  # practice: 4 MO + 2 Al -> 3 M + MO.Al2O3
    assert low <= best <= high


def test_half_of_the_way_the_pressure_falls() -> None:
    late = finding(RIG, "pressure-late/BaO/reduce")
    assert late.verdict == "fails"
    assert "BaAl2O4" in late.because


def test_the_crust_closes_the_sleeve_before_the_end() -> None:
    assert finding(RIG, "crust/collector/reduce").verdict == "fails"
