# SPDX-License-Identifier: MIT
"""Reading species out of the table: names, pieces, shares, what is missing and what was not seen."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from retortwright.reference.datum import Missing
from retortwright.reference.species import Species, condensed_of, find_species, gases_of, name_parts
from retortwright.reference.tables import Tables, shipped


def species(name: str, tables: Tables | None = None) -> Species:
    found = find_species(tables or shipped(), name)
    assert isinstance(found, Species)
    return found


@pytest.mark.parametrize(
    ("name", "parts"),
    [("RbCl(s)", ("RbCl", "s")), ("Ca(OH)2(s)", ("Ca(OH)2", "s")), ("Rb2Cl2(g)", ("Rb2Cl2", "g"))],
)
def test_a_name_is_formula_and_phase(name: str, parts: tuple[str, str]) -> None:
    assert name_parts(name) == parts


@pytest.mark.parametrize("name", ["RbCl", "Ca(OH)2", "RbCl(x)", "RbCl(cr)", "", "(s)", "RbCl(s", "RbCl(s))"])
def test_a_name_without_a_phase_is_refused(name: str) -> None:
    with pytest.raises(ValueError, match="is no species such as"):
        name_parts(name)


def test_a_species_that_is_not_there() -> None:
    found = find_species(shipped(), "UCl3(s)")
    assert isinstance(found, Missing)
    assert found.says == "no thermochemical data of UCl3(s) in our tables"


@pytest.mark.parametrize("prop", ["formation-enthalpy", "piece-1", "piece-2", "supercooled-to"])
def test_a_blanked_row_takes_the_species_with_it(prop: str) -> None:
    address = f"species/Cs(l)/{prop}"
    found = find_species(shipped().without(address), "Cs(l)")
    assert isinstance(found, Missing)
    assert found.datum == address


def test_polymorphs_are_pieces_of_one_solid() -> None:
    caesium_chloride = species("CsCl(s)")
    assert len(caesium_chloride.pieces.low) == 3  # published: a transition at 743 K, in nasa-tp-2002-211556
    below, above = (float(caesium_chloride.enthalpy(743.0 + step)) for step in (-1e-6, 1e-6))
    assert above - below == pytest.approx(2930, abs=1)  # regression: the heat of the transition [J/mol]
    assert float(caesium_chloride.gibbs(743.0 - 1e-6)) == pytest.approx(
        float(caesium_chloride.gibbs(743.0 + 1e-6)), abs=1.0
    )


def test_a_liquid_knows_where_it_melts_and_reaches_below() -> None:
    liquid, solid = species("CsCl(l)"), species("CsCl(s)")
    assert liquid.melts == solid.highest == 919.0  # published: nasa-tp-2002-211556, CsCL(L)
    assert liquid.lowest < 0.6 * 919.0
    assert solid.melts is None
    assert species("CsCl(g)").melts is None


def test_a_solid_without_a_liquid_row_has_only_its_own_range() -> None:
    row = shipped().rows["species", "CsCl(l)", "supercooled-to"]
    rows = {key: each for key, each in shipped().rows.items() if each is not row}
    plain = species("CsCl(l)", replace(shipped(), rows=rows))
    assert plain.lowest == 919.0
    assert np.isnan(plain.gibbs(918.0))


@pytest.mark.parametrize(
    ("name", "shares"),
    [("Rb2Cl2(g)", ((2, "RbCl(s)"),)), ("CsCaCl3(s)", ((1, "CsCl(s)"), (1, "CaCl2(s)"))), ("RbCl(s)", ())],
)
def test_shares_are_counts_and_names(name: str, shares: tuple[tuple[int, str], ...]) -> None:
    assert species(name).shares == shares


def test_shares_that_cannot_be_read_are_refused() -> None:
    row = replace(shipped().rows["species", "Rb2Cl2(g)", "shares"], data="two RbCl(s)")
    with pytest.raises(ValueError, match="cannot read 'two RbCl"):
        find_species(shipped().with_row(row), "Rb2Cl2(g)")


def test_a_species_from_memory_is_not_seen() -> None:
    row = replace(shipped().rows["species", "RbCl(s)", "formation-enthalpy"], known="recalled")
    assert species("RbCl(s)").seen
    assert not species("RbCl(s)", shipped().with_row(row)).seen
    spread = replace(shipped().rows["species", "CsCl(l)", "own-spread"], known="recalled")
    assert species("CsCl(l)", shipped().with_row(spread)).seen  # only how wide, not what


def test_addresses_say_every_row_that_was_read() -> None:
    assert set(species("CsCl(l)").addresses) == {
        f"species/CsCl(l)/{prop}"
        for prop in ("formation-enthalpy", "own-spread", "shares", "supercooled-to", "piece-1")
    }


def test_an_answer_outside_says_the_range_and_what_was_asked() -> None:
    said = species("CsCl(s)").missing_at(1200.0).says
    assert said == "CsCl(s) is known from 200 to 919 K; asked at 1200 K"


def test_gases_of_elements_are_made_of_no_others() -> None:
    names = [gas.name for gas in gases_of(shipped(), ("Cs", "Li", "Cl"))]
    assert {"Cs(g)", "Cs2(g)", "CsLi(g)", "CsCl(g)", "Cs2Cl2(g)", "LiCl(g)", "Li3Cl3(g)", "Cl(g)"} <= set(
        names
    )
    assert all(set(species(name).elements) <= {"Cs", "Li", "Cl"} for name in names)
    assert len(names) == len(set(names))


def test_condensed_species_of_elements() -> None:
    names = {each.name for each in condensed_of(shipped(), ("Cs", "Ca", "Cl"))}
    assert names >= {"Cs(s)", "Cs(l)", "Ca(s)", "CsCl(s)", "CsCl(l)", "CaCl2(s)", "CsCaCl3(s)"}
    assert not {name for name in names if name.endswith("(g)")}


def test_a_blanked_species_is_left_out_of_a_list() -> None:
    tables = shipped().without("species/CsLi(g)/piece-1")
    before, after = ({gas.name for gas in gases_of(each, ("Cs", "Li", "Cl"))} for each in (shipped(), tables))
    assert before - after == {"CsLi(g)"}
