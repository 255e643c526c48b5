# SPDX-License-Identifier: MIT
"""The ceilings of the stream: face, line, heat."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from retortwright.physics.gas import effusion_flux
from retortwright.situation.crossing import Crossing, metal_states, time_at_top
from retortwright.situation.supply import heat_rate, line_rate, surface_rate, wanted_rate
from situation.crossings import RUBIDIUM, ZINC, changed, crossing, situation


@cache
def plain() -> Crossing:
    return crossing(RUBIDIUM)


def test_only_hot_states_give_metal() -> None:
    assert list(metal_states(situation(RUBIDIUM))) == ["distil"]
    cold = changed(RUBIDIUM, ("programme.steps.distil.to", "300 degC"))
    assert list(metal_states(situation(cold))) == []


def test_the_hold_counts_without_the_ramp() -> None:
    # exact
    assert time_at_top(RUBIDIUM, "distil") == 3600.0


def test_the_stream_that_is_wanted() -> None:
    # exact: the amount and the film on the walls over the hold
    one = crossing(changed(RUBIDIUM, ("assume.film.thickness", "0.01 mm")))
    ledger = one.plain_ledger()
    area = math.pi * (0.010 * 0.150 + 0.018 * 0.010)
    film = 1e-5 * area * float(ledger.sampled("density.Rb", "charges", "Rb", "density")[0])
    assert wanted_rate(one, ledger)[0] == pytest.approx((3e-3 + film) / 3600, rel=1e-6)


def test_the_face_of_a_clean_metal_gives_0844_of_the_largest_flux() -> None:
    # published: [safarian-engh-2013], 0.844 of the maximum into vacuum; exact: the bore of an upright pot
    one = crossing(changed(ZINC, ("assume.evaporation.coefficient", "0.999 to 1")))
    stream = one.vapour.stream
    flux = float(np.asarray(effusion_flux(stream.over_charge, stream.temperature, 0.06538))[0])
    assert surface_rate(one).values[0] == pytest.approx(0.844 * flux * math.pi / 4 * 0.0221**2, rel=3e-3)


def test_a_leaning_pot_has_a_larger_face() -> None:
    # exact: an ellipse, the bore over the sine of the lean
    upright, leaning = (
        surface_rate(crossing(changed(ZINC, ("charge.Zn.mass", "40 g"), ("piece.pot.rises", rises)))).said[
            "area"
        ][0]
        for rises in ("90 deg", "60 deg")
    )
    assert leaning == pytest.approx(upright / math.sin(math.radians(60)), rel=2e-2)


def test_the_line_is_that_of_the_vapour() -> None:
    # exact
    one = plain()
    assert line_rate(one).values[0] == pytest.approx(one.vapour.most[0] * 0.0854678, rel=1e-6)


def test_power_that_is_added_evaporates_by_its_useful_share() -> None:
    # exact: half of it gets in, over the heat of a gram
    one, two = plain(), crossing(changed(RUBIDIUM, ("heat.furnace.power", "500 W")))
    first, second = heat_rate(one), heat_rate(two)
    more = 0.5 * 100.0 / first.said["each"][0]
    assert second.values[0] - first.values[0] == pytest.approx(more, rel=1e-3)
    assert first.said["walls"][0] > 5.0


def test_without_power_or_hold_nothing_is_said() -> None:
    rig = changed(RUBIDIUM, ("heat.furnace", '{ over = { pot = "0 to 145 mm" } }'))
    missing = heat_rate(crossing(rig)).missing
    assert [each.datum for each in missing] == ["heat.furnace.power"]
    steps = '[{ state = "distil", to = "680 degC", ramp = "4 K/min" }]'
    one = crossing(changed(RUBIDIUM, ("programme.steps", steps)))
    ledger = one.plain_ledger()
    assert np.isnan(wanted_rate(one, ledger)[0])
    assert [each.datum for each in ledger.missing] == ["programme.steps.distil.hold"]
