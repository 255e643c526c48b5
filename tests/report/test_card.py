# SPDX-License-Identifier: MIT
"""The card: law first, everything a fire brigade or a tired worker asks, on one page."""

from __future__ import annotations

import json
import re

import pytest

from assess.around import ready, situated
from retortwright.report.card import card_findings, card_json, card_text, never_on, statements_of


def flat(text: str) -> str:
    """The text on one line."""
    return " ".join(text.split())


def test_law_and_licensed_practice_come_first() -> None:
    text = card_text(situated())
    assert text.startswith("Local law, the fire service and your safety office first; licensed practice next")
    assert "NFPA 660 (2025)" in text
    assert "not in scope is not safe" in flat(text)


def test_it_says_what_lies_where_and_what_it_does() -> None:
    text = flat(card_text(situated()))
    for part in (
        r"pot \(pot\): CaCl2 \d",
        r"glass \(receiver\): Rb \d",
        r"line \(on its walls\): Rb 0\.\d",
        r"pot: 0\.04\d* MJ from 3\.1 g of Ca, before anything has reacted",
        r"cover with 2\.4 kg NaCl powder or graphite powder; 5 kg NaCl powder stand ready",
        r"NEVER on it: water, CO2, ABC powder, halon, sand",
        r"every wall below 40 degC: [\d.]+ \([\d.]+ to [\d.]+\) h after the furnace is off",
        r"tert-butanol first, in 0\.\d+ L of dry inert solvent",
        r"superoxide: never cut or scrape it",
        r"nitrogen is not inert for it: argon only",
        r"Rb H260 H314\*",
        r"H260 gives gas with water that may take fire by itself",
        r"prevention P223 P231 P232 P280",
        r"from memory: read the sheet of your supplier",
    ):
        assert re.search(part, text), part


def test_it_is_one_page() -> None:
    lines = card_text(situated()).splitlines()
    assert len(lines) <= 90  # practice: a sheet of A4 in small print
    assert max(map(len, lines)) <= 100


def test_what_is_not_said_stands_at_its_end() -> None:
    bare = flat(card_text(situated(safety="")))
    assert "Not settled" in bare
    assert bare.count("unknown") == sum(
        each.verdict == "unknown" for each in card_findings(situated(safety=""))
    )
    assert "Not settled" not in card_text(situated())
    assert "FAILS" in card_text(situated(safety=ready(people="1")))


def test_a_wrong_agent_is_refused_on_it() -> None:
    text = flat(card_text(situated(safety=ready(agent='"5 kg CO2"'))))
    assert "REFUSED CO2 against burning Rb and Ca: it feeds the fire" in text


@pytest.mark.parametrize(
    ("metal", "reagents", "part"),
    [
        ("Ba", {"BaO": '15 g; H2O = "0 %"', "Al": "1.5 g"}, "soluble barium is a poison"),
        ("Zn", {"Zn": "50 g"}, "zinc fume gives a fever"),
        ("Mg", {"Mg": "20 g"}, "takes fire by itself in air"),
        ("Na", {"Na": "20 g"}, "2-propanol is slow on sodium"),
    ],
)
def test_what_is_particular_to_a_metal(metal: str, reagents: dict[str, str], part: str) -> None:
    assert part in flat(card_text(situated(metal, reagents)))


def test_never_carbon_dioxide_on_any_metal() -> None:
    for metal in ("Li", "Na", "K", "Rb", "Cs", "Mg", "Ca", "Ba"):
        assert {"water", "CO2", "halon"} <= set(never_on(situated(metal, {metal: "5 g"})))


def test_statements_are_of_what_is_there() -> None:
    assert {"Rb", "Ca", "CaCl2"} <= set(statements_of(situated()))
    assert "Li" not in statements_of(situated())


def test_a_blank_has_nothing_to_burn() -> None:
    assert "nothing burns and nothing is quenched" in card_text(situated(reagents={}))


def test_the_same_as_json() -> None:
    made = json.loads(card_json(situated(), [("aim.amount", "1 g")]))
    assert made["rig"]["edits"] == {"aim.amount": "1 g"}
    assert {each["kind"] for each in made["inventory"]} >= {"pot", "line", "receiver"}
    low, best, high = made["agent_kg"]
    assert low <= best <= high
    assert made["opening"]["below_K"] == pytest.approx(313.15)
    assert made["quench"]["alcohol"] == "tert-butanol"
    assert made["statements"]["Ca"]["known"] == "recalled"
    blank = json.loads(card_json(situated(reagents={})))
    assert blank["agent_kg"] is None
    assert blank["missing"][0]["datum"] == "charge"


def test_without_a_route_the_card_says_so() -> None:
    text = flat(card_text(situated("Rb", {"RbCl": "10 g"})))
    assert "not known: no metal or other element that could free it" in text
