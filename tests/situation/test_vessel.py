# SPDX-License-Identifier: MIT
"""How high a volume stands in retorts of every shape and tilt."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.rig.reading import rig_of
from retortwright.rig.tree import tree_of
from retortwright.situation.vessel import Vessel, vessel_of
from situation.charges import POT, rig_text

BORE, LENGTH = 0.021, 0.16


def vessel(pot: str = "", pieces: str | None = None) -> Vessel:
    """The retort of these tests with its slope written otherwise."""
    text = POT.replace('rises = "90 deg"\nof = "304L"\nbottom', f'{pot}\nof = "304L"\nbottom', 1)
    return vessel_of(tree_of(rig_of(rig_text("Rb", {"Rb": "1 g"}, pieces or text))))


def lips(found: Vessel) -> dict[str, float]:
    return {each.piece: each.lip for each in found.openings}


def test_upright() -> None:
    # exact: volume over cross-section
    found = vessel('rises = "90 deg"')
    area = np.pi / 4 * BORE**2
    assert found.height == pytest.approx(LENGTH, rel=1e-12)
    assert found.volume == pytest.approx(area * LENGTH, rel=1e-9)
    assert found.depth(np.array([9e-6]))[0] == pytest.approx(9e-6 / area, rel=1e-6)
    assert lips(found)["line"] == pytest.approx(0.14 - 0.004, rel=1e-9)


def test_lying() -> None:
    # exact: half of the volume stands to the axis; a tenth of the bore holds 5.204 % of the circle
    found = vessel()
    assert found.height == pytest.approx(BORE, rel=1e-12)
    assert found.volume == pytest.approx(np.pi / 4 * BORE**2 * LENGTH, rel=1e-9)
    depth = found.depth(found.volume * np.array([0.5, 0.0520440]))
    assert depth[0] == pytest.approx(BORE / 2, rel=1e-9)
    assert depth[1] == pytest.approx(BORE / 10, rel=1e-4)


@pytest.mark.parametrize("angle", [10, 30, 45, 80])
def test_aslant(angle: int) -> None:
    # exact: by symmetry half of the volume stands half way up; all of it is held
    found = vessel(f'rises = "{angle} deg"')
    tilt = np.radians(angle)
    assert found.height == pytest.approx(LENGTH * np.sin(tilt) + BORE * np.cos(tilt), rel=1e-9)
    assert found.volume == pytest.approx(np.pi / 4 * BORE**2 * LENGTH, rel=1e-5)
    assert found.depth(np.array([found.volume / 2]))[0] == pytest.approx(found.height / 2, rel=1e-4)


def test_the_wedge_at_the_bottom_of_a_tilted_tube() -> None:
    # exact: at 45 degrees the wedge up to the upper edge of its end holds pi r^3 (the level cuts the whole end)
    found = vessel('rises = "45 deg"')
    radius = BORE / 2
    depth = found.depth(np.array([np.pi * radius**3]))[0]
    assert depth == pytest.approx(BORE * np.cos(np.pi / 4), rel=5e-4)


def test_a_pot_that_falls_is_filled_from_its_far_end() -> None:
    # exact: the same pot turned over: its line leads off near the bottom
    found = vessel('falls = "90 deg"')
    assert found.depth(np.array([9e-6]))[0] == pytest.approx(9e-6 / (np.pi / 4 * BORE**2), rel=1e-6)
    assert lips(found)["line"] == pytest.approx(LENGTH - 0.14 - 0.004, rel=1e-9)


def test_a_cone_that_widens_upward() -> None:
    # exact: a frustum; the lower half of its height holds the frustum of its lower radii
    pot = POT.replace('tube = "25 x 2 mm"', 'tube = "25 x 2 mm"\ntapers_to = "45 x 2 mm"', 1)
    found = vessel(pieces=pot)
    low, mid, high = 0.0105, 0.0155, 0.0205

    def frustum(one: float, other: float, height: float) -> float:
        return np.pi * height / 3 * (one**2 + one * other + other**2)

    assert found.volume == pytest.approx(frustum(low, high, LENGTH), rel=1e-5)
    assert found.depth(np.array([frustum(low, mid, LENGTH / 2)]))[0] == pytest.approx(LENGTH / 2, rel=1e-4)


@pytest.mark.parametrize("slope", ["", 'rises = "90 deg"'])
def test_a_flask(slope: str) -> None:
    # exact: a sphere; a quarter of its height holds 5/32 of it
    pot = POT.replace(
        'tube = "25 x 2 mm"\nlength = "160 mm"\nrises = "90 deg"',
        f'shape = "flask"\ntube = "64 x 2 mm"\n{slope}',
        1,
    )
    pot = pot.replace('bottom = { shape = "flat", thick = "4 mm", joined = "TIG" }\n', "").replace(
        'at = "140 mm"\n', ""
    )
    found = vessel(pieces=pot)
    sphere = np.pi / 6 * 0.06**3
    assert found.height == pytest.approx(0.06, rel=1e-4)
    assert found.volume == pytest.approx(sphere, rel=1e-4)
    depth = found.depth(sphere * np.array([5 / 32, 0.5]))
    assert depth == pytest.approx(found.height * np.array([0.25, 0.5]), rel=2e-3)


def test_openings_of_a_lying_tube() -> None:
    # exact: what leaves upward opens at the top, downward at the bottom, level at the side below the axis
    pieces = {
        "up": ('rises = "90 deg"', BORE),
        "down": ('falls = "90 deg"', 0.0),
        "side": ('towards = "north"', BORE / 2 - 0.004),
    }
    for slope, lip in pieces.values():
        pot = POT.replace('rises = "90 deg"\n', "", 1).replace('falls = "10 deg"\n', f"{slope}\n", 1)
        assert lips(vessel(pieces=pot))["line"] == pytest.approx(lip, abs=1e-9)
    end = (
        POT.replace('rises = "90 deg"\n', "", 1)
        .replace('at = "140 mm"\n', "", 1)
        .replace('falls = "10 deg"\n', "", 1)
    )
    assert lips(vessel(pieces=end))["line"] == pytest.approx(BORE / 2 - 0.004, abs=1e-9)


def test_the_lowest_opening_comes_first_and_a_by_pass_opens_too() -> None:
    by_pass = """
[piece.by-pass]
on = "line"
at = "100 mm"
joined = "TIG"
tube = "8 x 1 mm"
length = "150 mm"
rises = "5 deg"
of = "304L"
meets = { piece = "pot", at = "60 mm", joined = "TIG" }
"""
    found = vessel(pieces=POT + by_pass)
    assert [each.piece for each in found.openings] == ["by-pass", "line"]
    assert found.openings[0].lip == pytest.approx(0.06 - 0.003, abs=1e-9)  # exact


def test_more_than_the_retort_holds_stands_above_it() -> None:
    found = vessel('rises = "90 deg"')
    assert found.depth(np.array([2 * found.volume]))[0] == pytest.approx(2 * LENGTH, rel=1e-9)
