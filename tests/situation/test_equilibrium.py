# SPDX-License-Identifier: MIT
"""The equilibrium over a charge: mass action by hand, the knee, what only falls, ends of the run, what is unknown."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.ground.units import Band
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.reference.species import name_parts
from retortwright.reference.tables import shipped
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.equilibrium import ChargeEquilibrium, Vapours, charge_equilibrium
from retortwright.situation.reaction import carried_share
from situation.equilibria import charged, chemistry, over_charge, routed, species

Names = tuple[str, str, str]
ROUTES: list[Names] = [
    ("Rb", "RbCl", "Ca"), ("Cs", "CsCl", "Ca"), ("K", "KCl", "Ca"), ("Cs", "CsCl", "Li"), ("Na", "NaCl", "Ca"),
    ("K", "KCl", "Mg"), ("Li", "LiCl", "Ca"), ("Li", "Li2O", "Al"), ("Ca", "CaO", "Al"), ("Mg", "MgO", "Si"),
]  # fmt: skip
MANY = Draws(samples=16)
KELVIN = np.array([723.15, 873.15, 973.15, 1123.15, 1273.15, 1423.15])
LEFT = np.concatenate([[0.0, 1e-6, 1e-3], np.linspace(0.02, 0.98, 49), [0.999, 1.0]])


@cache
def charge(names: Names, draws: Draws = MANY) -> ChargeEquilibrium:
    return over_charge(routed(*names), KELVIN, draws)


@cache
def run(names: Names) -> Vapours:
    """The vapours of a whole run: conversions, temperatures, samples."""
    return charge(names).at(LEFT[:, None, None])


def gibbs(name: str, kelvin: float) -> float:
    return float(species(name).gibbs(kelvin))


def alone(names: Names, kelvin: float, left: float) -> dict[str, float]:
    """Pressures at one temperature, all beliefs in the middle [Pa]."""
    found = over_charge(routed(*names), np.array([kelvin])).at(left)
    return {name: float(pressure[0, 0]) for name, pressure in found.pressures.items()}


# ---- by hand


def test_three_solids_fix_the_pressure() -> None:
    """3 RbCl + Ca -> 2 Rb(g) + RbCaCl3, all solid."""
    kelvin = 700.0
    step = (
        2 * gibbs("Rb(g)", kelvin) + gibbs("RbCaCl3(s)", kelvin)
        - 3 * gibbs("RbCl(s)", kelvin) - gibbs("Ca(s)", kelvin)
    )  # fmt: skip
    expected = 1e5 * np.exp(-step / (2 * GAS_CONSTANT * kelvin))
    for left in (0.01, 0.3, 0.66):
        assert alone(("Rb", "RbCl", "Ca"), kelvin, left)["Rb(g)"] == pytest.approx(
            expected, rel=1e-9
        )  # exact


def test_past_the_double_salt_another_reaction_rules() -> None:
    """2 RbCaCl3 + Ca -> 2 Rb(g) + 3 CaCl2, all solid."""
    kelvin = 700.0
    step = (
        2 * gibbs("Rb(g)", kelvin) + 3 * gibbs("CaCl2(s)", kelvin)
        - 2 * gibbs("RbCaCl3(s)", kelvin) - gibbs("Ca(s)", kelvin)
    )  # fmt: skip
    expected = 1e5 * np.exp(-step / (2 * GAS_CONSTANT * kelvin))
    for left in (0.67, 0.9, 0.999):
        assert alone(("Rb", "RbCl", "Ca"), kelvin, left)["Rb(g)"] == pytest.approx(
            expected, rel=1e-9
        )  # exact


def test_a_slag_with_half_a_lithium() -> None:
    """4 Li2O + 2 Al -> 6 Li(g) + 2 LiAlO2: the oxide is used up for the slag at three quarters."""
    kelvin = 900.0
    step = (
        6 * gibbs("Li(g)", kelvin) + 2 * gibbs("LiAlO2(s)", kelvin)
        - 4 * gibbs("Li2O(s)", kelvin) - 2 * gibbs("Al(s)", kelvin)
    )  # fmt: skip
    unbound = 1e5 * np.exp(-step / (6 * GAS_CONSTANT * kelvin))
    saturated = 1e5 * np.exp((gibbs("Li(l)", kelvin) - gibbs("Li(g)", kelvin)) / (GAS_CONSTANT * kelvin))
    found = over_charge(routed("Li", "Li2O", "Al"), np.array([kelvin])).at(0.2)
    assert unbound > saturated
    assert float(found.pressures["Li(g)"][0, 0]) == pytest.approx(saturated, rel=1e-9)  # exact
    assert float(found.reacted[0, 0]) == pytest.approx(0.75, abs=2e-6)
    after = alone(("Li", "Li2O", "Al"), kelvin, 0.76)["Li(g)"]
    assert after < 1e-3 * saturated


@pytest.mark.parametrize("left", [0.2, 0.55, 0.9])
def test_an_all_molten_charge_follows_mass_action(left: float) -> None:
    """CsCl(l) + Li(l) -> Cs(g) + LiCl(l) with activities x exp(w (1 - x)^2 / R T) written out."""
    kelvin = 1100.0
    row = {
        name: float(shipped().rows["melts", "LiCl-CsCl", f"excess-{name}"].data)
        for name in ("h0", "h1", "s0", "s1")
    }
    w, v = (row[f"h{n}"] - row[f"s{n}"] * kelvin for n in (0, 1))
    thermal, salt = GAS_CONSTANT * kelvin, 1 - left
    own = thermal * np.log(salt) + (1 - salt) ** 2 * (w + 2 * v * salt)
    other = thermal * np.log(1 - salt) + salt**2 * (w - v + 2 * v * salt)
    step = (
        gibbs("Cs(g)", kelvin) + gibbs("LiCl(l)", kelvin) - gibbs("CsCl(l)", kelvin) - gibbs("Li(l)", kelvin)
    )
    expected = 1e5 * np.exp(-(step + other - own) / thermal)
    saturated = 1e5 * np.exp((gibbs("Cs(l)", kelvin) - gibbs("Cs(g)", kelvin)) / thermal)
    found = alone(("Cs", "CsCl", "Li"), kelvin, left)["Cs(g)"]
    assert found == pytest.approx(min(expected, saturated), rel=1e-9)  # exact


def test_every_gas_is_in_equilibrium_with_every_other() -> None:
    """Rb2 from two Rb, CaCl2(g) from Ca(g) and two RbCl(g) less two Rb(g): no potential left over."""
    for names in ROUTES:
        found, kelvin = charge(names).at(0.4), charge(names).temperature
        potential = {
            name: charge(names).gases[name] + GAS_CONSTANT * kelvin * np.log(pressure / 1e5)
            for name, pressure in found.pressures.items()
        }
        counts = {name: elements_of(name_parts(name)[0]) for name in potential}
        single = {name: next(iter(each)) for name, each in counts.items() if sum(each.values()) == 1}
        atoms = {element: potential[name] for name, element in single.items()}
        for name, each in counts.items():
            if set(each) <= set(atoms):
                whole = sum(count * atoms[element] for element, count in each.items())
                assert potential[name] == pytest.approx(whole, rel=1e-9)  # exact


def test_a_gas_of_all_three_elements_counts_each() -> None:
    equilibrium = over_charge(routed("Rb", "RbCl", "Ca"), np.array([900.0]))
    made_up = np.full((1, 1), -1.2e6)
    found = replace(equilibrium, gases={**equilibrium.gases, "RbCaCl3(g)": made_up}).at(0.9)
    state = equilibrium.pair.at(0.9 / (0.9 + 2 * 0.1))
    # exact: RbCl + CaCl2 -> RbCaCl3(g)
    expected = 1e5 * np.exp((state.first + state.second - made_up) / (GAS_CONSTANT * 900.0))
    assert found.pressures["RbCaCl3(g)"] == pytest.approx(expected, rel=1e-9)
    assert found.atoms("Ca") == pytest.approx(
        sum(count * found.pressures[gas] for gas, count in
            (("Ca(g)", 1), ("Ca2(g)", 2), ("CaCl(g)", 1), ("CaCl2(g)", 1), ("RbCaCl3(g)", 1))), rel=1e-12
    )  # fmt: skip


# ---- saturation


def test_the_knee_of_caesium_chloride_with_calcium() -> None:
    names, kelvin = ("Cs", "CsCl", "Ca"), 973.15
    equilibrium = over_charge(routed(*names), np.array([kelvin]))
    saturated = 1e5 * np.exp((gibbs("Cs(l)", kelvin) - gibbs("Cs(g)", kelvin)) / (GAS_CONSTANT * kelvin))
    assert bool(equilibrium.at(1e-3).saturated[0, 0])
    fresh, before, after = (alone(names, kelvin, left)["Cs(g)"] for left in (1e-3, 0.66, 0.67))
    assert fresh == pytest.approx(saturated, rel=1e-12)
    assert before > 0.5 * saturated
    assert after < 1e-3 * before  # regression: a knee at two thirds, by four orders


def test_metal_comes_out_up_to_the_double_salt() -> None:
    """At 900 K the potential of caesium jumps across its own condensed one where CsCl is used up for CsCaCl3."""
    kelvin = 900.0
    found = over_charge(routed("Cs", "CsCl", "Ca"), np.array([kelvin])).at(0.1)
    assert float(found.reacted[0, 0]) == pytest.approx(2 / 3, abs=2e-6)  # exact: CsCl and CaCl2 one to one
    # exact: Cs(l), Ca(s) and CsCaCl3(s) together fix the chlorine
    chlorine = (gibbs("CsCaCl3(s)", kelvin) - gibbs("Cs(l)", kelvin) - gibbs("Ca(s)", kelvin)) / 3
    for gas, potential in (
        ("CsCl(g)", gibbs("Cs(l)", kelvin) + chlorine),
        ("CaCl2(g)", gibbs("Ca(s)", kelvin) + 2 * chlorine),
        ("Cl(g)", chlorine),
    ):
        expected = 1e5 * np.exp((potential - gibbs(gas, kelvin)) / (GAS_CONSTANT * kelvin))
        assert float(found.pressures[gas][0, 0]) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("names", ROUTES, ids="-".join)
def test_metal_lies_in_the_charge_up_to_the_conversion_it_says(names: Names) -> None:
    equilibrium, found = charge(names), charge(names).at(1e-3)
    where = found.saturated & (found.reacted > 1.1e-3) & (found.reacted < 0.99)
    before, after = (equilibrium.at(found.reacted + step) for step in (-5e-6, 5e-6))
    assert np.all(before.saturated[where])  # exact: by its definition
    assert not np.any(after.saturated[where])


@pytest.mark.parametrize("names", ROUTES, ids="-".join)
def test_the_product_never_stands_above_its_own_saturation(names: Names) -> None:
    equilibrium, found = charge(names), run(names)
    gas = f"{names[0]}(g)"
    thermal = GAS_CONSTANT * equilibrium.temperature
    most = 1e5 * np.exp((equilibrium.product - equilibrium.gases[gas]) / thermal)
    known = np.isfinite(found.pressures[gas])
    assert known.any()
    assert np.all(found.pressures[gas][known] <= np.broadcast_to(most, known.shape)[known] * (1 + 1e-9))
    at_it = np.isclose(found.pressures[gas], most, rtol=1e-9)
    assert np.array_equal(found.saturated[known], at_it[known])


@pytest.mark.parametrize("names", ROUTES, ids="-".join)
def test_a_charge_has_reacted_at_least_as_far_as_has_left(names: Names) -> None:
    found = run(names)
    least = np.clip(LEFT, 1e-9, 1 - 1e-6)[:, None, None]
    assert np.all(found.reacted >= least)
    assert np.all(
        found.reacted[~found.saturated] == np.broadcast_to(least, found.reacted.shape)[~found.saturated]
    )


# ---- along the run


@pytest.mark.parametrize("names", ROUTES, ids="-".join)
def test_the_product_only_falls_and_the_other_salt_only_rises(names: Names) -> None:
    found, equilibrium = run(names), charge(names)
    falling = f"{names[0]}(g)"
    (anion,) = set(elements_of(equilibrium.route.salt)) - {names[0]}
    for gas, sign, slack in ((falling, -1, 1e-9), (f"{anion}(g)", 1, 1e-7)):
        if gas in found.pressures:
            steps = sign * np.diff(np.log(found.pressures[gas]), axis=0)
            rising = steps[np.isfinite(steps)] >= -slack
            assert np.all(rising)  # exact: the Gibbs energy of the salts is convex


@settings(max_examples=30)
@given(st.sampled_from(ROUTES), st.floats(0, 1), st.floats(0, 1), st.integers(0, 5), st.integers(0, 15))
def test_no_later_charge_gives_more(names: Names, one: float, other: float, row: int, sample: int) -> None:
    early, late = (charge(names).at(left) for left in sorted((one, other)))
    pressures = [each.pressures[f"{names[0]}(g)"][row, sample] for each in (early, late)]
    assert not pressures[1] > pressures[0] * (1 + 1e-9)


@pytest.mark.parametrize("names", ROUTES, ids="-".join)
def test_the_ends_of_a_run_are_finite(names: Names) -> None:
    found = run(names)
    hot = (KELVIN >= 900) & (KELVIN < 1400)
    known = np.isfinite(found.total)
    assert np.array_equal(known[0], known[-1])
    assert known[0, hot].all()
    assert np.all(found.total[known] > 0)


def test_a_temperature_of_its_own_for_each_sample() -> None:
    draws = Draws(samples=8)
    route = routed("Rb", "RbCl", "Ca")
    kelvin = np.linspace(800, 1200, 8)
    together = charge_equilibrium(chemistry(draws), route, kelvin)
    assert together is not None
    left = np.linspace(0.1, 0.9, 8)
    whole = together.at(left)
    for number in range(8):
        own = charge_equilibrium(
            chemistry(replace(draws, pick=(number,))), route, kelvin[number : number + 1]
        )
        assert own is not None
        found = own.at(float(left[number]))
        for gas, pressure in whole.pressures.items():
            assert found.pressures[gas][0] == pytest.approx(
                pressure[number], rel=1e-9
            )  # exact: no sample sees another
        assert found.reacted[0] == pytest.approx(whole.reacted[number], rel=1e-9)


def test_without_spread_all_samples_agree() -> None:
    found = over_charge(routed("Rb", "RbCl", "Ca"), KELVIN, Draws(samples=5, width=0.0)).at(0.5)
    for pressure in found.pressures.values():
        assert np.ptp(pressure, axis=1) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("names", "left", "kelvin"),
    [(("Rb", "RbCl", "Ca"), 2 / 3, 700.0), (("Ca", "CaO", "Al"), 0.5, 1473.0), (("Mg", "MgO", "Si"), 0.5, 1473.0)],
)  # fmt: skip
def test_just_at_a_double_salt_the_next_reaction_rules(names: Names, left: float, kelvin: float) -> None:
    """Every line from the double salt meets there, also those that no charge follows."""
    metal = f"{names[0]}(g)"
    before, here, after = (alone(names, kelvin, left + step)[metal] for step in (-1e-6, 0.0, 1e-6))
    assert here == pytest.approx(after, rel=1e-5)
    assert after < 0.5 * before


# ---- what is not known


@pytest.mark.parametrize(
    "name", ["Rb(g)", "RbCl(s)", "CaCl2(s)", "RbCl(l)", "CaCl2(l)", "RbCaCl3(s)", "Rb2Cl2(g)", "CaCl(g)"]
)
def test_a_species_that_is_not_known_leaves_no_number(name: str) -> None:
    chemicals = chemistry(MANY, shipped().without(f"species/{name}/piece-1"))
    assert charge_equilibrium(chemicals, routed("Rb", "RbCl", "Ca"), np.full((1, 16), 900.0)) is None
    assert f"species/{name}/piece-1" in {each.datum for each in chemicals.ledger.missing}


def test_metals_that_mix_are_not_computed() -> None:
    chemicals = chemistry(MANY)
    assert charge_equilibrium(chemicals, routed("K", "KCl", "Na"), np.full((1, 16), 900.0)) is None
    assert "mix as metals" in chemicals.ledger.missing[0].says


def test_below_what_is_known_of_the_liquids_there_is_no_number() -> None:
    found = over_charge(routed("Rb", "RbCl", "Ca"), np.array([450.0, 900.0])).at(0.5)
    assert np.isnan(found.total[:, 0]).tolist() == [True, False]
    assert np.isnan(found.molten[:, 0]).tolist() == [True, False]
    assert found.saturated[0, 0] == np.False_


def test_above_what_is_known_of_a_double_salt_there_is_no_number() -> None:
    found = over_charge(routed("Rb", "RbCl", "Ca"), np.array([1799.0, 1801.0])).at(0.8)
    assert np.isnan(found.total[:, 0]).tolist() == [False, True]


def test_no_step_where_a_piece_of_a_species_ends() -> None:
    """Melting points, transitions and ends of pieces: only slopes may change."""
    ends = sorted({743.0, 919.0, 997.0, 1044.0, 1048.0, 1115.0, 1300.0})
    kelvin = np.array([[end - 1e-4, end + 1e-4] for end in ends]).ravel()
    for names in ROUTES[:5]:
        found = over_charge(routed(*names), kelvin).at(np.array([0.3, 0.8])[:, None, None])
        total = np.log(found.total[..., 0]).reshape(2, -1, 2)
        assert np.diff(total, axis=2)[np.isfinite(total[..., 0])] == pytest.approx(0, abs=1e-4)


def test_a_melt_that_parts_by_the_figure_of_a_user_is_not_answered() -> None:
    rig = replace(charged("Cs", "CsCl", "Li"), assume={"melt.LiCl-CsCl": Band(30e3, 31e3, 32e3)})
    found = charge_equilibrium(
        Chemistry(Ledger(rig, shipped(), MANY)), routed("Cs", "CsCl", "Li"), np.full((1, 16), 900.0)
    )
    assert found is not None
    assert np.isnan(found.at(0.5).total).all()


def test_atoms_and_totals_add_up() -> None:
    found = charge(ROUTES[1]).at(0.3)
    pressures = found.pressures
    caesium: Array = sum(
        (
            count * pressures[gas]
            for gas, count in (("Cs(g)", 1), ("Cs2(g)", 2), ("CsCl(g)", 1), ("Cs2Cl2(g)", 2))
        ),
        np.zeros_like(found.total),
    )
    assert found.atoms("Cs") == pytest.approx(caesium, rel=1e-12, nan_ok=True)
    assert found.total == pytest.approx(sum(pressures.values()), rel=1e-12, nan_ok=True)


def test_a_suboxide_is_reductant_that_comes_over_and_no_salt() -> None:
    route = routed("Mg", "MgO", "Si")
    one = np.ones(1)
    vapours = Vapours({"Mg(g)": one, "SiO(g)": one, "MgO(g)": 0.01 * one}, one, one, one, one)
    # exact: 44.084 g of SiO and 0.403 g of MgO on 24.305 g of Mg and the Mg of that MgO
    mass = 1.01 * 24.305
    assert carried_share(shipped(), vapours, route, "reductant") == pytest.approx(44.084 / mass, rel=1e-4)
    assert carried_share(shipped(), vapours, route, "salt") == pytest.approx(0.40304 / mass, rel=1e-4)
