# SPDX-License-Identifier: MIT
"""The README shows the real output of its example."""

from __future__ import annotations

import importlib.machinery
import importlib.util
from pathlib import Path
from types import ModuleType

from retortwright.rig.reading import read_rig

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


def test_the_drawing_in_the_readme_is_one_of_this_program() -> None:
    # regression: refresh with tools/readme-drawing when an answer or the drawing changes
    made = tool("readme-drawing")
    picture = made.DRAWN.read_text(encoding="utf-8")
    assert made.DRAWN.name in (ROOT / "README.md").read_text(encoding="utf-8")
    assert f'<title id="title">{Path(made.EXAMPLE).name}, state {made.STATE}</title>' in picture
    for piece in read_rig(str(ROOT / made.EXAMPLE)).pieces:
        assert f">{piece.name}" in picture
