# SPDX-License-Identifier: MIT
"""The window of a charge: beside the first question's own picture, its ends, what is not known."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.reference.tables import Tables, shipped
from retortwright.situation.candidates import Candidate, rig_for
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.equilibrium import charge_equilibrium
from retortwright.situation.reaction import ReactionWork, product_pressure
from retortwright.situation.route import Route
from retortwright.situation.route_window import RouteWindow, route_window
from retortwright.situation.situation import Situation

MIDDLE = Draws(samples=1, width=0.0, pick=(0,))


def situation(candidate: Candidate, draws: Draws = MIDDLE, tables: Tables | None = None) -> Situation:
    """The rig in memory of a candidate."""
    rows = tables or shipped()
    return Situation(rig_for(rows, candidate, "304L", 1200.0, "display"), rows, draws)


def window(candidate: Candidate, draws: Draws = MIDDLE) -> RouteWindow:
    """Its window."""
    made = situation(candidate, draws)
    ledger = Ledger(made.rig, made.tables, draws)
    found = route_window(made, ledger, candidate.beside)
    assert found is not None, ledger.missing
    return found


@pytest.mark.parametrize("names", [("Rb", "RbCl", "Ca"), ("Sm", "Sm2O3", "La"), ("Ca", "CaO", "Al")])
def test_the_start_is_where_the_first_question_has_300_pascal(names: tuple[str, str, str]) -> None:
    candidate = Candidate(*names)
    found, made = window(candidate), situation(candidate)
    work = ReactionWork(made)
    assert isinstance(work.route, Route)
    ledger = Ledger(made.rig, made.tables, MIDDLE)
    at = charge_equilibrium(Chemistry(ledger), work.route, found.low)
    assert at is not None
    # exact: the same code at the temperature found; straight between points of the grid in 1/T
    assert float(product_pressure(at.at(found.taken), work.route)[0]) == pytest.approx(300.0, rel=0.03)
    assert not found.general


def test_a_slag_of_two_oxides_takes_the_general_balance() -> None:
    found = window(Candidate("Mg", "MgO", "Si", "CaO"))
    assert found.general
    assert found.ceiling == pytest.approx(1.0, abs=1e-3)  # exact: the lime holds all of the silica
    assert found.low[0] - 273.15 < 1100  # practice: 1100 to 1200 degC
    assert found.upper[0] - 273.15 > 1200


def test_alumina_holds_a_quarter_of_the_oxide() -> None:
    assert window(Candidate("Ba", "BaO", "Al")).ceiling == pytest.approx(0.75)  # exact: 4 MO + 2 Al -> 3 M
    assert window(Candidate("Mg", "MgO", "Si")).ceiling == pytest.approx(0.5)  # exact: 4 MO + Si -> 2 M


def test_with_sodium_both_alkali_metals_come_over() -> None:
    found = window(Candidate("K", "KCl", "Na"))
    assert found.general
    seen = found.at(1123.15)
    assert 0.1 < float(seen.reductant[0]) < 10.0  # practice: the vapour is as much sodium as potassium


def test_with_magnesium_the_product_would_be_magnesium() -> None:
    seen = window(Candidate("K", "KCl", "Mg")).at(1023.15)
    assert (
        float(seen.product[0]) < 10.0
    )  # practice: about 1 Pa of potassium at 750 degC beside 2 kPa of magnesium
    assert float(seen.reductant[0]) > 10.0  # on the way there, the fresh charge counted


def test_what_comes_along_is_little_over_calcium() -> None:
    seen = window(Candidate("Rb", "RbCl", "Ca")).at(973.15)
    assert 2e-5 < float(seen.reductant[0]) < 5e-4  # practice: some hundred ppm of calcium in rubidium


def test_bands_come_out_of_the_samples() -> None:
    found = window(Candidate("K", "KCl", "Ca"), Draws(16))
    low, high = np.quantile(found.low, [0.05, 0.95])
    assert 5.0 < high - low < 80.0  # regression: some kJ/mol in what the salts and metals hold
    assert np.isfinite(found.upper).all()


def test_data_that_begin_late_are_said() -> None:
    assert window(Candidate("K", "KF", "Ca")).bottom > 650.0  # the liquid fluorides are known from there on


def test_a_slag_without_data_leaves_no_window() -> None:
    made = situation(Candidate("Ba", "BaO", "Si"))
    ledger = Ledger(made.rig, made.tables, MIDDLE)
    assert route_window(made, ledger) is None
    assert ledger.missing


def test_a_blanked_rule_leaves_no_window() -> None:
    tables = replace(shipped(), blanked=frozenset({"species/CaCl2(l)/formation-enthalpy"}))
    made = situation(Candidate("Rb", "RbCl", "Ca"), tables=tables)
    ledger = Ledger(made.rig, tables, MIDDLE)
    assert route_window(made, ledger) is None
    assert [each.datum for each in ledger.missing] == ["species/CaCl2(l)/formation-enthalpy"]
