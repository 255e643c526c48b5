# SPDX-License-Identifier: MIT
"""What attacks what: every row can be read, the worst word rules, and nothing is said outside a range."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from retortwright.ground.errors import TableError
from retortwright.reference.attacks import (
    WORDS,
    Attack,
    agents,
    attacked,
    attacks_on,
    verdict_at,
    wetted_part,
)
from retortwright.reference.datum import Missing, Row
from retortwright.reference.species import Species, find_species
from retortwright.reference.tables import Tables, shipped

TABLES = shipped()
ROWS = [row for row in TABLES.rows.values() if row.table == "attacks"]
VERDICTS = [row for row in ROWS if row.name != "wets"]
OTHER_MATERIALS = {
    "FKM", "NBR", "PCTFE", "aluminium", "boron nitride", "copper braze", "epoxy", "fireclay", "gold", "graphite",
    "graphite foil", "grease", "indium", "magnesia", "molybdenum", "nickel braze", "sealing wax", "silver braze",
    "soft solder",
}  # fmt: skip
WETTED = (
    "304L", "316L", "mild steel", "borosilicate", "FKM", "PTFE", "copper", "silver braze", "alumina", "graphite foil",
)  # fmt: skip
RUBIDIUM_RIG = [
    *((agent, material) for agent in ("Rb(l)", "Rb(g)") for material in WETTED),
    *((agent, material) for agent in ("Ca(g)", "Ca(s)", "RbCl(l)") for material in WETTED[:3]),
]


def said(agent: str, material: str, temperature: float) -> Attack:
    """A verdict that has to be there."""
    found = verdict_at(TABLES, agent, material, temperature)
    assert isinstance(found, Attack), found
    return found


# --- the table


@pytest.mark.parametrize("row", VERDICTS, ids=lambda row: f"{row.subject}/{row.name}")
def test_every_verdict_can_be_read(row: Row) -> None:
    agent, material = row.subject.split(" on ")
    (found,) = [each for each in attacks_on(TABLES, agent, material) if each.row is row]
    assert found.word in WORDS
    assert 250.0 < found.low < found.high
    assert row.unit == "K"


def test_every_row_is_reached_by_its_number() -> None:
    assert {row.name.rpartition("-")[0] for row in VERDICTS} == {"verdict"}
    reached = [each for one in agents(TABLES) for material in attacked(TABLES, one)
               for each in attacks_on(TABLES, one, material)]  # fmt: skip
    assert len(reached) == len(VERDICTS) > 500  # exact: a count


def test_materials_are_those_of_walls_and_seals() -> None:
    known = set(TABLES.subjects("materials")) | OTHER_MATERIALS
    assert [material for material in attacked(TABLES) if material not in known] == []


def test_agents_are_species_or_plain_words() -> None:
    plain = {"air", "aluminate slag"}
    for agent in agents(TABLES):
        for part in agent.removeprefix("moist ").split(" with "):
            name = part if part.endswith(")") or part in plain else f"{part}(s)"
            if name in plain or name[:2] in ("La", "Eu", "Sm", "Yb"):
                continue
            assert isinstance(find_species(TABLES, name), Species), agent


def test_what_a_joint_wets_is_a_joint_and_a_material_with_verdicts() -> None:
    for row in ROWS:
        if row.name == "wets":
            assert row.subject in TABLES.subjects("joints")
            assert row.data in attacked(TABLES)
    assert wetted_part(TABLES, "FKM O-ring cap") == "FKM"
    assert wetted_part(TABLES, "TIG") is None


@pytest.mark.parametrize(("agent", "material"), RUBIDIUM_RIG)
def test_a_rubidium_rig_has_an_answer_for_every_wetted_pair(agent: str, material: str) -> None:
    assert attacks_on(TABLES, agent, material) != ()


def test_recalled_rows_say_so() -> None:
    recalled = [row for row in VERDICTS if row.source == "handbook-memory"]
    assert {row.known for row in recalled} == {"recalled"}
    assert sum(row.known == "seen" for row in VERDICTS) > 100


# --- the reader


def test_the_worst_word_rules() -> None:
    # published: cr-rb-diagram between 700 and 900 degC beside the recalled row that begins at melting
    assert said("Rb(l)", "316L", 500.0).word == "bears"
    found = said("Rb(l)", "316L", 1000.0)
    assert (found.word, found.row.source, found.seen) == ("slow", "cr-rb-diagram", True)


def test_a_read_row_is_named_before_a_recalled_one_of_the_same_word() -> None:
    agent, material = "Mg(l)", "mild steel"
    recalled = replace(
        attacks_on(TABLES, agent, material)[0].row,
        name="verdict-3",
        known="recalled",
        source="handbook-memory",
    )
    with_both = TABLES.with_row(recalled)
    assert len(attacks_on(with_both, agent, material)) == 3
    found = verdict_at(with_both, agent, material, 950.0)
    assert isinstance(found, Attack)
    assert found.seen


@pytest.mark.parametrize(
    ("agent", "material", "kelvin", "word"),
    [
        ("Ca(g)", "nickel", 879.0, "eaten"),  # published: ca-ni-1965, eutectic 605 degC
        ("K(g)", "alumina", 1373.0, "eaten"),  # published: k-alumina-1992
        ("Mg(l)", "copper", 1000.0, "eaten"),  # published: cu-mg-1942, eutectic 488 degC
        ("Rb(g)", "graphite foil", 400.0, "eaten"),  # published: graphite-intercalation-1999
        ("Rb(l)", "PTFE", 320.0, "violent"),  # published: ptfe-supplier-notes
        ("Rb(g)", "alumina", 600.0, "bears"),  # published: sapphire-cell-2017, to 350 degC
        ("moist CaCl2", "304L", 305.0, "eaten"),  # published: chloride-deposits-2009, from 30 degC
        ("Na(l)", "316L", 1000.0, "bears"),  # published: amateau-1962, to about 1600 F
        ("Na(l)", "310S", 1089.0, "slow"),  # published: anp-1956-09, p. 139, 13 mils in 1000 h
        ("Li(l)", "Ni-Cr-Fe", 978.0, "eaten"),  # published: anp-1956-09, table 3.2.9, 1300 F
        ("Ca(g)", "mild steel", 1200.0, "bears"),  # published: ca-fe-1985
        ("Li(l)", "silver braze", 600.0, "eaten"),  # published: ag-li-diagram, liquid from 317 degC
    ],
)
def test_verdicts_that_texts_give(agent: str, material: str, kelvin: float, word: str) -> None:
    found = said(agent, material, kelvin)
    assert found.word == word
    assert found.seen


def test_outside_every_range_nothing_is_known() -> None:
    found = verdict_at(TABLES, "Na(l)", "copper", 1300.0)
    assert isinstance(found, Missing)
    assert found.says == "what Na(l) does to copper is known from 371 to 998 K; asked at 1300 K"
    assert said("Na(l)", "copper", 998.0).word == "bears"
    nothing = verdict_at(TABLES, "Na(l)", "cheese", 400.0)
    assert isinstance(nothing, Missing)
    assert "not in our tables" in nothing.says


def test_an_open_range_has_no_upper_end() -> None:
    found = said("Ca(s)", "nickel", 1100.0)
    assert found.high == math.inf
    gone = verdict_at(TABLES, "Ca(s)", "nickel", 500.0)
    assert isinstance(gone, Missing)
    assert "from 878 K up" in gone.says


def test_a_blanked_row_says_nothing() -> None:
    blanked = TABLES.without("attacks/Rb(l) on 316L/verdict-2")
    found = verdict_at(blanked, "Rb(l)", "316L", 1000.0)
    assert isinstance(found, Attack)
    assert found.word == "bears"


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"data": "nibbles"}, "must be one of bears, slow, eaten, violent"),
        ({"spread": ""}, "the range must be such as"),
        ({"spread": "900"}, "the range must be such as"),
        ({"spread": "900 to 300"}, "the range must rise"),
        ({"spread": "hot up"}, "the range must be such as"),
        ({"spread": "nan up"}, "the range must rise"),
    ],
)
def test_a_bad_row_is_refused_in_words(change: dict[str, str], says: str) -> None:
    row = TABLES.rows["attacks", "Rb(l) on 316L", "verdict-1"]
    spoiled: Tables = TABLES.with_row(replace(row, **change))
    with pytest.raises(TableError, match=says):
        attacks_on(spoiled, "Rb(l)", "316L")


# --- energies that the table works out from the species


def energy(agent: str, oxide: str, made: dict[str, float], metal: float, temperature: float) -> float:
    """Energy of taking the oxygen of one mole of an oxide [kJ]."""

    def gibbs(name: str) -> float:
        if name.endswith(")"):
            both = [name]
        else:
            both = [f"{name}(s)", f"{name}(l)"]
        values = []
        for each in both:
            found = find_species(TABLES, each)
            assert isinstance(found, Species)
            values.append(float(found.gibbs(temperature)))
        return min(value for value in values if not math.isnan(value))

    total = sum(count * gibbs(name) for name, count in made.items())
    return (total - metal * gibbs(agent) - gibbs(oxide)) / 1e3


@pytest.mark.parametrize(
    ("agent", "oxide", "made", "metal", "range_", "energies"),
    [
        ("Li", "SiO2(s)", {"Li2O(s)": 2, "Si(s)": 1}, 4, (700, 1300), (-231, -171)),
        ("Mg", "SiO2(s)", {"MgO(s)": 2, "Si(s)": 1}, 2, (700, 1300), (-269, -240)),
        ("Ca", "SiO2(s)", {"CaO(s)": 2, "Si(s)": 1}, 2, (700, 1300), (-338, -316)),
        ("Sr", "SiO2(s)", {"SrO(s)": 2, "Si(s)": 1}, 2, (700, 1300), (-258, -242)),
        ("Ba", "SiO2(s)", {"BaO(s)": 2, "Si(s)": 1}, 2, (700, 1300), (-184, -175)),
        ("K", "SiO2(s)", {"K2SiO3(s)": 2 / 3, "Si(s)": 1 / 3}, 4 / 3, (500, 1100), (-104, -84)),
        ("Li", "Al2O3(s)", {"LiAlO2(s)": 1.5, "Al": 0.5}, 1.5, (700, 1300), (-104, -98)),
        ("Na", "Al2O3(s)", {"NaAlO2(s)": 1.5, "Al": 0.5}, 1.5, (700, 1300), (-14, -5)),
        ("K", "Al2O3(s)", {"KAlO2(s)": 1.5, "Al": 0.5}, 1.5, (700, 1300), (-13, -8)),
        ("Mg", "Al2O3(s)", {"MgAl2O4(s)": 0.75, "Al": 0.5}, 0.75, (700, 1300), (-52, -55)),
        ("Ca", "Al2O3(s)", {"CaO(s)": 3, "Al": 2}, 3, (700, 1300), (-226, -229)),
        ("Sr", "Al2O3(s)", {"SrO(s)": 3, "Al": 2}, 3, (700, 1300), (-106, -119)),
        ("Ba", "Al2O3(s)", {"BaO(s)": 3, "Al": 2}, 3, (1100, 1400), (-12, -21)),
        ("Ca", "MgO(s)", {"CaO(s)": 1, "Mg": 1}, 1, (1100, 1400), (-37, -38)),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_energies_of_reaction_are_those_of_the_species(
    agent: str,
    oxide: str,
    made: dict[str, float],
    metal: float,
    range_: tuple[int, int],
    energies: tuple[int, int],
) -> None:
    for temperature, expected in zip(range_, energies, strict=True):
        # exact: worked out anew from the species table; half the last digit of the locator
        assert energy(agent, oxide, made, metal, temperature) == pytest.approx(expected, abs=0.5)
    text = " ".join(row.locator for row in VERDICTS if row.source == "retortwright-attack")
    assert f"{agent} and {oxide[:-3]}" in text
    assert f"{energies[0]} to {energies[1]} kJ" in text
