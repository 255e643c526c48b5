# SPDX-License-Identifier: MIT
"""Magnesium from dolime: what the shipped rig is told, and why."""

from __future__ import annotations

from examples.shipped_rigs import assessed, band, finding, findings, of_verdict

RIG = "magnesium-dolime"


def test_it_is_not_to_be_lit() -> None:
    assert assessed(RIG).verdict == "fails"


def test_its_flat_end_fails_and_its_wall_is_unknown_beyond_the_creep_data() -> None:
    end = finding(RIG, "flat-end/retort.bottom/reduce")  # practice: three walls for a flat end that creeps
    assert end.verdict == "fails"
    assert "make it 12 mm, or dish it" in end.because
    for name in ("collapse/retort/reduce", "creep-runs/retort/reduce"):
        assert finding(RIG, name).verdict == "unknown"


def test_there_is_metal_at_the_pressure_of_practice() -> None:
    """Retorts of this kind run at some 10 Pa: the equilibrium has to stand far above that, and does."""
    low, best, high = band(finding(RIG, "pressure-fresh/MgO/reduce"))
    assert low > 100  # practice
    assert low < best < high < 1e4


def test_alkali_from_the_dolime_is_in_the_metal_and_lies_at_the_cold_end() -> None:
    metals = finding(RIG, "other-metals/MgO/reduce")
    assert metals.verdict == "fails"
    assert "Na" in metals.because
    assert "K" in metals.because
    told = " ".join(each.because for each in findings(RIG).values() if each.question == 8)
    assert "Na" in told or "K" in told


def test_crystals_land_on_the_sleeve_and_do_not_close_it() -> None:
    for name, one in findings(RIG).items():
        if name.startswith("crust/"):
            assert one.verdict == "holds", name


def test_while_it_is_degassed_no_metal_comes() -> None:
    assert not [name for name in findings(RIG) if name.startswith(("minutes/", "landing-end/")) and "degas" in name]


def test_what_is_unknown_says_what_is_missing() -> None:
    for name in of_verdict(RIG, "unknown"):
        missing = finding(RIG, name).missing
        assert missing is not None and missing.says, name
