# SPDX-License-Identifier: MIT
"""The page of experiments is the one that the cases make, misses and all."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from evidence.equilibria import KNOWN_MISSES

ROOT = Path(__file__).resolve().parents[1]


def test_the_page_is_up_to_date() -> None:
    # regression: the page is written by the tool
    done = subprocess.run(
        [sys.executable, str(ROOT / "tools" / "evidence-page"), "--check"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_every_miss_is_on_the_page() -> None:
    text = (ROOT / "docs" / "evidence.md").read_text(encoding="utf-8")
    assert text.count("**miss**") == len(KNOWN_MISSES) + 1  # the word stands in the head too
