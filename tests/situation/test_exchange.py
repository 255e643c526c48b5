# SPDX-License-Identifier: MIT
"""Coils and baths say where the figures of their contact no longer hold."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.wet import WATER_HEAT_CAPACITY
from retortwright.situation.exchange import Bath, Coil

CELLS = np.array([0, 1])
AREA = np.array([[0.001], [0.002]])  # m^2
CONTACT = np.array([300.0, 300.0, 300.0])
FLOW = np.array([2e-7, 2e-7, 2e-6])  # m^3/s
INLET = np.array([290.0, 290.0, 290.0])
COIL = Coil("cool.coil", CELLS, AREA, CONTACT, FLOW, INLET)


def bath(temperature: float) -> Bath:
    """A bath on two cells, three samples."""
    return Bath("cool.bath", CELLS, AREA, CONTACT, temperature)


def walls(*temperatures: float) -> np.ndarray:
    """The first cell at a temperature in each sample, the second cold."""
    return np.array([temperatures, [180.0] * len(temperatures)])


def outlet(wall: np.ndarray) -> np.ndarray:
    """Outlet of the coil from the balance of heat: what the walls give is what the water carries off."""
    heat, _ = COIL.heat(wall)
    return INLET + np.sum(heat, axis=0) / (WATER_HEAT_CAPACITY * FLOW)


def test_the_water_of_a_coil_must_leave_below_90_degrees() -> None:
    hot = np.array([[320.0, 700.0, 700.0]] * 2)
    found = COIL.beyond(hot)
    assert found is not None
    bad, says = found
    assert outlet(hot)[0] < 363.15 < outlet(hot)[1]  # exact: 90 degC
    assert outlet(hot)[2] < 363.15  # ten times the water
    assert bad.tolist() == [False, True, False]
    assert "in cool.coil it reaches" in says
    assert f"{outlet(hot)[1]:.0f} K: it boils" in says
    assert COIL.beyond(np.full((2, 3), 330.0)) is None


def test_a_coil_turns_bad_where_its_outlet_passes_the_mark() -> None:
    warm = np.linspace(300.0, 900.0, 601)
    over = [COIL.beyond(np.full((2, 3), each)) is not None for each in warm]
    true = [bool(np.any(outlet(np.full((2, 3), each)) > 363.15)) for each in warm]
    assert over == true  # exact: the same heat balance
    assert any(over)
    assert not all(over)


@pytest.mark.parametrize(
    ("temperature", "most"),
    [(273.15, 373.15), (194.65, 294.65), (77.36, 177.36)],  # practice: boils; exact: 100 K above the bath
)
def test_a_bath_holds_up_to_a_wall_temperature(temperature: float, most: float) -> None:
    wall = np.array([[most - 0.1, most + 0.1, np.nan], [temperature] * 3])
    found = bath(temperature).beyond(wall)
    assert found is not None
    bad, says = found
    assert bad.tolist() == [False, True, False]
    assert f"known up to {most:.0f} K, the wall under cool.bath reaches {most + 0.1:.0f} K" in says
    assert bath(temperature).beyond(wall[:, :1]) is None


def test_a_bath_without_a_number_says_nothing() -> None:
    assert bath(float("nan")).beyond(walls(400.0, 500.0, 600.0)) is None
