# SPDX-License-Identifier: MIT
"""What the command line writes, and what it leaves alone."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from cli.program import RIG, once, run
from retortwright.cli.writing import write_new, write_over_own
from retortwright.ground.errors import UserError

ANSWERS = {
    "text": ("assess", RIG),
    "json": ("assess", RIG, "--format", "json"),
    "explanation": ("explain", RIG, "seal-heat/arm.closed/hot"),
    "closed": ("closed", RIG),
    "closed rows": ("closed", RIG, "--format", "json"),
    "card": ("card", RIG),
    "card document": ("card", RIG, "--format", "json"),
    "solution": ("solve", RIG, "--vary", "piece.arm.length", "--until", "seal-heat/arm.closed/hot"),
    "forecast": ("forecast", RIG, "--samples", "16"),
    "forecast rows": ("forecast", RIG, "--samples", "16", "--format", "csv"),
    "forecast document": ("forecast", RIG, "--samples", "16", "--format", "json"),
    "routes": ("routes", "Zn", "--samples", "16", "--stock", "ZnCl2, Na"),
    "routes rows": ("routes", "Zn", "--samples", "16", "--stock", "ZnCl2, Na", "--format", "csv"),
    "routes document": ("routes", "Zn", "--samples", "16", "--stock", "ZnCl2, Na", "--format", "json"),
}


@pytest.fixture(scope="module")
def answers() -> dict[str, str]:
    """Every kind of answer in words."""
    return {name: once(*words).stdout for name, words in ANSWERS.items()}


def test_its_own_answers_are_replaced_by_each_other(tmp_path: Path, answers: dict[str, str]) -> None:
    target = tmp_path / "answer"
    target.write_text("", encoding="utf-8")  # an empty file holds nothing to lose
    for text in (*answers.values(), *reversed(answers.values())):
        write_over_own(str(target), text, RIG)
        assert target.read_text(encoding="utf-8") == text


def test_nothing_else_is_written_over(tmp_path: Path, answers: dict[str, str]) -> None:
    target = tmp_path / "notes"
    others = [
        "a line",
        "\n",
        '{"form": 1}',
        '{"form": 1, "made_by": "me"}',
        "[1, 2]",
        "{ not json",
        Path(RIG).read_text(encoding="utf-8"),
        "My notes\n" + answers["text"],
        answers["text"] + "and what I think of it\n",
        "My notes\n" + answers["explanation"],
        "My notes\n" + answers["closed"],
        "My notes\n" + answers["card"],
        answers["card"] + "and what I think of it\n",
        answers["solution"] + "and what I think of it\n",
        "My notes\n" + answers["forecast rows"],
        answers["routes rows"] + "and what I think of it\n",
    ]
    for text in others:
        target.write_text(text, encoding="utf-8")
        with pytest.raises(UserError, match="exists already and is left alone"):
            write_over_own(str(target), "new", RIG)
        assert target.read_text(encoding="utf-8") == text


@pytest.mark.parametrize("way", ["the same", "symlink", "hard link", "roundabout"])
def test_the_rig_is_never_written_over(tmp_path: Path, way: str) -> None:
    rig, other = tmp_path / "rig.toml", tmp_path / "other"
    shutil.copy(RIG, rig)
    before = rig.read_bytes()
    if way == "symlink":
        other.symlink_to(rig)
    elif way == "hard link":
        os.link(rig, other)
    target = {"the same": rig, "roundabout": tmp_path / ".." / tmp_path.name / "rig.toml"}.get(way, other)
    done = run("assess", str(rig), "-o", str(target))
    assert done.returncode == 2
    assert "is the rig file itself and is left alone" in done.stderr
    assert rig.read_bytes() == before


def test_an_empty_rig_is_no_excuse(tmp_path: Path) -> None:
    rig = tmp_path / "rig.toml"
    rig.write_text("", encoding="utf-8")
    with pytest.raises(UserError, match="is the rig file itself"):
        write_over_own(str(rig), "new", str(rig))


def test_a_dash_is_the_screen(tmp_path: Path, answers: dict[str, str]) -> None:
    done = run("explain", RIG, "seal-heat/arm.closed/hot", "-o", "-", folder=tmp_path)
    assert done.stdout == answers["explanation"]
    assert done.stderr == ""
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("name", "says"), [("dir/", "'dir/' is a folder"), ("", "is empty"), (" ", "is empty")]
)
def test_a_name_that_is_none(name: str, says: str) -> None:
    for write in (lambda: write_new(name, "text"), lambda: write_over_own(name, "text", RIG)):
        with pytest.raises(UserError, match=says):
            write()


def test_a_folder_that_is_there(tmp_path: Path) -> None:
    with pytest.raises(UserError, match="is a folder; give the name of a file in it"):
        write_new(str(tmp_path), "text")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_a_full_disk_is_one_line(tmp_path: Path) -> None:
    script = tmp_path / "full.sh"
    script.write_text('exec "$@" > /dev/full\n', encoding="utf-8")
    done = run("draw", RIG, through=("/bin/sh", str(script)))
    assert done.returncode == 2
    assert done.stderr == "cannot write the answer: No space left on device; nothing can be relied on\n"
    done = run("draw", RIG, "-o", "/dev/full")
    assert done.returncode == 2
    assert done.stderr.startswith("cannot write '/dev/full': No space left")


def test_a_picture_is_replaced_and_nothing_that_looks_like_one(tmp_path: Path) -> None:
    target = tmp_path / "rig.svg"
    done = run("draw", RIG, "--plot", "line", "-o", str(target))
    assert (done.returncode, done.stdout) == (0, "")
    assert done.stderr == f"{target} written.\n"
    picture = target.read_text(encoding="utf-8")
    write_over_own(str(target), picture, RIG)
    for foreign in (
        picture + "<!-- mine -->\n",
        picture.replace("retortwright drawing", "drawing"),
        "<svg></svg>\n",
    ):
        target.write_text(foreign, encoding="utf-8")
        with pytest.raises(UserError, match="exists already and is left alone"):
            write_over_own(str(target), picture, RIG)
        assert target.read_text(encoding="utf-8") == foreign


def test_drawing_asks_for_a_state_and_a_plot_that_exist() -> None:
    shown = once("draw", RIG)
    assert shown.returncode == 0
    assert shown.stdout.startswith('<?xml version="1.0" encoding="UTF-8"?>\n<!-- retortwright drawing ')
    assert shown.stdout.endswith("</svg>\n")
    wrong = run("draw", RIG, "--state", "hott")
    assert (wrong.returncode, wrong.stdout) == (2, "")
    assert wrong.stderr == "no state is called 'hott'; did you mean hot? there are: warm, hot\n"
    assert run("draw", RIG, "--plot", "pie").returncode == 2
