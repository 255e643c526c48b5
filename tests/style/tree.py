# SPDX-License-Identifier: MIT
"""The files of this project, as the style tests see them."""

from __future__ import annotations

import ast
import functools
import subprocess
from pathlib import Path

TOP = Path(__file__).resolve().parents[2]
PACKAGE = TOP / "src" / "retortwright"
_MADE = {".git", ".venv", "build", "dist", "__pycache__"}  # and every other directory with a dot, but .ci


def python_files(*roots: str) -> list[Path]:
    """Every Python file below these directories of the project."""
    return sorted(path for root in roots for path in (TOP / root).rglob("*.py"))


def text_files() -> list[Path]:
    """Every text file of the project: what git tracks or would track, else what lies in the tree."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=TOP, capture_output=True, text=True, check=False,
    ) if (TOP / ".git").exists() else None
    if listed is not None and listed.returncode == 0:
        paths = [TOP / line for line in listed.stdout.splitlines()]
    else:
        paths = [path for path in TOP.rglob("*") if not _made(path.relative_to(TOP))]
    return sorted(path for path in paths if path.is_file() and b"\0" not in path.read_bytes()[:4096])


@functools.cache
def parsed(path: Path) -> ast.Module:
    """The syntax tree of one file."""
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def named(path: Path) -> str:
    """The path as people say it: from the top of the project."""
    return path.relative_to(TOP).as_posix() if path.is_relative_to(TOP) else path.name


def _made(path: Path) -> bool:
    """Whether a tool made this file."""
    hidden = (part.startswith(".") and part not in {".ci", ".gitignore"} for part in path.parts)
    return any(hidden) or not _MADE.isdisjoint(path.parts)
