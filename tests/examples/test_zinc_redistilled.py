# SPDX-License-Identifier: MIT
"""Zinc distilled once more into a receiver that is too cold."""

from __future__ import annotations

from examples.shipped_rigs import across, assessed, finding, findings

RIG = "zinc-redistilled"
WARM = (("heat.jacket.holds", "470 degC"),)
WARM_TO_THE_END = (*WARM, ("heat.jacket.over.receiver", "0 to 140 mm"))


def test_it_is_not_to_be_lit() -> None:
    assert assessed(RIG).verdict == "fails"


def test_the_throat_freezes_and_closes() -> None:
    cold = finding(RIG, "drain-warm/throat/distil")
    assert cold.verdict == "fails"
    assert "freezes" in cold.because
    assert finding(RIG, "crust/throat/distil").verdict == "fails"


def test_it_lands_as_dust_where_it_should_drip() -> None:
    form = finding(RIG, "form/receiver/distil")
    assert form.verdict == "fails"
    assert "21 Pa at its triple point" in form.because  # published: 21 Pa at 692.7 K, within the digits said


def test_a_warmer_receiver_warms_the_coldest_wall_of_the_throat() -> None:
    found = across(RIG, *WARM)
    cold = finding(RIG, "drain-warm/throat/distil").judgement
    warm = found["drain-warm/throat/distil"].judgement
    assert warm.best is not None
    assert cold.best is not None
    assert warm.best > cold.best


def test_what_does_not_settle_is_not_said_to_hold() -> None:  # regression: a known miss of the solver
    landing = across(RIG, *WARM_TO_THE_END)["landing-end/receiver/distil"]
    assert landing.verdict == "unknown"
    assert landing.judgement.best is None


def test_nothing_is_asked_of_a_reductant() -> None:
    assert not [name for name in findings(RIG) if name.startswith(("reductant-", "salt-over", "window"))]
