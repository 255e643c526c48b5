# SPDX-License-Identifier: MIT
"""Question 7 through whole rigs: what is known of a pair comes out at the place where it meets."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from retortwright.assess.attacked import QUESTION, WHAT_ATTACKS, check_on
from retortwright.assess.attacked_remedies import with_attacked_mends
from retortwright.assess.check import finding_of
from retortwright.assess.finding import Finding
from retortwright.belief.beliefs import Draws
from retortwright.reference.attacks import attacks_on
from retortwright.reference.tables import Tables, shipped
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import read_rig, rig_of
from retortwright.situation.situation import Situation
from retortwright.situation.wetted import wetted_of
from situation.vapour_rigs import plain

DRAWS, MORE = Draws(8), Draws(16)
EXAMPLES = Path(__file__).parents[2] / "examples"
POT = """tube = "25.4 x 1.65 mm"
length = "160 mm"
rises = "90 deg"
of = "{of}"
{more}
bottom = {{ shape = "flat", thick = "5 mm", joined = "TIG" }}"""
LINE = """on = "pot"
at = "140 mm"
joined = "TIG"
tube = "12 x 1 mm"
length = "150 mm"
falls = "10 deg"
of = "304L\""""
GLASS = """[piece.glass]
on = "line"
joined = "{joined}"
tube = "20 x 1 mm"
length = "60 mm"
falls = "90 deg"
of = "{of}"
receives = {{ up_to = "80 %", at = "10 mm" }}"""
TAP = """[piece.tap]
on = "line"
at = "15 mm"
joined = "TIG"
tube = "12 x 1 mm"
length = "20 mm"
rises = "90 deg"
of = "304L"
valve = "PTFE seat\""""
WARM = 'tape = { over = { line = "20 to 150 mm", glass = "all" }, holds = "380 degC" }'


def charge(salt: str, reductant: str = "Ca") -> str:
    """A small charge."""
    return f'[charge.{salt}]\nmass = "9 g"\n[charge.{reductant}]\nmass = "2.5 g"'


@cache
def situation(text: str) -> Situation:
    """The situation of a rig."""
    return Situation(rig_of(text), shipped(), DRAWS)


@cache
def example(name: str) -> Situation:
    """A shipped example."""
    return Situation(read_rig(EXAMPLES / f"{name}.toml"), shipped(), MORE)


def found(text: str) -> dict[str, Finding]:
    """The findings of a rig by what they are about: the id without check and state."""
    return {each.place: each for each in WHAT_ATTACKS.findings(situation(text))}


def pot(of: str = "304L", more: str = "") -> str:
    """A pot of some material."""
    return POT.format(of=of, more=more)


def glass(of: str = "304L", joined: str = "TIG") -> str:
    """A receiver of some material."""
    return GLASS.format(of=of, joined=joined)


def again(name: Situation, tables: Tables) -> dict[str, Finding]:
    """The findings on the same surfaces with other tables."""
    other = Situation(name.rig, tables, name.draws)
    checks = (check_on(other, each) for each in wetted_of(name))
    return {check.id: finding_of(other, check, QUESTION) for check in checks}


# ---- what is published, at the place where it meets


@pytest.mark.parametrize(
    ("text", "place", "verdict", "limit"),
    [
        # published: ca-ni-1965, calcium and nickel melt together from 605 degC
        (plain(pot=pot("nickel")), "pot.vapour-Ca", "fails", 878.0),
        (plain(pot=pot(more='lined = "nickel"')), "pot.lined.solid-Ca", "fails", 878.0),
        # published: ca-fe-1985, beside liquid calcium iron takes up next to nothing
        (plain(pot=pot(more='lined = "mild steel"')), "pot.lined.solid-Ca", "holds", 1115.0),
        # published: graphite-intercalation-1999, potassium goes in between the layers of graphite
        (plain("K", charge("KCl"), rest=glass(joined="graphite foil flange").replace("20 x 1", "20 x 1.5"),
               tape=WARM), "glass.joined.liquid-K", "fails", None),
        # published: retortwright-attack (KO2, SiO2 of the species): potassium takes the oxygen out of silica when hot
        (plain("K", charge("KCl"), rest=glass("borosilicate", "graded glass seal"), tape=WARM),
         "glass.liquid-K", "fails", 600.0),
        (plain("Li", charge("LiCl"), hot="900 degC", rest=glass(joined="silver braze"), tape=WARM),
         "glass.joined.liquid-Li", "fails", None),  # published: ag-li-diagram, dissolves
        (plain("Li", charge("LiCl"), hot="900 degC", rest=glass("borosilicate", "graded glass seal"), tape=WARM),
         "glass.liquid-Li", "fails", None),  # published: ceramics-liquid-breeders-1997, silica is not stable
        (plain("Li", charge("LiCl"), hot="900 degC", rest=glass("nickel"), tape=WARM),
         "glass.liquid-Li", "fails", None),  # published: anp-1956-09
        # published: ptfe-alkali-1975, a film of rubidium is enough
        (plain(rest=f"{glass()}\n{TAP}"), "tap.valve.vapour-Rb", "fails", 293.0),
        # published: tantalum-corrosion-page, hot tantalum in air turns brittle
        (plain(pot=pot("tantalum")), "pot.air", "fails", 573.0),
    ],
)  # fmt: skip
def test_published_facts_come_out_where_they_meet(text: str, place: str, verdict: str, limit: float | None) -> None:
    finding = found(text)[place]
    assert finding.verdict == verdict, finding.because
    if limit is not None:
        assert finding.limit == pytest.approx(limit, abs=0.5)


