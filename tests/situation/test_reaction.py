# SPDX-License-Identifier: MIT
"""Temperatures that serve: where a curve crosses, where it is known only in part, and what is said where it is not."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.rig.reading import rig_of
from retortwright.situation.reaction import ReactionWork, crossing
from retortwright.situation.situation import Situation
from situation.charges import rig_text

GRID = np.array([600.0, 800.0, 1000.0, 1200.0])
NAN = np.nan
_AIM = 'amount = "1 g"\ngrade = "display"'


@pytest.mark.parametrize(
    ("over", "found"),
    [
        ((-1.0, -1.0, 1.0, 2.0), 1 / (0.5 / 800 + 0.5 / 1000)),  # exact: half way in 1/T
        ((1.0, 1.0, 1.0, 1.0), 600.0),  # exact: above it from the first
        ((-1.0, -1.0, -1.0, -1.0), 1200.0),  # exact: never
        ((NAN, -1.0, 1.0, 2.0), 1 / (0.5 / 800 + 0.5 / 1000)),  # exact: known from the second on
        ((NAN, 1.0, 1.0, 2.0), 800.0),  # exact: above it from where it is known
        ((-1.0, -1.0, 1.0, NAN), 1 / (0.5 / 800 + 0.5 / 1000)),  # exact: unknown only above the crossing
        ((-1.0, -1.0, -1.0, NAN), NAN),  # exact: it may cross where it is not known
        ((-1.0, NAN, 1.0, 2.0), NAN),  # exact: it may have crossed where it is not known
        ((NAN, NAN, NAN, NAN), NAN),
    ],
)
def test_where_a_curve_crosses(over: tuple[float, ...], found: float) -> None:
    result = crossing(GRID, np.array(over)[:, None])[0]
    assert result == pytest.approx(found, nan_ok=True)


def test_fluoride_and_calcium_serve_though_the_cold_melt_is_not_known() -> None:
    # exact: melted CaF2 is carried down to 930 K; below that the charge is not known, above it makes saturated metal
    charge = rig_text("K", {"KF": "9 g; H2O = '0.02 %'", "Ca": "4 g"}, aim=_AIM)
    low, _, _ = ReactionWork(Situation(rig_of(charge, "kf.toml"), shipped(), Draws(8))).serving()
    assert not low.missing
    assert np.all((low.values > 900.0) & (low.values < 1000.0))


def test_what_serves_is_missing_with_a_reason_where_no_sample_has_a_number() -> None:
    # exact: the slag of silica and lithia melts, and that melt is in no table of ours
    charge = rig_text("Li", {"Li2O": "15 g", "Si": "8 g"}, aim=_AIM.replace("1 g", "3.5 g"))
    low, _, _ = ReactionWork(Situation(rig_of(charge, "li.toml"), shipped(), Draws(8))).serving()
    assert np.all(np.isnan(low.values))
    assert low.missing
