# SPDX-License-Identifier: MIT
"""Question 10: what is asked with and without prices, verdicts, words, drivers, refusals."""

from __future__ import annotations

import re

import pytest

from retortwright.assess.assessment import assess
from retortwright.assess.finding import Finding
from retortwright.assess.measure import with_next
from retortwright.assess.worth_it import WORTH_IT
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import Tables, shipped
from retortwright.rig.reading import rig_of
from situation.charges import rig_text, situation
from situation.test_holdup import EUROPIUM, SLEEVE
from situation.test_worth import MONEY, REAGENTS

DRAWS = Draws(32)


def found(text: str, tables: Tables | None = None) -> dict[str, Finding]:
    """The findings of question 10 by check, with driver and next measurement."""
    made = situation(text, DRAWS, tables)
    return {each.check: each for each in with_next(made, tuple(WORTH_IT.findings(made)))}


def test_without_prices_batch_and_hours_are_asked() -> None:
    answers = found(rig_text("Rb", REAGENTS))
    assert {name: each.verdict for name, each in answers.items()} == {"smallest-batch": "holds", "hours": "holds"}
    assert answers["smallest-batch"].id == "smallest-batch/amount/distil"
    assert all(each.question == 10 for each in answers.values())


def test_with_prices_cost_and_break_even_too() -> None:
    answers = found(rig_text("Rb", REAGENTS, more=MONEY.replace("[money]", '[money]\ncurrency = "EUR"')))
    assert list(answers) == ["smallest-batch", "hours", "cost", "break-even"]
    assert answers["cost"].verdict == "fails"  # exact: some 260 a run for 4 g at 38
    assert "EUR a gram, most of it hours" in answers["cost"].because
    assert answers["cost"].limit == pytest.approx(38e3)
    assert answers["cost"].driver is not None
    assert answers["cost"].driver.input in ("run.set-up", "charge.arrives", "run.lost")


def test_dear_metal_pays() -> None:
    answers = found(rig_text("Rb", REAGENTS, more=MONEY.replace('"38 per g"', '"400 per g"')))
    assert answers["cost"].verdict == "holds"
    assert answers["break-even"].verdict == "holds"
    assert "it pays from" in answers["break-even"].because


def test_what_never_pays_says_so() -> None:
    answers = found(rig_text("Rb", REAGENTS, more=MONEY.replace('"38 per g"', '"1 per g"')))
    assert answers["break-even"].verdict == "fails"
    assert answers["break-even"].because.endswith("it never pays.")


def test_a_sliver_of_europium_is_bought() -> None:
    text = rig_text("Eu", EUROPIUM, SLEEVE, aim='amount = "0.5 g"')
    small = found(text)["smallest-batch"]
    assert small.verdict == "fails"
    assert re.match(r"1\.[45]\d? g cannot be scraped off", small.because)
    # practice: 7 g or more
    assert re.search(r"do not make 0\.5 g: buy it, or share a run of at least 7\.\d+ g", small.because)
    assert small.driver is not None
    assert small.driver.input == "hold-up.scraped"
    assert small.next is not None
    assert "weigh the sleeve" in small.next.do
    batch = next(each for each in assess(rig_of(text), DRAWS, remedies=False).of(1) if each.check == "batch")
    assert batch.verdict == "fails"
    assert re.search(r"buy it, or share a run of at least 7\.\d+ g", batch.because)


def test_what_is_not_counted_is_noted() -> None:
    bare = '[money]\nprice = { RbCl = "2 per g", Ca = "100 per kg" }\nbuying = "38 per g"\nhour = "20 per h"\n'
    notes = found(rig_text("Rb", REAGENTS, more=bare))["cost"].notes
    assert notes == ("not counted, for it is not said: money.rig, money.waste, money.consumables",)


def test_a_missing_price_and_a_missing_amount_are_unknown() -> None:
    answers = found(rig_text("Rb", REAGENTS, more=MONEY.replace(', Ca = "100 per kg"', "")))
    for name in ("cost", "break-even"):
        assert answers[name].verdict == "unknown"
        missing = answers[name].missing
        assert missing is not None
        assert missing.datum == "money.price.Ca"
    small = found(rig_text("Rb", REAGENTS, aim=""))["smallest-batch"]
    assert small.missing is not None
    assert small.missing.datum == "aim.amount"


@pytest.mark.parametrize(
    ("blanked", "unknown"),
    [
        ("beliefs/run.set-up/default", {"hours", "cost", "break-even"}),
        ("beliefs/run.lost/default", {"cost", "break-even"}),
        ("rules/hours/limit", {"hours"}),
        ("rules/batch/limit", {"smallest-batch"}),
    ],
)
def test_a_blanked_row_makes_what_cites_it_unknown(blanked: str, unknown: set[str]) -> None:
    answers = found(rig_text("Rb", REAGENTS, more=MONEY), shipped().without(blanked))
    assert {name for name, each in answers.items() if each.verdict == "unknown"} == unknown
    assert all(blanked in answers[name].cites for name in unknown)


def test_a_thermal_blank_is_not_asked_and_a_refused_charge_is_withheld() -> None:
    made = situation(rig_text("K", {"KOH": "5 g", "Mg": "3 g"}))
    whole = assess(made.rig, Draws(16), remedies=False)
    assert {each.verdict for each in whole.of(10)} == {"unknown"}
    assert all(each.missing is not None and "withheld" in each.missing.says for each in whole.of(10))


def test_stricter_limits_are_kept() -> None:
    answers = found(rig_text("Rb", REAGENTS, more='[tighten]\nhours-most = "6 h"\nsmallest-batch-reserve = 0.9\n'))
    assert answers["hours"].verdict == "fails"
    assert answers["smallest-batch"].verdict == "thin"
