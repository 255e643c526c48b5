# SPDX-License-Identifier: MIT
"""The page of thirty questions names checks and commands that exist."""

from __future__ import annotations

import re
from pathlib import Path

from retortwright.cli.main import commands
from retortwright.reference.formulas import FORMULAS
from retortwright.reference.tables import shipped

PAGE = (Path(__file__).parents[1] / "docs" / "thirty-questions.md").read_text(encoding="utf-8")
CHECKS = {*FORMULAS, *(key[1] for key in shipped().rows if key[0] == "rules" and key[2] == "sense")}
ROWS = [line.split("|") for line in PAGE.splitlines() if re.match(r"\| \d+ \|", line)]


def test_thirty_questions_in_order() -> None:
    assert [int(row[1]) for row in ROWS] == list(range(1, 31))


def test_each_is_answered_by_something_that_exists() -> None:
    for row in ROWS:
        named = re.findall(r"`([^`]+)`", row[3])
        assert named, row[2]
        for name in named:
            if name.startswith("retortwright "):
                assert name.removeprefix("retortwright ") in commands.commands, name
            else:
                assert name in CHECKS, name
