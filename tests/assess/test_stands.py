# SPDX-License-Identifier: MIT
"""Question 5: each check with a rig that fails or thins it, near neighbours that do not, and what is not known."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from retortwright.assess.finding import Finding
from retortwright.assess.refusals import withheld
from retortwright.assess.refused_apparatus import refuse_thin_can
from retortwright.assess.stands import STANDS
from retortwright.belief.beliefs import Draws
from retortwright.reference.formulas import FORMULAS
from retortwright.reference.tables import shipped
from retortwright.report.digits import face_of
from retortwright.rig.edit import Edit, edited
from retortwright.rig.reading import read_rig, rig_of
from retortwright.situation.situation import Situation

EXAMPLES = Path(__file__).parents[2] / "examples"
BLANK, RUBIDIUM = (read_rig(str(EXAMPLES / f"{name}.toml")) for name in ("thermal-blank", "rubidium-cells"))
STEEL = ("piece.retort.of", "mild steel")
FLAT = ("piece.retort.bottom", '{ shape = "flat", thick = "3 mm", joined = "TIG" }')


def heated(celsius: int) -> tuple[str, str]:
    return ("programme.steps.distil.to", f"{celsius} degC")


@cache
def situation_of(name: str, *edits: tuple[str, str]) -> Situation:
    rig = edited({"blank": BLANK, "rubidium": RUBIDIUM}[name], [Edit(*each) for each in edits])
    near = situation_of(name) if edits else None  # whose temperatures serve as a first guess
    return Situation(rig, shipped(), Draws(4), near=near)


@cache
def findings(name: str, *edits: tuple[str, str]) -> dict[str, Finding]:
    return {finding.id: finding for finding in STANDS.findings(situation_of(name, *edits))}


def verdict(which: str, *edits: tuple[str, str]) -> str:
    return findings("blank", *edits)[which].verdict


# practice: what a worker with vessels would say of each; the near neighbour differs in one thing
CASES = [
    ("collapse/retort/distil", (), "holds"),
    ("collapse/retort/distil", (STEEL, heated(770), ("piece.retort.tube", "100 x 0.8 mm")), "fails"),
    ("collapse/retort/distil", (STEEL, heated(770), ("piece.retort.tube", "60.3 x 2 mm")), "thin"),
    ("collapse/retort/distil", (STEEL, heated(770)), "holds"),
    ("ends/retort.bottom/distil", (), "holds"),
    ("ends/retort.bottom/distil", (STEEL, heated(770), FLAT, ("piece.retort.tube", "60.3 x 2 mm")), "fails"),
    ("creep-runs/retort/distil", (), "holds"),
    ("creep-runs/retort/distil", (STEEL, heated(700)), "unknown"),
    ("creep-runs/retort/distil", (heated(885),), "unknown"),
    ("creep-runs/retort/distil", (heated(860), ("programme.steps.distil.hold", "60 h")), "unknown"),
    ("creep-runs/retort/distil", (STEEL, heated(450)), "holds"),
    ("scale-runs/retort/distil", (), "holds"),
    ("scale-runs/retort/distil", (STEEL, heated(790)), "fails"),
    ("openings/retort/distil", (), "holds"),
    ("openings/retort/distil", (("piece.line.tube", "16 x 0.3 mm"),), "unknown"),  # wider than half the bore
    ("openings/retort/distil", (STEEL, heated(770), ("piece.retort.tube", "60.3 x 1.2 mm")), "thin"),
    ("openings/retort/distil", (STEEL, heated(770), ("piece.retort.tube", "100 x 1.5 mm")), "fails"),
    ("openings/retort/distil", (STEEL, heated(770), ("piece.retort.tube", "60.3 x 2 mm")), "holds"),
    ("hose/hose/distil", (), "holds"),
    ("hose/hose/distil", (("piece.hose.tube", "24 x 4 mm"),), "fails"),
    ("hose/hose/distil", (("piece.hose.tube", "28 x 6 mm"),), "thin"),
    ("hose/hose/distil", (("piece.hose.tube", "24 x 4 mm"), ("assume.hose.wall", "0.05")), "holds"),  # a wire in it
    ("hose/hose/distil", (("piece.hose.tube", "8 x 1 mm"), ("piece.hose.of", "nylon")), "holds"),
]  # fmt: skip


@pytest.mark.parametrize(("which", "edits", "expected"), CASES)
def test_verdicts(which: str, edits: tuple[tuple[str, str], ...], expected: str) -> None:
    assert verdict(which, *edits) == expected


def test_the_examples_are_read_as_a_vessel_engineer_would() -> None:
    # practice: drawn 304L of 25 to 34 mm stands at 680 and 750 degC, with an arm of 12 mm and a hose for vacuum
    for name in ("blank", "rubidium"):
        assert {finding.verdict for finding in findings(name).values()} == {"holds"}


def test_what_governs_is_named() -> None:
    # practice: hot stainless yields long before it buckles; a can buckles
    assert "yield" in findings("rubidium")["collapse/retort/distil"].because
    thin = findings("blank", STEEL, heated(770), ("piece.retort.tube", "100 x 0.3 mm"))
    assert "left, at 7" in thin["collapse/retort/distil"].because
    assert "buckling, brought on by its being out of round, governs" in thin["collapse/retort/distil"].because


def test_every_finding_of_walls_defers_to_codes() -> None:
    # practice: never a code calculation
    for finding in (*findings("rubidium").values(), *findings("blank", STEEL, heated(700)).values()):
        assert any("estimate" in note for note in finding.notes)


def test_argon_left_on_presses_the_retort() -> None:
    # practice: in the rubidium rig the backfill stops at 50 kPa by hand; left on, the relief opens at 15 kPa
    found = findings("rubidium")["over-pressure/retort/backfill"]
    assert found.verdict == "holds"
    assert "argon left on" in found.because


def test_epoxy_between_steel_and_glass_when_warm() -> None:
    # practice: a rigid lap of 12 mm at some 90 degC is at its end; between the same glass nothing is strained
    found = findings("blank", ("piece.receiver.joined", "epoxy"))
    assert found["glue-shear/receiver.joined/distil"].verdict in ("thin", "fails")
    assert not any(which.startswith("glue") for which in findings("blank"))


def test_steel_welded_to_stainless_swells_unequally() -> None:
    # practice: two steels part by a fifth of a percent when hot, which both bear
    found = findings("blank", STEEL, heated(700))["joint-swell/line.joined/distil"]
    assert found.verdict == "holds"
    assert found.judgement.best == pytest.approx(0.002, rel=0.5)


def test_a_lid_that_is_welded_and_not_described_is_unknown() -> None:
    # exact: no shape, no wall, no number
    found = findings("blank", ("piece.retort.closed", "TIG"))["ends/retort.closed/distil"]
    assert found.verdict == "unknown"


def test_only_what_cites_a_blanked_row_turns_unknown() -> None:
    # exact: without the yield stress of 304L its walls are unknown, and its scale is not
    situation = Situation(BLANK, shipped().without("materials/304L/yield"), Draws(4))
    found = {finding.id: finding.verdict for finding in STANDS.findings(situation)}
    assert found["collapse/retort/distil"] == found["ends/retort.bottom/distil"] == "unknown"
    assert found["scale-runs/retort/distil"] == found["creep-runs/retort/distil"] == "holds"
    assert found["collapse/receiver/distil"] == "holds"


def test_every_check_has_its_words_and_its_unit() -> None:
    # exact: every check of the question has a formula in words and a face for its numbers
    for finding in (
        *findings("rubidium").values(),
        *findings("blank", ("piece.receiver.joined", "epoxy")).values(),
    ):
        assert finding.formula in FORMULAS
        assert face_of(finding.quantity).unit in ("%", "runs", "MPa")


def test_the_same_checks_when_a_belief_is_known_better() -> None:
    # exact: a narrowed what-if asks the same checks, so that a measurement can be offered for each
    rig = edited(BLANK, [Edit(*STEEL), Edit(*heated(790))])
    situation = Situation(rig, shipped(), Draws(4))
    narrowed = situation.narrowed("furnace.offset", 0.2)
    for finding in STANDS.findings(situation):
        assert len(STANDS.values(narrowed, finding)) == 4


def test_each_wall_has_one_finding_of_its_openings_and_each_hose_its_own() -> None:
    # exact: two hoses, two hot walls with an arm each
    hose = (
        "piece.hose-2",
        '{ on = "hose", joined = "FKM clamp", tube = "24 x 4 mm", length = "0.3 m", of = "butyl" }',
    )
    arm = (
        "piece.arm",
        '{ on = "line", at = "10 mm", joined = "TIG", tube = "6 x 1 mm", length = "50 mm", of = "304L" }',
    )
    over = ("heat.furnace.over", '{ retort = "0 to 150 mm", line = "0 to 60 mm" }')
    found = findings("blank", over, hose, arm)
    hoses = {each.id: each.verdict for each in found.values() if each.check == "hose"}
    assert hoses == {"hose/hose/distil": "holds", "hose/hose-2/distil": "fails"}
    openings = {each.id: each.because for each in found.values() if each.check == "openings"}
    assert list(openings) == ["openings/retort/distil", "openings/line/distil"]
    assert "the retort, 33.7 mm, has the line of 12 mm in its side" in openings["openings/retort/distil"]
    assert "the line, 12 mm, has the arm of 6 mm in its side" in openings["openings/line/distil"]


def test_an_end_that_narrows_where_it_is_hot_is_not_covered() -> None:
    # exact: nothing says what closes the end round an arm that sits on it
    over = ("heat.furnace.over", '{ retort = "all" }')
    fan = ("cool.fan.over", '{ receiver = "all" }')
    arm = ("piece.arm", '{ on = "retort", joined = "TIG", tube = "12 x 1 mm", length = "200 mm", of = "304L" }')
    rig = rig_of(BLANK.text.replace('closed = "copper knife-edge flange" ', "#"), BLANK.path)
    situation = Situation(edited(rig, [Edit(*fan), Edit(*over), Edit(*arm)]), shipped(), Draws(4))
    finding = next(each for each in STANDS.findings(situation) if each.id == "openings/retort/distil")
    assert finding.verdict == "unknown"
    assert "what closes the end of the retort round the arm is not said" in finding.because


def test_a_band_that_leaves_the_data_in_part_says_where_they_end() -> None:
    # published: EN 1993-1-2 is read up to 800 degC here; half of the band of 800 degC is hotter
    finding = findings("blank", STEEL, heated(800))["collapse/retort/distil"]
    assert finding.verdict == "unknown"
    assert finding.because.startswith(
        "our strength of mild steel ends at 800 degC and part of the band is hotter; in"
    )


def test_a_thin_can_is_refused_and_its_walls_are_withheld() -> None:
    # practice: nobody sizes a can that folds under the air
    situation = situation_of("blank", STEEL, heated(770), ("piece.retort.tube", "100 x 0.3 mm"))
    refused = tuple(refuse_thin_can(situation))
    assert [each.id for each in refused] == ["refused/thin-can/retort"]
    made = tuple(STANDS.findings(situation))
    assert {finding.verdict for finding in made} != {"unknown"}
    for finding in withheld(made, refused):
        assert finding.verdict == "unknown"
        assert finding.judgement.best is None
        assert finding.missing is not None
        assert finding.missing.datum == "refused/thin-can/retort"


def test_samples_are_those_of_the_findings() -> None:
    # exact
    situation = situation_of("rubidium")
    found = findings("rubidium")["collapse/retort/distil"]
    assert found.judgement.best == pytest.approx(float(np.median(STANDS.values(situation, found))), rel=1e-9)


def test_a_bottom_of_which_nothing_is_said_holds_only_if_a_flat_one_of_its_wall_would() -> None:
    # exact: flat and of 2.6 mm in 33.7 mm it bears 5 MPa; of 1 mm in 100 mm 310 MPa, which no hot steel does
    bare = rig_of(BLANK.text.replace("\nbottom = ", "\n# "), BLANK.path)
    near = situation_of("blank")
    which = "ends/retort.bottom/distil"
    for tube, expected in (("33.7 x 2.6 mm", "holds"), ("100 x 1 mm", "unknown")):
        situation = Situation(edited(bare, [Edit("piece.retort.tube", tube)]), shipped(), Draws(4), near=near)
        finding = next(each for each in STANDS.findings(situation) if each.id == which)
        assert finding.verdict == expected
        assert ("not described" in finding.because) == (expected == "holds")
