# SPDX-License-Identifier: MIT
"""The reserve of a joint: that of the rule, or its own where practice has a smaller one."""

from __future__ import annotations

import pytest

from retortwright.assess.finding import Finding
from retortwright.assess.joints_live import joints_live
from retortwright.assess.joints_lost import joints_lost
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import Tables, shipped
from retortwright.rig.reading import rig_of
from retortwright.situation.situation import Situation

TEXT = """
retortwright = 1
aim.metal = "K"
[piece.retort]
tube = "25.4 x 1.65 mm"
length = "160 mm"
rises = "90 deg"
of = "304L"
[piece.arm]
on = "retort"
joined = "TIG"
tube = "12 x 1 mm"
length = "900 mm"
of = "304L"
closed = "CAP"
[heat]
furnace = { over = { retort = "0 to 140 mm" } }
[state]
hot = { open = [], running = ["furnace"] }
[programme]
steps = [{ state = "hot", to = "400 degC" }]
"""


def finding(cap: str, more: str = "", tables: Tables | None = None, lost: bool = False) -> Finding:
    """The hot finding of the cap, far from the furnace: as warm as the room."""
    situation = Situation(rig_of(TEXT.replace("CAP", cap) + more), tables or shipped(), Draws(samples=8))
    if lost:
        return next(
            each for each in joints_lost(situation) if each.id.startswith("seal-heat/arm.closed/hot-power")
        )
    return next(each for each in joints_live(situation) if each.id == "seal-heat/arm.closed/hot")


@pytest.mark.parametrize("cap", ["sealing wax", "greased ground joint"])
def test_wax_and_grease_hold_in_an_ordinary_room(cap: str) -> None:
    found = finding(cap)
    assert found.limit == pytest.approx(313.15)
    assert (found.verdict, found.reserve) == ("holds", 10.0)  # practice: 10 K below 40 degC
    assert {"rules/seal-heat/reserve", f"joints/{cap}/reserve"} <= found.cites


def test_all_others_keep_the_reserve_of_the_rule() -> None:
    own = {key[1] for key in shipped().rows if key[0] == "joints" and key[2] == "reserve"}
    assert own == {"sealing wax", "greased ground joint"}
    assert finding("epoxy").reserve == 40.0
    assert "rules/seal-heat/reserve" in finding("epoxy").cites


def test_a_tightened_reserve_rules_them_too() -> None:
    assert finding("sealing wax", '[tighten]\nseal-reserve = "45 K"\n').reserve == 45.0


def test_a_reserve_that_is_not_known_makes_unknown() -> None:
    for address in ("joints/sealing wax/reserve", "rules/seal-heat/reserve"):
        found = finding("sealing wax", tables=shipped().without(address))
        assert found.verdict == "unknown"
        assert found.missing is not None
        assert found.missing.datum == address


def test_after_a_loss_the_rule_of_losses_stands() -> None:
    found = finding("sealing wax", lost=True)
    assert found.reserve == 10.0
    assert "joints/sealing wax/reserve" not in found.cites
    assert "rules/seal-heat-lost/reserve" in found.cites
