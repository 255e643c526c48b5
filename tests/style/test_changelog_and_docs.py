# SPDX-License-Identifier: MIT
"""The change log keeps its headings, and the pages name the commands that work."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import retortwright
from style.tree import PACKAGE, TOP, named, text_files

PAGES = [path for path in text_files() if path.suffix == ".md"]
KINDS = {"Added", "Changed", "Fixed", "Removed"}


def changelog_slips(text: str) -> list[str]:
    """Everything in which a change log departs from the form."""
    found = [] if text.startswith("# Changelog\n") else ["it does not begin with '# Changelog'"]
    releases = re.findall(r"^## (.*)$", text, re.MULTILINE)
    found += [
        f"release heading {one!r}" for one in releases
        if not re.fullmatch(r"\[?(?:Unreleased|\d+\.\d+\.\d+)\]?(?: - \d{4}-\d\d-\d\d)?", one)
    ]
    found += [f"heading {one!r}" for one in re.findall(r"^### (.*)$", text, re.MULTILINE) if one not in KINDS]
    if not re.search(r"^## .*\n+### .*\n+- ", text, re.MULTILINE):
        found.append("no release with a heading and an entry")
    return found


def local_links(text: str) -> list[str]:
    """The files of the project to which a page links."""
    return [link for link in re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", text) if "://" not in link]


def test_the_change_log_keeps_its_form() -> None:
    text = (TOP / "CHANGELOG.md").read_text(encoding="utf-8")
    assert changelog_slips(text) == []
    assert retortwright.__version__ in text or "Unreleased" in text


def test_the_readme_names_its_two_commands() -> None:
    text = (TOP / "README.md").read_text(encoding="utf-8")
    assert "tools/check" in text
    assert re.search(r"retortwright assess examples/[\w-]+\.toml", text)
    for example in re.findall(r"examples/[\w-]+\.toml", text):
        assert (TOP / example).is_file(), example


def test_contributing_names_every_floor_and_every_tool() -> None:
    text = (TOP / "CONTRIBUTING.md").read_text(encoding="utf-8")
    floors = {path.parent.name for path in PACKAGE.glob("*/__init__.py")}
    assert floors <= set(re.findall(r"^ +(\w+) ", text, re.MULTILINE))
    for tool in re.findall(r"tools/[\w-]+", text):
        assert (TOP / tool).exists() or (TOP / f"{tool}.py").exists(), tool


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_links_lead_somewhere(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    assert [link for link in local_links(text) if not (page.parent / link).exists()] == []


# ---- planted slips


def test_a_slip_in_a_change_log_is_caught() -> None:
    good = "# Changelog\n\n## 0.1.0 - 2026-01-31\n\n### Added\n\n- A thing, because.\n"
    assert changelog_slips(good) == []
    slips = {"Added": "News", "# Changelog": "# Log", "0.1.0": "soon", "- A thing, because.": ""}
    for old, new in slips.items():
        assert changelog_slips(good.replace(old, new, 1)) != [], new


def test_a_dead_link_is_seen() -> None:
    assert local_links("[a](docs/none.md) [b](https://example.org/x) [c](#part)") == ["docs/none.md"]
