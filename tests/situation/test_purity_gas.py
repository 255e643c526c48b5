# SPDX-License-Identifier: MIT
"""Gas that a product could take up, beside sums by hand."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.situation.figure import Figure
from retortwright.situation.purity import PurityWork, purity_of
from retortwright.situation.purity_gas import forms_nitride, gas_taken, hydrogen_taken
from situation.crossings import RUBIDIUM, ZINC, changed, situation

TIGHT = (("assume.leak", "1e-4 mbar L/s"), ("assume.hot-metal.time", "4 h"), ("aim.amount", "5 g"))


def work(*edits: tuple[str, str]) -> PurityWork:
    """The purity of the rubidium rig."""
    return purity_of(situation(changed(RUBIDIUM, *TIGHT, *edits)), "distil")


def oxygen(*edits: tuple[str, str]) -> Figure:
    """Oxygen in its product."""
    return gas_taken(work(*edits), "oxygen")


def test_the_oxygen_of_a_leak() -> None:
    # exact: 1e-4 mbar L/s is 0.01 Pa L/s or 1e-5 Pa m3/s, 4.10e-9 mol/s of air, 0.2095 of it oxygen, 4 hours
    moles = 1e-5 / (8.314462618 * 293.15) * 4 * 3600
    found = oxygen()
    assert found.said["leak"][0] == pytest.approx(moles * 0.2095 * 31.9988e-3, rel=1e-3)
    assert found.values[0] == pytest.approx(sum(found.said[name][0] for name in WAYS) / 5e-3)


WAYS = ("leak", "rubber and plastic", "argon")


def test_more_leak_is_never_cleaner() -> None:
    found = [oxygen(("assume.leak", f"{leak} mbar L/s")).values[0] for leak in ("1e-6", "1e-5", "1e-4")]
    assert found == sorted(found)
    assert found[0] < found[-1]


def test_a_leak_that_nobody_measured_is_missing() -> None:
    made = purity_of(situation(RUBIDIUM), "distil")
    assert any("leak" in each.datum for each in gas_taken(made, "oxygen").missing)


def test_argon_fills_the_rig_afterwards() -> None:
    argon = (
        ("plant.argon", '{ on = "V1", purity = "99.99 %", flow = "0.2 L/min" }'),
        ("state.fill", '{ open = ["V1"], running = ["argon"], until = "50 kPa" }'),
        (
            "programme.steps",
            '[{ state = "distil", to = "680 degC", ramp = "4 K/min", hold = "60 min" }, { state = "fill" }]',
        ),
    )
    found = oxygen(*argon)
    assert 0.0 < found.said["argon"][0] < 1e-6
    assert gas_taken(work(*argon), "nitrogen").said["argon"][0] > 0.0


def test_who_forms_a_nitride() -> None:
    assert not forms_nitride(work())
    assert not forms_nitride(purity_of(situation(ZINC), "distil"))
    barium = changed(
        RUBIDIUM, ("aim.metal", "Ba"), ("charge", '{ BaO = { mass = "20 g" }, Al = { mass = "3 g" } }')
    )
    assert forms_nitride(purity_of(situation(barium), "distil"))


def test_all_the_hydrogen_of_the_water() -> None:
    # exact: 9 g with 0.1 % of water are 9 mg, 2.016 / 18.015 of them hydrogen
    found = hydrogen_taken(work(("charge.RbCl.contains", '{ H2O = "0.1 %" }')))
    assert found.said["water"][0] == pytest.approx(9e-6 * 2.01588 / 18.0153, rel=1e-3)
    assert np.all(found.said["wall"] > 0)


def test_water_that_is_not_stated_is_missing() -> None:
    assert "water" in hydrogen_taken(work()).missing[0].says
