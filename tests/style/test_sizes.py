# SPDX-License-Identifier: MIT
"""Files and functions stay small, files say their licence, names say a subject, records are frozen."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from style.tree import PACKAGE, TOP, named, parsed, python_files

LINES_OF_A_FILE = 400
LINES_OF_A_FUNCTION = 40
LICENCE = "# SPDX-License-Identifier: MIT"
VAGUE = {"utils", "util", "helpers", "helper", "misc", "common", "tools"}

# Dataclasses that must stay open: "file: class" and the reason.
OPEN_RECORDS: dict[str, str] = {
    "src/retortwright/reference/datum.py: Row": "remembers the points it has read out of its text",
    "tests/style/formulas.py: Formula": "remembers what it has read of its docstring",
}

FILES = python_files("src", "tests", "benchmarks", "tools")


def long_functions(tree: ast.Module) -> list[str]:
    """The functions of more lines than allowed, docstrings not counted."""
    return [
        f"{node.name}: {_length(node)} lines"
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and _length(node) > LINES_OF_A_FUNCTION
    ]


def open_records(tree: ast.Module) -> list[str]:
    """The dataclasses that are not both frozen and slotted."""
    return [
        node.name
        for node in ast.walk(tree)
        if isinstance(node, ast.ClassDef)
        for decorator in node.decorator_list
        if "dataclass" in ast.unparse(decorator).split("(")[0] and not _frozen_and_slotted(decorator)
    ]


def _frozen_and_slotted(decorator: ast.expr) -> bool:
    """Whether a dataclass decorator says both frozen=True and slots=True."""
    said = {word.arg: ast.unparse(word.value) for word in getattr(decorator, "keywords", [])}
    return said.get("frozen") == said.get("slots") == "True"


def _length(node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines of a function from its def to its end, without its docstring."""
    first = node.body[0]
    is_docstring = isinstance(first, ast.Expr) and isinstance(getattr(first.value, "value", None), str)
    docstring = (first.end_lineno or 0) - first.lineno + 1 if is_docstring else 0
    return (node.end_lineno or 0) - node.lineno + 1 - docstring


def test_there_are_files() -> None:
    assert len(FILES) > 20


@pytest.mark.parametrize("path", FILES, ids=named)
def test_a_file_is_short_and_says_its_licence(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").splitlines()
    assert len(lines) <= LINES_OF_A_FILE
    first = lines[1] if lines[0].startswith("#!") else lines[0]
    assert first == LICENCE


@pytest.mark.parametrize("path", FILES, ids=named)
def test_functions_are_short(path: Path) -> None:
    assert long_functions(parsed(path)) == []


@pytest.mark.parametrize("path", FILES, ids=named)
def test_records_are_frozen_and_slotted(path: Path) -> None:
    found = {f"{named(path)}: {name}" for name in open_records(parsed(path))}
    assert found <= set(OPEN_RECORDS)


def test_open_records_exist_and_say_why() -> None:
    found = {f"{named(path)}: {name}" for path in FILES for name in open_records(parsed(path))}
    assert set(OPEN_RECORDS) <= found
    assert all(len(reason) > 10 for reason in OPEN_RECORDS.values())


def test_names_say_a_subject() -> None:
    parts = {part for path in python_files("src") for part in path.relative_to(PACKAGE).with_suffix("").parts}
    assert parts.isdisjoint(VAGUE)


def test_scripts_without_suffix_say_their_licence_too() -> None:
    scripts = [path for path in (TOP / "tools").iterdir() if path.is_file() and not path.suffix]
    assert scripts
    for path in scripts:
        assert path.read_text(encoding="utf-8").splitlines()[1] == LICENCE, named(path)


# ---- planted slips


def test_a_long_function_is_caught() -> None:
    body = "    x = 1\n"
    assert long_functions(ast.parse("def f():\n" + body * 39)) == []
    assert long_functions(ast.parse('def f():\n    """One.\n\n    Two."""\n' + body * 39)) == []
    assert long_functions(ast.parse("def f():\n" + body * 40)) == ["f: 41 lines"]


@pytest.mark.parametrize(
    "decorator", ["dataclass", "dataclass(frozen=True)", "dataclasses.dataclass(slots=True, frozen=False)"]
)
def test_an_open_record_is_caught(decorator: str) -> None:
    assert open_records(ast.parse(f"@{decorator}\nclass A:\n    x: int")) == ["A"]
    assert open_records(ast.parse("@dataclass(frozen=True, slots=True)\nclass A:\n    x: int")) == []
