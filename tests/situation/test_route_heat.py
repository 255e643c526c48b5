# SPDX-License-Identifier: MIT
"""The heat of a route: against published formation enthalpies, by hand, and by its own balance."""

from __future__ import annotations

import numpy as np
import pytest
from chemicals.reaction import Hfs

from assess.charges import MIDDLE, situation_of
from retortwright.ground.units import TAIL
from retortwright.reference.species import Species, find_species
from retortwright.reference.tables import shipped
from retortwright.situation.figure import Figure
from retortwright.situation.route_heat import RouteHeat
from retortwright.situation.route_reaction import Reaction

CAS = {
    "NaCl": "7647-14-5", "KCl": "7447-40-7", "RbCl": "7791-11-9", "CsCl": "7647-17-8", "LiCl": "7447-41-8",
    "CaCl2": "10043-52-4", "KOH": "1310-58-3", "RbOH": "1310-82-3", "CsOH": "21351-79-1", "MgO": "1309-48-4",
    "K2CO3": "584-08-7", "NaF": "7681-49-4", "KF": "7789-23-3", "RbF": "13446-74-7", "CsF": "13400-13-0",
    "CaF2": "7789-75-5", "BaO": "1304-28-5", "Al2O3": "1344-28-1",
}  # fmt: skip


def heat_of(metal: str, charge: str, *more: tuple[str, str]) -> RouteHeat:
    return RouteHeat(situation_of(metal, charge, *more))


def exact(metal: str, charge: str) -> RouteHeat:
    """The same with every belief at its middle."""
    return RouteHeat(situation_of(metal, charge, draws=MIDDLE))


def middle(figure: Figure) -> float:
    assert not figure.missing, figure.missing
    return float(np.median(figure.values))


def crc(formula: str) -> float:
    """The formation enthalpy of the CRC Handbook [J/mol]; of an element nothing."""
    return float(Hfs(CAS[formula], method="CRC")) if formula in CAS else 0.0


# published: CRC Handbook, standard formation enthalpies of solids, as the general library has them
@pytest.mark.parametrize(
    ("metal", "charge", "about"),
    [
        ("Na", "NaCl 9 g | Ca 4 g", 13.5e3),
        ("K", "KCl 9 g | Ca 4 g", 38.8e3),
        ("Rb", "RbCl 9 g | Ca 2 g", 37.7e3),
        ("Cs", "CsCl 9 g | Ca 2 g", 45.3e3),
        ("Cs", "CsCl 9 g | Li 1 g", 34.4e3),
        ("Na", "NaF 9 g | Ca 5 g", -37.4e3),
        ("K", "KF 9 g | Ca 4 g", -46.7e3),
        ("Rb", "RbF 9 g | Ca 4 g", -56.3e3),
        ("Cs", "CsF 9 g | Ca 4 g", -60.5e3),
        ("K", "KOH 9 g | Mg 4 g", -177.0e3),
        ("Rb", "RbOH 9 g | Mg 4 g", -182.8e3),
        ("Cs", "CsOH 9 g | Mg 4 g", -185.4e3),
        ("K", "K2CO3 9 g | Mg 6 g", -653.8e3 / 2),
    ],
)
def test_the_heat_by_the_mole_agrees_with_another_compilation(metal: str, charge: str, about: float) -> None:
    heat = heat_of(metal, charge)
    assert isinstance(heat.reaction, Reaction)
    other = sum(heat.reaction.number_of(name) * crc(name) for name in heat.reaction.formulas)
    other /= heat.reaction.number_of(metal)
    assert other == pytest.approx(about, abs=100.0)
    low, high = np.quantile(heat.per_mole().values, [TAIL, 1 - TAIL])
    assert low <= other <= high


def test_barium_from_its_oxide_gives_little_heat_without_the_slag_and_some_with_it() -> None:
    # exact: (Al2O3 - 3 BaO) / 3 from the CRC Handbook is -10.6 kJ/mol; the slag adds its own, a third of it by the mole
    assert (crc("Al2O3") - 3 * crc("BaO")) / 3 == pytest.approx(-10.6e3, abs=50.0)
    with_slag = middle(heat_of("Ba", "BaO 15 g | Al 1.5 g").per_mole())
    assert with_slag == pytest.approx((-2338e3 + 4 * 548e3) / 3, abs=500.0)  # published: formation of BaAl2O4


def test_the_heat_by_the_gram_is_that_by_the_mole_over_all_that_is_weighed() -> None:
    # exact: 9 g of RbCl are 74.43 mmol, 0.5 g of Ca are 12.476 mmol and free twice as many of Rb
    for calcium, freed in ((1.95, 9.0 / 120.9208), (0.5, 2 * 0.5 / 40.078)):
        heat = heat_of("Rb", f"RbCl 9 g | Ca {calcium} g")
        expected = -middle(heat.per_mole()) * freed / (9.0 + calcium) * 1e3
        assert middle(heat.set_free()) == pytest.approx(expected, rel=1e-4)


