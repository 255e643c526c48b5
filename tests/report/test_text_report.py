# SPDX-License-Identifier: MIT
"""The text face: cautions first, then what to do, then why; what was not asked is listed."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from retortwright.assess.assessment import Assessment, assess
from retortwright.belief.beliefs import Draws
from retortwright.reference.formulas import FORMULAS
from retortwright.reference.tables import shipped
from retortwright.report.digits import face_of, in_face, shown_band
from retortwright.report.explanation import explained
from retortwright.report.text_report import as_text
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import read_rig

RIG = str(Path(__file__).parents[1] / "assess" / "short_arm.toml")


@cache
def assessment() -> Assessment:
    """The short arm."""
    return assess(read_rig(RIG), Draws(samples=32))


def of_the_joints(made: Assessment) -> Assessment:
    """An assessment of which only question 4 is asked: this rig is shut while it is hot."""
    return replace(made, asked=(4,), findings=made.of(4), refused=(), situation=None)


def test_cautions_come_before_any_number_and_the_front_line_before_findings() -> None:
    text = as_text(assessment())
    assert text.startswith("Heats an evacuated vessel")
    assert text.index("DO NOT LIGHT.") < text.index("FAILS") < text.index("Not asked: ")


def test_a_charge_brings_its_cautions_and_the_unknown_heat_of_vapour() -> None:
    charged = edited(read_rig(RIG), [Edit("charge", '{ RbCl = { mass = "9 g" }, Ca = { mass = "2 g" } }')])
    found = assess(charged, Draws(samples=8), remedies=False)
    text = as_text(found)
    assert text.startswith("Heats reactive metal in a closed vessel: local codes")
    assert found.find("vapour-heat/retort/hot").verdict == "unknown"
    assert "never water, CO2" in text


def test_the_same_answer_in_several_states_is_said_once() -> None:
    steps = ", ".join(f'{{ state = "{state}", to = "680 degC" }}' for state in ("warm", "hot", "again"))
    twice = Edit("state.again", '{ open = [], running = ["furnace", "tape", "fan"] }')
    same = edited(read_rig(RIG), [twice, Edit("programme.steps", f"[{steps}]")])
    text = as_text(assess(same, Draws(samples=8), remedies=False))
    assert "again, hot and warm" in text


def test_where_all_holds_it_says_so_and_no_more() -> None:
    good = edited(read_rig(RIG), [Edit("piece.arm.length", "260 mm")])
    text = as_text(of_the_joints(assess(good, Draws(samples=32))))
    assert "Nothing asked stands against a thermal blank." in text
    assert "DO NOT LIGHT" not in text
    assert "Not all was asked" in text


def test_every_seal_that_holds_has_its_line_and_those_after_a_loss_are_counted() -> None:
    text = as_text(assessment())
    found = [each for each in assessment().of(4) if each.verdict == "holds"]
    steady = [each for each in found if each.lost is None]
    assert steady
    shown = text.split("   holds ")[1].split("Not asked")[0]
    for each in steady:
        lines = [line for line in shown.split("\n") if line.startswith(f"            {each.place} in ")]
        assert any(each.state in line for line in lines), each.id
    lost = len(found) - len(steady)
    assert f"and {lost} after a loss; nearest is " in " ".join(shown.split())
    bottom = assessment().find("seal-heat/retort.bottom.joined/hot").judgement
    assert bottom.low is not None
    assert f"retort.bottom.joined in hot: {bottom.low - 273.15:.0f} < " in shown


def test_the_limit_says_whose_it_is() -> None:
    text = as_text(assessment())
    assert "may reach 40 (limit 80 of NBR O-ring, less 40)" in text  # practice: joints.csv
    assert (
        assessment().find("seal-heat/retort.bottom.joined/hot").limit_of == "304L"
    )  # a weld is as good as its wall


def test_where_all_that_stands_is_unknown_it_cannot_say() -> None:
    good = edited(read_rig(RIG), [Edit("piece.arm.length", "260 mm")])
    charged = edited(good, [Edit("charge", '{ RbCl = { mass = "9 g" }, Ca = { mass = "2 g" } }')])
    text = as_text(of_the_joints(assess(charged, Draws(samples=8), remedies=False)))
    assert re.search(r"^  CANNOT SAY: do not light\.   \d+ unknown, \d+ hold\.$", text, re.MULTILINE)
    assert "Mend from the top" not in text


def test_an_explanation_writes_units_and_bands_as_one_reads_them() -> None:
    name = "seal-heat/retort.bottom.joined/hot-overshoot"
    finding = assessment().find(name)
    lines = explained(assessment(), finding, {}).split("\n")
    said = {line.split()[1]: line.strip() for line in lines if line.strip().startswith("0%  ")}
    assert "furnace.overshoot  20 40 80 K  " in said["furnace.overshoot"]  # a difference, no degC
    assert "contact.TIG  1e+06 W/m2/K  " in said["contact.TIG"]  # no width: one number
    assert "furnace.fill  0.1 0.4 0.8  common practice" in said["furnace.fill"]
    assert any("rules/seal-heat-lost/reserve = 10 K, practice" in line for line in lines)


def test_an_explanation_goes_down_to_formula_inputs_and_sources() -> None:
    finding = assessment().find("seal-heat/arm.closed/hot")
    text = explained(assessment(), finding, assessment().shares(finding))
    assert FORMULAS["tree-of-fins"].says[:40] in " ".join(text.split())
    assert "convection.free" in text
    assert "short_arm.toml:" in text  # the fan's speed stands in the file
    assert "joints/NBR O-ring/limit = 353.15 K, practice" in text
    for source in finding.sources:
        assert f"[{source}]" in text


def test_every_formula_has_sources_that_exist() -> None:
    for formula in FORMULAS.values():
        assert set(formula.sources) <= set(shipped().sources)


def test_digits() -> None:
    face = face_of("temperature")
    assert shown_band(373.15, 374.0, 375.2, face) == "100 < 101 < 102 degC"  # exact
    assert shown_band(373.15, 373.2, 373.3, face) == "100 degC"
    assert in_face(None, face) is None
    assert in_face(373.15, face) == pytest.approx(100.0)
