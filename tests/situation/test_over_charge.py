# SPDX-License-Identifier: MIT
"""The table of pressures over the charge: filled where a fresh charge is not known, and nowhere else."""

from __future__ import annotations

import numpy as np

from retortwright.situation.over_charge import over_charge, places_of

TOP = np.array([1004.0, 1010.0])


def straight(temperature: np.ndarray) -> np.ndarray:
    return np.asarray(np.exp(20.0 - 9000.0 / temperature))


def test_a_colder_charge_that_is_not_known_goes_on_as_its_neighbours_do() -> None:
    # exact: a straight line of ln p over 1/T, of which the coldest place is blanked, comes out as the line
    _, temperatures = places_of(np.ones(2), TOP)
    found = np.broadcast_to(straight(temperatures), (20, *temperatures.shape)).copy()
    whole = over_charge(found, straight(temperatures), TOP)
    found[:, -1, 0] = np.nan
    filled = over_charge(found, straight(temperatures), TOP)
    np.testing.assert_allclose(filled.logarithm, whole.logarithm, rtol=1e-9)


def test_nothing_more_comes_is_kept_apart_from_not_known() -> None:
    # exact: where the fresh charge is known, no number further on means that nothing more comes: next to no pressure
    _, temperatures = places_of(np.ones(2), TOP)
    found = np.broadcast_to(straight(temperatures), (20, *temperatures.shape)).copy()
    found[15:] = np.nan
    table = over_charge(found, straight(temperatures), TOP)
    np.testing.assert_allclose(np.exp(table.logarithm[15:]), 1e-8)


def test_a_charge_known_at_one_place_only_stays_unknown() -> None:
    # exact: a line wants two places
    _, temperatures = places_of(np.ones(2), TOP)
    found = np.full((20, *temperatures.shape), np.nan)
    found[:, 1] = straight(temperatures)[1]
    assert np.isnan(over_charge(found, straight(temperatures), TOP).logarithm[:, 3]).all()
