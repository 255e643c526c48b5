# SPDX-License-Identifier: MIT
"""Every public formula of physics has the dimensions that its docstring states."""

from __future__ import annotations

import inspect
from types import ModuleType

import numpy as np
import pint
import pytest

from retortwright.ground.arrays import Real
from style.carriers import Carried, Carrier, OtherUnits, UnitArrays, constants_of, followed, unit_of
from style.formulas import EXAMPLE_INPUTS, Formula, formulas, physics_modules, split_sections

MODULES = physics_modules()
FORMULAS = formulas()
FITS = [formula for formula in FORMULAS if formula.is_fit]

# Formulas whose literal coefficients carry units. A longer list is a choice: change the list and the number.
ALLOWED_FITS: list[str] = []
HOW_MANY_FITS = 0

# Formulas that unit-carrying arrays cannot enter; the change of units alone follows these.
THROUGH_A_SOLVER: dict[str, str] = {
    "bore_radiation.tube_exchange_matrix": "fills a matrix in place, then solves it",
}

CASES = [
    pytest.param(formula, carrier, id=f"{formula.label}-{type(carrier).__name__}")
    for formula in FORMULAS
    for carrier in (UnitArrays(), OtherUnits())
    if not formula.is_fit and not (formula.label in THROUGH_A_SOLVER and isinstance(carrier, UnitArrays))
]


def disagreements(formula: Formula, carrier: Carrier) -> list[str]:
    """The results that are another number, or of another dimension, once every input carries its unit."""
    inputs = formula.inputs
    plain = formula.parts(formula.function(**inputs))
    with Carried(MODULES, FITS, carrier):
        carried = followed(formula, inputs, carrier)
    return [
        f"{formula.label}: {name} is not in [{formula.returns[name]}]"
        for name in plain
        if not np.allclose(plain[name], carried[name], rtol=1e-9, atol=0, equal_nan=True)
    ]


def test_there_are_formulas() -> None:
    assert FORMULAS


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda formula: formula.label)
def test_the_inputs_used_here_lie_in_the_range(formula: Formula) -> None:
    for name, value in formula.parts(formula.function(**formula.inputs)).items():
        assert np.any(np.isfinite(value)), f"{name}: give {formula.label} other inputs in EXAMPLE_INPUTS"


@pytest.mark.parametrize(("formula", "carrier"), CASES)
def test_results_have_the_stated_dimension(formula: Formula, carrier: Carrier) -> None:
    assert disagreements(formula, carrier) == []


def test_fits_are_few_and_listed() -> None:
    print("formulas whose coefficients carry units:", *ALLOWED_FITS, sep="\n  ")
    assert sorted(formula.label for formula in FITS) == sorted(ALLOWED_FITS)
    assert len(ALLOWED_FITS) == HOW_MANY_FITS
    for formula in FITS:
        assert formula.parameters
        assert formula.returns


def test_lists_name_formulas_that_exist() -> None:
    labels = {formula.label for formula in FORMULAS}
    assert {*EXAMPLE_INPUTS, *THROUGH_A_SOLVER} <= labels
    assert all(len(reason) > 10 for reason in THROUGH_A_SOLVER.values())


def test_every_public_constant_states_its_unit() -> None:
    units = constants_of(MODULES)
    for module in MODULES:
        for name in getattr(module, "__all__", []):
            if name.isupper() and isinstance(getattr(module, name), float | int):
                assert name in units, f"{module.__name__}.{name} is not in a dict UNITS"
    for name, tag in units.items():
        assert unit_of(tag) is not None, name


def test_a_constant_stands_in_one_place() -> None:
    named = [name for module in MODULES for name in getattr(module, "UNITS", {})]
    assert sorted({name for name in named if named.count(name) > 1}) == []


# ---- planted slips: the test above would catch them


def flux(temperature: Real, resistance: Real) -> Real:
    """Flux through a resistance, with a slip in one of two tags.

    Parameters
    ----------
    temperature : across it [K]
    resistance : of unit area [m^2 K/W]

    Returns
    -------
    flux : [{tag}]

    Example
    -------
    >>> flux(20.0, 0.5)
    40.0
    """
    return temperature / resistance + OFFSET


OFFSET = 0.0


def planted(tag: str) -> Formula:
    """The formula above, with this tag on its result."""
    formula = Formula(flux, ModuleType("retortwright.physics.planted"))
    text = (flux.__doc__ or "").replace("{tag}", tag)
    vars(formula)["sections"] = split_sections(inspect.cleandoc(text))
    vars(formula)["inputs"] = {"temperature": 20.0, "resistance": 0.5}
    return formula


def carried(tag: str) -> float:
    """The planted flux from numbers that carry units."""
    formula = planted(tag)
    return float(followed(formula, formula.inputs, UnitArrays())["flux"])


def test_a_right_tag_passes(monkeypatch: pytest.MonkeyPatch) -> None:
    assert disagreements(planted("W/m^2"), OtherUnits()) == []
    monkeypatch.setitem(globals(), "OFFSET", UnitArrays().put(0.0, "W/m^2"))
    assert carried("W/m^2") == 40.0


def test_a_wrong_tag_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    assert disagreements(planted("W/m"), OtherUnits()) == ["planted.flux: flux is not in [W/m]"]
    monkeypatch.setitem(globals(), "OFFSET", UnitArrays().put(0.0, "W/m^2"))
    with pytest.raises(pint.DimensionalityError):
        carried("W/m")


def test_a_hidden_unit_in_a_number_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(globals(), "OFFSET", 3.0)
    with pytest.raises(pint.DimensionalityError):
        carried("W/m^2")
    assert disagreements(planted("W/m^2"), OtherUnits()) == ["planted.flux: flux is not in [W/m^2]"]
