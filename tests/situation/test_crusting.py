# SPDX-License-Identifier: MIT
"""Crusts of a metal that lands solid."""

from __future__ import annotations

import math
from functools import cache

import pytest

from retortwright.situation.crusting import Crust, crusts_of
from retortwright.situation.drains import melted_share
from situation.crossings import RUBIDIUM, ZINC, changed, crossing

_COLD = (("heat.tape.holds", "100 degC"), ("assume.crust.porosity", "0.29 to 0.31"))


@cache
def cold_zinc(*edits: tuple[str, str]) -> Crust:
    found = crusts_of(crossing(changed(ZINC, *_COLD, *edits)))
    return max(found, key=lambda each: float(each.thickness.values[0]))


def test_a_drainer_makes_no_crust() -> None:
    assert crusts_of(crossing(RUBIDIUM)) == ()
    one = crossing(changed(ZINC, *_COLD))
    assert float(melted_share(one, 692.73)[0]) < 0.9


def test_thickness_is_that_of_an_annulus() -> None:
    # exact: the fullest place is the mass on a metre over eight ninths of what closes the bore
    crust = cold_zinc()
    thick, full = float(crust.thickness.values[0]), float(crust.thickness.said["fullest"][0])
    bore = crust.bore
    left = math.sqrt(max(bore**2 * (1 - 8 / 9 * full), 0.0))
    assert thick == pytest.approx((bore - left) / 2 if left else bore / 2, rel=1e-6)


def test_less_metal_makes_a_thinner_crust_and_closes_later() -> None:
    much, little = cold_zinc(), cold_zinc(("charge.Zn.mass", "5 g"))
    assert little.thickness.values[0] < much.thickness.values[0]
    assert little.closes.values[0] >= much.closes.values[0]


def test_voids_make_it_thicker() -> None:
    little = ("charge.Zn.mass", "2 g")
    dense, porous = cold_zinc(little), cold_zinc(little, ("assume.crust.porosity", "0.59 to 0.61"))
    assert porous.thickness.values[0] > dense.thickness.values[0]
