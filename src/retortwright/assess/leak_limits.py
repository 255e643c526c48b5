# SPDX-License-Identifier: MIT
"""The leak that a batch can bear: from grade, product, inventory and the time with hot metal.

Air brings oxygen to every metal and nitrogen to those that form nitrides, and it eats metal.
Each of these sets a limit; the smallest rules and is named.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from retortwright.assess.check import Limit
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.gas import molar_flow_of_throughput
from retortwright.physics.gettering import bearable_leak, impurity_taken, metal_eaten
from retortwright.reference.datum import Missing
from retortwright.situation.figure import figure_of
from retortwright.situation.gas import GasWork
from retortwright.situation.gasloads import STATED
from retortwright.situation.timing import time_with_hot_metal

__all__ = ["graded", "hydrogen_limit", "leak_limit", "metal_eaten_by"]


def graded(work: GasWork, ledger: Ledger, name: str) -> Array:
    """A figure of the grade that is wanted, over the samples."""
    grade = work.rig.aim.grade
    if grade is None:
        ledger.missing.append(Missing("aim.grade", "how clean the metal has to be is not said: aim.grade"))
        return np.full(ledger.draws.size, np.nan)
    return ledger.sampled(f"grade.{grade}.{name}", "grades", grade, name, 0.0, 1e6)


def _amount(work: GasWork, ledger: Ledger) -> float:
    amount = work.rig.aim.amount
    if amount is None:
        ledger.missing.append(Missing("aim.amount", "how much metal is wanted is not said: aim.amount"))
        return float("nan")
    return amount


def _of(work: GasWork, ledger: Ledger, name: str) -> Array:
    """What air makes of the metal that is wanted."""
    metal = work.rig.aim.metal
    return ledger.sampled(f"getter.{metal}.{name}", "getters", metal, name, 0.0, 10.0)


def _air(ledger: Ledger, name: str) -> Array:
    return ledger.sampled(f"air.{name}", "gases", "air", f"{name}-share", 0.0, 1.0)


def leak_limit(work: GasWork) -> Limit:
    """The leak of air that the batch can bear."""
    ledger = work.ledger()
    time, amount = time_with_hot_metal(work.rig, ledger), _amount(work, ledger)
    oxygen, nitrogen = _air(ledger, "oxygen"), _air(ledger, "nitrogen")
    found: dict[str, Array] = {}
    atom = ledger.sampled("oxygen.atom", "gases", "oxygen", "atom", 0.0, 1.0)
    brought = impurity_taken(1.0, oxygen, 2.0, atom)
    found["oxygen taken up"] = _bearable(amount * graded(work, ledger, "oxygen"), time, brought)
    nitride = _of(work, ledger, "nitride-most")
    if np.any(nitride > 0):
        atom = ledger.sampled("nitrogen.atom", "gases", "nitrogen", "atom", 0.0, 1.0)
        brought = impurity_taken(1.0, nitrogen, 2.0, atom)
        found["nitrogen taken up"] = _bearable(amount * graded(work, ledger, "nitrogen"), time, brought)
    oxide, molar = _of(work, ledger, "oxide-most"), _of(work, ledger, "molar-mass")
    eaten = metal_eaten(1.0, oxygen, nitrogen, oxide, nitride, molar)
    found["metal lost"] = _bearable(amount * graded(work, ledger, "metal-lost"), time, eaten)
    return _smallest(ledger, found | {"time": time})


def hydrogen_limit(work: GasWork) -> Limit:
    """The flow of hydrogen that the batch can bear."""
    ledger = work.ledger()
    time, amount = time_with_hot_metal(work.rig, ledger), _amount(work, ledger)
    atom = ledger.sampled("hydrogen.atom", "gases", "hydrogen", "atom", 0.0, 1.0)
    allowed = amount * graded(work, ledger, "hydrogen")
    return _smallest(ledger, {"hydrogen taken up": _bearable(allowed, time, 2.0 * atom), "time": time})


def _bearable(allowed: Array, time: Array, brought: Array | object) -> Array:
    return np.asarray(bearable_leak(allowed, time, STATED, brought))  # type: ignore[arg-type]


def _smallest(ledger: Ledger, found: Mapping[str, Array]) -> Limit:
    limits = {name: values for name, values in found.items() if name != "time"}
    ends = {name: float(np.median(values)) for name, values in limits.items()}
    figure = figure_of(ledger, np.min(list(limits.values()), axis=0), found)
    if figure.missing or not all(np.isfinite(end) for end in ends.values()):
        return Limit(float("nan"), "", figure)
    words = min(ends, key=lambda name: ends[name])
    return Limit(ends[words], words, figure)


def metal_eaten_by(work: GasWork, leak: float) -> tuple[float, float]:
    """Metal that a leak of air eats as the lower oxide and nitride, and at most [kg/s]."""
    ledger = work.ledger()
    flow = molar_flow_of_throughput(leak, STATED)
    oxygen, nitrogen, molar = (
        _air(ledger, "oxygen"),
        _air(ledger, "nitrogen"),
        _of(work, ledger, "molar-mass"),
    )
    usual, most = (
        float(
            np.median(
                metal_eaten(flow, oxygen, nitrogen, _of(work, ledger, one), _of(work, ledger, other), molar)
            )
        )
        for one, other in (("oxide", "nitride"), ("oxide-most", "nitride-most"))
    )
    return usual, most
