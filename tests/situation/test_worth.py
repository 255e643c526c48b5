# SPDX-License-Identifier: MIT
"""Costs and hours of a run, by hand."""

from __future__ import annotations

import math

import pytest

from retortwright.situation.worth import NEVER, WorthWork
from situation.charges import rig_text, situation

REAGENTS = {"RbCl": "9 g", "Ca": "2 g"}
MONEY = """
[money]
price = { RbCl = "2 per g", Ca = "100 per kg" }
buying = "38 per g"
rig = "400"
runs = 8
hour = "20 per h"
waste = "15"
consumables = "12"
"""
ASSUME = """
[assume]
run.set-up = "6 h"
run.lost = "2"
"""


def work(more: str = MONEY, **changes: str) -> WorthWork:
    """The work of a rig with every belief at its middle."""
    for old, new in changes.items():
        more = more.replace(old, new)
    return WorthWork(situation(rig_text("Rb", REAGENTS, more=more + ASSUME)))


def test_hours_are_ramps_holds_and_what_is_around_them() -> None:
    figure = work().hours()
    # exact: 20 to 350 degC at 4 K/min, 2 min, 350 to 680 at 2 K/min, 60 min; 6 h
    programme = 330 / 4 + 2 + 330 / 2 + 60
    assert float(figure.values[0]) == pytest.approx((programme + 360) * 60)
    assert float(figure.said["programme"][0]) == pytest.approx(programme * 60)


def test_a_gram_costs_all_that_is_spent_over_what_arrives() -> None:
    made = work()
    figure = made.cost()
    hours = float(made.hours().values[0]) / 3600
    arrives = float(made.picture.product().values[0]) * 1e3
    # exact: eight good runs and two that are lost
    spent = (1 + 2 / 8) * (9 * 2 + 2 * 0.1 + 15 + 12 + 20 * hours) + 400 / 8
    assert float(figure.values[0]) / 1e3 == pytest.approx(spent / arrives)
    assert float(figure.said["rig"][0]) == pytest.approx(50)


def test_at_the_batch_that_pays_making_costs_what_buying_does() -> None:
    made = work()
    figure = made.break_even()
    mass, said = float(figure.values[0]), made.picture.product().said
    held, each, fixed = (float(array[0]) for array in (said["held"], figure.said["each"], figure.said["fixed"]))
    assert fixed + each * (mass + held) == pytest.approx(38e3 * mass)  # exact: so the batch was sought
    assert each * float(said["came"][0]) == pytest.approx(1.25 * (9 * 2 + 2 * 0.1))  # exact


def test_what_costs_more_in_salt_alone_never_pays() -> None:
    assert float(work(MONEY.replace('"38 per g"', '"3 per g"')).break_even().values[0]) == NEVER


def test_what_is_not_said_counts_nothing() -> None:
    bare = '[money]\nprice = { RbCl = "2 per g", Ca = "100 per kg" }\nbuying = "38 per g"\n'
    figure = work(bare).cost()
    assert {name for name, part in figure.said.items() if part.any()} == {"weighed in", "product"}
    # exact: one good run has to bear the two that are lost
    assert float(figure.said["weighed in"][0]) == pytest.approx(3 * (9 * 2 + 2 * 0.1))


def test_a_price_that_is_missing_is_named() -> None:
    figure = work('[money]\nprice = { RbCl = "2 per g" }\nbuying = "38 per g"\n').cost()
    assert [each.datum for each in figure.missing] == ["money.price.Ca"]
    assert math.isnan(float(figure.values[0]))


def test_the_smallest_batch_is_five_times_what_clings() -> None:
    made = work()
    held = float(made.picture.product().said["held"][0])
    assert float(made.smallest().values[0]) == pytest.approx(5 * held)  # practice
    tightened = WorthWork(situation(rig_text("Rb", REAGENTS, more="[tighten]\nbatch-least = 8\n")))
    assert float(tightened.smallest().values[0]) == pytest.approx(8 * held)


def test_a_way_down_takes_as_long_as_the_furnace_cools() -> None:
    plain = situation(rig_text("Rb", REAGENTS, more=ASSUME))
    text = plain.rig.text.replace(
        'hold = "60 min" },\n]', 'hold = "60 min" },\n  { state = "cold", to = "100 degC" },\n]'
    )
    assert text != plain.rig.text
    longer = WorthWork(situation(text)).hours()
    assert float(longer.values[0]) > float(WorthWork(plain).hours().values[0]) + 600


def test_a_step_without_times_is_unknown() -> None:
    text = situation(rig_text("Rb", REAGENTS)).rig.text
    text = text.replace(', ramp = "2 K/min", hold = "60 min"', "")
    figure = WorthWork(situation(text)).hours()
    assert [each.datum for each in figure.missing] == ["programme.steps"]
