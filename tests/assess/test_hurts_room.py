# SPDX-License-Identifier: MIT
"""The room: hydrogen, argon, water, glass."""

from __future__ import annotations

import pytest

from assess.around import found, ready, situated
from retortwright.assess.hurts_room import water_says
from retortwright.assess.hurts_you import hurts_finding
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.rig.reading import rig_of
from retortwright.situation.situation import Situation
from situation.charges import rig_text

ARGON = '[plant]\nargon = { on = "V1", purity = "99.99 %", flow = "0.2 L/min" }\n'
COIL = '[cool]\ncoil = {{ over = {{ {} }}, by = "water coil", flow = "0.3 L/min", inlet = "18 degC" }}\n'


def changed(old: str, new: str, safety: str, more: str = "") -> Situation:
    """The rubidium rig with another line of text."""
    text = rig_text("Rb", {"RbCl": '14 g; H2O = "0.02 %"', "Ca": "3.25 g"}, more=safety + more)
    assert text.count(old) >= 1
    return Situation(rig_of(text.replace(old, new), "room.toml"), shipped(), Draws(samples=16))


def with_argon(safety: str) -> Situation:
    """With argon in the plant."""
    return changed("[plant]\n", ARGON, safety)


def cooled(over: str) -> Situation:
    """With a water coil over a stretch, while it distils."""
    at = changed(
        'running = ["furnace", "pump"]', 'running = ["furnace", "pump", "coil"]', ready(), COIL.format(over)
    )
    return at


def test_a_millilitre_of_water() -> None:
    # exact: half a mole of hydrogen from one of water: +0.344 bar in 2 L at 25 degC, 0.338 at 20 degC; 0.67 L
    says = water_says(situated())
    assert "0.67 L of hydrogen" in says
    assert "0.34 bar in 2 L" in says
    moles = 0.997e-3 / 18.015e-3 / 2
    assert moles * 8.314463 * 298.15 / 2e-3 == pytest.approx(0.344e5, rel=0.01)


def test_argon_left_on_in_a_closet() -> None:
    small = found(with_argon(ready(room='"2 m3"', ventilation=None)))["argon-room"]
    assert small.verdict == "fails"
    assert small.limit == pytest.approx(0.195)  # published: [bnl-oxygen]
    assert found(with_argon(ready(room='"60 m3"', ventilation=None)))["argon-room"].verdict == "holds"
    aired = found(with_argon(ready(room='"2 m3"', ventilation='"30 m3/h"')))["argon-room"]
    assert aired.verdict == "holds"
    # exact: 0.012 m3/h in 30.012
    assert aired.judgement.best == pytest.approx(0.2095 * (1 - 0.012 / 30.012), abs=3e-4)
    assert "argon-room" not in found(situated())  # no argon in the plant


def test_a_room_that_is_not_said_is_unknown() -> None:
    made = found(with_argon(ready(room=None)))
    for check in ("argon-room", "hydrogen-room"):
        assert made[check].verdict == "unknown"
        assert made[check].missing is not None
        assert made[check].missing.datum == "safety.room"


def test_a_tap_beside_the_metal() -> None:
    assert found(situated(safety=ready(water='"0.5 m"')))["water-near"].verdict == "fails"
    assert found(situated())["water-near"].verdict == "holds"
    lacking = found(situated(safety=ready(water=None)))["water-near"]
    assert lacking.missing is not None
    assert "2 m" in lacking.missing.says


@pytest.mark.parametrize(
    ("over", "verdict"),
    [
        ('glass = "0 to 20 mm"', "fails"),  # on the glass that holds the metal
        ('line = "150 to 190 mm"', "fails"),  # 10 mm from it
        ('line = "20 to 60 mm"', "thin"),  # 140 mm
        ('pot = "100 to 110 mm"', "holds"),  # beyond the line
    ],
)
def test_water_on_or_beside_glass_that_holds_metal(over: str, verdict: str) -> None:
    one = found(cooled(over))["water-cooling"]
    assert one.verdict == verdict
    assert "which is glass and holds metal" in one.because


@pytest.mark.parametrize(
    ("screen", "verdict"),
    [('"polycarbonate"', "holds"), ('"laminated glass"', "holds"), ('"wire mesh"', "fails"), ('"none"', "fails"),
     (None, "unknown")],
)  # fmt: skip
def test_a_screen_before_glass_under_vacuum(screen: str | None, verdict: str) -> None:
    one = found(situated(safety=ready(screen=screen)))["glass-vacuum"]
    assert one.verdict == verdict
    assert "J when they break" in one.because


def test_each_is_found_alone_by_its_id() -> None:
    text = 'line = "20 to 60 mm"'
    ids = {each.id for each in found(cooled(text)).values()}
    assert len(ids) == 12
    for name in (*ids, found(with_argon(ready()))["argon-room"].id):
        fresh = with_argon(ready()) if name.startswith("argon") else cooled(text)
        alone = hurts_finding(fresh, name)
        assert alone is not None
        assert alone.id == name


def test_a_blank_wants_its_screen_too_and_nothing_else() -> None:
    assert set(found(situated(reagents={}))) == {"glass-vacuum"}
