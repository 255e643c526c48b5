# SPDX-License-Identifier: MIT
"""What would mend the answers of question 1: the smallest change that holds, found by the same evaluation."""

from __future__ import annotations

from functools import cache

import pytest

from retortwright.assess.finding import Finding
from retortwright.assess.makes_metal import makes_finding, will_it_make_metal
from retortwright.assess.makes_remedies import with_charge_mends
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import rig_of
from retortwright.situation.situation import Situation
from situation.charges import rig_text

DRAWS = Draws(samples=24)


@cache
def made(salt: str, calcium: str, to: str = "680 degC") -> Situation:
    """A rig of the tests with so much salt and calcium."""
    charge = {"RbCl": salt, "Ca": calcium}
    text = rig_text("Rb", charge, aim='amount = "3.6 g"\ngrade = "cell"').replace("680 degC", to)
    return Situation(rig_of(text, "test.toml"), shipped(), DRAWS)


@cache
def mended(salt: str, calcium: str, check: str) -> Finding:
    """One finding with its remedies."""
    findings = tuple(will_it_make_metal(made(salt, calcium)))
    one = next(each.id for each in findings if each.check == check)
    return next(each for each in with_charge_mends(made(salt, calcium), findings, one) if each.id == one)


@pytest.mark.parametrize(
    ("salt", "calcium", "check", "key"),
    [
        ("9 g", "2.2 g", "pressure-late", "charge.RbCl.mass"),
        ("9 g", "2.2 g", "product", "charge.RbCl.mass"),
        ("18 g", "3 g", "reductant-excess", "charge.Ca.mass"),
        ("30 g", "7 g", "fill-cold", "charge.RbCl.mass"),
        ('18 g; H2O = "0.1 %"', "4.2 g", "hydrogen", "charge.RbCl.contains.H2O"),
    ],
)
def test_a_remedy_holds_when_it_is_made(salt: str, calcium: str, check: str, key: str) -> None:
    finding = mended(salt, calcium, check)
    assert finding.verdict in ("fails", "thin")
    assert finding.mend
    mend = next(each for each in finding.mend if key in each.edits)
    rig = edited(made(salt, calcium).rig, [Edit(*pair) for pair in mend.edits.items()])
    then = makes_finding(Situation(rig, shipped(), DRAWS), finding.id)
    assert then is not None
    assert then.verdict == "holds"
    assert (then.judgement.low, then.judgement.high) == pytest.approx((mend.low_then, mend.high_then))


def test_all_of_a_charge_is_weighed_by_the_same_factor() -> None:
    mend = mended("9 g", "2.2 g", "product").mend[0]
    factors = [
        float(mend.edits["charge.RbCl.mass"].split()[0]) / 9.0,
        float(mend.edits["charge.Ca.mass"].split()[0]) / 2.2,
    ]
    assert factors[0] == pytest.approx(factors[1], rel=0.01)
    assert factors[0] > 1.0


def test_what_gets_worse_is_said_first() -> None:
    also = [words for mend in mended("30 g", "7 g", "fill-cold").mend for words in mend.also]
    kinds = [words.split(":")[0] for words in also if words.startswith(("worse", "better"))]
    assert kinds == sorted(kinds, reverse=True)


def test_what_holds_gets_no_remedy() -> None:
    findings = tuple(will_it_make_metal(made("18 g", "4.2 g")))
    for each in with_charge_mends(made("18 g", "4.2 g"), findings):
        assert each.verdict != "holds" or not each.mend


def test_a_colder_top_is_mended_by_heat() -> None:
    # exact: at a lower set-point the late pressure fails, and the remedy is hotter by a step
    cold = made("18 g", "4.2 g", "360 degC")
    findings = tuple(will_it_make_metal(cold))
    one = next(each for each in findings if each.check == "pressure-fresh")
    assert one.verdict == "fails"
    mend = next(each for each in with_charge_mends(cold, findings, one.id) if each.id == one.id).mend
    assert mend
    assert list(mend[0].edits) == ["programme.steps.distil.to"]
    assert any("hotter too" in words for words in mend[0].also)
