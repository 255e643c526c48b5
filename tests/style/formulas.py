# SPDX-License-Identifier: MIT
"""The public formulas of floor physics: their docstrings read, their inputs and results named."""

from __future__ import annotations

import contextlib
import dataclasses
import doctest
import functools
import importlib
import inspect
import io
import pkgutil
import re
from collections.abc import Callable, Iterator, Mapping
from types import ModuleType
from typing import Any

import numpy as np

SECTIONS = ["Parameters", "Returns", "Range", "Source", "Example"]
FIT = "Fit: coefficients carry units"

# Arguments for a formula whose docstring example does not give them all as plain numbers.
EXAMPLE_INPUTS: dict[str, dict[str, Any]] = {}

# What an argument with this tag might be on a bench, where no example says better.
PLAUSIBLE = {
    "1": 0.5, "K": 400.0, "Pa": 1.0e3, "m": 0.02, "m^2": 1e-3, "m^3": 1e-4, "s": 60.0, "kg": 0.01,
    "kg/mol": 0.03, "kg/m^3": 1.2, "W": 5.0, "W/m^2": 50.0, "W/m/K": 15.0, "W/m^2/K": 8.0, "W/K": 0.1,
    "Pa s": 2e-5, "m^2/s": 2e-5, "J/kg/K": 1e3, "J/mol": 1e5, "m/s": 0.3, "1/K": 3e-3, "m^2 K/W": 1e-4,
}

_UNIT = r"(?:kg|mol|rad|Pa|m|s|K|W|J|N|V|A|1)(?:\^-?\d+(?:\.\d+)?)?"
_TAG = re.compile(rf"{_UNIT}(?:[ *]{_UNIT})*(?:/{_UNIT})*")


class UnreadableError(ValueError):
    """A docstring that does not follow the recipe."""


@dataclasses.dataclass(frozen=True)
class Formula:
    """One public function of floor physics."""

    function: Callable[..., Any]
    module: ModuleType

    @property
    def label(self) -> str:
        """The name as the lists in the tests say it: module.function."""
        return f"{self.module.__name__.removeprefix('retortwright.physics.')}.{self.function.__name__}"

    @functools.cached_property
    def sections(self) -> Mapping[str, str]:
        """Each section of the docstring with its text, in order; the words before the first under ''."""
        return split_sections(inspect.getdoc(self.function) or "")

    @property
    def is_fit(self) -> bool:
        """Whether its literal coefficients carry units, so that no dimension can be followed through it."""
        return any(line.strip() == FIT for line in self.sections.get("Range", "").splitlines())

    @functools.cached_property
    def parameters(self) -> Mapping[str, str]:
        """The unit tag of each argument."""
        return read_entries(self.sections.get("Parameters", ""), self.label)

    @functools.cached_property
    def returns(self) -> Mapping[str, str]:
        """The unit tag of each returned quantity."""
        return read_entries(self.sections.get("Returns", ""), self.label)

    @property
    def annotations(self) -> Mapping[str, str]:
        """How each argument is annotated, as written."""
        arguments = inspect.signature(self.function).parameters
        return {name: str(one.annotation) for name, one in arguments.items()}

    def parts(self, result: Any) -> dict[str, Any]:
        """The returned quantities by the names under Returns."""
        if dataclasses.is_dataclass(result):
            return {field.name: getattr(result, field.name) for field in dataclasses.fields(result)}
        if len(self.returns) != 1:
            raise UnreadableError(f"{self.label}: one array comes back but Returns names {len(self.returns)}")
        return {next(iter(self.returns)): result}

    @functools.cached_property
    def inputs(self) -> Mapping[str, Any]:
        """Arguments inside its range: from the list above, else its own example, else plausible ones."""
        found = example_call(self) | EXAMPLE_INPUTS.get(self.label, {})
        missing = {name: PLAUSIBLE[tag] for name, tag in self.parameters.items() if name not in found}
        return {name: {**missing, **found}[name] for name in self.parameters}


def physics_modules() -> list[ModuleType]:
    """Every module of floor physics."""
    floor = importlib.import_module("retortwright.physics")
    names = [found.name for found in pkgutil.walk_packages(floor.__path__, floor.__name__ + ".")]
    return [importlib.import_module(name) for name in names]


@functools.cache
def formulas() -> tuple[Formula, ...]:
    """Every public function of floor physics, in the order of the modules."""
    return tuple(formula for module in physics_modules() for formula in formulas_of(module))


def formulas_of(module: ModuleType) -> Iterator[Formula]:
    """The public functions that one module defines."""
    for name in getattr(module, "__all__", []):
        function = getattr(module, name)
        if inspect.isfunction(function) and function.__module__ == module.__name__:
            yield Formula(function, module)


def split_sections(text: str) -> dict[str, str]:
    """A docstring cut at its underlined headings."""
    lines, found, title = text.splitlines(), {"": ""}, ""
    for number, line in enumerate(lines):
        below = lines[number + 1] if number + 1 < len(lines) else ""
        if line and re.fullmatch(r"-{3,}", below) and len(below) == len(line):
            title = line
            found[title] = ""
        elif not (re.fullmatch(r"-{3,}", line) and number and lines[number - 1] == title):
            found[title] += line + "\n"
    return {name: body.strip("\n") for name, body in found.items()}


def read_entries(body: str, label: str) -> dict[str, str]:
    """`name : words [tag]` lines, continued on indented ones, as tags by name."""
    entries: list[str] = []
    for line in body.splitlines():
        if re.match(r"\w", line):
            entries.append(line)
        elif line.strip() and entries:
            entries[-1] += " " + line.strip()
    tags: dict[str, str] = {}
    for entry in entries:
        whole = re.fullmatch(r"(\w+(?:, \w+)*) : [^\[\]]*\[([^\[\]]+)\]", entry.rstrip())
        if whole is None:
            raise UnreadableError(f"{label}: {entry!r} should read 'name : words [unit]', with one tag")
        if not _TAG.fullmatch(whole[2]):
            raise UnreadableError(f"{label}: [{whole[2]}] is no unit tag: products first, then ratios with /")
        tags |= dict.fromkeys(whole[1].split(", "), whole[2])
    return tags


def example_call(formula: Formula) -> dict[str, Any]:
    """The arguments with which the docstring's own example first calls the formula."""
    calls: list[dict[str, Any]] = []

    def recorder(*args: Any, **named: Any) -> Any:
        calls.append(dict(inspect.signature(formula.function).bind(*args, **named).arguments))
        return formula.function(*args, **named)

    scope = {**vars(formula.module), "np": np, formula.function.__name__: recorder}
    for example in doctest.DocTestParser().get_examples(formula.function.__doc__ or ""):
        with contextlib.redirect_stdout(io.StringIO()):
            exec(compile(example.source, formula.label, "single"), scope)
        if calls:
            return calls[0]
    return {}
