# SPDX-License-Identifier: MIT
"""What a formula is, from its atoms alone."""

from __future__ import annotations

import pytest

from retortwright.ground.formula import elements_of
from retortwright.reference.compounds import CLASSES, METALS, REDUCING, class_of
from retortwright.reference.tables import shipped

# exact: what each of these formulas is called in chemistry
SORTS = {
    "chloride": "KCl RbCl CaCl2 CaCl2(H2O)6 MgCl2H12O6 NH4Cl",
    "bromide": "KBr",
    "iodide": "CsI",
    "fluoride": "KF CaF2 K2SiF6",
    "oxychloride": "Mg(OH)Cl",
    "oxide": "CaO BaO Al2O3 Eu2O3 Rb2O Rb9O2 LiAlO2 ZnO",
    "reducible oxide": "Fe2O3 CuO MnO2 Cr2O3",
    "peroxide": "BaO2 SrO2 CaO2 MgO2 Li2O2 Na2O2 K2O2 Rb2O2 Cs2O2 H2O2 K2S2O8",
    "superoxide": "NaO2 KO2 RbO2 CsO2 KO3",
    "hydroxide": "KOH RbOH Ca(OH)2 Ba(OH)2H16O8 KOHH2O Al(OH)3",
    "carbonate": "K2CO3 Cs2CO3 MgCO3 KHCO3 Na2CO3(H2O)10",
    "nitrate": "KNO3 Ba(NO3)2 Ca(NO3)2(H2O)4 NH4NO3",
    "nitrite": "KNO2",
    "chlorate": "KClO3 NaClO NaBrO3 KIO3",
    "perchlorate": "KClO4 NH4ClO4 Mg(ClO4)2(H2O)6",
    "azide": "NaN3 RbN3 Ba(N3)2",
    "nitride": "Li3N Mg3N2 Ca3N2 Ca2N LaN",
    "chromate": "Cs2CrO4 Rb2CrO4",
    "dichromate": "Cs2Cr2O7 K2Cr2O7 CrO3",
    "permanganate": "KMnO4 K2MnO4 BaMnO4",
    "sulphate": "K2SO4 CaSO4 CaSO4(H2O)2 KHSO4",
    "sulphide": "K2S",
    "hydride": "LiH CaH2 NaBH4",
    "carbide": "CaC2 Al4C3",
    "fluoropolymer": "C2F4 CF2 C2H2F2 C2F3Cl",
    "organic chloride": "CCl4 C2HCl3 CH2Cl2",
    "organic": "C6H14 KC2H3O2",
    "metal": "Ca Li Al Fe",
    "element": "C Si S",
    "alloy": "FeSi CaSi2 NaK",
    "water": "H2O",
    "other": "CsAlSi2O6 SiO2 K3PO4 KCN CO2",
}
PAIRS = [(formula, sort) for sort, formulas in SORTS.items() for formula in formulas.split()]


@pytest.mark.parametrize(("formula", "sort"), PAIRS)
def test_a_formula_is_what_it_is(formula: str, sort: str) -> None:
    assert class_of(shipped(), formula) == sort


def test_every_class_has_an_example() -> None:
    assert set(SORTS) == set(CLASSES)
    assert set(REDUCING) <= set(CLASSES)


def test_a_metal_without_a_valence_does_not_hide_an_oxidiser() -> None:
    tables = shipped().without("elements/Cs/valence", "elements/Ba/valence", "elements/K/valence")
    for formula in ("CsNO3", "KClO4", "KMnO4", "Cs2CrO4", "BaO2", "KN3", "KO2"):
        refused = {"nitrate", "perchlorate", "permanganate", "chromate", "peroxide", "superoxide", "azide"}
        assert class_of(tables, formula) in refused, formula


def test_metals_are_elements() -> None:
    assert all(elements_of(metal) == {metal: 1} for metal in METALS)
