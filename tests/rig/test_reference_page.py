# SPDX-License-Identifier: MIT
"""The reference page is what its tool writes today, and names everything that a rig file may hold."""

from __future__ import annotations

import re
import runpy
from pathlib import Path
from typing import Any

import pytest

from retortwright.ground.units import DIMENSIONS
from retortwright.rig.vocabulary import assumable, joints, materials, tightenable
from rig.whole import SLOTS

TOP = Path(__file__).resolve().parents[2]
TOOL = TOP / "tools" / "reference-page"
PAGE = TOP / "docs" / "rig-file.md"


@pytest.fixture(scope="module")
def tool() -> dict[str, Any]:
    """What the tool defines."""
    return runpy.run_path(str(TOOL))


def test_the_page_is_up_to_date(tool: dict[str, Any]) -> None:
    assert PAGE.read_text(encoding="utf-8") == tool["page"](), "run tools/reference-page"
    assert tool["main"](["--check"]) == 0


def test_a_stale_page_is_seen_and_written_anew(tool: dict[str, Any], tmp_path: Path) -> None:
    main = tool["main"]
    page = tmp_path / "rig-file.md"
    main.__globals__["PAGE"] = page
    try:
        assert main(["--check"]) == 1
        assert main([]) == 0
        assert main(["--check"]) == 0
        page.write_text(page.read_text(encoding="utf-8").replace("| `count` |", "| `number` |"), encoding="utf-8")
        assert main(["--check"]) == 1
    finally:
        main.__globals__["PAGE"] = PAGE


def test_every_key_figure_joint_and_unit_has_its_line() -> None:
    text = PAGE.read_text(encoding="utf-8")
    first = set(re.findall(r"^\| `([^`]+)` \|", text, re.MULTILINE))
    keys = {str(slot.path[-1]) for slot in SLOTS if slot.path[0] not in ("assume", "tighten")}
    keys -= {str(slot.path[-1]) for slot in SLOTS if slot.path[-2:-1] in (("over",), ("contains",), ("price",))}
    assert {key for key in keys if not key.isdigit()} <= first
    assert {name.replace('"', "") for name in first} >= {*assumable(), *tightenable(), *joints(), *materials()}
    for dimension in DIMENSIONS.values():
        assert all(f"`{word}`" in text for word in dimension.words if word)


def test_every_source_cited_is_listed() -> None:
    text = PAGE.read_text(encoding="utf-8")
    cited = set(re.findall(r"\[([a-z0-9-]+)\]\(#sources\)", text))
    listed = set(re.findall(r"^- \*\*([a-z0-9-]+)\*\*: \S", text, re.MULTILINE))
    assert cited == listed
    assert len(cited) > 10
