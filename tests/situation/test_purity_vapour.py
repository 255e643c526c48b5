# SPDX-License-Identifier: MIT
"""What the vapour brings, by its kind, beside pressures and masses by hand."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.reference.tables import shipped
from retortwright.situation.purity_vapour import Kind, carried_of, kinds_of
from retortwright.situation.reaction import carried_share
from situation.equilibria import ideal, over_charge, routed

CALCIUM, SALT = Kind("reductant", "Ca"), Kind("salt", "RbCl")


def pressures(**pascals: float) -> dict[str, np.ndarray]:
    """Gases by their formula."""
    return {f"{name}(g)": np.full((1, 1), value) for name, value in pascals.items()}


def test_every_gas_has_its_kind() -> None:
    gases = [
        "Rb(g)",
        "Rb2(g)",
        "RbK(g)",
        "K(g)",
        "Ca(g)",
        "Ca2(g)",
        "RbCl(g)",
        "Rb2Cl2(g)",
        "KCl(g)",
        "CaCl2(g)",
    ]
    found = kinds_of("Rb", "Ca", "RbCl", [*gases, "H2(g)", "RbH(g)", "H2O(g)", "CO(g)"])
    assert found == {
        "RbK(g)": Kind("neighbours", "K"),
        "K(g)": Kind("neighbours", "K"),
        "Ca(g)": CALCIUM,
        "Ca2(g)": CALCIUM,
        **dict.fromkeys(["RbCl(g)", "Rb2Cl2(g)", "KCl(g)", "CaCl2(g)"], SALT),
    }


def test_a_suboxide_of_the_reductant_is_reductant() -> None:
    found = kinds_of("Ba", "Al", "BaO", ["Ba(g)", "Al(g)", "Al2O(g)", "BaO(g)"])
    assert found["Al2O(g)"] == found["Al(g)"] == Kind("reductant", "Al")
    assert found["BaO(g)"] == Kind("salt", "BaO")


def test_calcium_in_rubidium_at_14_kilopascal() -> None:
    # published: calcium over itself at 700 degC by log10(p/atm) = 10.127 - 9517/T - 1.4030 log10 T [alcock-1984];
    # that is 14.5 Pa, and beside 14 kPa of rubidium some 480 ppm by mass
    kelvin = 973.15
    calcium = 101325.0 * 10 ** (10.127 - 9517 / kelvin - 1.4030 * np.log10(kelvin))
    carried = carried_of(shipped(), "Rb", "Ca", "RbCl", pressures(Rb=14e3, Ca=calcium))
    assert carried.shares[CALCIUM].item() == pytest.approx(480e-6, rel=0.05)


def test_lithium_in_caesium_at_24_kilopascal() -> None:
    # published: lithium over itself at 700 degC by log10(p/atm) = 5.055 - 8023/T [alcock-1984]: 66 Pa, some 140 ppm
    lithium = 101325.0 * 10 ** (5.055 - 8023 / 973.15)
    carried = carried_of(shipped(), "Cs", "Li", "CsCl", pressures(Cs=24e3, Li=lithium))
    assert carried.shares[Kind("reductant", "Li")].item() == pytest.approx(140e-6, rel=0.05)


def test_the_end_of_a_run_is_the_dirty_part() -> None:
    # computed elsewhere: 500 to 1000 ppm of lithium in all the caesium by the end, 1 to 2 % of its atoms
    route = routed("Cs", "CsCl", "Li")
    charge = ideal(over_charge(route, np.array([973.15])))
    shares = (np.arange(60) + 0.5) / 60 * 0.9
    carried = np.array([carried_share(shipped(), charge.at(x), route, "reductant").item() for x in shares])
    assert 500e-6 < carried.mean() < 1000e-6
    assert 0.01 < carried.mean() * 132.905 / 6.94 < 0.02
    assert carried[0] < 100e-6 < 3e-3 < carried[-1]


def test_lanthanum_stays_behind_in_the_order_of_the_metals() -> None:
    # published: reduced with lanthanum and distilled at once samarium and ytterbium are 99.99 %, thulium is not: its
    # ratio to lanthanum in the vapour is the lowest (abstract on high-purity samarium, ytterbium and thulium)
    shares = []
    for metal in ("Tm", "Sm", "Yb"):
        route = routed(metal, f"{metal}2O3", "La")
        vapours = over_charge(route, np.array([1700.0])).at(0.5)
        shares.append(carried_share(shipped(), vapours, route, "reductant").item())
    assert shares[0] > 10 * shares[1] > 100 * shares[2]


def test_the_salt_counts_whole() -> None:
    # exact: 85.4678 g of rubidium to 120.921 g of salt a mole, and 241.84 g of its dimer
    carried = carried_of(shipped(), "Rb", "Ca", "RbCl", pressures(Rb=1000.0, RbCl=1.0, Rb2Cl2=0.5))
    assert carried.shares[SALT].item() == pytest.approx((120.921 + 0.5 * 241.842) / 85467.8, rel=1e-4)
    assert carried.pressures[SALT].item() == pytest.approx(1.5)
    assert carried.product.item() == 1000.0


def test_a_mixed_dimer_counts_for_both_metals() -> None:
    # exact: one atom of each in it
    carried = carried_of(shipped(), "Rb", None, None, pressures(Rb=100.0, RbK=10.0))
    assert carried.atoms.item() == pytest.approx(110.0)
    share = carried.shares[Kind("neighbours", "K")].item()
    assert share == pytest.approx(10 * 39.0983 / (110 * 85.4678), rel=1e-5)
