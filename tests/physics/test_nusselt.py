# SPDX-License-Identifier: MIT
"""Nusselt numbers against worked examples of textbooks and a general library."""

from __future__ import annotations

import ht
import numpy as np
import pytest

from retortwright.physics import nusselt


def test_vertical_plate_worked_example() -> None:
    # published: Incropera et al., example 9.2, Ra = 1.813e9, Pr = 0.69, prints Nu = 147
    assert nusselt.nusselt_vertical_plate(1.813e9, 0.69) == pytest.approx(147.0, abs=0.5)
    # published: the docstring of ht says 147.16 for Gr = 2.63e9
    assert nusselt.nusselt_vertical_plate(0.69 * 2.63e9, 0.69) == pytest.approx(147.16185, abs=5e-6)


def test_horizontal_cylinder_worked_example() -> None:
    # published: the docstring of ht, Pr = 0.69, Gr = 2.63e9
    assert nusselt.nusselt_horizontal_cylinder(0.69 * 2.63e9, 0.69) == pytest.approx(139.13494, abs=5e-6)


@pytest.mark.parametrize("prandtl", [0.5, 0.7, 5.0])
@pytest.mark.parametrize("rayleigh", [1e-4, 1.0, 1e4, 1e8, 1e11])
def test_free_convection_as_coded_elsewhere(rayleigh: float, prandtl: float) -> None:
    # published: the same correlations as coded in ht
    grashof = rayleigh / prandtl
    cylinder = ht.Nu_horizontal_cylinder_Churchill_Chu(prandtl, grashof)
    assert nusselt.nusselt_horizontal_cylinder(rayleigh, prandtl) == pytest.approx(cylinder, rel=1e-12)
    plate = ht.Nu_vertical_plate_Churchill(prandtl, grashof)
    assert nusselt.nusselt_vertical_plate(rayleigh, prandtl) == pytest.approx(plate, rel=1e-12)


@pytest.mark.parametrize("prandtl", [0.5, 0.7, 5.0])
@pytest.mark.parametrize("rayleigh", [1e3, 1e6, 1e9])
def test_plate_facing_down_as_coded_elsewhere(rayleigh: float, prandtl: float) -> None:
    # published: the same correlation as coded in ht
    expected = ht.Nu_horizontal_plate_VDI(prandtl, rayleigh / prandtl, buoyancy=False)
    assert nusselt.nusselt_plate_facing_down(rayleigh, prandtl) == pytest.approx(expected, rel=1e-12)


def test_the_constants_of_pure_conduction() -> None:
    # exact: the constants of the two formulas, squared
    assert nusselt.nusselt_horizontal_cylinder(0.0, 0.7) == pytest.approx(0.36, rel=1e-12)
    assert nusselt.nusselt_vertical_plate(0.0, 0.7) == pytest.approx(0.825**2, rel=1e-12)


@pytest.mark.parametrize("rayleigh", [2e4, 1e5, 1e7, 1e9])
def test_plate_facing_up_against_another_correlation(rayleigh: float) -> None:
    # published: McAdams' 0.54 Ra^(1/4) and 0.15 Ra^(1/3) as coded in ht; two correlations of the same
    # thing, of which ours damps by the Prandtl number: 21 to 36 % lower in air
    other = ht.Nu_horizontal_plate_McAdams(0.7, rayleigh / 0.7, buoyancy=True)
    assert 0.64 < float(nusselt.nusselt_plate_facing_up(rayleigh, 0.7)) / other < 0.79


def test_plate_facing_up_by_hand() -> None:
    # exact: [1 + (0.322/0.7)^(11/20)]^(-20/11) = 0.4012, then 0.766 (0.4012 Ra)^(1/5), 0.15 (0.4012 Ra)^(1/3)
    assert nusselt.nusselt_plate_facing_up(1e5, 0.7) == pytest.approx(0.766 * 0.4012e5**0.2, rel=1e-4)
    assert nusselt.nusselt_plate_facing_up(1e6, 0.7) == pytest.approx(0.15 * 0.4012e6 ** (1 / 3), rel=1e-4)


def test_slender_cylinder_is_near_the_boundary_layer_solution() -> None:
    # published: the similarity solution of the plate, g = 0.75 Pr^(1/2) / (0.609 + 1.221 Pr^(1/2) +
    # 1.238 Pr)^(1/4), Nu = (4/3) g (Gr/4)^(1/4) [Incropera, eqs. (9.20) and (9.21), recalled];
    # the integral solution of Le Fevre and Ede is 5 to 6 % higher in air
    root = 0.7**0.5
    slope = 0.75 * root / (0.609 + 1.221 * root + 1.238 * 0.7) ** 0.25
    exact = (4 / 3) * slope * (1e8 / 0.7 / 4) ** 0.25
    assert 1.05 < float(nusselt.nusselt_slender_cylinder(1e8, 0.7, 1e-6)) / exact < 1.065