def test_what_is_refused_anyway_is_said_with_it() -> None:
    finding = found(plain(rest=glass(joined="taper thread with PTFE")))["glass.joined.liquid-Rb"]
    assert "refused as well: refused/PTFE-in-heat/glass.joined" in finding.notes


# ---- memory, text, experience


@pytest.mark.parametrize("name", ["rubidium-cells", "rubidium-overdriven", "thermal-blank"])
def test_every_wetted_pair_of_the_examples_was_read_or_is_unknown(name: str) -> None:
    tables = shipped()
    findings = list(WHAT_ATTACKS.findings(example(name)))
    assert bool(findings) == (name != "thermal-blank")  # nothing is in that one
    for each in findings:
        read = [one for one in each.inputs if one.name.startswith("attack.")]
        if each.verdict in ("holds", "thin"):
            (belief,) = read
            table, subject, row = belief.address.split("/")
            assert tables.rows[table, subject, row].known == "seen"
            assert belief.source in tables.sources
            assert belief.locator
        elif each.verdict == "unknown":
            assert each.missing is not None
            assert each.missing.datum.startswith("attacks/")
        else:
            assert each.limit is not None


def test_what_is_known_of_the_rubidium_cells() -> None:
    verdicts = {each.place: each.verdict for each in WHAT_ATTACKS.findings(example("rubidium-cells"))}
    unknown = {place for place, verdict in verdicts.items() if verdict == "unknown"}
    # regression: no text that was read says that rubidium is borne by steel, nor what melts with free calcium do
    assert unknown == {
        "retort.lined.melted-RbCl-with-free-Ca", "retort.lined.melted-CaCl2-with-free-Ca", "retort.vapour-Ca",
        "retort.lined.vapour-Rb", "retort.vapour-Rb", "line.vapour-Rb", "charging-arm.vapour-Rb", "line.liquid-Rb",
    }  # fmt: skip
    assert {verdict for place, verdict in verdicts.items() if place not in unknown} == {"holds"}


def test_blanking_a_row_makes_exactly_its_findings_unknown() -> None:
    rig = example("rubidium-cells")
    before = again(rig, shipped())
    rows = {
        one.address: {each.id for each in before.values() if one.address in {i.address for i in each.inputs}}
        for finding in before.values()
        for one in finding.inputs
        if one.name.startswith("attack.")
    }
    assert len(rows) > 4
    for address, ids in rows.items():
        after = again(rig, shipped().without(address))
        assert {name for name in after if after[name].verdict != before[name].verdict} == ids
        agent, material = address.split("/")[1].split(" on ")
        rest = [each for each in attacks_on(shipped().without(address), agent, material) if each.seen]
        # exact: without the only row that was read nothing is known; another one may still say that it lasts
        assert {after[name].verdict for name in ids} == ({"thin"} if rest else {"unknown"})


def test_what_the_user_has_seen_counts() -> None:
    text = (EXAMPLES / "rubidium-cells.toml").read_text(encoding="utf-8")
    seen = Situation(rig_of(f'{text}\n[experience]\nRb.304L = "700 degC"\n'), shipped(), MORE)
    after = {each.place: each for each in WHAT_ATTACKS.findings(seen)}
    for place in ("retort.vapour-Rb", "line.vapour-Rb", "charging-arm.vapour-Rb", "line.liquid-Rb"):
        assert after[place].verdict == "holds"
        (own,) = [one for one in after[place].inputs if one.name == "experience.Rb.304L"]
        assert own.basis == "file"
    assert after["retort.lined.vapour-Rb"].verdict == "unknown"  # another material
    assert after["retort.vapour-Rb"].limit == pytest.approx(973.15)


