# SPDX-License-Identifier: MIT
"""The checks of the charge as a user gets them."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from retortwright.assess.check import finding_of
from retortwright.assess.finding import Finding
from retortwright.assess.makes_charge import charge_checks, charge_factor, reductant_to_weigh
from retortwright.belief.beliefs import Draws
from retortwright.reference.formulas import FORMULAS
from retortwright.reference.tables import Tables, shipped
from retortwright.report.digits import face_of
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import read_rig, rig_of
from retortwright.situation.situation import Situation
from situation.charges import POT, rig_text

DRAWS = Draws(samples=64)
EXAMPLE = read_rig(str(Path(__file__).parents[1] / "situation" / "cooled_arm.toml"))
WEIGHED = {
    "charge.RbCl.mass": "9.0 g",
    "charge.Ca.mass": "1.95 g",
    "aim.amount": "3.6 g",
}  # whatever it says now
WATER = ("charge.RbCl.contains.H2O", "0.02 to 0.05 %")
RUBIDIUM = edited(EXAMPLE, [Edit(*each) for each in (*WEIGHED.items(), WATER)])
BLANK = read_rig(str(Path(__file__).parents[2] / "examples" / "thermal-blank.toml"))
GOOD = {"RbCl": "9 g; H2O = '0.03 %'", "Ca": "2.1 g; CaO = '3 to 8 %'"}


def of(text: str, tables: Tables | None = None) -> dict[str, Finding]:
    """The findings of a text by check."""
    return found(Situation(rig_of(text, "charge.toml"), tables or shipped(), DRAWS))


def found(case: Situation) -> dict[str, Finding]:
    checks = [finding_of(case, check, 1) for check in charge_checks(case)]
    assert len({each.id for each in checks}) == len(checks)
    return {each.check: each for each in checks}


@cache
def rubidium() -> dict[str, Finding]:
    return found(Situation(RUBIDIUM, shipped(), DRAWS))


def changed(*edits: tuple[str, str]) -> Situation:
    return Situation(edited(RUBIDIUM, [Edit(*each) for each in edits]), shipped(), DRAWS)


def test_every_check_of_a_chloride() -> None:
    assert list(rubidium()) == [
        "product", "reductant-excess", "reductant-leftover", "batch", "fill-cold", "fill-melted", "fill-foam",
        "charge-power",
    ]  # fmt: skip
    for name, finding in rubidium().items():
        assert finding.verdict != "unknown", name
        assert finding.state == "distil"
        assert RUBIDIUM.line_of(finding.at) > 0, name
        assert name in FORMULAS
        assert face_of(finding.quantity).unit != "1"


def test_an_empty_rig_is_not_asked() -> None:
    assert found(Situation(BLANK, shipped(), DRAWS)) == {}
    text = rig_text("Rb", GOOD)
    cold = text[: text.index("steps =")] + 'steps = [ { state = "cold" } ]\n'
    cold = cold.replace('running = ["furnace"', "running = [").replace("[, ", "[")
    assert of(cold) == {}


def test_what_the_sentences_say() -> None:
    says = {name: finding.because for name, finding in rubidium().items()}
    assert "9 g RbCl hold 6.35 g Rb" in says["product"]
    assert "cling to line, manifold and ampoule" in says["product"]
    assert re.search(r"1\.95 g weighed are 1\.84 g live Ca; the RbCl needs 1\.49 g", says["reductant-excess"])
    assert "water 7 mg, KCl 2.4 mg and CsCl 1.1 mg" in says["reductant-excess"]
    assert "weigh 2 g of Ca turnings for 9 g RbCl" in says["reductant-excess"]
    assert "have to be quenched" in says["reductant-leftover"]
    assert "in a bore of 22.1 mm" in says["fill-cold"]
    assert "the line leads off at 137 mm" in says["fill-melted"]
    assert "furnace of 600 W" in says["charge-power"]


def test_limits() -> None:
    # exact: the amount wanted; a fifth over for calcium; a third of 160 mm; the lip of the line and a bore below it
    limits = {name: finding.limit for name, finding in rubidium().items()}
    assert limits["product"] == pytest.approx(3.6e-3)
    assert limits["reductant-excess"] == pytest.approx(0.2)
    assert limits["reductant-leftover"] == pytest.approx(0.6)
    assert limits["batch"] == pytest.approx(5)
    assert limits["fill-cold"] == pytest.approx(0.16 / 3, rel=1e-3)
    assert limits["fill-foam"] == pytest.approx(0.13675)
    assert limits["fill-melted"] == pytest.approx(0.13675 - 0.0221)
    assert limits["charge-power"] == pytest.approx(180)


@pytest.mark.parametrize(
    ("reductant", "salt", "metal", "least"),
    [("Ca", "KCl", "K", 0.2), ("Li", "CsCl", "Cs", 0.05), ("Al", "BaO", "Ba", 0.1), ("Si", "MgO", "Mg", 0.05),
     ("La", "Yb2O3", "Yb", 0.1), ("Zr", "CsCl", "Cs", 0.1)],
)  # fmt: skip
def test_the_least_excess_is_that_of_the_reductant(
    reductant: str, salt: str, metal: str, least: float
) -> None:
    # practice: calcium 20 %, lithium and silicon 5 %, others 10 %
    assert of(rig_text(metal, {salt: "5 g", reductant: "5 g"}))["reductant-excess"].limit == pytest.approx(
        least
    )


def test_the_mass_that_is_named_is_enough_and_a_little_less_is_not() -> None:
    mass = reductant_to_weigh(Situation(RUBIDIUM, shipped(), DRAWS))
    assert 1.95e-3 < mass < 2.0e-3
    for factor, verdict in ((1.0005, "holds"), (0.998, "fails")):
        again = found(changed(("charge.Ca.mass", f"{mass * factor * 1e3:.6f} g")))
        assert again["reductant-excess"].verdict == verdict


def test_the_factor_that_is_named_is_enough_and_a_little_less_is_not() -> None:
    assert rubidium()["product"].verdict == "fails"
    factor = charge_factor(Situation(RUBIDIUM, shipped(), DRAWS))
    for more, verdict in ((1.002, "holds"), (0.99, "thin")):
        grams = [f"{mass * factor * more:.6f} g" for mass in (9.0, 1.95)]
        again = found(changed(("charge.RbCl.mass", grams[0]), ("charge.Ca.mass", grams[1])))
        assert again["product"].verdict == verdict


def test_a_large_excess_has_to_be_quenched() -> None:
    again = found(changed(("charge.Ca.mass", "3 g")))
    assert again["reductant-leftover"].verdict == "fails"
    assert again["reductant-excess"].verdict == "holds"


@pytest.mark.parametrize(
    ("edits", "check", "verdict"),
    [
        ((("charge.RbCl.mass", "90 g"), ("charge.Ca.mass", "20 g")), "fill-cold", "fails"),
        ((("charge.RbCl.mass", "40 g"), ("charge.Ca.mass", "9 g")), "fill-foam", "fails"),
        ((("charge.RbCl.mass", "20 g"), ("charge.Ca.mass", "4.3 g")), "fill-foam", "thin"),
        ((("charge.RbCl.mass", "1 g"), ("charge.Ca.mass", "0.25 g")), "batch", "fails"),
        ((("piece.line.at", "25 mm"),), "fill-melted", "fails"),
        (
            (("programme.steps.distil.ramp", "60 K/min"), ("heat.furnace.power", "10 W")),
            "charge-power",
            "fails",
        ),
        ((("tighten.batch-least", "20"),), "batch", "fails"),
        ((("tighten.fill-most", "0.1"),), "fill-cold", "fails"),
        ((("tighten.excess-reserve", "0.5"),), "reductant-excess", "fails"),
        (
            (("assume.charge.arrives", "0.9 to 0.95"), ("assume.charge.reacts", "0.9 to 0.95")),
            "product",
            "holds",
        ),
    ],
)
def test_what_is_too_much_or_too_little(edits: tuple[tuple[str, str], ...], check: str, verdict: str) -> None:
    assert found(changed(*edits))[check].verdict == verdict


def test_baria_is_held_against_its_ceiling() -> None:
    oxide = of(rig_text("Ba", {"BaO": "49.6 g; H2O = '0 %'", "Al": "5.0 g"}, aim='amount = "40 g"'))
    ceiling = oxide["yield-ceiling"]
    assert ceiling.verdict == "fails"  # exact: 33.3 g can come at most
    assert ceiling.judgement.best == pytest.approx(33.32e-3, abs=5e-6)
    assert "75% can come" in ceiling.because
    assert "the slag lets 75% of it come" in oxide["product"].because
    assert "fill-melted" not in oxide
    assert "fill-foam" not in oxide
    assert "yield-ceiling" not in rubidium()


def test_redistilling_asks_no_reductant() -> None:
    again = of(rig_text("Rb", {"Rb": "6 g; Rb2O = '1 %'"}, aim='amount = "3 g"'))
    assert list(again) == ["product", "batch", "fill-cold", "fill-melted", "fill-foam"]
    assert all(each.verdict != "unknown" for each in again.values())
    assert "6 g Rb are 5.94 g Rb" in again["product"].because


def test_a_reductant_that_is_too_little_is_said() -> None:
    short = of(rig_text("Rb", {"RbCl": "9 g", "Ca": "0.7457 g"}))
    assert "the Ca is enough for 50% of it" in short["product"].because
    assert short["reductant-excess"].verdict == "fails"


@pytest.mark.parametrize(
    ("old", "new", "unknown", "datum"),
    [
        ('amount = "1 g"', "", {"product"}, "aim.amount"),
        ('receives = { up_to = "80 %", sealed = "flame", at = "20 mm" }\n', "", {"product", "batch"}, "piece.receives"),
        ('[charge."Ca"]\nmass = "2.1 g"\ncontains = { CaO = \'3 to 8 %\' }\n', "",
         {"product", "reductant-excess", "batch", "charge-power"}, "charge"),
        ('to = "680 degC", ramp = "2 K/min"', 'to = "680 degC"', {"charge-power"}, "programme.steps.distil.ramp"),
        ("680 degC", "950 degC", {"fill-melted", "fill-foam"}, "charges/RbCl/melt-density"),
    ],
)  # fmt: skip
def test_what_is_not_said_is_unknown_by_name(old: str, new: str, unknown: set[str], datum: str) -> None:
    text = rig_text("Rb", GOOD, POT, power=', power = "600 W"')
    assert old in text
    findings = of(text.replace(old, new))
    assert {name for name, each in findings.items() if each.verdict == "unknown"} == unknown
    for name in unknown:
        missing = findings[name].missing
        assert missing is not None
        assert missing.datum == datum


def test_no_power_no_check_of_power() -> None:
    assert "charge-power" not in of(rig_text("Rb", GOOD))


@pytest.mark.parametrize(
    "address",
    [
        "charges/Rb/density",
        "charges/RbCl/density",
        "rules/fill-melted/below",
        "rules/batch/limit",
        "reductants/Ca/excess",
        "beliefs/charge.foam/default",
        "elements/Ca/valence",
    ],
)
def test_a_row_that_is_not_known_makes_what_cites_it_unknown_and_nothing_else(address: str) -> None:
    text = rig_text("Rb", GOOD, POT, power=', power = "600 W"')
    whole, blind = of(text), of(text, shipped().without(address))
    cites = {name for name, each in whole.items() if address in each.cites}
    assert cites
    assert {name for name, each in blind.items() if each.verdict == "unknown"} == cites


def test_where_all_of_the_way_receives_nothing_clings_and_no_batch_is_asked() -> None:
    # exact: the pot and what receives are all there is: nothing is left on a wall of the line
    pieces = POT.partition("[piece.line]")[0] + """
[piece.sleeve]
on = "pot"
joined = "TIG"
tube = "25 x 1.5 mm"
length = "100 mm"
of = "304L"
receives = { up_to = "60 %" }
"""
    checks = of(rig_text("Li", {"Li2O": "15 g; H2O = '0.1 %'", "Al": "12 g"}, pieces=pieces))
    assert "batch" not in checks
    assert "cling" not in checks["product"].because
