# SPDX-License-Identifier: MIT
"""Half a gram of europium: the walls keep more than is wanted."""

from __future__ import annotations

from examples.shipped_rigs import assessed, band, finding

RIG = "europium-sliver"


def test_the_answer_is_no() -> None:
    assert assessed(RIG).verdict == "fails"


def test_the_sleeve_keeps_more_than_the_product() -> None:
    batch = finding(RIG, "batch/Eu2O3/reduce")
    assert batch.verdict == "fails"
    assert "buy it, or share a run of at least" in batch.because
    grams = float(batch.because.split("at least ")[1].split(" g")[0])
    assert 6.5 < grams < 8.5  # computed: five times 94 cm2 of 30 um at 5.24 g/cm3, some 7.4 g


def test_the_reaction_gives_heat() -> None:
    heat = finding(RIG, "reaction-heat/Eu2O3/reduce")
    assert "sets free 7" in heat.because  # computed: 71 kJ a mole
    assert heat.verdict in ("thin", "fails")


def test_lanthanum_stays_where_it_is() -> None:
    _, _, high = band(finding(RIG, "reductant-over/Eu2O3/reduce"))
    assert high < 1e-6  # practice: next to no lanthanum comes over as vapour
