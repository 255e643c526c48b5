# SPDX-License-Identifier: MIT
"""What question 3 says, with courses made by hand where the chemistry itself is not at stake."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.assess.finding import Finding
from retortwright.assess.how_clean import HOW_CLEAN
from retortwright.assess.measure import measurement_of
from retortwright.belief.beliefs import Draws
from retortwright.reference.datum import Row
from retortwright.reference.formulas import FORMULAS
from retortwright.reference.tables import shipped
from retortwright.rig.parts import Rig
from retortwright.situation import purity
from situation.courses import made_course
from situation.crossings import MIDDLE, RUBIDIUM, ZINC, changed, situation

SOME = Draws(samples=4)
GRADED = (
    ("aim.grade", "cell"),
    ("assume.leak", "1e-5 mbar L/s"),
    ("charge.RbCl.contains", '{ H2O = "0.001 %" }'),
)
PRESSURES = {
    "Rb(g)": lambda x: 5e4 * (1 - x),
    "Ca(g)": lambda x: 5.0 + 0 * x,
    "RbCl(g)": lambda x: 1.0 + 0 * x,
    "K(g)": lambda x: 50.0 + 0 * x,
}
MIXED = (("aim.metal", "K"), ("aim.grade", "cell"))


@pytest.fixture
def by_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    """A course that costs nothing."""
    monkeypatch.setattr(purity, "charge_course", lambda rig, kelvin: made_course(rig, kelvin, PRESSURES))


def found(rig: Rig, *edits: tuple[str, str], draws: Draws = MIDDLE) -> dict[str, Finding]:
    """The findings by their id without the state, computed once in a file."""
    key = (rig.path, edits, draws.samples)
    if key not in _KNOWN:
        made = HOW_CLEAN.findings(situation(changed(rig, *edits), draws))
        _KNOWN[key] = {each.id.removesuffix("/distil"): each for each in made}
    return _KNOWN[key]


_KNOWN: dict[object, dict[str, Finding]] = {}


def potassium(charge: str, *edits: tuple[str, str]) -> dict[str, Finding]:
    """What is found of a charge for potassium at 730 degC."""
    hot = ("programme.steps.distil.to", "750 degC")
    return found(RUBIDIUM, *MIXED, ("charge", f"{{ {charge} }}"), hot, *edits)


def best(finding: Finding) -> float:
    """The middle of a band."""
    assert finding.judgement.best is not None
    return finding.judgement.best


@pytest.mark.usefixtures("by_hand")
def test_every_check_of_a_charge_that_reacts() -> None:
    findings = found(RUBIDIUM, *GRADED)
    assert list(findings) == [
        "carry-over/Ca",
        "carry-over/RbCl",
        "other-metals/RbCl",
        "cut/RbCl",
        "oxygen-in/product",
        "hydrogen-in/product",
        "purity/metal",
    ]
    for finding in findings.values():
        assert finding.question == 3
        assert finding.formula in FORMULAS
        assert finding.because.endswith(".")
        assert finding.verdict in ("holds", "fails")
    assert findings["oxygen-in/product"].verdict == findings["hydrogen-in/product"].verdict == "holds"


@pytest.mark.usefixtures("by_hand")
def test_without_a_grade_or_a_leak_it_is_unknown() -> None:
    findings = found(RUBIDIUM)
    assert {each.verdict for each in findings.values()} == {"unknown"}
    assert "aim.grade" in findings["carry-over/Ca"].missing.datum  # type: ignore[union-attr]
    graded = found(RUBIDIUM, GRADED[0])
    assert graded["oxygen-in/product"].missing.datum == "assume.leak"  # type: ignore[union-attr]
    assert graded["purity/metal"].verdict == "unknown"


@pytest.mark.usefixtures("by_hand")
def test_hydrogen_is_bounded_or_not_known() -> None:
    wet = found(RUBIDIUM, *GRADED[:2], ("charge.RbCl.contains", '{ H2O = "0.1 %" }'))["hydrogen-in/product"]
    assert wet.verdict == "unknown"
    assert "stays in Rb" in wet.missing.says  # type: ignore[union-attr]
    assert "a hydride in the pot gives its part back late" in wet.because


@pytest.mark.usefixtures("by_hand")
def test_what_is_never_known_is_listed() -> None:
    label = found(RUBIDIUM, *GRADED)["purity/metal"]
    text = " ".join(label.notes)
    for word in ("spray", "fog", "hydrogen", "carbon", "silicon", "glass", "liner", "contains"):
        assert word in text
    assert "computed and not measured" in label.because


@pytest.mark.usefixtures("by_hand")
def test_the_other_grades_are_told_with_the_cut() -> None:
    cut = found(RUBIDIUM, *GRADED)["cut/RbCl"]
    assert "display: " in cut.because
    assert "ultra-clean: none of it" in cut.because
    assert any("distilled twice more" in note for note in cut.notes)


@pytest.mark.usefixtures("by_hand")
def test_the_band_carries_both_ends_of_what_is_not_known() -> None:
    findings = found(RUBIDIUM, *GRADED, draws=Draws(samples=64))
    calcium = findings["carry-over/Ca"]
    low, high = calcium.judgement.low, calcium.judgement.high
    assert low is not None
    assert high is not None
    assert high > 20 * low
    assert calcium.verdict == "fails"
    assert not calcium.judgement.settled
    for belief in ("charge.lags", "line.catches", "impurity.apart"):
        assert measurement_of(shipped(), belief) is not None


@pytest.mark.usefixtures("by_hand")
def test_more_leak_is_never_cleaner() -> None:
    leaks = [("assume.leak", f"{leak} mbar L/s") for leak in ("1e-6", "1e-5", "1e-4")]
    shares = [best(found(RUBIDIUM, *GRADED, leak)["purity/metal"]) for leak in leaks]
    assert shares == sorted(shares)


@pytest.mark.usefixtures("by_hand")
def test_a_later_stop_is_never_cleaner() -> None:
    stops = [("aim.amount", amount) for amount in ("1 g", "2 g", "3 g", "4 g")]
    shares = [best(found(RUBIDIUM, *GRADED, stop)["carry-over/Ca"]) for stop in stops]
    assert shares == sorted(shares)
    assert shares[-1] > shares[0]


@pytest.mark.usefixtures("by_hand")
def test_one_finding_alone_is_the_one_among_all() -> None:
    case = situation(changed(RUBIDIUM, *GRADED), SOME)
    for finding in list(HOW_CLEAN.findings(case))[::3]:
        alone = HOW_CLEAN.finding(situation(changed(RUBIDIUM, *GRADED), SOME), finding.id)
        assert alone is not None
        assert alone.judgement == finding.judgement


def test_magnesium_would_be_the_product() -> None:
    # published: about 1 Pa of potassium beside 2 kPa of magnesium over KCl + Mg at 750 degC
    findings = potassium('KCl = { mass = "20 g" }, Mg = { mass = "4 g" }')
    carry = findings["carry-over/Mg"]
    assert carry.verdict == "fails"
    assert "the product would be magnesium" in carry.because


def test_sodium_and_potassium_come_as_an_alloy() -> None:
    # published: over molten KCl with sodium the vapour holds both (Jackson and Werner 1957: it has to be fractionated)
    findings = potassium(
        'KCl = { mass = "20 g" }, Na = { mass = "8 g" }', ("programme.steps.distil.to", "850 degC")
    )
    carry = findings["carry-over/Na"]
    assert carry.verdict == "fails"
    assert 0.2 < best(carry) < 3.0
    assert "their alloy" in carry.because
    assert findings["cut/KCl"].verdict == "fails"


def test_a_mixed_salt_gives_mixed_metals() -> None:
    salt = 'KCl = { mass = "20 g", contains = { NaCl = "10 %" } }, Ca = { mass = "8 g" }'
    other = potassium(salt)["other-metals/KCl"]
    assert other.verdict == "fails"
    assert "Na" in other.because
    # exact: no more than all the sodium of 2 g of its salt beside the 3 g wanted
    assert 0.01 < best(other) < 2.0 * 22.98977 / 58.4428 / 3.0


ZINCS = (("aim.grade", "cell"), ("assume.leak", "1e-5 mbar L/s"))


def test_zinc_scrap_is_parted_where_there_are_data() -> None:
    scrap = (
        "charge.Zn.contains",
        '{ Fe = "0.5 %", Mg = "1 %", Pb = "1 %", Cd = "0.2 %", Sn = "1 %", Ag = "0.2 %" }',
    )
    findings = found(ZINC, *ZINCS, scrap)
    assert findings["other-metals/Zn.contains.Fe"].verdict == "holds"
    assert "leave the tails" in findings["other-metals/Zn.contains.Fe"].because
    assert findings["other-metals/Zn.contains.Mg"].verdict == "fails"
    assert findings["other-metals/Zn.contains.Pb"].verdict == "holds"
    assert findings["other-metals/Zn.contains.Cd"].verdict == "fails"
    for metal in ("Sn", "Ag"):
        unknown = findings[f"other-metals/Zn.contains.{metal}"]
        assert unknown.verdict == "unknown"
        assert metal in unknown.missing.says  # type: ignore[union-attr]
    assert findings["cut/Zn"].verdict == findings["purity/metal"].verdict == "unknown"


def test_the_heart_of_rubidium_with_a_little_caesium() -> None:
    findings = found(
        RUBIDIUM,
        *ZINCS,
        ("assume.metal.from", "500 K"),
        ("programme.steps.distil.to", "350 degC"),
        ("charge", '{ Rb = { mass = "10 g", contains = { Cs = "0.1 %", Ca = "0.2 %" } } }'),
    )
    assert findings["other-metals/Rb.contains.Cs"].verdict == "fails"
    assert "throw the heads away" in findings["other-metals/Rb.contains.Cs"].because
    assert findings["other-metals/Rb.contains.Ca"].verdict == "holds"
    heart = findings["cut/Rb"]
    assert heart.verdict == "holds"
    assert "throw away the first" in heart.because
    assert best(heart) < 10e-3


def test_zinc_that_lands_below_its_melting_point_is_dust() -> None:
    # published: zinc melts at 419.5 degC and outside a narrow window falls as blue powder
    over = ("heat.tape.over", '{ line = "0 to 150 mm", glass = "all" }')
    cold, warm = (
        found(ZINC, *ZINCS, over, ("heat.tape.holds", at))["form/glass"] for at in ("300 degC", "500 degC")
    )
    assert cold.verdict == "fails"
    assert "crystals or dust" in cold.because
    assert best(warm) < 0.2 < best(cold)


def test_alkali_metals_are_never_dust() -> None:
    assert not any(name.startswith("form/") for name in found(RUBIDIUM, *GRADED[:1]))


def test_no_charge_no_question() -> None:
    blank = situation(changed(RUBIDIUM, ("charge", "{}")))
    assert list(HOW_CLEAN.findings(blank)) == []


def test_the_limits_are_those_of_the_grade() -> None:
    for grade in ("display", "cell", "ultra-clean"):
        for what in ("reductant", "salt", "neighbours", "oxygen", "nitrogen", "hydrogen"):
            row = shipped().find("grades", grade, what)
            assert isinstance(row, Row)
            assert 0.0 < float(row.data) < 0.1
    assert np.isfinite(best(found(ZINC, *ZINCS)["cut/Zn"]))
