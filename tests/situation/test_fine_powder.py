# SPDX-License-Identifier: MIT
"""Powder where the wall is too cold for a crust."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.assess.hurts_opening import ignites
from retortwright.reference.tables import Tables, shipped
from retortwright.situation.fine_powder import fine_powder
from situation.crossings import RUBIDIUM, ZINC, changed, situation

COLD = changed(ZINC, ("heat.tape.holds", "100 degC"))  # lands solid, at 300 to 430 degC


def strict(share: str) -> Tables:
    """The tables with powder from another share of the melting point on."""
    return shipped().with_row(shipped().rows["rules", "opening", "too-cold"].with_data(share))


def test_zinc_on_hot_walls_grows_a_crust() -> None:
    # practice: 0.65 of 692.7 K is 177 degC; no wall that catches it is as cold
    assert fine_powder(situation(COLD)) is None


def test_what_lands_colder_is_powder_and_said() -> None:
    at = situation(COLD, tables=strict("0.95"))
    found = fine_powder(at)
    assert found is not None
    # exact: 0.95 of 692.7 K, 385 degC, where the line passes from catching half of it to catching the rest
    assert found.below == pytest.approx(0.95 * 692.7, abs=0.5)
    assert found.place == "line"
    assert np.all((found.share > 0.1) & (found.share < 0.5))
    assert any("lands on walls below 385 degC, most in the line: powder" in each for each in ignites(at))
    warmer = fine_powder(situation(ZINC, tables=strict("0.95")))
    more = fine_powder(situation(COLD, tables=strict("0.98")))
    assert warmer is not None
    assert more is not None
    assert np.all(more.share > found.share)


def test_rubidium_makes_no_powder() -> None:
    assert fine_powder(situation(RUBIDIUM, tables=strict("1"))) is None
