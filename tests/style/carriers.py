# SPDX-License-Identifier: MIT
"""Two ways to follow dimensions through a formula: numbers that carry units, and a change of units.

`UnitArrays` lets every number carry its unit, so that a sum of unlike things stops at once.
`OtherUnits` measures in other metres, kilograms, seconds, kelvins, moles and amperes: a right formula
must give the same physical answer. It also sees through solvers that unit-carrying arrays cannot enter.
Both replace the constants of floor physics, which carry hidden units, for as long as they are used.
"""

from __future__ import annotations

import dataclasses
import inspect
from collections.abc import Callable, Iterable, Mapping
from types import ModuleType
from typing import Any, Protocol

import numpy as np
import pint

from style.formulas import Formula

REGISTRY = pint.UnitRegistry()
_OTHER = {"meter": 1.7, "kilogram": 2.3, "second": 0.6, "kelvin": 1.1, "mole": 3.1, "ampere": 1.3}


class Carrier(Protocol):
    """Puts a unit on a plain SI number and takes it off again."""

    numpy: Any

    def put(self, value: Any, tag: str) -> Any: ...

    def take(self, value: Any, tag: str) -> Any: ...


class _UnitNumpy:
    """numpy, but for the calls that would take the unit off a number in order to accept a list."""

    def __getattr__(self, name: str) -> Any:
        return getattr(np, name)

    @staticmethod
    def asarray(value: Any, dtype: Any = None) -> Any:
        """The array, or the number that carries its unit as it is."""
        return value if isinstance(value, REGISTRY.Quantity) else np.asarray(value, dtype=dtype)

    asanyarray = asarray


class UnitArrays:
    """Numbers that carry units."""

    numpy = _UnitNumpy()

    def put(self, value: Any, tag: str) -> Any:
        """The SI number with its unit, in base units."""
        if _counts(value, tag):
            return value
        return REGISTRY.Quantity(np.asarray(value, dtype=float), unit_of(tag)).to_base_units()

    def take(self, value: Any, tag: str) -> Any:
        """The SI number; an error if the unit is of another dimension."""
        quantity = value if isinstance(value, REGISTRY.Quantity) else REGISTRY.Quantity(value, "")
        return quantity.to(unit_of(tag)).magnitude


class OtherUnits:
    """Plain numbers, measured in other base units."""

    numpy = np

    def put(self, value: Any, tag: str) -> Any:
        """The number that this quantity has in the other units."""
        return value if _counts(value, tag) else np.asarray(value, dtype=float) * _size(tag)

    def take(self, value: Any, tag: str) -> Any:
        """Back to SI, trusting the tag."""
        return np.asarray(value, dtype=float) / _size(tag)


def unit_of(tag: str) -> Any:
    """A unit tag as a unit."""
    return REGISTRY.parse_expression(tag).units if tag != "1" else REGISTRY.Unit("")


def constants_of(modules: Iterable[ModuleType]) -> dict[str, str]:
    """Unit tags of all named constants: each module that has some lists them in its dict UNITS."""
    return {name: tag for module in modules for name, tag in getattr(module, "UNITS", {}).items()}


class Carried:
    """While it is entered, constants and fits carry units wherever a module of physics has them by name."""

    def __init__(self, modules: list[ModuleType], fits: Iterable[Formula], carrier: Carrier) -> None:
        self._before: list[tuple[ModuleType, str, Any]] = []
        self._during: list[tuple[ModuleType, str, Any]] = []
        units = constants_of(modules)
        wrapped = {formula.function: self._plain_inside(formula, carrier) for formula in fits}
        for module in modules:
            for name, value in vars(module).items():
                if value is np:
                    self._replace(module, name, value, carrier.numpy)
                elif name in units and isinstance(value, float | int):
                    self._replace(module, name, value, carrier.put(value, units[name]))
                elif inspect.isfunction(value) and value in wrapped:
                    self._replace(module, name, value, wrapped[value])

    def __enter__(self) -> None:
        self._set(self._during)

    def __exit__(self, *error: object) -> None:
        self._set(self._before)

    def _replace(self, module: ModuleType, name: str, before: Any, during: Any) -> None:
        self._before.append((module, name, before))
        self._during.append((module, name, during))

    @staticmethod
    def _set(values: list[tuple[ModuleType, str, Any]]) -> None:
        for module, name, value in values:
            setattr(module, name, value)

    def _plain_inside(self, formula: Formula, carrier: Carrier) -> Callable[..., Any]:
        """A fit that takes and gives carried numbers and computes with plain ones, in a plain world."""
        takes, gives = formula.parameters, formula.returns

        def outside(*args: Any, **named: Any) -> Any:
            given = dict(zip(takes, args, strict=False)) | named
            plain = {name: carrier.take(value, takes[name]) for name, value in given.items()}
            self._set(self._before)
            try:
                result = formula.function(**plain)
            finally:
                self._set(self._during)
            parts = {name: carrier.put(value, gives[name]) for name, value in formula.parts(result).items()}
            return type(result)(**parts) if dataclasses.is_dataclass(result) else parts[next(iter(parts))]

        return outside


def followed(formula: Formula, inputs: Mapping[str, Any], carrier: Carrier) -> dict[str, Any]:
    """The results of a formula whose every argument carries its unit, taken off by the stated tags."""
    given = {name: carrier.put(value, formula.parameters[name]) for name, value in inputs.items()}
    parts = formula.parts(formula.function(**given))
    return {name: carrier.take(value, formula.returns[name]) for name, value in parts.items()}


def _counts(value: Any, tag: str) -> bool:
    """Whether an argument is made of whole numbers: indices and counts stay what they are."""
    return tag == "1" and np.asarray(value).dtype.kind in "ib"


def _size(tag: str) -> float:
    """How many of the other units one SI unit of this tag is."""
    base = REGISTRY.Quantity(1.0, unit_of(tag)).to_base_units().units
    return float(np.prod([_OTHER.get(name, 1.0) ** float(power) for name, power in base._units.items()]))
