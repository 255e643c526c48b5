# SPDX-License-Identifier: MIT
"""The project speaks of itself alone: no private paths, no unfinished marks, no hosts of package registries.

The forbidden words are written with a ~ inside, so that this file does not name them.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from style.tree import TOP, named, text_files

PATHS = r"(?<![\w.~:/}])/(?:work|farm|root|home|Users|tmp|mnt|opt)/\w"
WORDS = {
    "an unfinished mark": ["TO~DO", "FIX~ME", "XX~X", "NotImplemented~Error", "place~holder"],
    "a host of a package registry": ["files.python~hosted", "py~pi.org", "registry.~npmjs", "proxy.~golang"],
    "talk about how it was made": [
        "tran~script",
        "sub~agent",
        "helper ~session",
        "this ~session",
        "seed ~document",
        "before~-stop",
        "language ~model",
        "C~EO",
    ],
    "a paper that is not part of it": [
        "DES~IGN.md",
        "PHYS~ICS.md",
        "TRA~DE.md",
        "STY~LE.md",
        "CHE~CKS.md",
        "STA~CK.md",
        "BRI~EF.md",
        "rig-~sketch",
        "output-~sketch",
    ],
}


def whole(word: str) -> str:
    """A word without its mark."""
    return word.replace("~", "")


FORBIDDEN = {
    "a path of a private machine": re.compile(PATHS),
    "a directory that is not part of it": re.compile(rf"(?<![\w/]){whole('sha~red')}/\w"),
    "a number of an issue": re.compile(rf"\b{whole('iss~ue')} #?\d", re.IGNORECASE),
} | {
    what: re.compile(r"(?<!\w)(?:" + "|".join(re.escape(whole(word)) for word in words) + r")(?!\w)")
    for what, words in WORDS.items()
}

FILES = text_files()


def offences(text: str) -> list[str]:
    """Each forbidden thing in a text, with its line."""
    return [
        f"line {number}: {what}: {found.group()}"
        for number, line in enumerate(text.splitlines(), 1)
        for what, pattern in FORBIDDEN.items()
        for found in pattern.finditer(line)
    ]


def test_there_are_files() -> None:
    assert TOP / "pyproject.toml" in FILES
    assert len(FILES) > 30


@pytest.mark.parametrize("path", FILES, ids=named)
def test_a_file_speaks_of_the_project_alone(path: Path) -> None:
    assert offences(path.read_text(encoding="utf-8")) == []


def test_all_text_is_utf8_and_ends_with_one_newline() -> None:
    texts = {named(path): path.read_text(encoding="utf-8") for path in FILES}
    assert [name for name, text in texts.items() if text and not re.search(r"[^\n]\n\Z", text)] == []


# ---- planted slips


@pytest.mark.parametrize(
    "text",
    [
        "see /ro~ot/notes",
        "open('/tm~p/x')",
        "# TO~DO later",
        "raise NotImplemented~Error",
        "from https://py~pi.org/simple",
        "as the tran~script says",
        "see PHYS~ICS.md, 7",
        "in sha~red/data",
        "closes iss~ue #12",
    ],
)
def test_a_planted_word_is_caught(text: str) -> None:
    assert [one[:7] for one in offences("fine\n" + whole(text))] == ["line 2:"]
    assert offences(text) == []


@pytest.mark.parametrize(
    "text",
    ["1/t~mp", "https://example.org/w~ork/a", "a recorded session", "W/m^2/K", "reference/tables/a.csv"],
)
def test_ordinary_words_pass(text: str) -> None:
    assert offences(whole(text)) == []
