# SPDX-License-Identifier: MIT
"""What is refused before anything is sized, what is only flagged, and what either does to every face."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner

from assess.charges import DRAWS, charged, situation_of
from retortwright.assess.assessment import Assessment, assess
from retortwright.assess.check import finding_of
from retortwright.assess.makes_route import route_checks
from retortwright.assess.refusals import OF_THE_CHARGE, REFUSALS, advice_of, refusals_of, withheld
from retortwright.belief.beliefs import Draws
from retortwright.cli.main import commands
from retortwright.reference.compounds import CLASSES
from retortwright.reference.tables import shipped
from retortwright.report.explanation import explained_refusal
from retortwright.report.json_report import as_document
from retortwright.report.text_report import as_text
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import read_rig
from retortwright.situation.situation import Situation

GETTER = str(Path(__file__).parent / "getter.toml")


def refused(metal: str, charge: str) -> set[str]:
    """The classes that a charge is refused by."""
    return {each.kind for each in refusals_of(situation_of(metal, charge))}


def flagged(metal: str, charge: str) -> list[str]:
    return [each.text for each in advice_of(situation_of(metal, charge))]


# practice: each class with a charge that triggers it and a near neighbour that does not
CASES = [
    ("oxidiser", "K", "KNO3 9 g | Ca 4 g", "KCl 9 g | Ca 4 g"),
    ("oxidiser", "K", "KNO3 9 g", "KCl 9 g"),
    ("oxidiser", "K", "KClO3 9 g | Mg 4 g", "KCl 9 g | Mg 4 g"),
    ("oxidiser", "K", "KClO4 9 g | Ca 4 g", "KCl 9 g | Ca 4 g"),
    ("oxidiser", "K", "KMnO4 9 g | Ca 4 g", "KCl 9 g | Ca 4 g"),
    ("oxidiser", "K", "KCl 9 g; KNO3 0.5 % | Ca 4 g", "KCl 9 g; KNO3 0.01 % | Ca 4 g"),
    ("azide", "Cs", "CsN3 2 g", "CsCl 2 g"),
    ("azide", "Ba", "Ba(N3)2 2 g | Al 1 g", "BaO 2 g | Al 1 g"),
    ("peroxide", "Ba", "BaO 15 g; BaO2 5 % | Al 1.5 g", "BaO 15 g; BaO2 0.1 % | Al 1.5 g"),
    ("peroxide", "Ba", "BaO2 15 g | Al 1.5 g", "BaO 15 g | Al 1.5 g"),
    ("peroxide", "K", "KO2 9 g | Ca 9 g", "K2O 9 g | Ca 9 g"),
    ("chromate", "Cs", "Cs2CrO4 5 g | Zr 5 g", "CsCl 5 g | Ca 5 g"),
    ("chromate", "Cs", "Cs2Cr2O7 5 g | Zr 5 g", "CsCl 5 g | Zr 5 g"),
    ("chromate", "Cs", "Cs2CrO4 5 g | Si 5 g", "Cs2CrO4 5 g"),
    ("carbonate-with-metal", "K", "K2CO3 9 g | Mg 5 g", "KCl 9 g | Mg 5 g"),
    ("carbonate-with-metal", "K", "K2CO3 9 g | CaH2 5 g", "K2CO3 9 g | Fe 5 g"),
    ("carbonate-with-metal", "K", "KCl 9 g; K2CO3 5 % | Ca 4 g", "KCl 9 g; K2CO3 1 % | Ca 4 g"),
    ("carbon-monoxide-on-alkali", "K", "K2CO3 9 g | C 2 g", "KCl 9 g | C 2 g"),
    ("carbon-monoxide-on-alkali", "K", "KOH 9 g | C 2 g", "KOH 9 g"),
    ("carbon-monoxide-on-alkali", "Rb", "Rb2CO3 9 g | CaC2 2 g", "RbF 9 g | CaC2 2 g"),
    ("carbon-monoxide-on-alkali", "Rb", "Rb2CO3 9 g | C 2 g", "Rb2CO3 9 g | Si 2 g"),
    ("carbon-monoxide-on-alkali", "Rb", "Rb2CO3 9 g | C 2 g", "Mg 1 g | MgO 9 g | C 2 g"),
    ("hydroxide", "Rb", "RbOH 9 g | Mg 3 g", "RbCl 9 g | Ca 3 g"),
    ("hydroxide", "K", "KOH 9 g | Al 3 g", "KCl 9 g | Al 3 g"),
    ("hydroxide", "Cs", "CsOH 9 g | Li 1 g", "CsOH 9 g | Fe 1 g"),
    ("hydroxide", "K", "KOH 9 g | FeSi 3 g; Mg 50 %", "KOH 9 g | FeSi 3 g"),
    ("sulphate", "K", "K2SO4 9 g | Al 3 g", "K2SO4 9 g | Fe 3 g"),
    ("sulphate", "Ca", "CaO 9 g; CaSO4 5 % | Al 3 g", "CaO 9 g; CaSO4 0.5 % | Al 3 g"),
    ("thermite", "Ca", "CaO 9 g; Fe2O3 5 % | Al 3 g", "CaO 9 g; Fe2O3 0.2 % | Al 3 g"),
    ("fluoropolymer", "Rb", "RbCl 9 g | Ca 2 g | C2F4 0.5 g", "RbCl 9 g | Ca 2 g | CaF2 0.5 g"),
    ("chlorinated-solvent", "Rb", "RbCl 9 g | Ca 2 g; C2HCl3 0.01 %", "RbCl 9 g | Ca 2 g; C6H14 0.01 %"),
    ("chlorinated-solvent", "Cs", "CsCl 9 g | Li 1 g; CCl4 0 to 1 %", "CsCl 9 g | Li 1 g; CCl4 0 %"),
]


@pytest.mark.parametrize(("kind", "metal", "charge", "neighbour"), CASES)
def test_a_class_is_refused_and_its_near_neighbour_is_not(
    kind: str, metal: str, charge: str, neighbour: str
) -> None:
    assert kind in refused(metal, charge)
    assert kind not in refused(metal, neighbour)


def test_every_refused_class_has_a_charge_that_triggers_it() -> None:
    tables = shipped()
    subjects = list(tables.subjects("routes", "verdict"))
    by_verdict = {one: tables.rows["routes", one, "verdict"].data for one in subjects}
    assert set(by_verdict.values()) == {"refused", "flagged"}
    assert {case[0] for case in CASES} == {one for one in subjects if by_verdict[one] == "refused"}


def test_usual_charges_are_not_refused() -> None:
    # practice: the usual routes
    usual = [
        ("Rb", "RbCl 9 g; H2O 0.05 %, KCl 0.1 %, CsCl 0.1 % | Ca 1.95 g; CaO 8 %"),
        ("Cs", "CsCl 9 g | Li 0.5 g; Li2O 3 %, Li3N 1 %"),
        ("K", "KF 9 g | CaC2 9 g"),
        ("Ca", "CaO 9 g; CaCO3 1 % | Al 3 g; Al2O3 2 %"),
        ("Ba", "BaO 15 g | Al 1.5 g"),
        ("Mg", "MgO 9 g | CaO 12 g | FeSi 4 g"),
        ("Li", "Li2O 9 g | Si 4 g"),
        ("Eu", "Eu2O3 9 g | La 9 g"),
        ("Zn", "Zn 9 g"),
    ]
    for metal, charge in usual:
        assert refused(metal, charge) == set(), charge


def test_a_fluoride_is_flagged_and_not_refused() -> None:
    (text,) = flagged("K", "KF 9 g | Ca 4 g")
    assert text.startswith("KF with Ca: a fluoride sets free heat")
    assert refused("K", "KF 9 g | Ca 4 g") == set()
    assert flagged("K", "KCl 9 g | Ca 4 g") == []
    assert flagged("K", "KCl 9 g; KF 1 % | Ca 4 g") == []


def test_barium_oxide_is_flagged_to_be_weighed_and_calcium_oxide_is_not() -> None:
    (text,) = flagged("Ba", "BaO 15 g | Al 1.5 g")
    assert "check that its weight is that of the oxide" in text
    assert flagged("Ca", "CaO 15 g | Al 4 g") == []


def test_a_little_carbonate_is_flagged_and_what_is_refused_is_not_flagged_again() -> None:
    (text,) = flagged("K", "KCl 9 g; K2CO3 1 % | Ca 4 g")
    assert text.startswith("K2CO3 in the KCl with Ca: carbonate is left in the charge")
    assert flagged("K", "KCl 9 g; K2CO3 0.01 % | Ca 4 g") == []
    assert flagged("K", "K2CO3 9 g | Mg 4 g") == []


@cache
def whole(metal: str = "K", charge: str = "K2CO3 13.8 g | Mg 7.3 g") -> Assessment:
    return assess(charged(metal, charge), DRAWS, remedies=False)


def test_a_refusal_says_the_real_reaction_with_its_heat() -> None:
    (refusal,) = refusals_of(situation_of("K", "K2CO3 13.8 g | Mg 7.3 g"))
    # published: CRC Handbook, formation enthalpies: K2CO3 -1151.0, MgO -601.6 kJ/mol, to 1.5 kJ/mol (the data of one
    # compilation against another)
    reaction, _, heat = refusal.because.partition(" sets free ")
    assert reaction == "K2CO3 + 3 Mg -> 2 K + 3 MgO + C"
    assert float(heat.split()[0]) == pytest.approx(653.8, abs=1.5)
    assert heat.endswith("kJ per mole of K2CO3, 3.1 kJ a gram")  # exact: over 211.1 g
    (hydroxide,) = refusals_of(situation_of("Cs", "CsOH 15 g | Mg 2.5 g"))
    assert "sets free 185 kJ per mole of CsOH, 1.1 kJ a gram" in hydroxide.because
    (peroxide,) = refusals_of(situation_of("Ba", "BaO 15 g; BaO2 3 to 5 % | Al 1.5 g"))
    assert peroxide.subject == "BaO2 in the BaO with Al: a peroxide or superoxide"
    assert peroxide.at == "charge.BaO.contains.BaO2"
    assert "up to 4.5 % of the whole charge, 0.5 % is let pass" in peroxide.because  # exact: 0.75 of 16.5 g


def test_the_whole_fails_and_question_1_is_withheld() -> None:
    made = whole()
    assert made.verdict == "fails"
    assert [each.id for each in made.refused] == ["refused/carbonate-with-metal/K2CO3"]
    covered = [finding for finding in made.findings if finding.question in OF_THE_CHARGE]
    for finding in covered:
        assert finding.verdict == "unknown"
        assert finding.missing is not None
        assert (
            finding.missing.says == "withheld: the charge is refused, see refused/carbonate-with-metal/K2CO3"
        )
        assert finding.inputs == ()
    others = [finding for finding in made.findings if finding.question not in OF_THE_CHARGE]
    assert others
    assert not any(finding.missing and finding.missing.datum.startswith("refused/") for finding in others)


def test_withholding_takes_number_and_verdict_of_covered_questions_only() -> None:
    situation = situation_of("K", "KOH 5.6 g | Mg 2.5 g")
    found = [finding_of(situation, check, 1) for check in route_checks(situation)]
    six = [replace(each, question=6) for each in found]
    after = withheld([*found, *six], refusals_of(situation))
    assert [each.judgement.best for each in after[: len(found)]] == [None] * len(found)
    assert list(after[len(found) :]) == six
    assert withheld(found, ()) == tuple(found)


def test_the_text_refuses_first_and_says_what_to_do() -> None:
    made = whole()
    # The file's own name may be of any length: only what stands around it has a width.
    text = as_text(made).replace(made.rig.path, "rig.toml")
    order = [
        "Heats reactive metal",
        "DO NOT LIGHT.   1 refused",
        "REFUSED",
        "refused  K2CO3 with Mg",
        "\n4  Will every",
    ]
    places = [text.index(part) for part in order]
    assert places == sorted(places)
    assert "instead turn the carbonate into the chloride" in text
    assert text.rstrip().endswith("refused/carbonate-with-metal/K2CO3")
    assert max(map(len, text.splitlines()[4:])) <= 110


def test_withheld_findings_are_said_once() -> None:
    made = whole()
    situation = situation_of("K", "K2CO3 13.8 g | Mg 7.3 g")
    found = [finding_of(situation, check, 1) for check in route_checks(situation)]
    lines = as_text(replace(made, asked=(1,), findings=withheld(found, made.refused))).splitlines()
    start = next(number for number, line in enumerate(lines) if line.startswith("1  Will it make metal?"))
    assert lines[start].endswith("unknown")
    assert lines[start + 1] == "   unknown  3 findings: reaction-gas, reaction-heat, self-heating"
    assert "withheld: the charge is refused, see" in lines[start + 2]
    assert lines[start + 3] == ""


def test_advice_stands_among_the_cautions() -> None:
    made = whole("K", "KF 5.8 g | Ca 2.5 g")
    assert made.refused == ()
    text = as_text(made)
    assert text.index("KF with Ca: a fluoride") < text.index("samples, seed")
    assert made.cautions[-1].source in shipped().sources
    assert "refused" not in text


def test_the_document_lists_what_is_refused() -> None:
    document = as_document(whole())
    json.dumps(document, allow_nan=False)
    (one,) = document["refused"]
    assert one["id"] == "refused/carbonate-with-metal/K2CO3"
    assert one["class"] == "carbonate-with-metal"
    assert one["at"] == "charge.K2CO3"
    assert one["withholds"] == list(OF_THE_CHARGE)
    assert set(one["sources"]) <= set(shipped().sources)
    assert "routes/carbonate-with-metal/salt" in one["cites"]
    assert document["verdict"] == "fails"
    assert as_document(whole("Rb", "RbCl 9 g | Ca 2 g"))["refused"] == []


def test_a_refusal_is_explained_down_to_its_rows_and_sources() -> None:
    made = whole()
    text = explained_refusal(made, made.refused[0])
    assert "routes/carbonate-with-metal/says" in text
    assert "[graefe-eckardt-1899] E. Graefe" in text
    assert "no such row" not in text


def test_the_command_line_explains_a_refusal_and_exits_1(tmp_path: Path) -> None:
    path = tmp_path / "rig.toml"
    path.write_text(charged("K", "KOH 5.6 g | Mg 2.5 g").text, encoding="utf-8")
    found = CliRunner().invoke(commands, ["explain", str(path), "refused/hydroxide/KOH"])
    assert found.exit_code == 1
    assert "sets free 178 kJ per mole of KOH" in found.output
    assert "Withheld until it is gone" in found.output
    target = tmp_path / "why.txt"
    for _ in range(2):  # its own answer is replaced, as any other
        again = CliRunner().invoke(
            commands, ["explain", str(path), "refused/hydroxide/KOH", "-o", str(target)]
        )
        assert again.exit_code == 1
        assert target.read_text(encoding="utf-8") == found.output


def test_a_blanked_row_does_not_light_what_is_refused() -> None:
    rows = [row.address for row in shipped().rows.values() if row.table == "routes"]
    situation = situation_of("K", "K2CO3 9 g | Mg 5 g", tables=shipped().without(*rows))
    assert [each.kind for each in refusals_of(situation)] == ["carbonate-with-metal"]


def test_the_words_of_the_table_are_classes_and_elements() -> None:
    for row in shipped().rows.values():
        if row.table == "routes" and row.name in ("salt", "with"):
            known = {*CLASSES, "C", "any", "alone", "reactive-metal"}
            assert set(row.data.split("; ")) <= known, row.address


def test_argon_is_not_filled_blind() -> None:
    assert set(REFUSALS) == {
        "wrong-agent",
        "routes", "blind-backfill", "nitrogen-in-flow", "water-on-glass", "heated-closed", "thin-can", "materials",
    }  # fmt: skip
    blind = assess(read_rig(GETTER), Draws(samples=8), remedies=False)
    assert "refused/blind-backfill/P1" in [each.id for each in blind.refused]
    assert not any(each.missing and each.missing.datum.startswith("refused/") for each in blind.findings)
    for edit in (
        Edit("plant.P1.gauge", "Bourdon"),
        Edit("plant.P2", '{ on = "retort", at = "190 mm", gauge = "capacitance" }'),
        Edit("state.fill", '{ open = ["V1"], running = ["pump"] }'),
    ):
        situation = Situation(edited(read_rig(GETTER), [edit]), shipped(), DRAWS)
        assert "blind-backfill" not in {each.kind for each in refusals_of(situation)}
