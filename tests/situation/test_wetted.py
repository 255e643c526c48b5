# SPDX-License-Identifier: MIT
"""Which surface is touched by what: vapour as far as it comes, liquid from where it lands, the pot by what is in it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.reference.species import Species, find_species
from retortwright.reference.tables import shipped
from retortwright.rig.reading import read_rig
from retortwright.situation.situation import Situation
from retortwright.situation.vapour_state import VapourState
from retortwright.situation.wetted import Wetted, wetted_of
from situation.vapour_rigs import RIGS, STATE, changed, pair, plain

DRAWS = Draws(8)
EXAMPLES = Path(__file__).parents[2] / "examples"
LINED = changed(plain(), ("piece.pot.lined", "mild steel"))


@cache
def cells() -> Situation:
    """The six ampoules."""
    return Situation(read_rig(EXAMPLES / "rubidium-cells.toml"), shipped(), DRAWS)


@cache
def situation(text: str) -> Situation:
    """The situation of a rig."""
    return pair(text, DRAWS)


def wetted(text: str) -> dict[tuple[str, str], Wetted]:
    """The surfaces of a rig by name and what touches them."""
    return {(each.name, each.agent): each for each in wetted_of(situation(text))}


def touched(text: str, agent: str) -> set[str]:
    """The names of all that something touches."""
    return {name for name, one in wetted(text) if one == agent}


def test_nothing_is_touched_without_a_charge() -> None:
    blank = Situation(read_rig(EXAMPLES / "thermal-blank.toml"), shipped(), DRAWS)
    assert wetted_of(blank) == ()


@pytest.mark.parametrize(
    ("name", "vapour", "liquid"),
    [
        # regression: of the pictures that the tests of the vapour hold; the neck is filled up to its cap
        ("gauge on the line", {"pot", "line", "neck", "neck.closed", "gauge"}, {"line", "glass"}),
        ("vapour passes the split", {"pot", "line", "neck", "neck.closed", "manifold", "ampoule"},
         {"line", "manifold", "ampoule"}),
        ("copper arm", {"pot", "line", "neck", "neck.joined", "neck.closed"}, {"line", "glass"}),
    ],
)  # fmt: skip
def test_vapour_and_liquid_touch_what_they_come_to(name: str, vapour: set[str], liquid: set[str]) -> None:
    assert touched(RIGS[name], "Rb(g)") == vapour
    assert touched(RIGS[name], "Rb(l)") == liquid


def test_a_joint_is_touched_in_its_filler_and_a_weld_is_its_wall() -> None:
    found = wetted(RIGS["copper arm"])
    assert found["neck.joined", "Rb(g)"].material == "silver braze"
    assert found["neck.closed", "Rb(g)"].material == "FKM"
    assert ("line.joined", "Rb(g)") not in found  # TIG


def test_vapour_that_stops_short_of_a_seal_does_not_touch_it() -> None:
    found = {(each.name, each.agent) for each in wetted_of(cells())}
    assert ("charging-arm", "Rb(g)") in found
    together = cells().vapour(STATE)
    assert isinstance(together, VapourState)
    assert float(np.max(together.vapour.reaches["charging-arm"])) < 0.29
    assert [name for name, _ in found if name.startswith(("charging-arm.closed", "V1", "V2", "trap", "hose"))] == []


def test_what_lands_solid_is_no_liquid() -> None:
    assert touched(RIGS["magnesium"], "Mg(l)") == set()
    assert "glass" in touched(RIGS["magnesium"], "Mg(g)")


def test_no_liquid_is_colder_than_it_melts() -> None:
    liquid = find_species(shipped(), "Rb(l)")
    assert isinstance(liquid, Species)
    assert liquid.melts is not None
    found = wetted(RIGS["gauge on the line"])["glass", "Rb(l)"]
    assert float(np.min(found.figure.values)) >= liquid.melts


@pytest.mark.parametrize(
    ("text", "at", "agents"),
    [
        (plain(), "pot", {"RbCl(l) with Ca(l)", "CaCl2(l) with Ca(l)", "Ca(s)", "Ca(g)", "Rb(g)"}),
        # melts stay in the liner, vapour and gas get behind it
        (LINED, "pot", {"Ca(g)", "Rb(g)"}),
        (LINED, "pot.lined", {"RbCl(l) with Ca(l)", "CaCl2(l) with Ca(l)", "Ca(s)", "Ca(g)", "Rb(g)"}),
        (RIGS["magnesium"], "pot", {"MgO(s)", "Al(l)", "aluminate slag", "Mg(g)"}),
        (changed(plain(), ("charge.RbCl.contains", "{ H2O = '0.1 %' }"), ("charge.Ca.contains", "{ CaO = '5 %' }")),
         "pot", {"RbCl(l) with Ca(l)", "CaCl2(l) with Ca(l)", "Ca(s)", "Ca(g)", "CaO(s)", "H2(g)", "Rb(g)"}),
        (changed(plain(), ("piece.pot.bottom.joined", "nickel braze")), "pot.bottom.joined",
         {"RbCl(l) with Ca(l)", "CaCl2(l) with Ca(l)", "Ca(s)", "Ca(g)", "Rb(g)"}),
    ],
)  # fmt: skip
def test_the_pot_is_touched_by_what_is_in_it(text: str, at: str, agents: set[str]) -> None:
    # exact: RbCl + Ca to Rb and CaCl2, both salts lowered by each other; MgO + Al to Mg and Al2O3 in lime-free slag
    assert {agent for name, agent in wetted(text) if name == at} == agents


def test_each_pair_is_told_in_the_state_in_which_it_is_hottest() -> None:
    found = wetted_of(cells())
    assert len({(each.at, each.agent) for each in found}) == len(found)
    assert {each.state for each in found} == {STATE}  # it dries at 350 degC only


def test_a_liner_is_as_hot_as_the_wall_behind_it() -> None:
    found = wetted(LINED)
    one, other = found["pot", "Rb(g)"], found["pot.lined", "Rb(g)"]
    assert np.array_equal(one.figure.values, other.figure.values)
    assert (one.material, other.material) == ("304L", "mild steel")
