# SPDX-License-Identifier: MIT
"""What lands with the product, with courses made by hand in place of the computed one."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retortwright.belief.beliefs import Draws
from retortwright.reference.datum import Missing
from retortwright.situation import purity
from retortwright.situation.purity import Landed, PurityWork, at_share, clean_to, purity_of
from retortwright.situation.purity_figures import carry_over, clean_until, other_metals
from retortwright.situation.purity_vapour import Kind
from situation.courses import made_course
from situation.crossings import MIDDLE, RUBIDIUM, changed, situation

CALCIUM, SALT, POTASSIUM = Kind("reductant", "Ca"), Kind("salt", "RbCl"), Kind("neighbours", "K")
OPEN = (("assume.charge.lags", "0"), ("assume.line.catches", "0"), ("aim.grade", "cell"))
PRESSURES = {
    "Rb(g)": lambda x: 5e4 * (1 - x),
    "Ca(g)": lambda x: 5.0 + 0 * x,
    "RbCl(g)": lambda x: 10.0 + 0 * x,
    "K(g)": lambda x: 50.0 + 0 * x,
}


@pytest.fixture(autouse=True)
def _by_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(purity, "charge_course", lambda rig, kelvin: made_course(rig, kelvin, PRESSURES))


def work(*edits: tuple[str, str], draws: Draws = MIDDLE) -> PurityWork:
    """The purity of the rubidium rig with some edits."""
    return purity_of(situation(changed(RUBIDIUM, *edits), draws), "distil")


def landed(*edits: tuple[str, str]) -> Landed:
    """What lands."""
    made = work(*edits)
    found = made.landed(made.ledger())
    assert found is not None
    return found


def test_with_nothing_caught_it_is_what_has_left() -> None:
    # exact: the integral of 5 Pa over 5e4 (1 - x) from nothing to x is 1e-4 ln(1 / (1 - x)) atoms a mole
    found = landed(*OPEN)
    at = found.taken[8]
    ratio = 40.078 / 85.4678
    assert found.shares[CALCIUM][8, 0] == pytest.approx(ratio * 1e-4 * -np.log(1 - at) / at, rel=0.01)
    assert found.moment[CALCIUM][8, 0] == pytest.approx(ratio * 1e-4 / (1 - at), rel=1e-9)
    assert found.past[CALCIUM][0] == 1.0


def test_a_product_that_lags_brings_more_of_reductant_and_salt_alone() -> None:
    even, behind = landed(*OPEN), landed(*OPEN[1:], ("assume.charge.lags", "1"))
    for kind in (CALCIUM, SALT):
        more = behind.shares[kind] / even.shares[kind]
        assert np.all(more > 10)
        assert more[0, 0] == pytest.approx(behind.lag[0], rel=1e-6)
    assert behind.shares[POTASSIUM] == pytest.approx(even.shares[POTASSIUM])


def test_what_the_walls_catch_lies_between_nothing_and_all() -> None:
    free, caught = landed(*OPEN), landed(OPEN[0], OPEN[2], ("assume.line.catches", "1"))
    half = landed(OPEN[0], OPEN[2], ("assume.line.catches", "0.5"))
    assert 0.0 < caught.past[SALT][0] < half.past[SALT][0] < free.past[SALT][0] == 1.0
    assert half.past[SALT][0] == pytest.approx((1 + caught.past[SALT][0]) / 2)
    assert caught.past[POTASSIUM][0] == 1.0  # it lands in the rubidium


def test_a_later_stop_is_never_cleaner() -> None:
    sooner, later = (
        carry_over(work(*OPEN, ("aim.amount", amount)), CALCIUM).values[0] for amount in ("2 g", "4 g")
    )
    assert later > sooner


@settings(deadline=None, max_examples=30)
@given(st.lists(st.floats(1e-7, 1e-2), min_size=15, max_size=15))
def test_a_dirtier_vapour_from_step_to_step_is_never_cleaner_later(steps: list[float]) -> None:
    rising = np.sort(np.array(steps))[:, None]
    taken = np.linspace(0.05, 0.99, 15)
    mean = purity._so_far(taken, rising)
    assert np.all(np.diff(mean[:, 0]) >= -1e-15)
    assert np.all(mean <= rising + 1e-15)


def test_the_cut_is_where_the_limit_is_reached() -> None:
    # exact: straight between two steps
    taken, shares = np.array([0.1, 0.3, 0.5]), np.array([[1.0], [3.0], [np.nan]])
    assert clean_to(taken, shares / 2.0) == pytest.approx([0.2])
    assert clean_to(taken, shares / 0.5) == [0.0]
    assert clean_to(taken, shares / 9.0) == pytest.approx([0.3])
    assert np.isnan(clean_to(taken, shares / np.nan)).all()
    assert at_share(taken, shares, np.array([0.2])) == pytest.approx([2.0])


def test_what_comes_first_is_thinned_later() -> None:
    # exact: over the limit in the first step, within it in the second
    assert clean_to(np.array([0.1, 0.3, 0.5]), np.array([[2.0], [0.9], [0.8]])) == pytest.approx([0.5])


def test_a_stricter_grade_is_cut_sooner() -> None:
    made = work(*OPEN)
    ends = [clean_until(made, grade).values[0] for grade in ("display", "cell", "ultra-clean")]
    assert ends[0] >= ends[1] > ends[2]
    assert ends[0] == clean_until(made, "display").said["whole"][0]


def test_metals_of_other_salts_are_added_up() -> None:
    figure = other_metals(work(*OPEN))
    assert figure.values == pytest.approx(figure.said["K"])
    assert figure.values[0] == pytest.approx(1e-3 * 39.0983 / 85.4678 * np.log(1 / 0.35) / 0.65, rel=0.3)


def test_where_nothing_is_known_of_the_charge_nothing_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(purity, "charge_course", lambda *_: Missing("charge", "nothing is known"))
    figure = carry_over(work(*OPEN), CALCIUM)
    assert np.isnan(figure.values).all()
    assert figure.missing[0].says == "nothing is known"


def test_without_the_line_only_the_least_is_told() -> None:
    made = work(
        *OPEN,
        ("state.distil.running", '["furnace", "tape", "pump", "argon"]'),
        ("plant.argon", '{ on = "V1" }'),
    )
    found = made.landed(made.ledger())
    assert found is not None
    assert found.lacks is not None
    assert "argon" in found.lacks.says
    assert found.lag[0] == 1.0


def test_beyond_what_is_known_there_is_no_number() -> None:
    found = landed(*OPEN)
    short = Landed(
        **{name: getattr(found, name) for name in Landed.__slots__} | {"known_to": np.array([0.1])}
    )
    assert np.isnan(short.at_stop(found.shares[CALCIUM])).all()


@cache
def spread() -> PurityWork:
    """Many samples of the open line."""
    return work(("aim.grade", "cell"), draws=Draws(16))


def test_both_beliefs_are_among_what_was_used() -> None:
    made = spread()
    names = {belief.name for belief in carry_over(made, SALT).inputs}
    assert {"charge.lags", "line.catches", "charge.offset"} <= names
