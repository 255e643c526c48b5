# SPDX-License-Identifier: MIT
"""Fire: how hot, what covers it, what catches it; more metal is never better."""

from __future__ import annotations

import numpy as np
import pytest

from assess.around import found, ready, situated
from retortwright.assess.hurts_around import book
from retortwright.assess.hurts_fire import agents_for, fire_needs, metals_there, on_fire
from retortwright.ground.words import VERDICTS
from retortwright.situation.hazard import fuel_of
from retortwright.situation.inventory import Stock
from retortwright.situation.takers import molar

GRAVER = {word: number for number, word in enumerate(VERDICTS)}


@pytest.mark.parametrize(
    ("metal", "heat"),
    # recalled: CRC formation enthalpies, kJ per gram to the oxide that really forms
    [
        ("Li", 43.1),
        ("Mg", 24.8),
        ("Ca", 15.8),
        ("Na", 11.1),
        ("K", 7.3),
        ("Zn", 5.4),
        ("Rb", 3.3),
        ("Cs", 2.15),
    ],
)
def test_a_gram_burns_as_hot_as_it_should(metal: str, heat: float) -> None:
    at = situated()
    ledger = book(at)
    one = Stock("pot", "pot", {metal: np.full(at.draws.size, 1e-3 / molar(ledger, metal))})
    assert fuel_of(ledger, [one]).heat[0] / 1e3 == pytest.approx(heat, rel=0.02)


def test_the_fire_of_a_rubidium_charge_is_that_of_its_calcium() -> None:
    at = situated()
    worst = on_fire(at)[0]
    # exact: 3.25 g less 5 % of crust, 15.8 kJ/g: before anything has reacted it is more than ever after
    assert (worst.place, worst.when) == ("pot", "before anything has reacted")
    assert float(worst.fuel.heat.mean()) == pytest.approx(3.25 * 0.95 * 15.85e3, rel=0.01)
    burns = found(at)["burns"]
    assert burns.verdict == "holds"
    assert "glass" in burns.because
    assert metals_there(at) == ("Rb", "Ca")


def test_a_kilogram_of_magnesium_is_more_than_a_scoop_of_powder_covers() -> None:
    at = situated("Mg", {"Mg": "1 kg"}, ready(agent='"5 kg NaCl powder"'))
    made = found(at)
    # exact: 24.75 MJ against 1
    assert made["burns"].verdict == "fails"
    assert made["burns"].judgement.best == pytest.approx(24.75e6, rel=0.01)


def test_the_hood_is_no_better_off_with_more_metal() -> None:
    # exact: the heat that the bath may get bounds the gas, so that more metal takes more hours and not more hood
    verdicts = [
        GRAVER[found(situated("K", {"K": f"{grams} g"}))["quench-hydrogen"].verdict]
        for grams in (1, 100, 10000)
    ]
    assert verdicts == sorted(verdicts, reverse=True)


@pytest.mark.parametrize("check", ["burns", "agent", "tray", "quench", "hydrogen-room"])
def test_more_metal_never_improves_a_verdict(check: str) -> None:
    verdicts, worse = [], []
    for grams in (1, 10, 100, 1000, 10000):
        one = found(situated("K", {"KCl": f'{grams * 3} g; H2O = "0 %"', "Ca": f"{grams} g"}))[check]
        verdicts.append(GRAVER[one.verdict])
        assert one.judgement.high is not None
        worse.append(one.judgement.high)
    assert verdicts == sorted(verdicts, reverse=True)
    assert worse == sorted(worse)
    assert verdicts[-1] == GRAVER["fails"]


def test_powder_over_a_patch_and_then_over_a_puddle() -> None:
    small = fire_needs(situated()).powder
    # exact: 500 cm2 of 48.8 kg/m2, however little there is
    assert small.values == pytest.approx(0.05 * 48.8)
    large = fire_needs(
        situated("K", {"K": "2 kg"}, more='[assume]\nfire.puddle = "1.999 to 2.001 mm"\n')
    ).powder
    # exact: 2 kg of potassium of 890 kg/m3, 2 mm deep
    assert large.values == pytest.approx(2 / 890 / 2e-3 * 48.8, rel=0.002)


def test_what_is_not_said_is_unknown_with_the_number_that_is_needed() -> None:
    made = found(situated(safety=ready(agent=None, tray=None, clear=None, people=None)))
    for check, key, number in (
        ("agent", "safety.agent", "3.5 kg of NaCl powder or graphite powder"),
        ("tray", "safety.tray", "3.1 L"),
        ("clear", "safety.clear", "1 m"),
        ("people", "safety.people", "two"),
    ):
        one = made[check]
        assert one.verdict == "unknown"
        assert one.missing is not None
        assert one.missing.datum == key
        assert number in one.missing.says


@pytest.mark.parametrize(
    ("check", "said", "verdict"),
    [
        ("agent", {"agent": '"3.5 kg NaCl powder"'}, "holds"),
        ("agent", {"agent": '"3 kg NaCl powder"'}, "thin"),
        ("agent", {"agent": '"2 kg NaCl powder"'}, "fails"),
        ("agent", {"agent": '"5 kg graphite powder"'}, "holds"),
        ("agent", {"agent": '"5 kg copper powder"'}, "fails"),
        ("tray", {"tray": '"1 L"'}, "fails"),
        ("clear", {"clear": '"0.9 m"'}, "fails"),
        ("people", {"people": "1"}, "fails"),
    ],
)
def test_what_is_said_is_held_against_what_is_needed(check: str, said: dict[str, str], verdict: str) -> None:
    assert found(situated(safety=ready(**said)))[check].verdict == verdict


@pytest.mark.parametrize(
    ("metal", "serves", "not_for_it"),
    [
        # published: [doe-hdbk-1081], p. 47: sodium chloride and soda ash on sodium and potassium
        ("Na", {"NaCl powder", "soda ash"}, {"copper powder", "lithium chloride powder"}),
        ("K", {"NaCl powder", "soda ash"}, {"copper powder"}),
        ("Mg", {"NaCl powder"}, {"soda ash", "copper powder"}),
        # published: [rodgers-everson-1965]: chloride powders are best on all alkali metals but lithium: graphite
        ("Li", {"graphite powder", "copper powder"}, {"NaCl powder", "soda ash"}),
    ],
)
def test_which_powder_serves_for_which_metal(metal: str, serves: set[str], not_for_it: set[str]) -> None:
    kinds = set(agents_for(situated(metal, {metal: "5 g"})))
    assert serves <= kinds
    assert not kinds & not_for_it


def test_a_powder_has_to_serve_for_salt_metal_and_reductant() -> None:
    caesium = situated("Cs", {"CsCl": '12.7 g; H2O = "0 %"', "Li": "0.7 g"})
    assert agents_for(caesium) == ("graphite powder",)
    # practice: sodium chloride is for caesium, not for the lithium beside it
    assert found(caesium)["agent"].verdict == "fails"


def test_a_blank_has_no_fire() -> None:
    assert "burns" not in found(situated(reagents={}))
