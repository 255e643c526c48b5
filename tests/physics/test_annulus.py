# SPDX-License-Identifier: MIT
"""Transmission of annuli against molecules followed one by one, and against a tube without a core."""

from __future__ import annotations

import numpy as np
import pytest

from physics.molecules import standard_error, through_train
from retortwright.physics.annulus import annulus_transmission
from retortwright.physics.clausing import tube_transmission

# exact: molecules followed one by one in a separate program, standard error 0.0002 to 0.0003;
# radius ratio, length over outer radius, transmission.
FOLLOWED = [
    (0.5, 1.0, 0.5288), (0.5, 2.0, 0.3756), (0.5, 5.0, 0.2080), (0.5, 10.0, 0.1217), (0.5, 20.0, 0.0671),
    (0.8, 1.0, 0.3443), (0.8, 2.0, 0.2227), (0.8, 5.0, 0.1113),
    (0.25, 1.0, 0.6139), (0.25, 2.0, 0.4557), (0.25, 5.0, 0.2653), (0.25, 10.0, 0.1595), (0.25, 20.0, 0.0901),
]  # fmt: skip


@pytest.mark.parametrize(("radius_ratio", "length_ratio", "transmission"), FOLLOWED)
def test_against_molecules_followed_elsewhere(radius_ratio: float, length_ratio: float, transmission: float) -> None:
    assert annulus_transmission(radius_ratio, length_ratio) == pytest.approx(transmission, rel=0.005)  # exact: above


def test_against_molecules_followed_here() -> None:
    share = through_train([(1.0, 1.0, 1.5)], 0.6, 400_000, np.random.default_rng(3))
    # exact: within three standard errors, half a percent
    assert annulus_transmission(0.6, 1.5) == pytest.approx(share, abs=3 * standard_error(share, 400_000))


@pytest.mark.parametrize("length_ratio", [0.1, 1.0, 5.0, 20.0])
def test_without_a_core_it_is_a_tube(length_ratio: float) -> None:
    tube = float(tube_transmission(length_ratio))
    assert annulus_transmission(0.0, length_ratio) == pytest.approx(tube, rel=1e-9)  # exact
    assert annulus_transmission(0.001, length_ratio) == pytest.approx(tube, rel=1e-3)  # exact in the limit


def test_a_narrow_gap_is_a_slit() -> None:
    # exact: the same gap at another radius is nearly the same slit, here 5 gaps long
    assert annulus_transmission(0.9, 0.5) == pytest.approx(float(annulus_transmission(0.95, 0.25)), rel=0.01)


def test_it_falls_with_length_and_core() -> None:
    assert np.all(np.diff(annulus_transmission(0.5, np.array([0.1, 1.0, 5.0, 20.0]))) < 0)
    assert np.all(np.diff(annulus_transmission(np.array([0.0, 0.1, 0.5, 0.9]), 2.0)) < 0)


def test_outside_the_range_is_nan() -> None:
    assert np.isnan(annulus_transmission(np.array([-0.1, 0.96, np.nan]), 1.0)).all()
    assert np.isnan(annulus_transmission(0.5, np.array([0.0, 61.0, np.inf]))).all()