def test_experience_is_no_answer_to_what_is_known_to_harm() -> None:
    text = plain(pot=pot("nickel")) + '\n[experience]\nCa.nickel = "900 degC"\n'
    assert found(text)["pot.vapour-Ca"].verdict == "fails"


def test_salt_left_in_the_pot_is_named_beside_it() -> None:
    finding = found(plain(pot=pot(more='lined = "mild steel"')))["pot.lined.melted-CaCl2-with-free-Ca"]
    assert any("drinks water from the air" in note for note in finding.notes)


def test_where_vapour_is_not_known_every_place_it_may_reach_is_unknown() -> None:
    shut = plain(rest=glass().replace('receives = { up_to = "80 %", at = "10 mm" }', ""))
    verdicts = {place: each for place, each in found(shut).items() if place.endswith("vapour-Rb")}
    assert {each.verdict for each in verdicts.values()} == {"unknown"}
    assert "pot.vapour-Rb" in verdicts


def test_a_stream_of_argon_leaves_the_pot_known() -> None:
    plant = '[plant]\nargon = { on = "neck", purity = "99.99 %", hose = "1.5 m nylon", flow = "0.2 L/min" }\n'
    argon = plain(pot=pot("nickel")).replace('running = ["furnace"]', 'running = ["furnace", "argon"]') + plant
    verdicts = {place: each.verdict for place, each in found(argon).items()}
    assert verdicts["pot.solid-Ca"] == "fails"  # as hot as without
    assert verdicts["pot.vapour-Rb"] == verdicts["line.vapour-Rb"] == "unknown"  # where it lands nobody computes


# ---- remedies


def test_a_liner_that_is_eaten_gets_one_that_was_read_to_bear_it() -> None:
    rig = situation(plain(pot=pot(more='lined = "nickel"')))
    findings = with_attacked_mends(rig, tuple(WHAT_ATTACKS.findings(rig)))
    mend = next(each for each in findings if each.place == "pot.lined.vapour-Ca").mend[0]
    assert dict(mend.edits) == {"piece.pot.lined": "mild steel"}
    assert mend.verdict_then == "holds"
    after = Situation(edited(rig.rig, [Edit(*pair) for pair in mend.edits.items()]), shipped(), DRAWS)
    finding = WHAT_ATTACKS.finding(after, "attacked/pot.lined.vapour-Ca/distil")
    assert finding is not None
    assert finding.verdict == "holds"
    assert finding.judgement.high == pytest.approx(mend.high_then, abs=0.1)


def test_a_wall_that_is_eaten_is_tried_anew_with_its_own_temperatures() -> None:
    rig = situation(plain(pot=pot("nickel")))
    findings = with_attacked_mends(rig, tuple(WHAT_ATTACKS.findings(rig)))
    eaten = next(each for each in findings if each.place == "pot.vapour-Ca")
    assert dict(eaten.mend[0].edits) == {"piece.pot.of": "mild steel"}
    assert eaten.judgement.high is not None
    assert eaten.mend[0].high_then != pytest.approx(eaten.judgement.high, abs=0.1)  # steel conducts less


def test_nothing_is_proposed_that_no_text_speaks_for() -> None:
    rig = example("rubidium-overdriven")
    fails = tuple(each for each in WHAT_ATTACKS.findings(rig) if each.verdict == "fails")
    assert {each.at for each in fails} == {"piece.retort.closed", "piece.V1.joined", "piece.V1.valve"}
    assert [each.id for each in with_attacked_mends(rig, fails) if each.mend] == []



def test_glass_fails_as_soon_as_lithium_melts_on_it() -> None:
    # practice: no glass for lithium; glass colder than it melts is asked at 453.65 K, and the row says 454
    text = plain("Li", '[charge.Li]\nmass = "9 g"', rest=glass("borosilicate", "graded glass seal"), hot="700 degC")
    finding = found(text)["glass.liquid-Li"]
    assert finding.verdict == "fails"
    assert finding.judgement.best == pytest.approx(453.65, abs=0.1)
