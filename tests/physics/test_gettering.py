# SPDX-License-Identifier: MIT
"""Metal eaten by a leak of air, and the leak that a batch can bear."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.gas import molar_flow_of_throughput
from retortwright.physics.gettering import bearable_leak, impurity_taken, metal_eaten

AIR = molar_flow_of_throughput(1e-5, 293.15)  # 1e-4 mbar L/s
OXYGEN, NITROGEN = 0.2095, 0.7808
CAESIUM, RUBIDIUM = 0.13290545, 0.0854678


def an_hour(metal_per_oxygen: float, metal_per_nitrogen: float, molar_mass: float) -> float:
    """Milligrams of metal eaten in an hour by 1e-4 mbar L/s of air."""
    rate = metal_eaten(AIR, OXYGEN, NITROGEN, metal_per_oxygen, metal_per_nitrogen, molar_mass)
    return float(rate) * 3600e6


def test_a_leak_in_moles() -> None:
    # exact: 1e-4 mbar L/s at 20 degC are 4.10e-9 mol/s of air and 3.1 umol/h of oxygen
    assert pytest.approx(4.10e-9, abs=0.005e-9) == AIR
    assert pytest.approx(3.1, abs=0.05) == AIR * OXYGEN * 3600e6


@pytest.mark.parametrize(
    ("per_oxygen", "per_nitrogen", "molar_mass", "eaten"),
    [
        (2.0, 0.0, CAESIUM, 1.6),  # Cs2O
        (2.0, 0.0, RUBIDIUM, 1.1),  # Rb2O
        (11 / 3, 0.0, CAESIUM, 3.0),  # Cs11O3
        (1.0, 1.5, 0.137327, 5.6),  # BaO and Ba3N2
        (1.0, 1.5, 0.040078, 1.6),  # CaO and Ca3N2
        (2.0, 3.0, 0.006941, 0.6),  # Li2O and Li3N
    ],
)
def test_milligrams_an_hour(per_oxygen: float, per_nitrogen: float, molar_mass: float, eaten: float) -> None:
    # exact: hand-worked stoichiometry of 1e-4 mbar L/s
    assert an_hour(per_oxygen, per_nitrogen, molar_mass) == pytest.approx(eaten, abs=0.05)


def test_superoxide_is_not_the_figure() -> None:
    # exact: CsO2 would take 0.41 mg/h; with metal in excess the lower oxide takes four times that
    assert an_hour(0.5, 0.0, CAESIUM) == pytest.approx(0.41, abs=0.005)
    assert an_hour(2.0, 0.0, CAESIUM) == pytest.approx(4 * an_hour(0.5, 0.0, CAESIUM))


def test_nitride_formers_lose_six_and_a_half_times_as_much() -> None:
    # exact: barium and calcium, oxide and nitride over oxide alone
    assert an_hour(1.0, 1.5, 0.137327) / an_hour(1.0, 0.0, 0.137327) == pytest.approx(6.6, abs=0.05)


def test_the_leak_that_five_grams_can_bear() -> None:
    # exact: 5 g Rb over 4 h: 100 ppm of oxygen 1.3e-4, half a percent lost 6e-4 mbar L/s
    per_air = impurity_taken(1.0, OXYGEN, 2.0, 0.0159994)
    oxygen = bearable_leak(5e-3 * 100e-6, 4 * 3600.0, 293.15, per_air)
    lost = bearable_leak(5e-3 * 0.005, 4 * 3600.0, 293.15, metal_eaten(1.0, OXYGEN, 0.0, 2.0, 0.0, RUBIDIUM))
    assert oxygen * 10 == pytest.approx(1.3e-4, abs=0.05e-4)
    assert lost * 10 == pytest.approx(6e-4, abs=0.5e-4)


def test_a_bearable_leak_brings_just_what_is_allowed() -> None:
    # exact: the inverse
    per_air = impurity_taken(1.0, OXYGEN, 2.0, 0.0159994)
    flow = molar_flow_of_throughput(bearable_leak(1e-6, 7200.0, 293.15, per_air), 293.15)
    assert impurity_taken(flow, OXYGEN, 2.0, 0.0159994) * 7200.0 == pytest.approx(1e-6)


def test_outside_the_range_is_no_number() -> None:
    assert np.isnan(metal_eaten(AIR, 1.2, 0.0, 2.0, 0.0, CAESIUM))
    assert np.isnan(bearable_leak(1e-6, 0.0, 293.15, 1.0))
    assert np.isnan(impurity_taken(-1.0, 0.2, 2.0, 0.016))
