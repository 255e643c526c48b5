# SPDX-License-Identifier: MIT
"""Refusals about gas, cold and water: each with rigs that trigger it and near neighbours that do not."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from retortwright.assess.refused_gas import (
    refuse_blind_backfill,
    refuse_nitrogen_in_flow,
    refuse_water_on_glass,
)
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import read_rig
from retortwright.situation.situation import Situation

ROOT = Path(__file__).parents[2]
RIGS = {
    "getter": read_rig(str(Path(__file__).parent / "getter.toml")),
    "rubidium": read_rig(str(ROOT / "docs" / "closed-volumes.toml")),
}
BEYOND = (  # the only gauge that sees is behind a shut valve
    ("plant.P1", '{ on = "hose", at = "200 mm", gauge = "Bourdon" }'),
)
NITROGEN = ("cool.dry-ice.by", "liquid nitrogen")
PUMPED = ("state.rise", '{ open = [], running = ["furnace"] }')
DISTIL = '{ open = ["V1"], running = ["furnace", "drain-tape", "cap-coil", "dry-ice"%s] }'
WET = ("cool.bench-fan", '{ over = { ampoule = "all" }, by = "ice water" }')

# practice: what triggers each, and a near neighbour: a gauge that sees, a trap that is pumped, glass cooled with air
CASES = [
    ("refused/blind-backfill/P1", "getter", (), (("plant.P1.gauge", "Bourdon"),)),
    ("refused/blind-backfill/argon", "getter", BEYOND, (("plant.P1.gauge", "capacitance"),)),
    (
        "refused/blind-backfill/argon",
        "getter",
        BEYOND,
        (*BEYOND, ("plant.bubbler", '{ on = "line", at = "200 mm", depth = "40 mm", bore = "6 mm" }')),
    ),
    ("refused/nitrogen-in-flow/dry-ice", "rubidium", (NITROGEN,), (NITROGEN, PUMPED)),
    ("refused/nitrogen-in-flow/dry-ice", "rubidium", (NITROGEN,), ()),
    (
        "refused/nitrogen-in-flow/dry-ice",
        "rubidium",
        (
            NITROGEN,
            PUMPED,
            ("state.distil", '{ open = ["V1", "V2"], running = ["pump", "argon", "dry-ice"] }'),
        ),
        (NITROGEN, PUMPED, ("state.distil", '{ open = ["V1", "V2"], running = ["pump", "dry-ice"] }')),
    ),
    ("refused/water-on-glass/bench-fan", "rubidium", (WET,), ()),
    ("refused/water-on-glass/bench-fan", "rubidium", (WET,), (("cool.bench-fan.over", '{ trap = "0 to 80 mm" }'),)),
    (
        "refused/water-on-glass/bench-fan",
        "rubidium",
        (WET,),
        (WET, ("cool.bench-fan", '{ over = { hose = "all" }, by = "ice water" }')),
    ),
]


@cache
def refused(name: str, *edits: tuple[str, str]) -> dict[str, str]:
    """Those refusals: id to why."""
    situation = Situation(
        edited(RIGS[name], [Edit(*each) for each in edits]), shipped(), Draws(samples=1, width=0.0, pick=(0,))
    )
    makers = (refuse_blind_backfill, refuse_nitrogen_in_flow, refuse_water_on_glass)
    return {each.id: each.because for make in makers for each in make(situation)}


@pytest.mark.parametrize(("name", "rig", "edits", "near"), CASES)
def test_it_is_refused_and_its_near_neighbour_is_not(
    name: str, rig: str, edits: tuple[tuple[str, str], ...], near: tuple[tuple[str, str], ...]
) -> None:
    assert name in refused(rig, *edits)
    assert name not in refused(rig, *near)


def test_what_is_said() -> None:
    assert (
        "nothing pumps on the trap in rise"
        in refused("rubidium", NITROGEN)["refused/nitrogen-in-flow/dry-ice"]
    )
    wet = refused("rubidium", WET)["refused/water-on-glass/bench-fan"]
    assert wet == "ampoule is glass and on the way of the Rb: a crack brings water onto it"
