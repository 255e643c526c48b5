# SPDX-License-Identifier: MIT
"""The command `forecast` as a user meets it: exit codes, faces, options."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from cli.program import once, run
from retortwright.cli.writing import may_write
from retortwright.ground.errors import UserError

_EXAMPLES = Path(__file__).parents[2] / "examples"
_RIG = str(_EXAMPLES / "rubidium-cells.toml")
_FEW = ("--samples", "16", "--every", "1 h")


def test_the_text_says_what_comes_when_and_what_is_not_known() -> None:
    done = once("forecast", _RIG, *_FEW)
    assert done.returncode == 0
    assert done.stderr == ""
    assert done.stdout.startswith("Heats reactive metal")  # cautions come first
    for words in ("h:min", "What happens when", "half of the Rb that comes has come", "Not known", "~"):
        assert words in done.stdout
    assert "the pace here is that of common practice" in done.stdout
    assert max(len(line) for line in done.stdout.splitlines() if _RIG not in line) <= 100


def test_json_has_every_band_and_no_nan() -> None:
    done = once("forecast", _RIG, *_FEW, "--format", "json")
    assert done.returncode == 0
    document = json.loads(done.stdout)
    rows = len(document["time_min"])
    assert document["made_by"]["samples"] == 16
    assert document["pace_of_practice"] is True
    assert len(document["step"]) == len(document["set_point_degC"]) == rows
    for figure in document["figures"]:
        assert len(figure["low"]) == len(figure["best"]) == len(figure["high"]) == rows
        for low, best, high in zip(figure["low"], figure["best"], figure["high"], strict=True):
            if None not in (low, best, high):
                assert low <= best <= high
    names = {figure["name"] for figure in document["figures"]}
    assert {"charge", "product", "rate", "vapour", "hydrogen", "shown-by-P1", "shown-by-P2"} <= names
    for row in range(rows):  # exact: every sample is bounded by something
        assert sum(shares[row] for shares in document["bounded_by"].values()) == pytest.approx(1.0, abs=1e-3)


def test_a_table_has_its_units_in_its_heads_and_no_nan() -> None:
    done = once("forecast", _RIG, *_FEW, "--format", "csv")
    assert done.returncode == 0
    lines = [line for line in done.stdout.splitlines() if not line.startswith("#")]
    assert done.stdout.startswith("# retortwright forecast")
    heads, *rows = csv.reader(io.StringIO("\n".join(lines)))
    assert heads[:4] == ["time [min]", "step", "set-point [degC]", "bounded by"]
    assert "charge best [degC]" in heads
    assert "rate high [g/min]" in heads
    assert all(len(row) == len(heads) for row in rows)
    assert "nan" not in done.stdout
    assert "inf" not in "".join(lines)


def test_what_the_pace_is_when_somebody_has_timed_it() -> None:
    done = once("forecast", _RIG, *_FEW, "--set", "assume.reaction.time=40 to 50 min")
    assert done.returncode == 0
    assert "~" not in done.stdout
    assert "with assume.reaction.time=40 to 50 min" in done.stdout


def test_what_is_refused_and_what_is_not_known_stop_it() -> None:
    refused = once("forecast", str(_EXAMPLES / "rubidium-overdriven.toml"), *_FEW)
    assert refused.returncode == 1
    assert "no forecast is made of what is refused" in refused.stdout
    blank = once("forecast", str(_EXAMPLES / "thermal-blank.toml"), *_FEW)
    assert blank.returncode == 1
    assert "CANNOT SAY" in blank.stdout
    stopped = json.loads(
        once("forecast", str(_EXAMPLES / "thermal-blank.toml"), *_FEW, "--format", "json").stdout
    )
    assert stopped["figures"] == []
    assert stopped["stopped"]["datum"] == "programme.steps"


@pytest.mark.parametrize("words", [("--every", "5 kg"), ("--every", "1 s"), ("--samples", "3")])
def test_a_wrong_option_is_a_sentence(words: tuple[str, str]) -> None:
    done = run("forecast", _RIG, *words)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert words[0] in done.stderr


@pytest.mark.parametrize("form", ["text", "csv", "json"])
def test_it_writes_over_its_own_and_over_nothing_else(form: str, tmp_path: Path) -> None:
    words = () if form == "text" else ("--format", form)
    mine = tmp_path / "run.out"
    mine.write_text(once("forecast", _RIG, *_FEW, *words).stdout, encoding="utf-8")
    assert may_write(str(mine), _RIG) == mine
    mine.write_text("# notes of mine", encoding="utf-8")
    with pytest.raises(UserError, match="left alone"):
        may_write(str(mine), _RIG)
