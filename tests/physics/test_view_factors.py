# SPDX-License-Identifier: MIT
"""View factors inside a cylinder: closed forms against integrals, sums and reciprocity."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import dblquad, quad

from retortwright.physics.view_factors import (
    view_factor_disc_to_disc,
    view_factor_equal_discs,
    view_factor_ring_to_end,
    view_factor_ring_to_itself,
    view_factor_ring_to_ring,
)


def between_rings(apart: float) -> float:
    """Fraction from a thin ring to another at this distance by radius, per width by radius.

    From the definition: cosines over pi s^2, integrated around the receiving ring.
    """

    def part(angle: float) -> float:
        inward = 1 - np.cos(angle)  # distance along the normal of either ring, by radius
        squared = 2 * inward + apart**2
        return float(inward**2 / (np.pi * squared**2))

    return 2 * quad(part, 0, np.pi)[0]


def test_equal_discs_as_published() -> None:
    # published: Incropera et al., figure 13.5 and table 13.2 for coaxial discs; r/L = 1 gives 0.38
    assert view_factor_equal_discs(0.01, 0.01) == pytest.approx(0.382, abs=0.0005)
    # exact: (3 - sqrt 5) / 2
    assert view_factor_equal_discs(1.0, 1.0) == pytest.approx((3 - 5**0.5) / 2, rel=1e-14)


def test_far_discs_keep_their_digits() -> None:
    # exact: r^2 / L^2 to first order, minus 2 r^4 / L^4
    assert view_factor_equal_discs(1e4, 1.0) == pytest.approx(1e-8 - 2e-16, rel=1e-13)


def test_equal_discs_are_a_case_of_unequal_ones() -> None:
    distance = np.array([0.1, 1.0, 30.0])
    # exact: the same formula
    np.testing.assert_allclose(
        view_factor_disc_to_disc(distance, 2.0, 2.0), view_factor_equal_discs(distance, 2.0), rtol=1e-12
    )


def test_unequal_discs_from_the_definition() -> None:
    # exact: a small disc sees r^2 / (r^2 + L^2) of a large one on its axis
    assert view_factor_disc_to_disc(1.0, 1e-4, 2.0) == pytest.approx(4.0 / 5.0, rel=1e-7)
    # exact: reciprocity
    there, back = view_factor_disc_to_disc(0.5, 0.3, 0.8), view_factor_disc_to_disc(0.5, 0.8, 0.3)
    assert there * 0.3**2 == pytest.approx(back * 0.8**2, rel=1e-13)


@pytest.mark.parametrize(("width", "other", "gap"), [(0.5, 0.5, 0.3), (1.0, 0.2, 0.0), (0.3, 2.0, 4.0)])
def test_rings_from_the_definition(width: float, other: float, gap: float) -> None:
    # exact: double integral over both widths of the definition of the view factor
    integral = dblquad(
        lambda there, here: between_rings(there - here),
        -width, 0, gap, gap + other, epsabs=1e-10, epsrel=1e-8,
    )[0]
    assert view_factor_ring_to_ring(width, other, gap, 1.0) == pytest.approx(integral / width, rel=1e-6)


@pytest.mark.parametrize("width", [1e-3, 0.1, 1.0, 50.0])
def test_a_ring_sees_itself_and_its_ends(width: float) -> None:
    # exact: what it does not send to itself goes through its ends
    total = view_factor_ring_to_itself(width, 1.0) + 2 * view_factor_ring_to_end(width, 0.0, 1.0)
    assert total == pytest.approx(1.0, rel=1e-12)
    # exact: 1 - u with u the root of u^2 + (w/r) u = 1
    root = float(1 - view_factor_ring_to_itself(width, 1.0))
    assert root**2 + width * root == pytest.approx(1.0, rel=1e-12)


def test_a_cylinder_is_closed() -> None:
    # exact: a ring sends all it sends to the rings and ends of its cylinder
    edges = np.array([0.0, 0.3, 0.9, 1.0, 4.0])
    width = np.diff(edges)
    own = view_factor_ring_to_itself(width[1], 1.0)
    ends = view_factor_ring_to_end(width[1], 0.3, 1.0) + view_factor_ring_to_end(width[1], 3.1, 1.0)
    others = (
        view_factor_ring_to_ring(width[1], width[0], 0.0, 1.0)
        + view_factor_ring_to_ring(width[1], width[2], 0.0, 1.0)
        + view_factor_ring_to_ring(width[1], width[3], 0.1, 1.0)
    )
    assert own + ends + others == pytest.approx(1.0, rel=1e-12)


def test_rings_are_reciprocal() -> None:
    there = view_factor_ring_to_ring(0.3, 2.0, 0.7, 1.5) * 0.3
    # exact: A_1 F_12 = A_2 F_21
    assert view_factor_ring_to_ring(2.0, 0.3, 0.7, 1.5) * 2.0 == pytest.approx(there, rel=1e-12)


def test_outside_the_range_there_is_no_number() -> None:
    for value in (
        view_factor_equal_discs(np.array([-1.0, 1.0]), np.array([1.0, 0.0])),
        view_factor_disc_to_disc(0.0, 1.0, 1.0),
        view_factor_disc_to_disc(1.0, np.array([0.0, 1.0]), np.array([1.0, 0.0])),
        view_factor_ring_to_itself(-1.0, 1.0),
        view_factor_ring_to_end(0.0, 1.0, 1.0),
        view_factor_ring_to_ring(np.array([0.0, 1.0]), np.array([1.0, 0.0]), 0.0, 1.0),
        view_factor_ring_to_ring(1.0, 1.0, -0.1, 1.0),
    ):
        assert np.isnan(value).all()
