# SPDX-License-Identifier: MIT
"""What must never go on burning metal is refused, whoever recommends it."""

from __future__ import annotations

import pytest

from assess.around import ready, situated
from retortwright.assess.refused_agent import refuse_agent


def refused(metal: str, reagents: dict[str, str], agent: str) -> list[str]:
    """Ids of what is refused of an agent."""
    at = situated(metal, reagents, ready(agent=f'"5 kg {agent}"'))
    return [each.id for each in refuse_agent(at)]


@pytest.mark.parametrize("agent", ["water", "CO2", "ABC powder", "halon", "foam"])
@pytest.mark.parametrize("metal", ["Li", "Na", "K", "Rb", "Cs", "Mg", "Ca", "Sr", "Ba", "Zn"])
def test_never_on_metal(metal: str, agent: str) -> None:
    # published: [doe-hdbk-1081], p. 47, and [prudent-practices]; advice to use CO2 on alkali metal is wrong
    assert refused(metal, {metal: "5 g"}, agent) == ["refused/wrong-agent/agent"]


@pytest.mark.parametrize(("metal", "is_refused"), [("Li", True), ("Mg", True), ("Ca", True), ("K", False)])
def test_sand_on_what_takes_its_oxygen(metal: str, is_refused: bool) -> None:
    assert bool(refused(metal, {metal: "5 g"}, "dry sand")) is is_refused


def test_the_reductant_counts() -> None:
    at = situated("Rb", None, ready(agent='"5 kg dry sand"'))
    (one,) = refuse_agent(at)
    assert "against burning Ca" in one.subject
    assert one.at == "safety.agent"
    assert one.withholds == ()


@pytest.mark.parametrize("agent", ["NaCl powder", "graphite powder", "copper powder", "soda ash"])
def test_powders_are_not_refused(agent: str) -> None:
    assert refused("K", {"K": "5 g"}, agent) == []


def test_a_blank_and_silence_are_not_refused() -> None:
    assert list(refuse_agent(situated(reagents={}, safety=ready(agent='"1 kg water"')))) == []
    assert list(refuse_agent(situated(safety=""))) == []
