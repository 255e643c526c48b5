# SPDX-License-Identifier: MIT
"""The gas that is shut in: what each step of the programme leaves, and what argon brings."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.physics.constants import ATMOSPHERE, GAS_CONSTANT
from retortwright.reference.datum import Missing, number_of
from retortwright.situation.closed_contents import bubbler_head
from retortwright.situation.closed_front import gas_pressure
from retortwright.situation.isolated import Case, Inner, cuts_of, inside_of, plant_place

if TYPE_CHECKING:
    from retortwright.situation.closed_pressure import ClosedWork

__all__ = ["ShutIn"]


class ShutIn:
    """Moles of gas in the slivers of a rig, step after step."""

    def __init__(self, work: ClosedWork) -> None:
        self.work, self.rig, self.tree, self.slivers = work, work.rig, work.tree, work.slivers
        row = work.situation.tables.find("rules", "closed", "regulator")
        self.regulator = ATMOSPHERE + (np.nan if isinstance(row, Missing) else number_of(row).best)
        self._shut: dict[Case, Array] = {}
        self._gas: dict[tuple[int | None, frozenset[str]], Array] = {}

    def after(self, number: int | None, stuck: frozenset[str] = frozenset()) -> Array:
        """Moles of gas in each sliver at the end of a moment, with some valves shut all the time."""
        if (number, stuck) not in self._gas:
            self._gas[number, stuck] = self._after(number, stuck)
        return self._gas[number, stuck]

    def _after(self, number: int | None, stuck: frozenset[str]) -> Array:
        if number is None:
            return self.slivers.volume[:, None] * ATMOSPHERE / (GAS_CONSTANT * self.work.room.values)
        moment = self.work.moments[number]
        before = self.after(moment.before, stuck)
        room = self.work.room_at(self.work.situation.heat(moment.state.name))
        after = np.zeros(room.shape)
        case = Case(moment, frozenset(moment.state.open) - stuck, frozenset(moment.state.running))
        for inner in inside_of(self.tree, cuts_of(self.tree, case.open)).volumes():
            inside = self.slivers.inside(inner)
            pressure = self._led(case, inner)
            if pressure is None:
                pressure = gas_pressure(np.sum(before[inside], axis=0), np.sum(room[inside], axis=0))
            after[inside] = pressure / GAS_CONSTANT * room[inside]
        return after

    def _led(self, case: Case, inner: Inner) -> Array | None:
        """The pressure at which something holds a volume: pump, bubbler, argon up to a mark; None if nothing."""
        size = self.work.situation.draws.size
        if "pump" in case.running and self.work.has(inner, "pump"):
            return self.work.rest.values + self._argon_over_pump(case, inner)
        bubbler = self.rig.plant.bubbler
        if bubbler is not None and self.work.has(inner, "bubbler"):
            return np.full(size, ATMOSPHERE + bubbler_head(self.work.situation))
        if "argon" in case.running and self.work.has(inner, "argon"):
            return np.full(size, np.nan if case.moment.state.until is None else case.moment.state.until)
        return None

    def _argon_over_pump(self, case: Case, inner: Inner) -> float:
        """Pressure of argon that flows to the pump [Pa]."""
        argon, pump = self.rig.plant.argon, self.rig.plant.pump
        if argon is None or pump is None or "argon" not in case.running or not self.work.has(inner, "argon"):
            return 0.0
        flow = argon.get("flow")
        return float("nan") if flow is None else float(ATMOSPHERE * flow.best / pump["speed"].best)

    def shut_in(self, case: Case) -> Array:
        """Moles in each sliver when a case begins."""
        if case not in self._shut:
            self._shut[case] = self._shut_in(case)
        return self._shut[case]

    def _shut_in(self, case: Case) -> Array:
        if case.kind in ("plug", "lost"):  # it happens while the state goes on
            found = self.after(case.moment.number)
            return np.maximum(found, self._as_metal_comes(case)) if case.kind == "plug" else found
        stuck = frozenset([case.what]) if case.kind == "never" else frozenset[str]()
        return self.after(case.moment.before, stuck)

    def _as_metal_comes(self, case: Case) -> Array:
        """Moles where a bubbler holds the retort, as soon as metal comes: its walls are not yet as hot then."""
        situation, tree = self.work.situation, self.tree
        inner = inside_of(tree, cuts_of(tree, case.open)).volume_at((0, 0.0))
        found = np.zeros((len(self.slivers.volume), situation.draws.size))
        target = self.rig.set_point(case.state)
        pumped = "pump" in case.running and self.work.has(inner, "pump")
        if pumped or not self.work.has(inner, "bubbler") or target is None:
            return found
        start = self.work.room.values
        begins = self.work.ledger().default("metal.from", 300.0, 2000.0)
        share = np.clip((begins - start) / (target - start), 0.0, 1.0) if np.all(target > start) else 1.0
        cells = start + share * (situation.heat(case.state).temperature - start)
        inside = self.slivers.inside(inner)
        pressure = ATMOSPHERE + bubbler_head(situation)
        found[inside] = pressure / GAS_CONSTANT * self.slivers.room(cells)[inside]
        return found

    def moles(self, case: Case, inside: NDArray[np.intp], room: Array) -> Array:
        """Gas in a volume: what was shut in, or what argon brings it to [mol].

        As planned argon runs in up to the mark of its state; with anything wrong nobody looks after a flow without a
        mark, and it comes to what the regulator of the bottle gives.
        """
        moles = np.sum(self.shut_in(case)[inside], axis=0)
        argon = plant_place(self.rig, self.tree, "argon")
        if argon is None or "argon" not in case.running:
            return np.asarray(moles)
        if not np.any(inside == self.slivers.at(argon)):
            return np.asarray(moles)
        mark = case.moment.state.until
        if case.kind == "over" or (mark is None and case.kind != "planned"):
            mark = self.regulator
        mark = np.nan if mark is None else mark
        return np.asarray(np.maximum(moles, mark / GAS_CONSTANT * room))

    def hose(self, case: Case, inside: NDArray[np.intp]) -> tuple[Array, Array]:
        """The hose of the argon where it hangs on a volume and nothing flows: volume over temperature, and moles."""
        hose, place = self.rig.plant.argon_hose, plant_place(self.rig, self.tree, "argon")
        row = self.work.situation.tables.find("rules", "closed", "hose-bore")
        room = self.work.room.values
        hangs = place is not None and bool(np.any(inside == self.slivers.at(place)))
        if hose is None or isinstance(row, Missing) or "argon" in case.running or not hangs:
            return np.zeros(room.shape), np.zeros(room.shape)
        held = np.pi / 4 * number_of(row).best ** 2 * hose.length / room
        return held, ATMOSPHERE / GAS_CONSTANT * held
