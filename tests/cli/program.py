# SPDX-License-Identifier: MIT
"""The program run as a user runs it, in a process of its own."""

from __future__ import annotations

import subprocess
import sys
from functools import cache
from pathlib import Path

__all__ = ["RIG", "once", "run"]

RIG = str(Path(__file__).parents[1] / "assess" / "short_arm.toml")


def run(
    *words: str, folder: Path | None = None, through: tuple[str, ...] = ()
) -> subprocess.CompletedProcess[str]:
    """One run of the program, by way of another one if wanted."""
    start = "from retortwright.cli.main import main; main()"
    source = str(Path(__file__).parents[2] / "src")
    environment = {"PYTHONPATH": source, "PATH": "", "LC_ALL": "C.UTF-8"}
    return subprocess.run(
        [*through, sys.executable, "-c", start, *words],
        capture_output=True,
        text=True,
        cwd=folder,
        env=environment,
        check=False,
    )


@cache
def once(*words: str) -> subprocess.CompletedProcess[str]:
    """One run that writes to the screen alone, for all tests that look at it."""
    return run(*words)
