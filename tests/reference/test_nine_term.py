# SPDX-License-Identifier: MIT
"""The nine-term form: enthalpy, entropy and heat capacity belong together, pieces end where they say."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from retortwright.physics.constants import GAS_CONSTANT
from retortwright.reference.datum import number_of
from retortwright.reference.nine_term import NineTerm, held_below
from retortwright.reference.species import STANDARD_PRESSURE, Species, find_species
from retortwright.reference.tables import shipped

NAMES = shipped().subjects("species")
SOME = ("Rb(g)", "Rb2Cl2(g)", "CaCl2(s)", "CaCl2(l)", "CsCaCl3(s)", "Al2O3(s)", "Li(l)", "Ca(s)")
ROOM = 298.15


def species(name: str) -> Species:
    found = find_species(shipped(), name)
    assert isinstance(found, Species)
    return found


def within(pieces: NineTerm, number: int, share: float) -> float:
    """A temperature inside of a piece, not hotter than any retort."""
    low, high = float(pieces.low[number]), min(float(pieces.high[number]), 2500.0)
    return low + share * (high - low)


def _stands_at_room(name: str) -> bool:
    return not name.endswith("(l)") and species(name).lowest <= ROOM <= species(name).highest


@pytest.mark.parametrize("name", SOME)
def test_enthalpy_is_the_integral_of_the_heat_capacity(name: str) -> None:
    pieces = species(name).pieces
    for number in range(len(pieces.low)):
        one, other = within(pieces, number, 0.01), within(pieces, number, 0.99)
        if other > one:
            gain = quad(lambda t, p=pieces: float(p.heat_capacity(t)), one, other, epsabs=1e-6)[0]
            rise = float(pieces.formation_based_enthalpy(other) - pieces.formation_based_enthalpy(one))
            assert rise == pytest.approx(gain, abs=1e-2)  # exact: dH = Cp dT


@pytest.mark.parametrize("name", SOME)
def test_entropy_is_the_integral_of_the_heat_capacity_over_temperature(name: str) -> None:
    pieces = species(name).pieces
    for number in range(len(pieces.low)):
        one, other = within(pieces, number, 0.01), within(pieces, number, 0.99)
        if other > one:
            gain = quad(lambda t, p=pieces: float(p.heat_capacity(t)) / t, one, other, epsabs=1e-9)[0]
            entropy = [
                float(pieces.formation_based_enthalpy(t) - pieces.gibbs_energy(t)) / t for t in (one, other)
            ]
            assert entropy[1] - entropy[0] == pytest.approx(gain, abs=1e-5)  # exact: dS = Cp / T dT


@given(st.sampled_from(NAMES), st.floats(0.02, 0.98), st.integers(0, 10))
def test_the_slope_of_the_gibbs_energy_is_the_entropy(name: str, share: float, number: int) -> None:
    pieces = species(name).pieces
    kelvin = within(pieces, number % len(pieces.low), share)
    step = 1e-3
    slope = float(pieces.gibbs_energy(kelvin + step) - pieces.gibbs_energy(kelvin - step)) / (2 * step)
    entropy = float(pieces.formation_based_enthalpy(kelvin) - pieces.gibbs_energy(kelvin)) / kelvin
    assert -slope == pytest.approx(entropy, abs=5e-3, rel=1e-6)  # exact: dG/dT = -S at constant pressure


@pytest.mark.parametrize("name", [name for name in NAMES if _stands_at_room(name)])
def test_enthalpy_at_room_temperature_is_the_formation_enthalpy(name: str) -> None:
    stated = number_of(shipped().rows["species", name, "formation-enthalpy"]).best
    found = float(species(name).enthalpy(ROOM))
    # published: both in the same row of the same source; its constant R is 6e-6 larger than ours
    assert found == pytest.approx(stated, rel=1e-5, abs=1.0)


# ---- a form by hand

LOW, MIDDLE, HIGH = 300.0, 500.0, 900.0


def plain(capacity: float = 3.0) -> NineTerm:
    """Two pieces of the same constant heat capacity, with no step between them."""
    piece = np.array([0, 0, capacity, 0, 0, 0, 0, -1000.0, 2.0])
    return NineTerm(np.array([LOW, MIDDLE]), np.array([MIDDLE, HIGH]), np.vstack([piece, piece]))


def test_a_constant_heat_capacity() -> None:
    pieces, kelvin = plain(), 700.0
    enthalpy, entropy = 3 * kelvin - 1000, 3 * np.log(kelvin) + 2
    assert float(pieces.heat_capacity(kelvin)) == pytest.approx(3 * GAS_CONSTANT, rel=1e-14)  # exact
    found = float(pieces.formation_based_enthalpy(kelvin))
    assert found == pytest.approx(GAS_CONSTANT * enthalpy, rel=1e-14)
    gibbs = float(pieces.gibbs_energy(kelvin))
    assert gibbs == pytest.approx(GAS_CONSTANT * (enthalpy - kelvin * entropy), rel=1e-14)


@pytest.mark.parametrize(("place", "power"), [(0, -2), (1, -1), (3, 1), (4, 2), (5, 3), (6, 4)])
def test_each_term_is_its_power_of_the_temperature(place: int, power: int) -> None:
    coefficients = np.zeros(9)
    coefficients[place] = 1.0
    pieces = NineTerm(np.array([LOW]), np.array([HIGH]), coefficients[None, :])
    assert float(pieces.heat_capacity(600.0)) == pytest.approx(
        GAS_CONSTANT * 600.0**power, rel=1e-12
    )  # exact
    rise = float(pieces.formation_based_enthalpy(800.0) - pieces.formation_based_enthalpy(400.0))
    gain = GAS_CONSTANT * quad(lambda t: t**power, 400.0, 800.0)[0]
    assert rise == pytest.approx(gain, rel=1e-9)


def test_outside_of_the_pieces_there_is_no_number() -> None:
    kelvin = np.array([LOW - 1e-6, LOW, MIDDLE, HIGH, HIGH + 1e-6, np.nan, np.inf, -5.0])
    for found in (plain().gibbs_energy(kelvin), plain().heat_capacity(kelvin)):
        assert np.isfinite(found).tolist() == [False, True, True, True, False, False, False, False]


def test_between_pieces_that_do_not_meet_there_is_no_number() -> None:
    whole = plain()
    gap = NineTerm(np.array([LOW, 550.0]), whole.high, whole.coefficients)
    found = gap.gibbs_energy(np.array([499.0, 500.0, 520.0, 550.0]))
    assert np.isfinite(found).tolist() == [True, True, False, True]


def test_it_broadcasts() -> None:
    kelvin = np.linspace(310, 890, 12).reshape(3, 4)
    found = plain().gibbs_energy(kelvin)
    one_by_one = [float(plain().gibbs_energy(float(each))) for each in kelvin.flat]
    assert found.shape == (3, 4)
    assert found.ravel().tolist() == pytest.approx(one_by_one, rel=1e-15)


@pytest.mark.parametrize("name", [name for name in SOME if name.endswith("(l)")])
def test_a_liquid_is_carried_below_its_end_without_a_step(name: str) -> None:
    pieces = species(name).pieces
    own = NineTerm(pieces.low[1:], pieces.high[1:], pieces.coefficients[1:])
    held, end = held_below(own, float(own.low[0]) * 0.6), float(own.low[0])
    assert held.low[0] == pytest.approx(0.6 * end)
    for read in (NineTerm.heat_capacity, NineTerm.formation_based_enthalpy, NineTerm.gibbs_energy):
        below, above = float(read(held, end * (1 - 1e-12))), float(read(own, end))
        assert below == pytest.approx(above, rel=1e-8)  # exact: it joins
    capacity = held.heat_capacity(np.array([0.65, 0.8, 0.99]) * end)
    assert capacity == pytest.approx(float(own.heat_capacity(end)), rel=1e-12)  # exact: it is held
    assert float(held.gibbs_energy(1.2 * end)) == float(own.gibbs_energy(1.2 * end))


# ---- vapour pressures that follow


def over_itself(metal: str, kelvin: float) -> float:
    """Pressure of the single atoms over the stable phase of their metal [Pa]."""
    condensed = np.fmin(species(f"{metal}(s)").gibbs(kelvin), species(f"{metal}(l)").gibbs(kelvin))
    step = float(condensed - species(f"{metal}(g)").gibbs(kelvin))
    return STANDARD_PRESSURE * float(np.exp(step / (GAS_CONSTANT * kelvin)))


@pytest.mark.parametrize(
    ("metal", "kelvin", "pressure", "share"),
    [
        ("K", 700, 1041, 0.05), ("K", 900, 23_690, 0.05),
        ("Cs", 700, 4489, 0.07), ("Cs", 900, 63_150, 0.07),
        ("Na", 800, 909, 0.07), ("Na", 1000, 18_020, 0.07),
        ("Li", 900, 14.15, 0.07), ("Li", 1000, 106.6, 0.07),
    ],
)  # fmt: skip
def test_atoms_over_alkali_metals(metal: str, kelvin: float, pressure: float, share: float) -> None:
    # regression: carried through from the heat capacities, enthalpies and entropies of the 1998 JANAF tables
    assert over_itself(metal, kelvin) == pytest.approx(pressure, rel=share)


@pytest.mark.parametrize(
    ("metal", "kelvin"), [("Cs", 948), ("K", 1040), ("Na", 1171), ("Li", 1620), ("Mg", 1366), ("Ca", 1774)]
)
def test_one_bar_of_atoms(metal: str, kelvin: float) -> None:
    found = brentq(lambda t: over_itself(metal, t) - 1e5, 600, 1990)
    # regression: as above, from the 1998 JANAF tables
    assert found == pytest.approx(kelvin, rel=0.02)
