# SPDX-License-Identifier: MIT
"""The page of attacks is the one that the table makes."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]


def test_the_page_is_up_to_date() -> None:
    # regression: the page is written by the tool
    done = subprocess.run(
        [sys.executable, str(ROOT / "tools" / "attacks-page"), "--check"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_page_says_how_much_was_read() -> None:
    text = (ROOT / "docs" / "attacks.md").read_text(encoding="utf-8")
    assert "are *seen*" in text
    assert "are *recalled*" in text
