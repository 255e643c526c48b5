# SPDX-License-Identifier: MIT
"""Outgassing: decay, activation, what a store can give."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.physics.outgassing import outgassed_amount, outgassing_flux, spent_store_flow
from retortwright.physics.permeation import activated


def test_ten_times_the_time_is_a_tenth_of_the_flux() -> None:
    # exact: the inverse law; recalled of unbaked stainless steel: 3e-9 after 1 h, 3e-10 mbar L/s/cm2 after 10 h
    one, ten = (outgassing_flux(3e-6, hours * 3600.0, 3600.0, 293.15, 293.15, 4e4) for hours in (1.0, 10.0))
    assert one == pytest.approx(3e-6)
    assert ten == pytest.approx(3e-7)


def test_the_amount_is_the_integral_of_the_flux() -> None:
    # exact: closed form beside a fine sum in the logarithm of time
    edges = np.geomspace(60.0, 36000.0, 20001)
    middles = np.sqrt(edges[1:] * edges[:-1])
    summed = np.sum(outgassing_flux(3e-6, middles, 3600.0, 293.15, 293.15, 4e4) * np.diff(edges))
    assert outgassed_amount(3e-6, 3600.0, 60.0, 36000.0) == pytest.approx(summed, rel=1e-6)


def test_warmth_speeds_it_by_its_activation() -> None:
    # exact: the definition
    warm = outgassing_flux(1e-6, 7200.0, 3600.0, 373.15, 293.15, 4e4)
    cold = outgassing_flux(1e-6, 7200.0, 3600.0, 293.15, 293.15, 4e4)
    assert warm / cold == pytest.approx(float(activated(373.15, 293.15, 4e4)))


def test_a_falling_flow_never_exceeds_what_the_store_allows() -> None:
    # exact: for a store that empties exponentially, k exp(-k t) <= 1 / (e t), which is share 0.368
    time = np.geomspace(1.0, 1e6, 60)
    for constant in (1e-5, 1e-3, 1e-1):
        flow = constant * np.exp(-constant * time)
        assert np.all(flow <= spent_store_flow(1.0, np.exp(-1.0), time) * (1 + 1e-12))


def test_outside_the_range_is_no_number() -> None:
    assert np.isnan(outgassing_flux(1e-6, 0.0, 3600.0, 293.15, 293.15, 4e4))
    assert np.isnan(outgassed_amount(1e-6, 3600.0, 100.0, 50.0))
    assert np.isnan(spent_store_flow(1.0, 1.5, 100.0))
