# SPDX-License-Identifier: MIT
"""The docstring of every public formula of physics follows the recipe, and its example runs."""

from __future__ import annotations

import doctest
import inspect
import re
import tomllib
from types import ModuleType
from typing import Any

import pytest

from style.formulas import SECTIONS, Formula, UnreadableError, formulas, physics_modules, split_sections
from style.tree import PACKAGE

FORMULAS = formulas()
_KEY = re.compile(r"\[([a-z][a-z0-9-]*)\]")
_ALONE = ("Definition", "Exact")  # the words with which a Source may begin that needs no address


def known_sources() -> set[str]:
    """The keys of sources.toml."""
    path = PACKAGE / "reference" / "tables" / "sources.toml"
    return set(tomllib.loads(path.read_text(encoding="utf-8")))


def slips(formula: Formula, sources: set[str]) -> list[str]:
    """Everything in which one docstring departs from the recipe."""
    sections = formula.sections
    titles = [title for title in sections if title]
    if titles != SECTIONS:
        return [f"{formula.label}: sections are {titles}, not {SECTIONS}"]
    opening = sections[""].split("\n\n")[0]
    found = [] if re.fullmatch(r"[A-Z].*\.", opening, re.DOTALL) else ["no first sentence"]
    found += [f"section {title} is empty" for title in SECTIONS if not sections[title].strip()]
    try:
        stated, taken = list(formula.parameters), list(inspect.signature(formula.function).parameters)
        found += [f"documents {stated}, takes {taken}"] if stated != taken else []
        found += ["no returned quantity is named"] if not formula.returns else []
    except UnreadableError as error:
        found.append(str(error))
    keys = _KEY.findall(sections["Source"])
    found += [f"source {key!r} is not in sources.toml" for key in keys if key not in sources]
    found += ["Source has no [key]"] if not keys and not sections["Source"].startswith(_ALONE) else []
    found += [] if re.search(r"^>>> .*\n[^>\n]", sections["Example"], re.MULTILINE) else ["no printed answer"]
    return [f"{formula.label}: {slip}" for slip in found]


def returned_fields(formula: Formula) -> list[str]:
    """The names of what really comes back."""
    return list(formula.parts(formula.function(**formula.inputs)))


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda formula: formula.label)
def test_the_docstring_follows_the_recipe(formula: Formula) -> None:
    assert slips(formula, known_sources()) == []
    assert returned_fields(formula) == list(formula.returns)


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda formula: formula.label)
def test_the_example_runs(formula: Formula) -> None:
    runner = doctest.DocTestRunner(verbose=False)
    found = doctest.DocTestFinder(recurse=False).find(
        formula.function, formula.function.__name__, globs=dict(vars(formula.module))
    )
    results = [runner.run(one) for one in found]
    assert sum(one.attempted for one in results) > 0
    assert sum(one.failed for one in results) == 0


@pytest.mark.parametrize("module", physics_modules(), ids=lambda module: module.__name__)
def test_every_public_function_of_physics_is_seen(module: ModuleType) -> None:
    defined = {
        name for name, value in vars(module).items()
        if inspect.isfunction(value) and value.__module__ == module.__name__ and not name.startswith("_")
    }
    assert defined == {one.function.__name__ for one in FORMULAS if one.module is module}


# ---- planted slips


GOOD = """Halves a length.

Parameters
----------
width : of it [m]

Returns
-------
half : [m]

Range
-----
Any.

Source
------
Somebody [known-key], p. 1.

Example
-------
>>> half(2.0)
1.0
"""


def half(width: float) -> float:
    return width / 2


def planted(text: str) -> Formula:
    formula = Formula(half, ModuleType("retortwright.physics.planted"))
    vars(formula)["sections"] = split_sections(text)
    return formula


def test_a_good_docstring_passes() -> None:
    assert slips(planted(GOOD), {"known-key"}) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("Range\n-----\nAny.\n\n", ""),
        ("Any.", ""),
        ("Halves a length.", "halves"),
        ("width : of it [m]", "width : of it"),
        ("width : of it [m]", "width : of [it] [m]"),
        ("width : of it [m]", "width : of it [mm]"),
        ("width : of it [m]", "width : of it [W/m K]"),
        ("width : of it [m]", "wide : of it [m]"),
        ("half : [m]", "half"),
        ("[known-key]", "[unknown-key]"),
        ("[known-key]", "1977"),
        ("1.0\n", ""),
        ("Source\n------", "Sources\n-------"),
    ],
)
def test_a_planted_slip_is_caught(old: str, new: str) -> None:
    assert GOOD.count(old) == 1 or old == "1.0\n"
    assert slips(planted(GOOD.replace(old, new)), {"known-key"}) != []


def test_a_wrong_example_is_caught(capsys: Any) -> None:
    wrong = GOOD.replace("1.0", "1.5")
    parsed = doctest.DocTestParser().get_doctest(wrong, {"half": half}, "planted", None, None)
    assert doctest.DocTestRunner(verbose=False).run(parsed).failed == 1
    assert "Expected" in capsys.readouterr().out
