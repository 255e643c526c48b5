# SPDX-License-Identifier: MIT
"""Conductances against the figures of the handbooks."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.tubeflow import (
    annulus_conductance,
    cone_conductance,
    elbow_conductance,
    long_tube_conductance,
    orifice_conductance,
    passage_conductance,
    poiseuille_conductance,
    slip_conductance,
    tube_conductance,
)

ROOM, AIR = 293.15, 0.0289647


@pytest.mark.parametrize(
    ("molar_mass", "litres"),
    [(AIR, 11.57), (0.0280134, 11.77), (0.039948, 9.85), (0.0040026, 31.13), (0.00201588, 43.87), (0.0180153, 14.67)],
    ids=["air", "nitrogen", "argon", "helium", "hydrogen", "water"],
)
def test_a_square_centimetre(molar_mass: float, litres: float) -> None:
    # published: 11.6 L/s for air in O'Hanlon's handbook (recalled); the digits here are exact
    assert orifice_conductance(1e-4, ROOM, molar_mass) * 1e3 == pytest.approx(litres, abs=0.006)


@pytest.mark.parametrize(
    ("diameter", "length", "litres", "last"),
    [(1.0, 10.0, 0.9936, 5e-5), (1.0, 50.0, 0.2297, 5e-5), (1.0, 100.0, 0.1177, 5e-5),
     (2.5, 50.0, 3.377, 5e-4), (0.4, 30.0, 0.0249, 5e-5)],
)  # fmt: skip
def test_tubes_in_centimetres(diameter: float, length: float, litres: float, last: float) -> None:
    # exact: hole of that bore times the transmission of Cole 1977
    assert tube_conductance(diameter / 200, length / 100, ROOM, AIR) * 1e3 == pytest.approx(litres, abs=1.1 * last)


def test_long_tube_of_the_handbooks() -> None:
    # published: 12.1 d^3 / L in L/s and cm, O'Hanlon (recalled); 12.12 is exact
    assert long_tube_conductance(0.005, 1.0, ROOM, AIR) * 1e5 == pytest.approx(12.12, abs=0.006)


def test_poiseuille_of_the_handbooks() -> None:
    # published: 135 d^4 p / L in L/s, cm and mbar (recalled): 1.35; exact with 18.2 uPa s: 1.349
    assert poiseuille_conductance(0.005, 1.0, 100.0, 18.2e-6) * 1e3 == pytest.approx(1.349, abs=0.0006)


def test_slip_adds_the_free_path() -> None:
    sticking = poiseuille_conductance(0.005, 1.0, 100.0, 18.2e-6)
    # exact: 1 + 4 slip / rarefaction with a rarefaction of 66.97
    assert slip_conductance(0.005, 1.0, 100.0, 18.2e-6, ROOM, AIR, 1.018) / sticking == pytest.approx(
        1 + 4 * 1.018 / 66.97, abs=2e-5
    )
    assert slip_conductance(0.005, 1.0, 100.0, 18.2e-6, ROOM, AIR, 0.0) == pytest.approx(sticking)


def test_annulus_without_core_cone_without_slope_bend_without_angle() -> None:
    tube = float(tube_conductance(0.01, 0.05, ROOM, AIR))
    assert annulus_conductance(0.0, 0.01, 0.05, ROOM, AIR) == pytest.approx(tube, rel=1e-9)  # exact
    assert cone_conductance(0.01, 0.01, 0.05, ROOM, AIR) == pytest.approx(tube, rel=1e-4)  # exact
    assert elbow_conductance(0.01, 0.02, 0.03, 0.0, ROOM, AIR) == pytest.approx(tube, rel=1e-9)  # exact
    assert passage_conductance(np.pi * 1e-4, 0.310525, ROOM, AIR) == pytest.approx(tube, rel=2e-6)  # published: Cole


def test_a_cone_conducts_alike_both_ways() -> None:
    there, back = cone_conductance(np.array([0.02, 0.01]), np.array([0.01, 0.02]), 0.04, ROOM, AIR)
    assert there == pytest.approx(back, rel=1e-9)  # exact: second law


def test_outside_the_range_is_nan() -> None:
    assert np.isnan(orifice_conductance(0.0, ROOM, AIR))
    assert np.isnan(passage_conductance(1e-4, np.array([-0.1, 1.1]), ROOM, AIR)).all()
    assert np.isnan(tube_conductance(0.0, 1.0, ROOM, AIR))
    assert np.isnan(tube_conductance(0.01, -1.0, ROOM, AIR))
    assert np.isnan(long_tube_conductance(0.01, 0.5, ROOM, AIR))
    assert np.isnan(annulus_conductance(0.01, 0.01, 0.1, ROOM, AIR))
    assert np.isnan(cone_conductance(0.01, 0.0, 0.1, ROOM, AIR))
    assert np.isnan(elbow_conductance(0.01, 0.005, 0.1, 1.0, ROOM, AIR))
    assert np.isnan(poiseuille_conductance(0.01, 1.0, -1.0, 1e-5))
    assert np.isnan(slip_conductance(0.01, 1.0, 0.0, 1e-5, ROOM, AIR, 1.0))
