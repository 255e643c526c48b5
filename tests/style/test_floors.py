# SPDX-License-Identifier: MIT
"""A floor imports only lower floors, and physics imports numpy and ground alone."""

from __future__ import annotations

import ast
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from style.tree import PACKAGE, TOP, named, parsed, python_files

# All that a module of physics may import, from the outside and from us.
ALLOWED_IN_PHYSICS = {"__future__", "collections", "dataclasses", "numpy", "typing"}
ALLOWED_OURS_IN_PHYSICS = ("retortwright.ground", "retortwright.physics")


def contract(top: Path) -> subprocess.CompletedProcess[str]:
    """The import contract of pyproject.toml, held against the package below this directory."""
    program = "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports(no_cache=True))"
    return subprocess.run(
        [sys.executable, "-c", program],
        cwd=top, capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": str(top / "src"), "NO_COLOR": "1"},
    )


def foreign_imports(tree: ast.Module) -> set[str]:
    """What a module of physics imports beyond what it may."""
    names: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add(node.module or ".")
    return {
        name for name in names
        if name.split(".")[0] not in ALLOWED_IN_PHYSICS
        and not any(name == ours or name.startswith(ours + ".") for ours in ALLOWED_OURS_IN_PHYSICS)
    }


def copied(where: Path) -> Path:
    """A copy of the package and its contract, to be spoilt."""
    shutil.copytree(PACKAGE, where / "src" / "retortwright", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(TOP / "pyproject.toml", where)
    return where / "src" / "retortwright"


def test_the_contract_holds() -> None:
    result = contract(TOP)
    assert result.returncode == 0, result.stdout + result.stderr
    assert "2 kept, 0 broken" in result.stdout


@pytest.mark.parametrize("path", python_files("src/retortwright/physics"), ids=named)
def test_physics_imports_numpy_and_ground_alone(path: Path) -> None:
    assert foreign_imports(parsed(path)) == set()


# ---- planted slips


@pytest.mark.parametrize(
    ("file", "line"),
    [
        ("ground/planted.py", "from retortwright.physics import __doc__"),
        ("rig/planted.py", "from retortwright import situation"),
        ("physics/planted.py", "import csv"),
        ("physics/planted.py", "from retortwright.reference import tables"),
        ("planted/__init__.py", ""),
    ],
)
def test_a_planted_import_breaks_the_contract(file: str, line: str, tmp_path: Path) -> None:
    planted = copied(tmp_path) / file
    planted.parent.mkdir(exist_ok=True)
    planted.write_text(line + "\n", encoding="utf-8")
    result = contract(tmp_path)
    assert result.returncode == 1
    assert "planted" in result.stdout


@pytest.mark.parametrize(
    "line",
    [
        "import math",
        "from scipy import special",
        "from retortwright.rig import pieces",
        "from . import air",
        "import retortwright",
    ],
)
def test_a_foreign_import_in_physics_is_caught(line: str) -> None:
    assert len(foreign_imports(ast.parse(f"def f():\n    {line}"))) == 1
