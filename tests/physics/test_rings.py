# SPDX-License-Identifier: MIT
"""Exchange between rings against view factors in closed form, and its symmetry."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.rings import Panels, Rings

NO_GATES = np.zeros((0, 2))
FINE = Panels(0.01, 2.0, 0.5)


def disc(radius: float, height: float, upward: float) -> Rings:
    ends = ((0.0, height), (radius, height)) if upward > 0 else ((radius, height), (0.0, height))
    return Rings.along(*ends, FINE.edges(radius), 6)


def tube(length: float) -> Rings:
    return Rings.along((1.0, 0.0), (1.0, length), FINE.edges(length), 6)


@pytest.mark.parametrize(("radius", "other", "apart"), [(1.0, 1.0, 1.0), (1.0, 0.4, 2.0), (0.3, 1.5, 0.7)])
def test_two_discs(radius: float, other: float, apart: float) -> None:
    total = apart**2 + radius**2 + other**2
    # exact: view factor of coaxial discs
    exact = np.pi * (total - np.sqrt(total**2 - 4 * radius**2 * other**2)) / 2
    found = disc(radius, 0.0, 1.0).exchange(disc(other, apart, -1.0), NO_GATES, 0.0)
    assert found.sum() == pytest.approx(exact, rel=1e-6)


def test_disc_by_rings_and_in_closed_form() -> None:
    cone = Rings.along((1.0, 0.0), (0.5, 2.0), FINE.edges(float(np.hypot(0.5, 2.0))), 6)
    for radius, height, upward in ((1.0, 0.0, 1.0), (0.5, 2.0, -1.0)):
        by_rings = cone.exchange(disc(radius, height, upward), NO_GATES, 0.0).sum(axis=1)
        closed = cone.exchange_with_disc(radius, height, upward)
        far = np.abs(cone.height - height) > 0.1
        assert by_rings[far] == pytest.approx(closed[far], rel=1e-4)  # exact: the same view factor


def test_what_leaves_a_wall_arrives() -> None:
    wall = tube(2.0)
    ends = wall.exchange_with_disc(1.0, 0.0, 1.0) + wall.exchange_with_disc(1.0, 2.0, -1.0)
    self_seen = wall.exchange(wall, NO_GATES, 0.0)
    # exact: the wall is closed by its two ends; the ring sees itself with the kernel 1/2 at zero
    total = self_seen.sum(axis=1) + wall.area * wall.width / 2 + ends
    assert total == pytest.approx(wall.area, rel=2e-3)


def test_exchange_is_symmetric() -> None:
    one, other = tube(2.0), disc(0.5, 1.0, -1.0)
    gates = np.array([[0.7, 0.8]])
    there, back = one.exchange(other, gates, 0.2), other.exchange(one, gates, 0.2)
    assert there == pytest.approx(back.T, rel=1e-10, abs=1e-16)  # exact: reciprocity


def test_a_gate_and_a_core_cut_the_view() -> None:
    low, high = disc(1.0, 0.0, 1.0), disc(1.0, 2.0, -1.0)
    open_view = low.exchange(high, NO_GATES, 0.0).sum()
    assert low.exchange(high, np.array([[1.0, 1.0]]), 0.0).sum() == pytest.approx(open_view)  # exact: no obstacle
    gated = low.exchange(high, np.array([[1.0, 0.2]]), 0.0).sum()
    assert 0 < gated < 0.2 * open_view
    # exact: what passes a hole comes from where the hole is seen; half way, all of the hole's own view
    from_hole = disc(0.2, 1.0, -1.0).exchange(low, NO_GATES, 0.0).sum()
    assert gated < from_hole
    ring = Rings.along((0.5, 0.0), (1.0, 0.0), FINE.edges(0.5), 6)
    above = Rings.along((1.0, 2.0), (0.5, 2.0), FINE.edges(0.5), 6)
    assert ring.exchange(above, NO_GATES, 0.5).sum() < 0.7 * ring.exchange(above, NO_GATES, 0.0).sum()


def test_faces_turned_away_see_nothing() -> None:
    away = disc(1.0, 0.0, -1.0)
    assert np.all(away.exchange(disc(1.0, 2.0, -1.0), NO_GATES, 0.0) == 0)  # exact


def test_panels_cover_the_line() -> None:
    edges = Panels(0.1, 3.0, 1.0).edges(7.0)
    assert edges[0] == 0.0
    assert edges[-1] == pytest.approx(7.0)  # exact
    assert np.diff(edges) == pytest.approx(np.diff(edges)[::-1])  # exact: the same from both ends
    assert np.max(np.diff(edges)) <= 1.0
    assert tube(2.0).area.sum() == pytest.approx(4 * np.pi, rel=1e-12)  # exact
