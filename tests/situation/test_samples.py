# SPDX-License-Identifier: MIT
"""Samples do not see each other; spreads make bands and name their driver."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.assess.drivers import driver_of, shares_of
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.rig.reading import rig_of
from retortwright.rig.starter import starter_text
from retortwright.situation.heat import HeatPicture
from retortwright.situation.situation import Situation
from situation.rigs import BENCH, STATE, whole_rig

SMALL = whole_rig(
    """[piece.pot]
tube = "20 x 1 mm"
length = "160 mm"
of = "304L"
finish = "oxidised"
closed = "FKM O-ring cap"
[piece.arm]
on = "pot"
at = "120 mm"
joined = "TIG"
tube = "10 x 1 mm"
length = "90 mm"
of = "316L"
closed = "FKM O-ring cap"
""",
    heat='furnace = { over = { pot = "0 to 60 mm" } }',
    lag='wool = { over = { pot = "60 to 90 mm" }, of = "ceramic wool", thick = "20 mm" }',
    cool='fan = { over = { arm = "all" }, by = "air", speed = "1 to 2 m/s" }',
    to="600 degC",
)
CAP = "piece.pot.closed"


def heat(text: str, draws: Draws, state: str = STATE) -> HeatPicture:
    return Situation(rig_of(text), shipped(), draws).heat(state)


def test_each_sample_alone_is_the_one_of_the_batch() -> None:
    batch = heat(SMALL, Draws())
    assert np.all(np.isfinite(batch.temperature))
    for sample in range(0, 256, 3):  # the first and the last among them
        alone = heat(SMALL, Draws(pick=(sample,)))
        # exact: the same draws, the same steps
        np.testing.assert_allclose(alone.temperature[:, 0], batch.temperature[:, sample], rtol=1e-12)
        np.testing.assert_allclose(alone.joints[CAP][0], batch.joints[CAP][sample], rtol=1e-12)


@pytest.mark.parametrize(("text", "state"), [(starter_text(), "distil"), (BENCH, STATE)])
def test_a_few_samples_of_a_whole_rig_alone(text: str, state: str) -> None:
    batch = Situation(rig_of(text), shipped(), Draws()).dry(state)
    for some in ((0,), (17,), (255,), (3, 200)):
        part = Situation(rig_of(text), shipped(), Draws(pick=some)).dry(state)
        np.testing.assert_allclose(part.temperature, batch.temperature[:, list(some)], rtol=1e-12)


def test_without_spread_every_band_collapses() -> None:
    for text, state in ((SMALL, STATE), (starter_text(), "distil"), (BENCH, STATE)):
        picture = heat(text, Draws(samples=16, width=0.0), state)
        # exact: equal inputs give equal answers
        for values in (*picture.joints.values(), *picture.flows.values(), *picture.temperature):
            assert np.ptp(values) <= 1e-9 * max(1.0, float(np.max(np.abs(values))))


def test_with_spread_no_band_collapses() -> None:
    picture = heat(SMALL, Draws(samples=32))
    assert all(np.ptp(values) > 1.0 for values in picture.joints.values())


INPUTS = [
    "conductivity.304L", "emissivity.304L-oxidised", "convection.free", "bore.emissivity", "room.temperature",
    "tolerance.wall", "furnace.offset", "lag.fit",
]  # fmt: skip


@pytest.mark.parametrize("name", INPUTS)
def test_tenfold_spread_makes_an_input_the_driver(name: str) -> None:
    others = {other: 0.1 for other in INPUTS if other != name}
    draws = Draws(width=0.3, widths={**others, name: 10.0})
    picture = heat(SMALL, draws)
    driver = driver_of(picture.joints[CAP], picture.inputs, draws)
    assert driver is not None
    assert driver.input == name
    assert driver.share > 0.5


def test_shares_add_up_and_widening_raises_one() -> None:
    plain, wide = Draws(), Draws(widths={"convection.free": 2.0})
    pictures = [heat(SMALL, draws) for draws in (plain, wide)]
    shares = [shares_of(p.joints[CAP], p.inputs, d) for p, d in zip(pictures, (plain, wide), strict=True)]
    for found in shares:
        # exact: shares of one whole
        assert sum(found.values()) == pytest.approx(1.0, abs=1e-12)
    assert shares[1]["convection.free"] > 1.5 * shares[0]["convection.free"]


def test_nothing_drives_what_does_not_spread() -> None:
    draws = Draws(samples=64, width=0.0)
    picture = heat(SMALL, draws)
    assert driver_of(picture.joints[CAP], picture.inputs, draws) is None


def test_narrowing_an_input_leaves_the_other_draws_alone() -> None:
    plain = Draws()
    picture, narrowed = heat(SMALL, plain), heat(SMALL, plain.narrowed("lag.fit", 0.2))
    assert {b.name for b in picture.inputs} == {b.name for b in narrowed.inputs}
    change = np.abs(picture.joints[CAP] - narrowed.joints[CAP])
    # a little, not a new lottery: each sample stays near itself
    assert 0 < np.max(change) < 0.2 * np.ptp(picture.joints[CAP])


def test_inputs_are_those_that_matter() -> None:
    picture = heat(SMALL, Draws(samples=8))
    names = {belief.name for belief in picture.inputs}
    assert set(INPUTS) <= names
    assert "cool.fan.speed" in names
    assert not any(name.startswith(("coil", "tape", "wrap", "bath")) for name in names)


@pytest.mark.parametrize(
    ("name", "sign"),
    [
        ("conductivity.304L", 1), ("emissivity.304L-oxidised", -1), ("convection.free", -1),
        ("room.temperature", 1), ("furnace.offset", 1), ("tolerance.wall", 1), ("bore.emissivity", -1),
        ("lag.fit", -1),
    ],
)  # fmt: skip
def test_each_input_pushes_the_cap_the_way_physics_has_it(name: str, sign: int) -> None:
    order = np.argsort(Draws().shares(name))
    still = {other: 0.0 for other in _inputs(SMALL) if other != name}
    lowest, highest = (Draws(widths=still, pick=(int(order[end]),)) for end in (0, -1))
    values = [float(heat(SMALL, draws).joints[CAP][0]) for draws in (lowest, highest)]
    # exact: more conduction, a hotter room or furnace warm the cap; more loss on the way cools it
    assert np.sign(values[1] - values[0]) == sign


def _inputs(text: str) -> list[str]:
    return [belief.name for belief in heat(text, Draws(samples=2)).inputs]
