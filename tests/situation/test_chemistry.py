# SPDX-License-Identifier: MIT
"""Whose uncertainty a Gibbs energy carries: shared with its compound, its own, and none at a melting point."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.units import Band
from retortwright.physics.melts import equilibrium_pressure
from retortwright.reference.datum import number_of
from retortwright.reference.species import STANDARD_PRESSURE
from retortwright.reference.tables import shipped
from retortwright.situation.chemistry import Chemistry
from situation.equilibria import charged, chemistry, species

MANY = Draws(samples=128)
NAMES = shipped().subjects("species")


def vapour(chemicals: Chemistry, gas: str, count: int, liquid: str, kelvin: float) -> Array:
    """Pressure of a gas over its own liquid, of which it holds so many formulas [Pa]."""
    potential = count * chemicals.gibbs(liquid, kelvin)
    return np.asarray(
        equilibrium_pressure(kelvin, potential, chemicals.gibbs(gas, kelvin), STANDARD_PRESSURE)
    )


def silenced(*beliefs: str) -> Draws:
    """Draws in which these beliefs are certain."""
    return replace(MANY, widths=dict.fromkeys(beliefs, 0.0))


@pytest.mark.parametrize("name", NAMES)
def test_without_spread_all_samples_are_the_table(name: str) -> None:
    each = species(name)
    kelvin = min(max(900.0, each.lowest + 1), each.highest - 1)
    found = chemistry(Draws(samples=8, width=0.0)).gibbs(name, kelvin)
    assert found.tolist() == pytest.approx([float(each.gibbs(kelvin))] * 8, rel=1e-12)  # exact


@pytest.mark.parametrize("name", NAMES)
def test_the_middle_of_the_samples_is_the_table(name: str) -> None:
    each = species(name)
    kelvin = min(max(900.0, each.lowest + 1), each.highest - 1)
    doubt = chemistry(MANY).doubt(each, kelvin)
    assert doubt.shape == (MANY.size,)
    if np.ptp(doubt) > 0 and "CaCl3" not in name:  # those lean to one side
        assert np.mean(doubt < 0) == pytest.approx(0.5, abs=0.15)


def test_what_is_shared_cancels_in_a_vapour_pressure() -> None:
    own = silenced("vapour.LiCl(g)", "vapour.Li2Cl2(g)", "melting.LiCl(l)")
    chemicals = chemistry(own)
    assert np.ptp(chemicals.gibbs("LiCl(g)", 1000.0)) > 500.0
    for gas, count in (("LiCl(g)", 1), ("Li2Cl2(g)", 2)):
        pressure = vapour(chemicals, gas, count, "LiCl(l)", 1000.0)
        assert np.ptp(pressure) < 1e-9 * pressure[0]  # exact: the same formation enthalpy on both sides


def test_what_is_shared_cancels_in_making_a_double_salt() -> None:
    chemicals = chemistry(silenced("formation.CsCaCl3(s)"))
    step = chemicals.gibbs("CsCaCl3(s)", 900.0) - sum(
        chemicals.gibbs(salt, 900.0) for salt in ("CsCl(s)", "CaCl2(s)")
    )
    assert np.ptp(step) < 1e-6  # exact: only its own step is uncertain, and that is silenced
    wide = chemistry(MANY)
    step = wide.gibbs("CsCaCl3(s)", 900.0) - sum(wide.gibbs(salt, 900.0) for salt in ("CsCl(s)", "CaCl2(s)"))
    assert np.ptp(step) > 5000.0


def test_what_is_its_own_stays_in_a_vapour_pressure() -> None:
    pressure = vapour(chemistry(MANY), "LiCl(g)", 1, "LiCl(l)", 1000.0)
    row = shipped().rows["species", "LiCl(g)", "own-spread"]
    low, high = np.quantile(np.log(pressure), [0.05, 0.95])
    width = (number_of(row).high - number_of(row).low) / (8.314462618 * 1000.0)
    assert high - low == pytest.approx(width, rel=0.1)  # exact: but for the little of the melting


@pytest.mark.parametrize("name", ["CsCl(l)", "RbCl(l)", "CaCl2(l)", "Li(l)", "Rb(l)"])
def test_the_heat_of_melting_is_not_in_doubt_at_the_melting_point(name: str) -> None:
    liquid, solid = species(name), species(name.replace("(l)", "(s)"))
    assert liquid.melts is not None
    chemicals = chemistry(MANY)
    places = liquid.melts * np.array([[0.8], [1.0], [1.2]])
    between = chemicals.doubt(liquid, places) - chemicals.doubt(solid, places)
    assert np.ptp(between[1]) < 1e-6  # exact: solid and liquid meet there, whatever the heat
    assert np.ptp(between[0]) > 1.0
    assert between[2] == pytest.approx(-between[0], abs=1e-6)  # exact: straight in the temperature


def test_the_stable_phase_is_the_lower_one() -> None:
    chemicals = chemistry()
    kelvin = np.array([[1000.0], [1115.0], [1300.0]])
    found = chemicals.lowest(["Ca(s)", "Ca(l)"], kelvin)
    assert found[0] == chemicals.gibbs("Ca(s)", kelvin)[0]
    assert found[2] == chemicals.gibbs("Ca(l)", kelvin)[2]  # the solid is not known there
    assert np.isnan(chemicals.lowest(["Ca(s)"], kelvin)[2, 0])


def test_a_species_that_is_not_there_is_written_down_once_asked() -> None:
    chemicals = chemistry(MANY)
    assert chemicals.ledger.missing == []
    for read in (chemicals.gibbs, chemicals.enthalpy):
        found = read("UCl3(s)", np.array([[900.0], [1000.0]]))
        assert found.shape == (2, MANY.size)
        assert np.isnan(found).all()
    assert {each.datum for each in chemicals.ledger.missing} == {"species/UCl3(s)"}


def test_what_was_read_is_cited() -> None:
    chemicals = chemistry(MANY)
    chemicals.gibbs("RbCaCl3(s)", 900.0)
    cites = chemicals.ledger.cites
    assert {"species/RbCaCl3(s)/piece-1", "species/RbCaCl3(s)/own-spread"} <= cites
    assert {"formation.RbCl(s)", "formation.CaCl2(s)", "formation.RbCaCl3(s)"} <= set(chemicals.ledger.used)


@pytest.mark.parametrize("order", [("SrAl2O4(s)", "SrO(s)"), ("SrO(s)", "SrAl2O4(s)")])
def test_a_shared_belief_is_as_well_known_as_its_owner(order: tuple[str, str]) -> None:
    assert species("SrO(s)").seen
    recalled = replace(shipped().rows["species", "SrAl2O4(s)", "formation-enthalpy"], known="recalled")
    chemicals = chemistry(MANY, shipped().with_row(recalled))
    for name in order:
        chemicals.gibbs(name, 1000.0)
    used = chemicals.ledger.used
    assert used["formation.SrO(s)"].seen
    assert not used["formation.SrAl2O4(s)"].seen


def test_a_figure_of_the_user_is_not_from_memory() -> None:
    rig = replace(charged("Sr", "SrO", "Al"), assume={"formation.SrAl2O4(s)": Band(-2e3, 0.0, 2e3)})
    recalled = replace(shipped().rows["species", "SrAl2O4(s)", "formation-enthalpy"], known="recalled")
    chemicals = Chemistry(Ledger(rig, shipped().with_row(recalled), MANY))
    chemicals.gibbs("SrAl2O4(s)", 1000.0)
    belief = chemicals.ledger.used["formation.SrAl2O4(s)"]
    assert belief.basis == "file"
    assert belief.seen


def test_a_large_formation_enthalpy_is_not_cut() -> None:
    """Some compounds of many atoms lie below -1e7 J/mol."""
    row = replace(
        shipped().rows["species", "RbCl(s)", "formation-enthalpy"],
        data="-12000000",
        spread="-12001000 to -11999000",
    )
    chemicals = chemistry(MANY, shipped().with_row(row))
    doubt = chemicals.doubt(species("RbCl(s)"), 900.0)
    assert np.abs(doubt).max() < 1200.0  # exact: a tenth beyond its 5 and 95 % points
    assert np.ptp(doubt) > 1000.0


# ---- pressures that follow


@pytest.mark.parametrize(("gas", "count", "pressure"), [("LiCl(g)", 1, 11.5), ("Li2Cl2(g)", 2, 18.0)])
def test_lithium_chloride_within_its_band_beside_other_data(gas: str, count: int, pressure: float) -> None:
    found = vapour(chemistry(), gas, count, "LiCl(l)", 973.15)
    low, high = np.quantile(vapour(chemistry(Draws()), gas, count, "LiCl(l)", 973.15), [0.05, 0.95])
    # regression: these were computed from another set of data; ours lie a third off, each to its own side
    assert low < pressure < high
    assert float(found[0]) == pytest.approx(pressure, rel=0.3)


def test_the_dimer_of_lithium_chloride_is_no_detail() -> None:
    chemicals = chemistry()
    monomer, dimer = (
        vapour(chemicals, *each, "LiCl(l)", 973.15)[0] for each in (("LiCl(g)", 1), ("Li2Cl2(g)", 2))
    )
    assert dimer > monomer
