# SPDX-License-Identifier: MIT
"""A metal distilled once more: volatilities and cuts beside sums by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retortwright.belief.believed import Ledger
from retortwright.reference.tables import shipped
from retortwright.situation.purity_again import best_cuts, distilled, volatility_of
from situation.crossings import MIDDLE, ZINC, changed


def volatility(
    metal: str, formula: str, kelvin: float, share: float = 1e-3, *edits: tuple[str, str]
) -> float:
    """One volatility, and nothing missing."""
    ledger = Ledger(changed(ZINC, *edits), shipped(), MIDDLE)
    found = volatility_of(ledger, metal, formula, np.array([share]), np.array([kelvin]))
    assert not ledger.missing
    return float(found[0])


def test_alkali_metals_by_their_saturated_pressures() -> None:
    # published: log10(p/torr) = 2.881 + 4.312 - 4040/T for rubidium, 2.881 + 4.165 - 3830/T for caesium [steck-alkali]
    kelvin = 500.0
    ratio = 10 ** (4.165 - 3830 / kelvin - 4.312 + 4040 / kelvin)
    assert volatility("Rb", "Cs", kelvin) == pytest.approx(ratio, rel=0.1)
    assert volatility("Cs", "Rb", kelvin) == pytest.approx(1 / ratio, rel=0.1)


def test_a_metal_that_may_lie_beside_the_product() -> None:
    # exact: from its share to one, as a power
    beside, within = (volatility("Rb", "Ca", 600.0, 1e-3, ("assume.impurity.apart", at)) for at in ("1", "0"))
    assert beside / within == pytest.approx(40.078 / (1e-3 * 85.4678), rel=1e-6)


def test_iron_stays_in_the_zinc_pot() -> None:
    assert volatility("Zn", "Fe", 873.0) < 1e-10


def test_without_data_the_reason_is_written_down() -> None:
    ledger = Ledger(ZINC, shipped(), MIDDLE)
    assert np.isnan(volatility_of(ledger, "Zn", "Sn", np.array([0.01]), np.array([873.0]))).all()
    assert "Sn" in ledger.missing[0].says


START, TEN = {"K": np.array([1e-2])}, {"K": np.array([0.1])}


def test_two_stages_are_one_after_the_other() -> None:
    # exact: (1 - 0.9^0.1) / 0.9 of a heart without heads, once and again
    stages = distilled(START, TEN, ((0.0, 0.9), (0.0, 0.9)))
    factor = (1 - 0.1**0.1) / 0.9
    assert stages[0].shares["K"][0] == pytest.approx(1e-2 * factor)
    assert stages[1].shares["K"][0] == pytest.approx(1e-2 * factor**2)
    assert stages[0].kept == pytest.approx(0.9)


def test_what_comes_first_goes_with_the_heads() -> None:
    first = {"Cs": np.array([20.0])}
    none, some = (distilled({"Cs": np.array([1e-2])}, first, (cut,))[0] for cut in ((0.0, 0.9), (0.2, 0.9)))
    assert some.shares["Cs"][0] < 0.05 * none.shares["Cs"][0]


def test_the_largest_heart_that_is_clean_enough() -> None:
    kept, begins, ends = best_cuts(START, TEN, {"K": np.array([1.5e-3])})
    assert begins[0] == 0.0
    assert kept[0] == ends[0] < 0.9
    assert best_cuts(START, TEN, {"K": np.array([1.0])})[0][0] == pytest.approx(0.99)
    assert best_cuts(START, TEN, {"K": np.array([1e-9])})[0][0] == 0.0


@given(st.floats(1e-4, 1e-1), st.floats(1e-3, 0.9), st.floats(1e-5, 1e-1), st.floats(1.0, 10.0))
def test_a_laxer_limit_never_keeps_less(start: float, volatile: float, limit: float, laxer: float) -> None:
    shares, own = {"K": np.array([start])}, {"K": np.array([volatile])}
    strict, lax = (best_cuts(shares, own, {"K": np.array([most])})[0][0] for most in (limit, limit * laxer))
    assert lax >= strict