def test_gas_is_counted_by_the_atom() -> None:
    # exact: half a mole of hydrogen to one of KOH; one of carbon monoxide to one of carbonate
    potash = heat_of("K", "KOH 5.61056 g | Mg 4 g")
    assert middle(potash.gas()) == pytest.approx(0.05 / 9.61056e-3, rel=1e-4)
    left = heat_of("K", "KCl 20 g; K2CO3 1 % | Ca 6 g")
    assert middle(left.gas()) == pytest.approx(0.2 / 138.2055 / 26e-3, rel=1e-4)
    assert middle(heat_of("Rb", "RbCl 9 g; H2O 1 % | Ca 2 g").gas()) == 0.0
    assert middle(heat_of("K", "K2CO3 13.82055 g | C 3 g").gas()) == pytest.approx(
        0.3 / 16.82055e-3, rel=1e-4
    )


def enthalpy(name: str, temperature: float) -> float:
    found = find_species(shipped(), name)
    assert isinstance(found, Species)
    return float(found.enthalpy(temperature))


def test_the_charge_ends_where_its_enthalpy_is_that_of_the_start() -> None:
    # exact: conservation of enthalpy; 0.1 mol CsF with 0.05 mol Ca and 0.01 mol over, to 5 K of grid at transitions
    figure = exact("Cs", "CsF 15.19038 g | Ca 2.40468 g").self_heating()
    start, end = (float(figure.said[name][0]) for name in ("start", "end"))
    assert figure.values[0] == pytest.approx(end - start)
    before = 0.1 * enthalpy("CsF(s)", start) + 0.06 * enthalpy("Ca(s)", start)
    after = 0.1 * enthalpy("Cs(l)", end) + 0.05 * enthalpy("CaF2(s)", end) + 0.01 * enthalpy("Ca(l)", end)
    assert after == pytest.approx(before, abs=5.0)
    assert float(figure.said["end top"][0]) > end > float(figure.said["end room"][0])


def test_a_chloride_cools_itself_and_is_not_followed_below_the_room() -> None:
    figure = heat_of("K", "KCl 19 g | Ca 6 g").self_heating()
    assert np.all(figure.values < 0)
    assert np.all(figure.said["end"] >= 298.15)


def test_where_it_gets_hotter_than_the_data_there_is_no_number() -> None:
    figure = heat_of("K", "KOH 5.6 g | Mg 2.5 g").self_heating()
    assert np.all(np.isnan(figure.values))
    assert "hotter than" in figure.missing[0].says


def test_impurities_add_what_they_give_and_never_what_they_take() -> None:
    plain = middle(exact("K", "KCl 20 g | Ca 6 g").set_free())

    def added(salt: str) -> float:
        return middle(exact("K", f"KCl 20 g; {salt} | Ca 6 g").set_free()) - plain

    # exact: K2CO3 + 3 Ca -> 2 K + 3 CaO + C, 753 kJ a mole, 5.45 kJ a gram; and a hundredth less of KCl to take heat in
    assert added("K2CO3 1 %") == pytest.approx((753e3 / 0.1382 * 0.2 / 26) + 0.01 * abs(plain), rel=0.02)
    assert added("KNO3 0.05 %") == pytest.approx(1.3e7 * 0.01 / 26 + 5e-4 * abs(plain), rel=1e-3)
    assert added("NaCl 1 %") == pytest.approx(0.01 * abs(plain), rel=1e-3)  # it would take heat in
    assert added("CaCl2 1 %") == pytest.approx(0.01 * abs(plain), rel=1e-3)
    assert added("KF 5 %") > added("NaCl 5 %") + 1e3


def test_what_nobody_knows_in_the_salt_leaves_no_number_unless_it_is_a_trace() -> None:
    unknown = heat_of("K", "KCl 20 g; K3PO4 1 % | Ca 6 g").set_free()
    assert "K3PO4" in unknown.missing[0].says
    assert not heat_of("K", "KCl 20 g; K3PO4 0.1 % | Ca 6 g").set_free().missing


def test_without_data_there_is_no_number() -> None:
    figures = heat_of("Eu", "EuO 11 g | La 9 g")
    for figure in (figures.per_mole(), figures.set_free(), figures.self_heating()):
        assert "EuO" in figure.missing[0].says
        assert np.all(np.isnan(figure.values))
    tables = shipped().without("species/RbCl(s)/formation-enthalpy")
    blanked = RouteHeat(situation_of("Rb", "RbCl 9 g | Ca 2 g", tables=tables))
    assert blanked.per_mole().missing
    assert blanked.self_heating().missing
    assert blanked.set_free().missing
