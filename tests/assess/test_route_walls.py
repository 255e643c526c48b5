# SPDX-License-Identifier: MIT
"""What a charge does to its pot: by the agents in it, the worst of them, and unknown where one is not known."""

from __future__ import annotations

import pytest

from retortwright.assess.route_walls import VESSELS, agents_of, bearing_of, service_limit
from retortwright.reference.tables import shipped
from retortwright.situation.candidates import Candidate

TABLES = shipped()
RUBIDIUM = Candidate("Rb", "RbCl", "Ca")


def test_a_melt_with_the_reductant_in_it_stands_for_both() -> None:
    assert agents_of(TABLES, RUBIDIUM, "CaCl2", "304L", 1000.0) == ("Rb(g)", "RbCl(l) with Ca(l)", "Ca(g)")
    found = bearing_of(TABLES, RUBIDIUM, "CaCl2", "304L", 973.15)
    assert (found.verdict, found.seen) == ("holds", False)  # practice: steel bears it


def test_the_worst_rules() -> None:
    found = bearing_of(TABLES, RUBIDIUM, "CaCl2", "nickel", 973.15)
    assert found.verdict == "fails"  # published: calcium and nickel melt together from 605 degC
    assert "Ca" in found.because
    assert any(each.startswith("attacks/Ca(s) on nickel") for each in found.cites)


def test_one_that_is_not_known_leaves_it_unknown() -> None:
    found = bearing_of(TABLES, Candidate("K", "KF", "Li"), "LiF", "304L", 1200.0)
    assert found.verdict in ("unknown", "fails")
    assert (
        bearing_of(TABLES, Candidate("Tm", "Tm2O3", "La"), "La2O3", "tantalum", 1700.0).verdict == "unknown"
    )


def test_aluminium_in_a_briquette_is_slag() -> None:
    assert agents_of(TABLES, Candidate("Ba", "BaO", "Al"), "BaAl2O4", "310S", 1400.0) == (
        "Ba(g)",
        "aluminate slag",
    )


def test_solids_take_their_melting_point() -> None:
    cold, hot = (
        agents_of(TABLES, Candidate("K", "KCl", "Li"), "LiCl", "304L", kelvin) for kelvin in (900.0, 1100.0)
    )
    assert "KCl(l)" not in cold
    assert "KCl(l)" in hot  # exact: it melts at 1044 K


@pytest.mark.parametrize("material", VESSELS)
def test_every_vessel_has_a_service_limit(material: str) -> None:
    limit = service_limit(TABLES, material)
    assert isinstance(limit, float)
    assert 400 < limit < 1700
