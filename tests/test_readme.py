# SPDX-License-Identifier: MIT
"""The README shows the real output of its example."""

from __future__ import annotations

import importlib.machinery
import importlib.util
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).parents[1]


def tool(name: str) -> ModuleType:
    """A script of tools/ as a module."""
    loader = importlib.machinery.SourceFileLoader(name.replace("-", "_"), str(ROOT / "tools" / name))
    spec = importlib.util.spec_from_loader(loader.name, loader)
    assert spec is not None
    module = importlib.util.module_from_spec(spec)
    loader.exec_module(module)
    return module


def test_the_output_in_the_readme_is_what_the_program_prints() -> None:
    # regression: refresh with tools/readme-output when an answer changes, and say why in the changelog
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    made = tool("readme-output")
    assert made.with_output(readme, made.real_output(readme)) == readme
