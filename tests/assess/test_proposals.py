# SPDX-License-Identifier: MIT
"""A remedy never loosens the rig: what may stand in for a joint that gets too hot."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from retortwright.assess.joints_live import joints_live
from retortwright.assess.proposals import proposals_of
from retortwright.belief.beliefs import Draws
from retortwright.reference.datum import number_of
from retortwright.reference.tables import shipped
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import read_rig
from retortwright.situation.situation import Situation

RIG = read_rig(str(Path(__file__).parent / "short_arm.toml"))


@cache
def joints_proposed(
    size: str, joint: str = "NBR O-ring", of: str = "304L", length: str = "100 mm"
) -> tuple[str, ...]:
    """The joints that are proposed for the cap of an arm of some size."""
    edits = [Edit("piece.arm.tube", size), Edit("piece.arm.closed", joint), Edit("piece.arm.length", length)]
    if of != "304L":
        edits += [Edit("piece.arm.of", of), Edit("piece.arm.joined", "graded glass seal")]
        edits += [Edit("piece.arm.finish", "plain")]
    situation = Situation(edited(RIG, edits), shipped(), Draws(samples=8))
    finding = next(each for each in joints_live(situation) if each.id == "seal-heat/arm.closed/hot")
    found = proposals_of(situation, finding)
    return tuple(value for each in found if each.key == "piece.arm.closed" for value in each.values)


def leak(kind: str) -> float:
    """The typical leak of a joint."""
    return number_of(shipped().rows[("joints", kind, "leak")]).best


def test_a_thick_tube_may_get_a_flange_as_tight_as_the_cap() -> None:
    (flange,) = joints_proposed("25.4 x 2 mm", "FKM O-ring cap")
    assert flange == "copper knife-edge flange"  # practice: no aluminium near rubidium, no leaky gaskets
    assert leak(flange) <= 10 * leak("FKM O-ring cap")


@pytest.mark.parametrize("size", ["19.05 x 0.9 mm", "25.4 x 1.4 mm", "15.8 x 2 mm"])
def test_no_flange_on_a_thin_or_narrow_tube(size: str) -> None:
    assert joints_proposed(size, "FKM O-ring cap") == ()


def test_no_flange_on_glass() -> None:
    assert not any(
        "flange" in each for each in joints_proposed("25.4 x 2 mm", "FKM O-ring cap", "borosilicate")
    )


def test_a_ring_gives_way_to_a_better_ring() -> None:
    assert joints_proposed("19.05 x 0.9 mm", length="120 mm") == (
        "FKM O-ring cap",
    )  # practice: 110 degC is enough there


def test_no_ring_that_leaks_a_hundred_times_more() -> None:
    assert leak("silicone O-ring") > 10 * leak("FKM O-ring cap")
    assert "silicone O-ring" not in joints_proposed("19.05 x 0.9 mm", "FKM O-ring cap")


def test_a_tight_joint_gives_way_only_to_one_about_as_tight() -> None:
    (found,) = joints_proposed("25.4 x 2 mm", "indium wire seal")
    assert leak(found) <= 10 * leak("indium wire seal")
    assert leak("copper washer flange") > 10 * leak("indium wire seal")
