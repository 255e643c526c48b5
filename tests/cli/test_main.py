# SPDX-License-Identifier: MIT
"""The command line as a user meets it: data on stdout, talk on stderr, exit codes, no tracebacks."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cli.program import RIG, once, run
from retortwright.assess.assessment import ANSWERED


def test_new_writes_a_file_that_assesses(tmp_path: Path) -> None:
    made = run("new", "mine.toml", folder=tmp_path)
    assert made.returncode == 0
    assert made.stdout == ""
    assert "mine.toml written" in made.stderr
    done = run("assess", "mine.toml", "--format", "json", folder=tmp_path)
    assert done.returncode == 1
    findings = {one["id"]: one["verdict"] for one in json.loads(done.stdout)["findings"]}
    assert findings["minutes/charge/distil"] == "unknown"  # how fast such a charge reacts is unknown to everyone
    assert done.stderr == ""


def test_new_without_a_name_goes_to_the_screen(tmp_path: Path) -> None:
    shown = run("new", folder=tmp_path)
    assert shown.returncode == 0
    assert shown.stdout.startswith("# A rig file")
    assert list(tmp_path.iterdir()) == []
    named = run("new", "-o", "mine.toml", folder=tmp_path)
    assert named.stdout == ""
    assert (tmp_path / "mine.toml").read_text(encoding="utf-8") == shown.stdout


def test_new_never_overwrites(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text("precious", encoding="utf-8")
    refused = run("new", "mine.toml", folder=tmp_path)
    assert refused.returncode == 2
    assert "exists already" in refused.stderr
    assert (tmp_path / "mine.toml").read_text(encoding="utf-8") == "precious"


def test_exit_codes_and_set() -> None:
    assert once("assess", RIG).returncode == 1
    good = run("assess", RIG, "--set", "piece.arm.length=260 mm", "--format", "json")
    assert good.returncode == 0
    assert json.loads(good.stdout)["rig"]["edits"] == {"piece.arm.length": "260 mm"}


def test_output_goes_to_a_file(tmp_path: Path) -> None:
    target = tmp_path / "out.json"
    done = run("assess", RIG, "--format", "json", "-o", str(target))
    assert done.stdout == ""
    assert json.loads(target.read_text(encoding="utf-8"))["asked"] == list(ANSWERED)
    assert run("assess", RIG, "-o", str(tmp_path / "no" / "such" / "folder")).returncode == 2


def test_explain() -> None:
    done = once("explain", RIG, "seal-heat/arm.closed/hot")
    assert done.returncode == 1
    assert "\n\nseal-heat/arm.closed/hot\n" in done.stdout
    assert done.stdout.splitlines()[0] in once("assess", RIG).stdout  # cautions first, on every face
    missed = run("explain", RIG, "seal-heat/arm.close/hot")
    assert missed.returncode == 2
    assert "did you mean seal-heat/arm.closed/hot?" in missed.stderr


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("assess", "nowhere.toml"), "cannot read the rig file 'nowhere.toml'"),
        (("assess", RIG, "--set", "piece.arm.lenght=1 mm"), "did you mean length?"),
        (("assess", RIG, "--set", "nonsense"), "expected KEY=VALUE"),
        (("assess", RIG, "--format", "xml"), "xml"),
        (("asses", RIG), "asses"),
        (("assess",), "RIG"),
    ],
)
def test_mistakes_are_sentences_not_tracebacks(words: tuple[str, ...], says: str) -> None:
    done = run(*words)
    assert done.returncode == 2
    assert says in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout == ""


def test_a_bad_file_tells_all_its_mistakes_with_lines(tmp_path: Path) -> None:
    text = Path(RIG).read_text(encoding="utf-8")
    bad = tmp_path / "bad.toml"
    bad.write_text(
        text.replace('"19.05 x 0.9 mm"', '"19.05 x 0.9"').replace("rises  =", "rizes  =", 1), encoding="utf-8"
    )
    done = run("assess", str(bad))
    lines = done.stderr.strip().split("\n")
    assert done.returncode == 2
    assert any(
        line.startswith(f"{bad}:10: piece.retort.rizes: unknown key; did you mean rises?") for line in lines
    )
    assert any(
        line.startswith(f"{bad}:18: piece.arm.tube: expected outside diameter x wall") for line in lines
    )
