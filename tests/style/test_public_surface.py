# SPDX-License-Identifier: MIT
"""What a module offers is what its sorted `__all__` says, no more and no less."""

from __future__ import annotations

import ast
import importlib
from pathlib import Path

import pytest

import retortwright
from style.tree import PACKAGE, parsed, python_files

MOST_AT_THE_TOP = 16

MODULES = [path for path in python_files("src") if path.name not in {"__init__.py", "__main__.py"}]
FLOORS = [path for path in python_files("src") if path.name == "__init__.py"]


def dotted(path: Path) -> str:
    """The import name of a file of the package."""
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(part for part in parts if part != "__init__")


def public_definitions(tree: ast.Module) -> set[str]:
    """The names without underscore that a module defines itself at its top level."""
    names: set[str] = set()
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            names.add(node.name)
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            names |= {one.id for target in targets for one in ast.walk(target) if isinstance(one, ast.Name)}
    return {name for name in names if not name.startswith("_")}


def listed(tree: ast.Module) -> list[str]:
    """The names in `__all__`."""
    for node in tree.body:
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__":
            return list(ast.literal_eval(node.value))
    return []


def in_order(names: list[str]) -> list[str]:
    """CONSTANTS, then Classes, then the rest, each by the alphabet (what the linter sorts to)."""
    return sorted(names, key=lambda name: (not name.isupper(), not name.lstrip("_")[:1].isupper(), name))


def slips(tree: ast.Module) -> list[str]:
    """How `__all__` departs from what the module defines."""
    offered, defined = listed(tree), public_definitions(tree)
    found = [] if offered == in_order(offered) else ["__all__ is not sorted"]
    found += [f"{name} is listed but not defined here" for name in offered if name not in defined]
    return found + [f"{name} is neither listed nor private" for name in sorted(defined - set(offered))]


@pytest.mark.parametrize("path", MODULES, ids=dotted)
def test_a_module_offers_what_it_says(path: Path) -> None:
    assert slips(parsed(path)) == []


@pytest.mark.parametrize("path", FLOORS, ids=dotted)
def test_a_package_offers_only_what_exists(path: Path) -> None:
    offered = listed(parsed(path))
    module = importlib.import_module(dotted(path))
    assert offered == in_order(offered)
    assert [name for name in offered if not hasattr(module, name)] == []


def test_the_top_is_small() -> None:
    assert "__version__" in retortwright.__all__
    assert len(retortwright.__all__) <= MOST_AT_THE_TOP


# ---- planted slips


@pytest.mark.parametrize(
    ("text", "slip"),
    [
        ('__all__ = ["b", "a"]\ndef a(): ...\ndef b(): ...', "__all__ is not sorted"),
        ('__all__ = ["a"]\nfrom x import a', "a is listed but not defined here"),
        ('__all__ = ["a"]\ndef a(): ...\nLIMIT: float = 1.0', "LIMIT is neither listed nor private"),
        ("class Thing: ...", "Thing is neither listed nor private"),
    ],
)
def test_a_planted_slip_is_caught(text: str, slip: str) -> None:
    assert slips(ast.parse(text)) == [slip]
