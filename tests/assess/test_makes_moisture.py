# SPDX-License-Identifier: MIT
"""The checks of the moisture as a user gets them."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from retortwright.assess.check import finding_of
from retortwright.assess.finding import Finding
from retortwright.assess.makes_moisture import moisture_checks, water_bearable
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import Tables, shipped
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import read_rig, rig_of
from retortwright.situation.situation import Situation
from situation.charges import rig_text

DRAWS = Draws(samples=48)
EXAMPLE = read_rig(str(Path(__file__).parents[1] / "situation" / "cooled_arm.toml"))
WEIGHED = {
    "charge.RbCl.mass": "9.0 g",
    "charge.Ca.mass": "1.95 g",
    "aim.amount": "3.6 g",
}  # whatever it says now
WATER = ("charge.RbCl.contains.H2O", "0.02 to 0.05 %")
RUBIDIUM = edited(EXAMPLE, [Edit(*each) for each in (*WEIGHED.items(), WATER)])
WET = {"RbCl": "9 g; H2O = '0.02 to 0.05 %'", "Ca": "2 g"}


def of(text: str, tables: Tables | None = None) -> dict[str, Finding]:
    return found(Situation(rig_of(text, "charge.toml"), tables or shipped(), DRAWS))


def found(case: Situation) -> dict[str, Finding]:
    return {each.id: each for each in (finding_of(case, check, 1) for check in moisture_checks(case))}


def changed(*edits: tuple[str, str]) -> Situation:
    return Situation(edited(RUBIDIUM, [Edit(*each) for each in edits]), shipped(), DRAWS)


@cache
def rubidium() -> dict[str, Finding]:
    return found(Situation(RUBIDIUM, shipped(), Draws()))


def test_both_checks_are_made() -> None:
    assert list(rubidium()) == ["water/Ca/distil", "hydrogen/retort/rise"]
    assert {each.verdict for each in rubidium().values()} == {"holds"}
    assert {each.at for each in rubidium().values()} == {"charge.RbCl.contains.H2O"}


def test_what_the_sentences_say() -> None:
    water, hydrogen = rubidium()["water/Ca/distil"], rubidium()["hydrogen/retort/rise"]
    assert "3.2 mg of water give 4.2 mL of hydrogen at 20 degC and eat 7 mg Ca" in water.because
    assert "2 % of the excess" in water.because
    notes = " ".join(water.notes)
    assert "the pump takes the hydrogen off in dry and distil" in notes
    assert "a rise of 1 Pa a minute in the 0.14 L" in notes
    assert "CaH2: a second gas peak from about 736 degC on" in notes
    assert "0.17 mmol of hydrogen in 139 mL" in hydrogen.because
    assert "the relief that is joined opens at the limit" in hydrogen.because


def test_the_relief_sets_the_limit_where_one_is_joined() -> None:
    # exact: 15 kPa over the room, half of it kept back
    hydrogen = rubidium()["hydrogen/retort/rise"]
    assert hydrogen.limit == pytest.approx(15e3, rel=1e-9)
    assert hydrogen.reserve == pytest.approx(7.5e3, rel=1e-9)
    beyond = found(changed(("plant.relief.on", "hose"), ("plant.relief.at", "0.1 m")))["hydrogen/retort/rise"]
    assert beyond.limit == pytest.approx(10e3)  # practice: a tenth of an atmosphere
    assert "no relief is joined" in beyond.because
    other = found(changed(("plant.relief.opens", "30 kPa gauge")))["hydrogen/retort/rise"]
    assert other.limit == pytest.approx(30e3, rel=1e-9)
    stricter = found(changed(("tighten.hydrogen-most", "5 kPa")))["hydrogen/retort/rise"]
    assert stricter.limit == pytest.approx(5e3)
    assert "your own" in stricter.because


def test_wet_salt_fails_and_the_water_it_bears_is_named() -> None:
    wet = changed(("charge.RbCl.contains.H2O", "0.4 to 0.6 %"))
    assert found(wet)["hydrogen/retort/rise"].verdict == "fails"
    assert found(wet)["water/Ca/distil"].verdict == "fails"
    factor = water_bearable(wet, "rise")
    for more, verdict in ((0.999, "holds"), (1.01, "thin")):
        band = f"{0.4 * factor * more:.6f} to {0.6 * factor * more:.6f} %"
        assert found(changed(("charge.RbCl.contains.H2O", band)))["hydrogen/retort/rise"].verdict == verdict


def test_forty_five_milligrams_of_water() -> None:
    # exact: 45 mg are 2.5 mmol of hydrogen
    wet = found(changed(("charge.RbCl.contains.H2O", "0.5 %")))["hydrogen/retort/rise"]
    assert "45 mg of water are 2.5 mmol" in wet.because or "45.0 mg" in wet.because
    assert wet.verdict == "fails"


def test_water_that_nobody_stated_is_unknown() -> None:
    silent = of(rig_text("Rb", {"RbCl": "9 g", "Ca": "2 g"}))
    assert {each.verdict for each in silent.values()} == {"unknown"}
    for each in silent.values():
        assert each.missing is not None
        assert each.missing.datum == "charge.RbCl.contains.H2O"
    assert len(silent) == 2


def test_without_a_reductant_the_share_is_unknown_and_the_hydrogen_is_not() -> None:
    alone = of(rig_text("Rb", {"RbCl": "9 g; H2O = '0.02 %'"}))
    verdicts = {each.check: each.verdict for each in alone.values()}
    assert verdicts == {"water": "unknown", "hydrogen": "holds"}


def test_redistilling_asks_for_hydrogen_only_where_something_holds_it() -> None:
    assert of(rig_text("Rb", {"Rb": "5 g"})) == {}
    wet = of(rig_text("Rb", {"Rb": "5 g; RbOH = '1 %'"}))
    assert [each.check for each in wet.values()] == ["hydrogen"]


def test_a_rig_that_is_never_shut_while_hot_has_no_hydrogen_to_bear() -> None:
    text = (
        rig_text("Rb", WET)
        .replace("rise = { open = []", 'rise = { open = ["V1"]')
        .replace('running = ["furnace"] }', 'running = ["furnace", "pump"] }')
    )
    assert [each.check for each in of(text).values()] == ["water"]


@pytest.mark.parametrize(
    "address", ["rules/water/limit", "rules/hydrogen/limit", "elements/H/atomic-mass", "elements/Ca/valence"]
)
def test_a_row_that_is_not_known_makes_what_cites_it_unknown_and_nothing_else(address: str) -> None:
    whole, blind = of(rig_text("Rb", WET)), of(rig_text("Rb", WET), shipped().without(address))
    cites = {name for name, each in whole.items() if address in each.cites}
    assert cites
    assert {name for name, each in blind.items() if each.verdict == "unknown"} == cites
