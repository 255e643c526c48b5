# SPDX-License-Identifier: MIT
"""What lies where after the run: every atom once, at the place where it belongs."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.situation.inventory import Inventory, fresh_of, inventory_of, stopped_of
from retortwright.situation.pot_balance import atoms_in
from retortwright.situation.situation import Situation
from retortwright.situation.takers import molar
from situation.charges import rig_text, situation

FEW = Draws(samples=16)
LEAK = '[assume]\nleak = "1e-3 mbar L/s"'

CHARGES: dict[str, tuple[str, dict[str, str], str]] = {
    "halide": ("Rb", {"RbCl": "14 g; H2O = '0.5 %', KCl = '1 %'", "Ca": "3.25 g; CaO = '5 %'"}, LEAK),
    "lithium": ("Cs", {"CsCl": "10 g; H2O = '1 %'", "Li": "0.6 g"}, LEAK),
    "slag": ("Ca", {"CaO": "18.7 g; H2O = '0.2 %', CaCO3 = '1 %'", "Al": "5 g"}, LEAK),
    "bound slag": ("Mg", {"MgO": "16.6 g; K2O = '0.2 %', Na2O = '0.3 %'", "CaO": "23 g", "Si": "6.4 g"}, ""),
    "too little reductant": ("K", {"KCl": "15 g; H2O = '40 %'", "Ca": "2 g"}, ""),
    "once more": ("Ba", {"Ba": "10 g; CaO = '1 %'"}, ""),
}  # fmt: skip


def whole(name: str, draws: Draws = FEW) -> Situation:
    """The situation of a charge of the list."""
    metal, reagents, more = CHARGES[name]
    written = {formula: said.replace("'", '"') for formula, said in reagents.items()}
    return situation(rig_text(metal, written, more=more), draws)


def summed(parts: list[Mapping[str, Array]]) -> dict[str, Array]:
    """Atoms of all parts together."""
    total: dict[str, Array] = {}
    for part in parts:
        for element, moles in atoms_in(part).items():
            total[element] = total.get(element, 0.0) + moles
    return total


@pytest.mark.parametrize("made", [inventory_of, stopped_of, fresh_of])
@pytest.mark.parametrize("name", CHARGES)
def test_no_atom_is_lost_and_none_is_made(name: str, made: object) -> None:
    found = made(whole(name))  # type: ignore[operator]
    assert isinstance(found, Inventory)
    assert not found.missing
    there = summed([*(stock.moles for stock in found.stocks), found.gone])
    came = summed([found.weighed, found.brought])
    assert set(came) == {element for element, moles in there.items() if np.any(moles > 0.0)}
    for element, moles in came.items():
        assert there[element] == pytest.approx(moles, rel=1e-9), element  # exact: conservation
    for stock in found.stocks:
        assert all(np.all(moles >= 0.0) for moles in stock.moles.values()), stock.place


def grams(found: Inventory, kind: str, formula: str, at: Situation) -> float:
    """Mass of a substance at a kind of place, at the middle."""
    ledger = Ledger(at.rig, at.tables, at.draws)
    moles = sum(float(np.median(stock.moles.get(formula, np.zeros(1)))) for stock in found.of_kind(kind))
    return moles * molar(ledger, formula) * 1e3


def test_what_is_left_of_a_rubidium_charge() -> None:
    # exact: stoichiometry of 8.5 g RbCl and 1.83 g Ca, 85 % reacting and 70 % of that arriving
    said = '[assume]\ncharge.reacts = "0.8499 to 0.8501"\ncharge.arrives = "0.6999 to 0.7001"'
    at = situation(rig_text("Rb", {"RbCl": '8.5 g; H2O = "0 %"', "Ca": "1.83 g"}, more=said))
    found = inventory_of(at)
    assert grams(found, "pot", "CaCl2", at) == pytest.approx(3.32, abs=0.01)
    assert grams(found, "pot", "RbCl", at) == pytest.approx(1.275, abs=0.005)
    assert grams(found, "pot", "Ca", at) == pytest.approx(0.633, abs=0.005)
    assert grams(found, "pot", "Rb", at) == pytest.approx(8.5 * 85.468 / 120.92 * 0.85 * 0.30, rel=1e-3)
    whole_metal = sum(grams(found, kind, "Rb", at) for kind in ("pot", "line", "receiver", "pump side"))
    assert whole_metal == pytest.approx(8.5 * 85.468 / 120.92 * 0.85, rel=1e-3)


def test_alkali_of_dolime_collects_at_the_cold_end_and_not_in_the_magnesium() -> None:
    at = whole("bound slag")
    found = inventory_of(at)
    # exact: 0.2 % K2O and 0.3 % Na2O of 16.6 g are 28 mg of potassium and 37 mg of sodium
    assert grams(found, "cold end", "K", at) == pytest.approx(27.6e-3, rel=0.02)
    assert grams(found, "cold end", "Na", at) == pytest.approx(36.9e-3, rel=0.02)
    assert grams(found, "receiver", "K", at) == 0.0


def test_the_slag_holds_what_it_holds() -> None:
    at = whole("slag")
    names = {name for stock in inventory_of(at).of_kind("pot") for name in stock.moles}
    assert "CaAl2O4" in names
    names = {name for stock in inventory_of(whole("bound slag")).of_kind("pot") for name in stock.moles}
    assert "Ca2SiO4" in names


def test_water_and_leak_leave_hydride_and_nitride() -> None:
    at = whole("lithium")
    pot = inventory_of(at).of_kind("pot")[0].moles
    assert np.all(pot["LiH"] > 0.0)
    assert np.all(pot["Li3N"] > 0.0)
    dry = inventory_of(situation(rig_text("Cs", {"CsCl": '10 g; H2O = "0 %"', "Li": "0.6 g"}), FEW))
    assert "LiH" not in dry.of_kind("pot")[0].moles
    assert "Li3N" not in dry.of_kind("pot")[0].moles


def test_a_run_that_stops_has_all_the_freed_metal_in_the_pot() -> None:
    at = whole("halide")
    (pot,) = stopped_of(at).stocks
    spread = sum(stock.moles.get("Rb", np.zeros(16)) for stock in inventory_of(at).stocks)
    assert pot.moles["Rb"] == pytest.approx(spread, rel=1e-9)  # exact: the same metal


def test_without_a_route_it_says_why() -> None:
    found = inventory_of(situation(rig_text("Rb", {"RbCl": "10 g"}), FEW))
    assert not found.stocks
    assert "no metal or other element that could free it" in found.missing[0].says
