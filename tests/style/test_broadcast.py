# SPDX-License-Identifier: MIT
"""Every public formula of physics takes floats and arrays that go together, and gives the same numbers."""

from __future__ import annotations

from types import ModuleType
from typing import Any

import numpy as np
import pytest

from retortwright.ground.arrays import Real
from style.formulas import Formula, formulas

# Formulas of arrays that have an order of their own, and why they cannot broadcast.
_NODES = "an integral along the first axis, which is the nodes"
STRUCTURAL = {
    "bore_radiation.tube_exchange_matrix": "the edges cut one bore into rings, the result is their matrix",
    "pumping.pump_down": "times follow one another, and the table of speeds has one row a pressure",
    "rod.long_fin_distance": _NODES,
    "rod.long_fin_heat": _NODES,
    "tubetrain.train_transmission": "the arrays are the pieces of one train in the order of flow",
}

FORMULAS = formulas()
_STEPS = np.array([1.0, 0.99, 0.98])
_SHAPES = [(), (3,), (3, 1)]


def mixtures(formula: Formula) -> list[dict[str, Any]]:
    """Arguments near the usual ones, each once as a float, once as a (3,) and once as a (3, 1) array."""
    found = []
    for turn in range(3):
        mixed: dict[str, Any] = {}
        for place, (name, value) in enumerate(formula.inputs.items()):
            shape = _SHAPES[(place + turn) % 3]
            mixed[name] = float(value) * _STEPS.reshape(shape) if shape else float(value)
        found.append(mixed)
    return found


def differences(formula: Formula) -> list[str]:
    """Where arrays give another number or another shape than floats, one at a time, do."""
    found = []
    for mixed in mixtures(formula):
        shape = np.broadcast_shapes(*(np.shape(value) for value in mixed.values()))
        whole = formula.parts(formula.function(**mixed))
        if len(whole) == 1 and np.shape(next(iter(whole.values()))) != shape:
            found.append(f"{formula.label}: the result is not of shape {shape}")
        for index in np.ndindex(shape):
            single = {name: float(np.broadcast_to(value, shape)[index]) for name, value in mixed.items()}
            for name, alone in formula.parts(formula.function(**single)).items():
                taken = np.broadcast_to(whole[name], shape)[index]
                if np.ndim(alone) or not np.allclose(taken, alone, rtol=1e-12, atol=0, equal_nan=True):
                    found.append(f"{formula.label}: {name} at {index} is {taken}, alone {alone}")
    return found


BROADCASTING = [formula for formula in FORMULAS if formula.label not in STRUCTURAL]


@pytest.mark.parametrize("formula", BROADCASTING, ids=lambda formula: formula.label)
def test_arrays_give_what_floats_give(formula: Formula) -> None:
    assert {name for name, written in formula.annotations.items() if written != "Real"} == set()
    assert differences(formula) == []


def test_exceptions_exist_and_say_why() -> None:
    assert set(STRUCTURAL) <= {formula.label for formula in FORMULAS}
    assert all(len(reason) > 10 for reason in STRUCTURAL.values())


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
