# SPDX-License-Identifier: MIT
"""Every public formula of physics takes floats and arrays that go together, and gives the same numbers."""

from __future__ import annotations

from types import ModuleType
from typing import Any

import numpy as np
import pytest

from retortwright.ground.arrays import Real
from style.formulas import Formula, formulas

# Arguments that are no plain Real, by formula: which, and why they cannot broadcast.
_TREE = "a system over all cells at once: its first axis is the cells, its second the samples"
STRUCTURAL: dict[str, tuple[set[str], str]] = {
    "fins.solve_tree": ({"parent", "diagonal", "upward", "downward", "load"}, _TREE),
    "fins.solve_tree_with_loops": (
        {"parent", "diagonal", "upward", "downward", "load", "loops", "loop_conductance"}, _TREE,
    ),
}

FORMULAS = formulas()
_STEPS = np.array([1.0, 0.99, 0.98])
_SHAPES = [(), (3,), (3, 1)]


def mixtures(formula: Formula) -> list[dict[str, Any]]:
    """Arguments near the usual ones, each once as a float, once as a (3,) and once as a (3, 1) array."""
    given = dict(formula.inputs)
    free = [name for name in given if name not in STRUCTURAL.get(formula.label, (set(), ""))[0]]
    found = []
    for turn in range(3):
        mixed = dict(given)
        for place, name in enumerate(free):
            shape = _SHAPES[(place + turn) % 3]
            mixed[name] = given[name] * _STEPS.reshape(shape) if shape else float(given[name])
        found.append(mixed)
    return found


def differences(formula: Formula) -> list[str]:
    """Where arrays give another number or another shape than floats, one at a time, do."""
    found = []
    fixed = STRUCTURAL.get(formula.label, (set(), ""))[0]
    for mixed in mixtures(formula):
        free = {name: np.asarray(value) for name, value in mixed.items() if name not in fixed}
        shape = np.broadcast_shapes(*(value.shape for value in free.values()))
        spread = {name: np.broadcast_to(value, shape) for name, value in free.items()}
        whole = formula.parts(formula.function(**mixed))
        for name, value in whole.items():
            if len(whole) == 1 and not fixed and np.shape(value) != shape:
                found.append(f"{formula.label}: {name} has shape {np.shape(value)}, not {shape}")
        for index in np.ndindex(shape):
            single = {**mixed, **{name: float(value[index]) for name, value in spread.items()}}
            for name, value in formula.parts(formula.function(**single)).items():
                batch = np.asarray(whole[name], dtype=float)
                taken = batch[index] if fixed else np.broadcast_to(batch, shape)[index]
                if not np.allclose(taken, np.asarray(value, dtype=float), rtol=1e-12, atol=0, equal_nan=True):
                    found.append(f"{formula.label}: {name} at {index} is {taken}, alone {value}")
    return found


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda formula: formula.label)
def test_arrays_give_what_floats_give(formula: Formula) -> None:
    assert differences(formula) == []


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda formula: formula.label)
def test_every_argument_is_a_real_or_listed(formula: Formula) -> None:
    others = {name for name, written in formula.annotations.items() if written != "Real"}
    assert others == STRUCTURAL.get(formula.label, (set(), ""))[0]


def test_exceptions_exist_and_say_why() -> None:
    assert set(STRUCTURAL) <= {formula.label for formula in FORMULAS}
    assert all(len(reason) > 10 for _, reason in STRUCTURAL.values())


# ---- planted slips


def first_element(temperature: Real, width: Real) -> Real:
    """Takes the first element for all.

    Parameters
    ----------
    temperature : of it [K]
    width : of it [m]

    Returns
    -------
    product : [K m]
    """
    return np.ravel(temperature)[0] * np.asarray(width)


def branching(temperature: Real) -> Real:
    """Branches on an argument.

    Parameters
    ----------
    temperature : of it [K]

    Returns
    -------
    half : [K]
    """
    return temperature / 2 if np.all(np.asarray(temperature) > 395.0) else np.asarray(temperature) / 3


@pytest.mark.parametrize("function", [first_element, branching])
def test_a_formula_that_does_not_broadcast_is_caught(function: Any) -> None:
    assert differences(Formula(function, ModuleType("retortwright.physics.planted"))) != []
