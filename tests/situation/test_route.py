# SPDX-License-Identifier: MIT
"""The route of a charge: which two of its reagents, and what they become."""

from __future__ import annotations

import pytest

from assess.charges import charged
from retortwright.reference.datum import Missing
from retortwright.reference.tables import shipped
from retortwright.rig.edit import Edit, edited
from retortwright.situation.route import Route, main_pair, molar_mass, route_of, usual_compound


# exact: balanced by hand
@pytest.mark.parametrize(
    ("metal", "charge", "route"),
    [
        ("Rb", "RbCl 9 g | Ca 2 g", "2 RbCl + Ca -> 2 Rb + CaCl2"),
        ("Cs", "CsCl 9 g | Li 1 g", "CsCl + Li -> Cs + LiCl"),
        ("Rb", "RbCl 9 g | CsCl 1 g | Ca 2 g", "2 RbCl + Ca -> 2 Rb + CaCl2"),
        ("Cs", "RbCl 9 g | CsCl 1 g | Ca 2 g", "2 CsCl + Ca -> 2 Cs + CaCl2"),
        ("Ca", "CaO 9 g | Al 4 g", "3 CaO + 2 Al -> 3 Ca + Al2O3"),
        ("Eu", "Eu2O3 9 g | La 9 g", "Eu2O3 + 2 La -> 2 Eu + La2O3"),
    ],
)
def test_a_charge_has_one_route(metal: str, charge: str, route: str) -> None:
    assert str(route_of(charged(metal, charge), shipped())) == route


@pytest.mark.parametrize(
    ("metal", "charge", "says"),
    [
        ("Rb", "KCl 9 g | Ca 2 g", "no salt or oxide of Rb"),
        ("Rb", "RbCl 9 g", "no metal or other element"),
        ("Rb", "RbCl 9 g | CaC2 2 g", "no metal or other element"),
        ("Rb", "RbOH 9 g | Mg 2 g", "not computed"),
        ("Rb", "RbCl 9 g | Gd 2 g", "no usual valence of Gd"),
    ],
)
def test_a_charge_without_a_route_says_why(metal: str, charge: str, says: str) -> None:
    found = route_of(charged(metal, charge), shipped())
    assert isinstance(found, Missing)
    assert says in found.says


def test_no_charge_has_no_route() -> None:
    rig = edited(charged("Rb", "RbCl 9 g | Ca 2 g"), [Edit("charge", "{}")])
    assert main_pair(rig, shipped()) == Missing("charge", "there is no charge")


def test_the_metal_of_a_formula_of_the_salt() -> None:
    route = route_of(charged("Rb", "Rb2O 9 g | Ca 2 g"), shipped())
    assert isinstance(route, Route)
    assert route.per_salt == 2.0


def test_masses_and_compounds_follow_from_the_elements() -> None:
    # published: standard atomic weights, Ca 40.078, Cl 35.453, as the general library has them
    assert molar_mass(shipped(), "CaCl2") == pytest.approx(0.110984, abs=5e-7)
    assert usual_compound(shipped(), "Al", "O") == "Al2O3"
    assert usual_compound(shipped(), "Mg", "N") == "Mg3N2"
