# SPDX-License-Identifier: MIT
"""What the gauges of a rig show along a run, by what stands before them.

A gauge on the side of the retort feels the vapour through the gas that it pushes before it; one beyond the
place where the vapour lands is blind to it, whatever the charge gives.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Row, number_of
from retortwright.rig.parts import Gauge
from retortwright.situation.connected import place_in
from retortwright.situation.crossing import Crossing
from retortwright.situation.gas import GasWork
from retortwright.situation.run_gas import GasCourse
from retortwright.situation.run_in_time import RunInTime

__all__ = ["Shown", "shown_by_gauges"]

_GASES = ("argon", "hydrogen")


@dataclass(frozen=True, slots=True)
class Shown:
    """One gauge along a run: (times, samples)."""

    name: str
    kind: str
    hot_side: bool  # whether it feels the vapour
    reading: Array  # Pa that it would show, were its scale without ends
    lowest: float  # Pa, the ends of its scale
    highest: float


def shown_by_gauges(run: RunInTime, gas: GasCourse, vapour: Array, ledger: Ledger) -> Iterator[Shown]:
    """Every gauge of a rig; `vapour` is the pressure of the product in the retort (times, samples) [Pa]."""
    hot, work = _hot_side(run.crossing), GasWork(run.crossing.situation)
    pumped = np.array([bool(work.way_to_pump(run.programme.at(at).state)) for at in run.times.tolist()])[
        :, None
    ]
    for gauge in run.crossing.rig.plant.gauges:
        known = _ends(gauge, ledger)
        if known is None:
            continue
        lowest, highest, factors = known
        single = next((number for number, _ in place_in(run.crossing.tree, gauge.on, gauge.at)), None)
        feels = single in hot
        argon = np.array(gas.argon)[:, None]
        air = gas.air / np.where(argon, factors["argon"], 1.0)
        share = 1.0 if feels else np.where(pumped, _share(run, gauge), 1.0)
        reading = share * (air + gas.hydrogen / factors["hydrogen"])
        if feels:
            reading = np.hypot(reading, vapour)
        yield Shown(gauge.name, gauge.gauge, feels, reading, lowest, highest)


def _ends(gauge: Gauge, ledger: Ledger) -> tuple[float, float, dict[str, float]] | None:
    """The ends of the scale of a gauge and its factors; None where they are not known."""
    rows = [ledger.row("gauges", gauge.gauge, name) for name in ("lowest", "highest")]
    if not all(isinstance(row, Row) for row in rows):
        return None
    low, high = (number_of(row).best for row in rows if row is not None)
    factors = {}
    for gas in _GASES:
        row = ledger.tables.find("gauges", gauge.gauge, f"factor-{gas}")
        factors[gas] = number_of(row).best if isinstance(row, Row) else 1.0
    return low, high, factors


def _hot_side(crossing: Crossing) -> set[int]:
    """The single pieces that vapour fills before anything lands: the retort and the arms on the rising way."""
    found = {0}
    for arm in crossing.vapour.ways.arms:
        if arm.early:
            found |= {int(number) for number in crossing.mesh.instance[arm.cells]}
    children = crossing.tree.instances
    more = True
    while more:
        beyond = {n for n, one in enumerate(children) if one.parent in found - {0} and n not in found}
        found |= beyond
        more = bool(beyond)
    return found


def _share(run: RunInTime, gauge: Gauge) -> Array:
    """Pressure where a gauge sits over that in the retort while the pump draws, in the state that gives metal."""
    work = GasWork(run.crossing.situation)
    base = work.base_pressure(run.state) if work.way_to_pump(run.state) else None
    there = None if base is None or base.missing else work.pressure_at(run.state, gauge.on, gauge.at)
    if base is None or there is None:
        return np.ones(len(run.parts.comes))
    return np.where(base.values > 0.0, there / base.values, 1.0)