@pytest.mark.parametrize("rayleigh", [1e7, 1e8, 1e9])
@pytest.mark.parametrize("slenderness", [1.0, 5.0, 10.0, 20.0, 40.0])
def test_curvature_agrees_with_another_correlation(rayleigh: float, slenderness: float) -> None:
    # published: Popiel, Wojtkowiak, Bober 2007, as coded in ht, on the laminar plate 0.5165 Ra^(1/4);
    # two descriptions of the same curvature: within 10 %
    factor = ht.conv_free_immersed.Nu_vertical_cylinder_Popiel_Churchill(
        0.7, rayleigh / 0.7, slenderness, 1.0
    ) / ht.Nu_vertical_plate_Churchill(0.7, rayleigh / 0.7)
    ours = float(nusselt.nusselt_slender_cylinder(rayleigh, 0.7, slenderness))
    assert ours == pytest.approx(0.5165 * rayleigh**0.25 * factor, rel=0.10)


def test_upright_cylinder_between_laminar_and_turbulent() -> None:
    # exact: the laminar form far below the joint, 0.10 Ra^(1/3) far above it
    assert nusselt.nusselt_upright_cylinder(1e3, 0.7, 5.0) == pytest.approx(
        nusselt.nusselt_slender_cylinder(1e3, 0.7, 5.0), rel=1e-3
    )
    turbulent = 0.1 * 1e13 ** (1 / 3)
    assert nusselt.nusselt_upright_cylinder(1e13, 0.7, 1.0) == pytest.approx(turbulent, rel=0.03)
    # The stated share of the joint.
    laminar = nusselt.nusselt_slender_cylinder(1e8, 0.7, 1e-6)
    assert nusselt.nusselt_upright_cylinder(1e8, 0.7, 1e-6) / laminar == pytest.approx(1.05, abs=0.005)


def test_fine_wire() -> None:
    # published: Holman, example 7.4, Gr Pr = 4.05e-5, Nu = 0.375 (the branch is printed; Nu recalled)
    assert nusselt.nusselt_fine_wire(4.05e-5) == pytest.approx(0.375, abs=0.0005)
    # published: the first band of Morgan 1975 as coded in ht
    assert nusselt.nusselt_fine_wire(7e-6) == pytest.approx(
        ht.Nu_horizontal_cylinder_Morgan(0.7, 1e-5), rel=1e-12
    )


def test_crossflow_worked_example() -> None:
    # published: Incropera et al., example 7.3 (7.4 of other editions), Re = 6071, Pr = 0.70: 40.6
    assert nusselt.nusselt_cylinder_in_crossflow(6071.0, 0.70) == pytest.approx(40.6, abs=0.05)
    # published: the same example by Hilpert's bands: 37.3 (recalled)
    assert nusselt.nusselt_cylinder_in_crossflow_by_bands(6071.0, 0.70) == pytest.approx(37.3, abs=0.05)


@pytest.mark.parametrize("reynolds", [1.0, 100.0, 1e4, 1e6])
def test_crossflow_as_coded_elsewhere(reynolds: float) -> None:
    # published: the same correlation as coded in ht
    expected = ht.conv_external.Nu_cylinder_Churchill_Bernstein(reynolds, 0.7)
    assert nusselt.nusselt_cylinder_in_crossflow(reynolds, 0.7) == pytest.approx(expected, rel=1e-12)


def test_the_bands_of_crossflow_nearly_meet() -> None:
    # exact: the bands as published leave steps of at most 4 % between them
    for edge in (4.0, 40.0, 4e3, 4e4):
        beside = np.array([edge * (1 - 1e-9), edge])
        below, above = nusselt.nusselt_cylinder_in_crossflow_by_bands(beside, 0.7)
        assert above == pytest.approx(below, rel=0.04)
        assert above != below


def test_outside_the_range_there_is_no_number() -> None:
    for value in (
        nusselt.nusselt_horizontal_cylinder(np.array([-1.0, 1.1e12]), 0.7),
        nusselt.nusselt_vertical_plate(np.array([-1.0, 1.1e13]), 0.7),
        nusselt.nusselt_slender_cylinder(np.array([-1.0, 1.1e9]), 0.7, 5.0),
        nusselt.nusselt_upright_cylinder(np.array([-1.0, 1.1e13]), 0.7, 5.0),
        nusselt.nusselt_upright_cylinder(1e6, 0.7, np.array([0.0, -1.0])),
        nusselt.nusselt_fine_wire(np.array([0.9e-10, 1.1e-2])),
        nusselt.nusselt_plate_facing_up(np.array([0.9, 1.1e11]), 0.7),
        nusselt.nusselt_plate_facing_down(np.array([0.9e3, 1.1e10]), 0.7),
        nusselt.nusselt_cylinder_in_crossflow(np.array([0.28, 1.1e7]), 0.7),
        nusselt.nusselt_cylinder_in_crossflow_by_bands(np.array([0.39, 4.1e5]), 0.7),
        nusselt.nusselt_cylinder_in_crossflow_by_bands(100.0, np.array([0.1, 0.5])),
    ):
        assert np.isnan(value).all()
