# SPDX-License-Identifier: MIT
"""What question 1 says of the equilibrium over a charge."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from retortwright.assess.check import finding_of
from retortwright.assess.finding import Finding
from retortwright.assess.makes_equilibrium import equilibrium_checks
from retortwright.assess.makes_metal import MAKES_METAL
from retortwright.belief.beliefs import Draws
from retortwright.reference.datum import Row
from retortwright.reference.tables import Tables, shipped
from retortwright.rig.reading import rig_of
from retortwright.situation.reaction import ReactionWork
from retortwright.situation.situation import Situation
from situation.charges import rig_text

DRAWS = Draws(samples=32)
RUBIDIUM = {"RbCl": "18 g", "Ca": "4.2 g"}


def situation(
    reagents: dict[str, str], metal: str, to: str, amount: str = "3.6 g", tables: Tables | None = None
) -> Situation:
    """A rig of the tests with a charge, a metal wanted and a top temperature."""
    text = rig_text(metal, reagents, aim=f'amount = "{amount}"\ngrade = "cell"').replace("680 degC", to)
    return Situation(rig_of(text, "test.toml"), tables or shipped(), DRAWS)


def found(*arguments: object, **named: object) -> dict[str, Finding]:
    """The findings of the equilibrium by check."""
    made = situation(*arguments, **named)  # type: ignore[arg-type]
    return {check.name: finding_of(made, check, MAKES_METAL.number) for check in equilibrium_checks(made)}


@cache
def plain() -> dict[str, Finding]:
    """Enough rubidium chloride and calcium."""
    return found(RUBIDIUM, "Rb", "680 degC")


def best(finding: Finding) -> float:
    """The middle of a band."""
    assert finding.judgement.best is not None
    return finding.judgement.best


def test_all_checks_are_made() -> None:
    assert list(plain()) == ["pressure-fresh", "pressure-late", "reductant-over", "salt-over", "window"]
    assert {each.verdict for each in plain().values()} == {"holds"}


def test_a_fresh_charge_gives_saturated_vapour() -> None:
    # exact: free metal forms, so that the pressure is that of the metal itself at 665 degC
    assert best(plain()["pressure-fresh"]) == pytest.approx(8.0e4, rel=0.1)
    assert "saturated" in plain()["pressure-fresh"].because


def test_a_double_salt_ends_the_run() -> None:
    # computed elsewhere: past two thirds the pressure of caesium falls from saturation to some 12 Pa
    enough = found({"CsCl": "14 g", "Ca": "2.4 g"}, "Cs", "700 degC", "3.6 g")["pressure-late"]
    short = found({"CsCl": "6 g", "Ca": "1 g"}, "Cs", "700 degC", "3.6 g")["pressure-late"]
    assert enough.verdict == "holds"
    assert short.verdict == "fails"
    assert best(short) < 40 < 1e4 < best(enough)
    assert "past 67% CsCaCl3 holds the rest" in short.because


def test_without_a_double_salt_there_is_no_knee() -> None:
    lithium = found({"CsCl": "6 g", "Li": "0.4 g"}, "Cs", "700 degC", "3.6 g")["pressure-late"]
    assert "holds the rest" not in lithium.because


def test_magnesium_cannot_free_potassium() -> None:
    # published: about 1 Pa of potassium against 2 kPa of magnesium at 750 degC: the product would be magnesium
    findings = found({"KCl": "20 g", "Mg": "4 g"}, "K", "750 degC", "3 g")
    assert findings["pressure-late"].verdict == "fails"
    assert findings["reductant-over"].verdict == "fails"
    assert findings["window"].verdict == "fails"
    assert best(findings["reductant-over"]) > 10.0
    assert "times the mass of the product" in findings["reductant-over"].because
    assert "none does" in findings["window"].because


def test_hotter_brings_more_pressure_and_more_reductant() -> None:
    hotter = found(RUBIDIUM, "Rb", "760 degC")
    for check in ("pressure-fresh", "pressure-late", "reductant-over", "salt-over"):
        assert best(hotter[check]) > best(plain()[check])


def test_metals_that_mix_come_over_as_an_alloy() -> None:
    # published: sodium over potassium chloride gives mixed vapour; what is known of the melt is from memory
    findings = found({"KCl": "20 g", "Na": "8 g"}, "K", "750 degC", "1 g")
    fresh = findings["pressure-fresh"]
    assert fresh.verdict == "unknown"
    assert fresh.missing is not None
    assert "NaCl-KCl is from memory" in fresh.missing.says
    assert "mixed metal" in fresh.because
    assert "Na" in fresh.because


def test_a_wrong_metal_has_no_route() -> None:
    findings = found({"KCl": "20 g", "Ca": "8 g"}, "Rb", "750 degC", "3 g")
    assert {each.verdict for each in findings.values()} == {"unknown"}


def test_a_blanked_species_makes_unknown() -> None:
    tables = shipped().without("species/RbCl(g)/piece-1")
    assert found(RUBIDIUM, "Rb", "680 degC", tables=tables)["salt-over"].verdict == "unknown"


def test_a_double_salt_from_memory_never_holds() -> None:
    rows = shipped().rows
    row = rows[("species", "RbCaCl3(s)", "piece-1")]
    recalled = Row(**{name: getattr(row, name) for name in row.__dataclass_fields__} | {"known": "recalled"})
    findings = found(RUBIDIUM, "Rb", "680 degC", tables=shipped().with_row(recalled))
    assert findings["pressure-late"].verdict == "unknown"
    missing = findings["pressure-late"].missing
    assert missing is not None
    assert "from memory" in missing.says


def test_the_window_lies_about_the_set_point() -> None:
    made = situation(RUBIDIUM, "Rb", "680 degC")

    low, clean, wall = ReactionWork(made).serving()
    charge = ReactionWork(made).charge_temperature(ReactionWork(made).ledger())
    assert np.all(low.values < charge)
    assert np.all(charge < np.minimum(clean.values, wall.values))


def test_one_finding_alone_is_the_one_among_all() -> None:
    made = situation(RUBIDIUM, "Rb", "680 degC")
    for finding in MAKES_METAL.findings(made):
        alone = MAKES_METAL.finding(situation(RUBIDIUM, "Rb", "680 degC"), finding.id)
        assert alone is not None
        assert alone.judgement == finding.judgement
        if finding.judgement.best is not None:
            middle = np.quantile(MAKES_METAL.values(made, finding), 0.5)
            assert middle == pytest.approx(finding.judgement.best)


def test_no_charge_no_question() -> None:
    made = situation(RUBIDIUM, "Rb", "680 degC")
    text = made.rig.text.split("[charge")[0] + "[piece.pot]" + made.rig.text.split("[piece.pot]", 1)[1]
    assert list(MAKES_METAL.findings(Situation(rig_of(text, "test.toml"), shipped(), DRAWS))) == []


def test_a_third_salt_is_reckoned_with() -> None:
    together = found({**RUBIDIUM, "NaCl": "5 g"}, "Rb", "680 degC", "1 g")
    fresh, late = together["pressure-fresh"], together["pressure-late"]
    assert best(fresh) < best(plain()["pressure-fresh"])  # exact: sodium mixes into the metal
    assert "mixed metal, by mass" in late.because
    assert together["reductant-over"].judgement.best is not None
    window = together["window"]
    assert window.missing is not None
    assert "NaCl is in the charge besides RbCl and Ca" in window.missing.says


def test_a_trace_of_a_third_leaves_the_picture_of_two() -> None:
    little = found({**RUBIDIUM, "NaCl": "0.1 g"}, "Rb", "680 degC")
    assert {each.verdict for each in little.values()} == {"holds"}


def test_a_third_without_data_is_unknown() -> None:
    together = found({**RUBIDIUM, "NiCl2": "5 g"}, "Rb", "680 degC")
    assert {each.verdict for each in together.values()} == {"unknown"}
    missing = together["pressure-fresh"].missing
    assert missing is not None
    assert missing.datum == "species/Ni"


def test_carbonate_left_in_an_oxide_is_reckoned_with() -> None:
    """Aluminium over baryta, a twentieth of it carbonate: some yields, and the note says what is not known."""
    findings = found({"BaO": "40 g", "BaCO3": "2 g", "Al": "6 g"}, "Ba", "1200 degC", "10 g")
    fresh = findings["pressure-fresh"]
    assert 500 < best(fresh) < 5000
    assert any("alloys of Al and Ba are not in our tables" in each for each in fresh.notes)
    assert "alloy.activity" in {each.name for each in fresh.inputs}


def test_a_metal_distilled_once_more_has_a_pressure() -> None:
    findings = found({"K": "10 g"}, "K", "350 degC")
    assert list(findings) == ["pressure-fresh", "pressure-late"]
    # published: 100 Pa at 587 K [alcock-1984], carried to 602 K less the offset of the charge
    assert best(findings["pressure-fresh"]) == pytest.approx(140.0, rel=0.5)
