# SPDX-License-Identifier: MIT
"""Any charge: beside the general library, beside the picture of one salt and one reductant, by hand, unknowns."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retortwright.belief.beliefs import Draws
from retortwright.ground.formula import elements_of
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.reference.tables import Tables, shipped
from retortwright.situation.any_charge import Contents, any_charge, unknown_slags, unmixed_metals
from retortwright.situation.charge_phases import charge_phases
from situation.charges_in_library import ideal, in_library
from situation.equilibria import chemistry, over_charge, routed, species
from situation.rigs import MIDDLE

ROUTES = {
    "two salts and calcium": {"NaCl": 1.0, "KCl": 0.5, "Ca": 1.0, "Ar": 1e-3},
    "a salt with its neighbour in it": {"CsCl": 0.99, "RbCl": 0.01, "Li": 1.2, "Ar": 1e-3},
    "traces of five salts": {"RbCl": 1.0, "CsCl": 1e-3, "KCl": 1e-4, "NaCl": 1e-6, "LiCl": 1e-9, "Ca": 0.6, "Ar": 1e-3},
    "dolime and silicon": {"CaO": 1.0, "MgO": 1.0, "Si": 0.5, "Ar": 1e-3},
    "baryta and aluminium": {"BaO": 4.0, "Al": 2.0, "Ar": 1e-3},
    "strontia and aluminium": {"SrO": 4.0, "Al": 2.5, "Ar": 1e-3},
    "lithia and aluminium": {"Li2O": 3.0, "Al": 1.5, "Ar": 1e-3},
    "a wet salt and crusted calcium": {"CsCl": 1.0, "H2O": 0.03, "CaO": 0.02, "Ca": 0.6, "Ar": 1e-3},
    "an oxide with carbonate left in it": {"CaO": 1.0, "CaCO3": 0.05, "Al": 0.6, "Ar": 1e-3},
    "a fluoride": {"KF": 1.0, "Ca": 0.6, "Ar": 1e-3},
    "a hydroxide": {"KOH": 1.0, "Al": 0.5, "Ar": 1e-2},
}  # fmt: skip
UNSOLVED = {("dolime and silicon", 1150.0), ("lithia and aluminium", 1480.0)}  # the library does not end
SOLVED = [
    (name, kelvin) for name in ROUTES for kelvin in (820.0, 1150.0, 1480.0) if (name, kelvin) not in UNSOLVED
]


def content(amounts: dict[str, float], kelvin: float, pressure: float, draws: Draws = MIDDLE) -> Contents:
    """What a charge becomes, from the tables."""
    chemicals = chemistry(draws)
    found = any_charge(chemicals, amounts)
    assert found is not None, chemicals.ledger.missing
    return found.at(amounts, kelvin, pressure)


@pytest.mark.parametrize(("name", "kelvin"), SOLVED)
def test_the_general_library_agrees(name: str, kelvin: float) -> None:
    amounts = ROUTES[name]
    ours = ideal({each: np.array([n]) for each, n in amounts.items()}, np.array([kelvin]), np.array([300.0]))
    found = ours.solved()
    peer = in_library(ours.phases, amounts, kelvin, 300.0)
    assert found.converged[0]
    assert peer.equilibrate()
    moles = peer.moles()
    assert np.abs(moles @ ours.system.atoms - ours.totals[0]).max() < 1e-9  # it kept what was put in
    # exact: the same minimum of the same Gibbs energy
    assert found.moles[0] == pytest.approx(moles, rel=1e-6, abs=1e-9 * float(ours.totals.max()))


@pytest.mark.parametrize(
    "names", [("Rb", "RbCl", "Ca"), ("Cs", "CsCl", "Li"), ("K", "KCl", "Ca"), ("Li", "Li2O", "Al")]
)
@pytest.mark.parametrize(("kelvin", "left"), [(760.0, 0.3), (950.0, 0.7), (1150.0, 0.9)])
def test_one_salt_and_one_reductant_agree(names: tuple[str, str, str], kelvin: float, left: float) -> None:
    route = routed(*names)
    expected = over_charge(route, np.array([kelvin])).at(left)
    total = float(expected.total[0, 0])
    amounts = {
        route.salt: 1 - left,
        route.left: left * route.lefts / route.salts,
        route.reductant: (1.5 - left) * route.reductants / route.salts,
        "Ar": 1e-7,
    }
    found = content(amounts, kelvin, 3 * total + 1e-6)
    assert found.known.all()
    for gas, pressure in expected.pressures.items():
        if pressure[0, 0] > 1e-6 * total:
            # exact: the same potentials another way; a ten-millionth of the charge is in the gas
            assert float(found.pressures[gas][0]) == pytest.approx(float(pressure[0, 0]), rel=2e-5)


def test_a_slag_binds_a_quarter_of_the_baryta() -> None:
    """4 BaO + 2 Al -> 3 Ba(g) + BaAl2O4."""
    found = content({"BaO": 4.0, "Al": 2.0, "Ar": 1e-9}, 1400.0, 0.1)
    assert float(found.vapour("Ba")[0]) == pytest.approx(
        3.0, rel=1e-3
    )  # exact: the ceiling of three quarters
    assert float(found.of("BaAl2O4")[0] + 1.5 * found.of("Ba3Al2O6")[0]) == pytest.approx(1.0, rel=1e-3)


def test_a_salt_alone_says_nothing_of_its_metal() -> None:
    alone, beside = (content({"NaCl": 1.0, "KCl": 1.0, **more}, 1100.0, 1e5) for more in ({}, {"Ca": 0.1}))
    assert np.isnan(alone.pressures["Na(g)"]).all()  # exact: any potential of sodium would do
    assert np.isnan(alone.pressures["Cl2(g)"]).all()
    assert alone.pressures["NaCl(g)"][0] > 1
    assert beside.pressures["Na(g)"][0] > 1


def test_water_becomes_hydrogen_and_oxide() -> None:
    found = content({"CsCl": 1.0, "Ca": 0.8, "H2O": 0.01, "Ar": 1e-6}, 1000.0, 2000.0)
    assert float(found.of("CaO")[0]) == pytest.approx(0.01, rel=1e-3)  # exact: Ca + H2O -> CaO + 2 H
    assert float(found.vapour("H")[0]) == pytest.approx(0.02, rel=0.05)


def test_a_heavier_neighbour_comes_over_with_its_metal() -> None:
    """Cs(g) + RbCl <-> Rb(g) + CsCl, in the melt and the gas of one equilibrium."""
    kelvin = 1000.0
    found = content(ROUTES["a salt with its neighbour in it"], kelvin, 1e3)
    levels = found.found.potentials[0]
    phases = charge_phases(shipped(), {"Cs", "Rb", "Cl", "Li", "Ar"})
    by_element = dict(zip(phases.elements, levels, strict=True))
    for element in ("Cs", "Rb"):
        gibbs = float(species(f"{element}(g)").gibbs(kelvin)) / (GAS_CONSTANT * kelvin)
        pressure = 1e5 * np.exp(by_element[element] - gibbs)
        # exact: mu = g + R T ln(p / p0)
        assert float(found.pressures[f"{element}(g)"][0]) == pytest.approx(pressure, rel=1e-9)


def test_the_band_of_a_melt_without_data_is_wide() -> None:
    draws = Draws(32)
    published, not_published = (
        content({salt: 1.0, other: 1.0, "Ca": 1.2, "Ar": 1e-4}, 1200.0, 3e4, draws)
        for salt, other in (("NaCl", "KCl"), ("NaCl", "KF"))
    )
    assert published.known.all()
    assert not_published.known.all()
    first, second = chemistry(draws), chemistry(draws)
    for chemicals, salts in ((first, ("NaCl", "KCl")), (second, ("NaCl", "KF"))):
        charge = any_charge(chemicals, dict.fromkeys([*salts, "Ca"], 1.0))
        assert charge is not None
        charge.at(dict.fromkeys([*salts, "Ca"], 1.0), 1200.0, 3e4)
    assert "melt.interaction" not in first.ledger.used
    assert "melt.interaction" in second.ledger.used  # the band says so


def test_samples_of_what_is_uncertain_spread_the_pressure() -> None:
    found = content({"CsCl": 1.0, "Ca": 0.7, "Ar": 1e-6}, 1050.0, 1e5, Draws(32))
    low, high = np.quantile(found.pressures["Ca(g)"], [0.05, 0.95])
    assert found.known.all()
    assert 1.05 < high / low < 10  # regression: a few kJ/mol in the vapour of calcium


def test_an_element_without_data_is_said() -> None:
    chemicals = chemistry()
    assert any_charge(chemicals, {"Pt": 1.0, "MgO": 1.0}) is None
    assert [each.datum for each in chemicals.ledger.missing] == ["species/Pt"]


def without_slag(*elements: str) -> Tables:
    """The shipped tables but for the condensed species of exactly these elements."""
    tables = shipped()
    gone = {
        name for name in tables.subjects("species")
        if set(elements_of(name[:-3])) == set(elements) and not name.endswith("(g)")
    }  # fmt: skip
    return replace(tables, rows={key: row for key, row in tables.rows.items() if key[1] not in gone})


def test_a_slag_whose_compounds_the_tables_lack_is_said() -> None:
    chemicals = chemistry(tables=without_slag("Ca", "Si", "O"))
    assert any_charge(chemicals, {"CaO": 1.0, "MgO": 1.0, "Si": 0.5}) is None
    assert [each.datum for each in chemicals.ledger.missing] == ["species/Ca-Si-O"]
    assert any_charge(chemistry(), {"CaO": 1.0, "MgO": 1.0, "Si": 0.5}) is not None


def test_a_slag_of_a_trace_is_of_no_account() -> None:
    tables = without_slag("Rb", "Si", "O")
    assert unknown_slags(tables, {"MgO": 1.0, "Si": 0.5, "Rb2O": 1e-6}) == ()
    assert unknown_slags(tables, {"MgO": 1.0, "Si": 0.5, "Rb2O": 0.1})


def test_alloys_are_named() -> None:
    assert unmixed_metals(shipped(), {"BaO": 1.0, "Al": 1.0}) == (("Al", "Ba"),)
    assert unmixed_metals(shipped(), {"NaCl": 1.0, "KCl": 1.0, "Li": 1.0}) == ()


@pytest.mark.parametrize(("chloride", "known"), [(1.0, False), (1e-7, True)])
def test_a_double_salt_beyond_its_data_leaves_no_number(chloride: float, known: bool) -> None:
    """The data of CsCaCl3(s) end at 1800 K, where much calcium chloride would just not freeze it out."""
    end = species("CsCaCl3(s)").highest
    amounts = {"CsCl": 1.0, "CaCl2": chloride, "Ar": 1e-6}
    below, above = content(amounts, end - 1, 1e5), content(amounts, end + 1, 1e5)
    assert below.known.all()
    assert above.shown.all()
    assert bool(above.known.all()) is known
    assert np.isnan(above.moles["CsCl(l)"]).all() != known


def test_a_blanked_row_is_missing() -> None:
    tables = shipped()
    blanked = replace(tables, blanked=frozenset({"species/CaCl2(l)/formation-enthalpy"}))
    chemicals = chemistry(tables=blanked)
    assert any_charge(chemicals, {"CsCl": 1.0, "Ca": 1.0}) is None
    assert [each.datum for each in chemicals.ledger.missing] == ["species/CaCl2(l)/formation-enthalpy"]


FORMULAS = [
    "NaCl",
    "KCl",
    "CsCl",
    "CaCl2",
    "CaO",
    "MgO",
    "Al2O3",
    "CaF2",
    "K2CO3",
    "H2O",
    "Ca",
    "Li",
    "Mg",
    "Al",
    "C",
]


@settings(max_examples=10, deadline=None)
@given(st.lists(st.sampled_from(FORMULAS), min_size=2, max_size=4, unique=True), st.integers(0, 2**32 - 1))
def test_any_amounts_keep_their_elements(formulas: list[str], seed: int) -> None:
    random = np.random.default_rng(seed)
    amounts = dict(zip([*formulas, "Ar"], 10 ** random.uniform(-9, 0, (len(formulas) + 1, 40)), strict=True))
    ours = ideal(amounts, random.uniform(600, 1700, 40), 10 ** random.uniform(0, 5, 40))
    found = ours.solved()
    good = found.converged
    assert good.mean() > 0.94
    back = found.moles[good] @ ours.system.atoms
    assert back == pytest.approx(ours.totals[good], rel=1e-9)  # exact: every element, traces too
    assert found.excess[good].max() < 1e-8  # exact: no phase would grow
    assert np.abs(np.where(found.phase_moles[good] > 0, found.excess[good], 0.0)).max() < 1e-8
