# SPDX-License-Identifier: MIT
"""The route of a charge as a user reads it: heat, gas, self-heating, each with its verdict."""

from __future__ import annotations

import pytest

from assess.charges import situation_of
from retortwright.assess.check import finding_of
from retortwright.assess.finding import Finding
from retortwright.assess.makes_route import route_checks
from retortwright.reference.datum import number_of
from retortwright.reference.formulas import FORMULAS
from retortwright.reference.tables import Tables, shipped
from retortwright.report.digits import face_of

HEAT, GAS, SELF = "reaction-heat", "reaction-gas", "self-heating"


def found(
    metal: str, charge: str, *more: tuple[str, str], tables: Tables | None = None
) -> dict[str, Finding]:
    """The findings of a charge by their check."""
    situation = situation_of(metal, charge, *more, tables=tables)
    return {check.name: finding_of(situation, check, 1) for check in route_checks(situation)}


def verdicts(metal: str, charge: str, *more: tuple[str, str]) -> tuple[str, str, str]:
    findings = found(metal, charge, *more)
    return findings[HEAT].verdict, findings[GAS].verdict, findings[SELF].verdict


# practice: the classes of routes; each with a near neighbour
@pytest.mark.parametrize(
    ("metal", "charge", "expected"),
    [
        ("Na", "NaCl 9 g | Ca 4 g", ("holds", "holds", "holds")),
        ("K", "KCl 9 g | Ca 4 g", ("holds", "holds", "holds")),
        ("Rb", "RbCl 9 g | Ca 2 g", ("holds", "holds", "holds")),
        ("Cs", "CsCl 9 g | Ca 2 g", ("holds", "holds", "holds")),
        ("Cs", "CsCl 9 g | Li 0.5 g", ("holds", "holds", "holds")),
        ("K", "KF 5.8 g | Ca 2.5 g", ("fails", "holds", "thin")),
        ("Cs", "CsF 15 g | Ca 2.5 g", ("thin", "holds", "fails")),
        ("K", "KOH 5.6 g | Mg 2.5 g", ("fails", "fails", "unknown")),
        ("Eu", "Eu2O3 11 g | La 9 g", ("holds", "holds", "fails")),
        ("Eu", "EuO 11 g | La 9 g", ("unknown", "holds", "unknown")),
        ("K", "KCl 19 g; K2CO3 1 % | Ca 6.5 g", ("holds", "holds", "holds")),
        ("Rb", "RbCl 9 g | Ca 2 g; Ca(OH)2 40 %", ("holds", "fails", "holds")),
        ("Rb", "RbCl 9 g | CaC2 2 g", ("unknown", "unknown", "unknown")),
    ],
)
def test_verdicts_of_routes(metal: str, charge: str, expected: tuple[str, str, str]) -> None:
    assert verdicts(metal, charge) == expected


def test_a_reserve_asked_for_turns_a_verdict() -> None:
    charge = "CsF 15 g | Ca 2.5 g"
    assert found("Cs", charge)[HEAT].verdict == "thin"
    little = "Cs", "CsCl 9 g | CsF 6 g | Ca 2.5 g"
    assert found(*little)[HEAT].verdict == "holds"
    for key, check in (
        ("reaction-heat-reserve", HEAT),
        ("reaction-gas-reserve", GAS),
        ("self-heating-reserve", SELF),
    ):
        value = "400 K" if check == SELF else "0.9"
        before, after = (
            found(*little, *edits)[check].reserve for edits in ((), ((f"tighten.{key}", value),))
        )
        assert before is not None
        assert after is not None
        assert after > before


def test_the_sentence_says_that_the_furnace_leads() -> None:
    heat = found("Rb", "RbCl 9 g | Ca 2 g")[HEAT]
    assert heat.because.startswith(
        "2 RbCl + Ca -> 2 Rb + CaCl2 takes in 37 kJ per mole of Rb: the furnace is the"
    )
    assert heat.because.endswith("it cannot run away by itself; moisture or a wrong salt can.")
    assert heat.judgement.high is not None
    assert heat.judgement.high < 0  # what is set free is told negative where it is taken in


def test_the_sentence_says_what_runs_by_itself() -> None:
    findings = found("K", "KF 5.8 g | Ca 2.5 g")
    assert (
        "sets free 44 kJ per mole of K: once it has started nothing outside can lead it"
        in findings[HEAT].because
    )
    assert "it would go from 400 to 9" in findings[SELF].because


def test_a_charge_that_may_give_or_take_heat_is_not_said_to_be_led() -> None:
    heat = found("Li", "Li2O 10 g; Fe2O3 2 % | Al 7 g")[HEAT]
    assert heat.judgement.best is not None
    assert heat.judgement.high is not None
    assert heat.judgement.best < 0 < heat.judgement.high
    assert "whether it gives heat or takes it is within what is not known" in heat.because


def test_impurities_are_named_where_they_matter() -> None:
    findings = found("K", "KCl 19 g; K2CO3 1 % | Ca 6.5 g")
    assert "K2CO3 in the KCl adds 41 J a gram" in findings[HEAT].because
    assert "at worst, most of it from K2CO3 in the KCl" in findings[GAS].because
    assert "frees gas" in found("K", "KCl 19 g | Ca 6.5 g")[GAS].because


def test_unknown_never_reads_as_good() -> None:
    for metal, charge in (
        ("Eu", "EuO 11 g | La 9 g"),
        ("Rb", "RbCl 9 g | CaC2 2 g"),
        ("K", "KOH 5.6 g | Mg 2.5 g"),
    ):
        for finding in found(metal, charge).values():
            if finding.verdict == "unknown":
                assert finding.missing is not None
                assert any(word in finding.because for word in ("not known", "hotter than"))


def test_a_blanked_row_makes_what_cites_it_unknown_and_nothing_else() -> None:
    before = found("Rb", "RbCl 9 g | Ca 2 g")
    for address in (
        "species/RbCl(s)/formation-enthalpy",
        "rules/reaction-gas/limit",
        "elements/Rb/atomic-mass",
    ):
        after = found("Rb", "RbCl 9 g | Ca 2 g", tables=shipped().without(address))
        for check, finding in after.items():
            cited = address in before[check].cites
            assert finding.verdict == ("unknown" if cited else before[check].verdict), (check, address)


def test_nothing_is_asked_of_a_metal_that_is_only_distilled_again() -> None:
    assert found("Rb", "Rb 9 g") == {}


def test_every_check_has_a_formula_a_face_and_a_place() -> None:
    for check, finding in found("Rb", "RbCl 9 g | Ca 2 g").items():
        assert finding.formula in FORMULAS
        assert face_of(finding.quantity).unit != "1"
        assert finding.id == f"{check}/RbCl/hot"
        assert finding.at == "charge.RbCl"


def test_the_limits_are_between_chlorides_and_hydroxides() -> None:
    # practice: half a kilojoule warms a gram of a charge by some 600 K at 0.8 J/g/K
    limit = number_of(shipped().rows["rules", HEAT, "limit"]).best
    heat = found("K", "KOH 5.6 g | Mg 2.5 g")[HEAT].judgement
    assert heat.low is not None
    assert heat.low > 4 * limit
