# SPDX-License-Identifier: MIT
"""Routes judged: the right one first, the dangerous refused, the hopeless with the reason, what is not known said."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from retortwright.assess.route_cards import CLASSES, Asked, RouteCard, cards_for
from retortwright.assess.route_walls import bearing_of
from retortwright.assess.route_words import reasons_of
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.situation.candidates import Candidate

TABLES = shipped()
DRAWS = Draws(16)
MIDDLE = Draws(samples=1, width=0.0, pick=(0,))  # every belief at its middle


@cache
def cards(
    metal: str, vessel: str | None = None, stock: tuple[str, ...] | None = None
) -> tuple[RouteCard, ...]:
    """The routes to a metal."""
    return cards_for(TABLES, Asked(metal, vessel=vessel, stock=stock), DRAWS)


def card(metal: str, name: str, vessel: str | None = None) -> RouteCard:
    """One of them; only its own reagents are looked at."""
    found = cards_for(TABLES, Asked(metal, vessel=vessel, stock=tuple(name.split(" + "))), MIDDLE)
    return next(each for each in found if str(each.candidate) == name)


def heat(found: RouteCard) -> float:
    """kJ per mole of metal."""
    assert found.per_mole is not None
    return float(np.median(found.per_mole.values)) / 1e3


def reasons(metal: str, found: RouteCard, vessel: str | None = None) -> str:
    """What is said against a route."""
    return "; ".join(reasons_of(TABLES, Asked(metal, vessel=vessel), found))


@pytest.mark.parametrize(
    ("metal", "kilojoule"), [("Na", 14.0), ("K", 39.0), ("Rb", 38.0), ("Cs", 45.0)]
)  # practice: chlorides with calcium take heat in, per mole of metal, within a kilojoule or two
def test_chloride_and_calcium_comes_first_and_takes_heat_in(metal: str, kilojoule: float) -> None:
    stock = (f"{metal}Cl", f"{metal}F", f"{metal}2O", f"{metal}OH", "Ca", "Li", "Mg", "Na", "Al", metal)
    found = cards(metal, stock=stock)
    assert str(found[0].candidate) == f"{metal}Cl + Ca"
    assert found[0].verdict == "holds"
    assert found[0].heat_class == "endothermic"
    assert heat(found[0]) == pytest.approx(kilojoule, abs=1.0)


def test_caesium_with_lithium() -> None:
    found = card("Cs", "CsCl + Li")
    assert heat(found) == pytest.approx(34.0, abs=1.0)  # practice: 34 kJ per mole of caesium
    assert found.heat_class == "endothermic"


def test_potassium_with_sodium_comes_over_mixed() -> None:
    found = card("K", "KCl + Na")
    assert found.verdict == "fails"
    assert "K and Na come over mixed" in reasons("K", found)


def test_potassium_with_magnesium_would_be_magnesium() -> None:
    found = card("K", "KCl + Mg")
    assert found.verdict == "fails"
    assert "the product would be magnesium" in reasons("K", found)


@pytest.mark.parametrize(
    ("name", "kind", "kilojoule"),
    [
        ("KOH + Mg", "hydroxide", -177.0),  # practice: -177 kJ per mole of potassium
        ("K2CO3 + Mg", "carbonate-with-metal", -327.0),  # practice: -654 kJ per mole of carbonate
        ("K2CO3 + C", "carbon-monoxide-on-alkali", None),
        ("K2O2 + Al", "peroxide", None),
        ("KNO3 + Al", "oxidiser", None),
        ("K2CrO4 + Al", "chromate", None),
        ("KN3 + Al", "azide", None),
    ],
)
def test_what_is_refused_stays_listed_with_its_reason(name: str, kind: str, kilojoule: float | None) -> None:
    found = card("K", name)
    assert found.verdict == "refused"
    assert found.refusal is not None
    assert found.refusal.kind == kind
    assert found.served is None
    assert found.refusal.says in reasons("K", found)
    if kilojoule is not None:
        assert heat(found) == pytest.approx(kilojoule, abs=2.0)
        assert found.heat_class == "violent"


@pytest.mark.parametrize("metal", ["K", "Rb", "Cs"])
def test_carbonate_and_carbon_is_refused(metal: str) -> None:
    assert card(metal, f"{metal}2CO3 + C").verdict == "refused"


def test_barium_peroxide_is_refused() -> None:
    found = card("Ba", "BaO2 + Al")
    assert found.refusal is not None
    assert found.refusal.kind == "peroxide"


@pytest.mark.parametrize("name", ["CaO + Al", "SrO + Al", "BaO + Al"])
def test_aluminium_frees_three_quarters_at_1300_degrees(name: str) -> None:
    found = card(name[:2], name)
    assert found.served is not None
    assert found.served.window.ceiling == pytest.approx(0.75)  # exact: 4 MO + 2 Al -> 3 M + MO.Al2O3
    low, high = np.median(found.served.window.low) - 273.15, np.median(found.served.upper) - 273.15
    assert low < 1300 < high  # practice: 1100 to 1300 degC
    assert found.usual is not None


@pytest.mark.parametrize("name", ["Li2O + Al", "Li2O + Si"])
def test_lithium_oxide_is_usual_above_1000_degrees(name: str) -> None:
    found = card("Li", name)
    assert found.usual is not None
    assert float(found.usual.data) - 273.15 > 1000  # practice: 1000 to 1200 degC


def test_dolime_comes_first_for_magnesium() -> None:
    found = cards("Mg", stock=("MgO", "CaO", "Si", "Al", "Mg", "Mg(OH)2"))
    assert str(found[0].candidate) == "MgO + CaO + Si"
    assert found[0].served is not None
    low, high = np.median(found[0].served.window.low) - 273.15, np.median(found[0].served.upper) - 273.15
    assert low < 1100 < 1200 < high  # practice: 1100 to 1200 degC


@pytest.mark.parametrize("metal", ["Sm", "Eu", "Yb", "Tm"])
def test_lanthanum_comes_first_for_what_boils_and_steel_does_not_bear_it(metal: str) -> None:
    found = cards(metal)
    assert str(found[0].candidate) == f"{metal}2O3 + La"
    assert not any(each.verdict in ("holds", "thin") for each in found[0].walls)  # practice: in tantalum
    steel = bearing_of(TABLES, found[0].candidate, "La2O3", "304L", 1400.0)
    assert steel.verdict == "fails"


def test_europium_sets_heat_free() -> None:
    found = card("Eu", "Eu2O3 + La")
    assert found.heat_class == "exothermic"
    assert heat(found) == pytest.approx(-71.0, abs=1.0)  # practice: -71 kJ per mole of europium


def test_zinc_is_distilled_once_more() -> None:
    found = cards("Zn")
    assert found[0].candidate == Candidate("Zn", "Zn")
    carbon = next(each for each in found if str(each.candidate) == "ZnO + C")
    assert carbon.verdict == "unknown"
    assert carbon.missing is not None
    assert "carbon monoxide" in carbon.missing.says


def test_what_the_tables_lack_is_unknown_with_the_datum() -> None:
    found = card("K", "KCl + Zr")
    assert found.verdict == "unknown"
    assert found.missing is not None
    assert found.missing.datum == "species/Zr"
    assert "Zr" in reasons("K", found)
    lacking = card("K", "KCl + La")
    assert lacking.missing is not None
    assert lacking.missing.datum == "species/LaCl3"  # what it leaves, not what goes in


def test_a_vessel_closes_the_window() -> None:
    named, free = card("Sr", "SrO + Al", "304L"), card("Sr", "SrO + Al")
    assert named.served is not None
    assert free.served is not None
    assert named.served.rules == "wall"
    assert np.median(named.served.upper) < np.median(free.served.upper)
    assert named.verdict == "fails"
    assert "the pot bears" in reasons("Sr", named, "304L")


def test_no_hotter_than_asked() -> None:
    asked = Asked("Ca", hottest=1273.15, stock=("CaO", "Al"))
    (found,) = cards_for(TABLES, asked, DRAWS)
    assert found.served is not None
    assert float(np.median(found.served.upper)) < 1273.15  # the charge is some 15 K colder than the pot
    assert found.verdict == "fails"


def test_stock_leaves_out_what_is_not_at_hand() -> None:
    assert {str(each.candidate) for each in cards("K", stock=("KCl", "Ca", "Li"))} == {"KCl + Ca", "KCl + Li"}


def test_refused_comes_last_and_classes_are_known() -> None:
    found = cards("Zn")
    verdicts = [each.verdict for each in found]
    assert verdicts[-1] == "refused"
    assert verdicts.index("refused") == len(verdicts) - verdicts.count("refused")
    assert all(each.heat_class in CLASSES for each in found)


def test_a_grade_that_is_stricter_leaves_less() -> None:
    display, cell = (
        cards_for(TABLES, Asked("K", grade, stock=("KCl", "Ca")), DRAWS)[0] for grade in ("display", "cell")
    )
    assert display.served is not None
    assert cell.served is not None
    assert np.median(cell.served.upper) < np.median(display.served.upper)
