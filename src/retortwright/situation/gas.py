# SPDX-License-Identifier: MIT
"""The gas in a rig, state by state: base pressure, emptying, permeation, hydrogen, argon, purging."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.constants import ATMOSPHERE, GAS_CONSTANT
from retortwright.physics.pumping import pump_down
from retortwright.reference.datum import Missing
from retortwright.rig.parts import State
from retortwright.situation.connected import Connected, Node, Passage, connected, place_in
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.gasloads import STATED, GasLoads
from retortwright.situation.situation import Situation
from retortwright.situation.timing import hold_of, pumped_time
from retortwright.situation.train import Gas, Tube, pressures_along, speed_behind, tubes_of

__all__ = ["LONGEST", "GasWork"]

LONGEST = 1e6  # s, for which emptying is followed
_TABLE = np.geomspace(1e-2, 2e5, 22)  # Pa
_KNOWN_OXYGEN = 2 * 0.2095  # atoms of oxygen in a molecule of air


class GasWork:
    """Figures of the gas of one situation, each computed when first asked for."""

    def __init__(self, situation: Situation) -> None:
        self.situation = situation
        self.rig, self.tree = situation.rig, situation.tree
        self._known: dict[tuple[str, str], Figure] = {}

    def once(self, name: str, state: str, make: Callable[[str], Figure]) -> Figure:
        """A figure, made at the first call."""
        if (name, state) not in self._known:
            self._known[name, state] = make(state)
        return self._known[name, state]

    def ledger(self) -> Ledger:
        """A new ledger."""
        return Ledger(self.rig, self.situation.tables, self.situation.draws)

    def spaces(self, state: str) -> Connected:
        """The joined spaces of a state."""
        return connected(self.rig, self.tree, state)

    def retort(self, state: str) -> Node:
        """The space inside the retort."""
        return self.spaces(state).node(0, 0.0)

    def states(self) -> tuple[State, ...]:
        """All states."""
        return self.rig.states

    def way_to_pump(self, state: str) -> tuple[Passage, ...]:
        """The passages from the retort to the pump; none where it does not run or is shut off."""
        found = next(each for each in self.rig.states if each.name == state)
        pump = self.rig.plant.pump
        if pump is None or "pump" not in found.running:
            return ()
        spaces = self.spaces(state)
        for number, place in place_in(self.tree, pump["on"], None):
            return spaces.path(self.retort(state), 0.0, spaces.node(number, place), place)
        return ()

    def is_fed(self, state: str) -> bool:
        """Whether argon runs into the spaces that the pump empties: then its flow sets the pressure there."""
        found, argon = next(each for each in self.rig.states if each.name == state), self.rig.plant.argon
        if argon is None or "argon" not in found.running or not self.way_to_pump(state):
            return False
        spaces = self.spaces(state)
        group = spaces.group(self.retort(state))
        places = place_in(self.tree, argon["on"], argon.get("at"))
        return any(spaces.group(spaces.node(number, place)) == group for number, place in places)

    def base_pressure(self, state: str) -> Figure:
        """Pressure in the retort when the pump takes just what comes in."""
        return self.once("base-pressure", state, self._base_pressure)

    def _base_pressure(self, state: str) -> Figure:
        ledger, way = self.ledger(), self.way_to_pump(state)
        loads = self._loads(state, ledger)
        tubes = self._tubes(way, loads, ledger)
        speed, ultimate = self.pump(ledger)
        entries = self._entries(state, way)
        by_kind = self._flows(loads, ledger, state)
        flows = [np.zeros(ledger.draws.size) for _ in way]
        for found in by_kind.values():
            for node, flow in found:
                flows[entries[node]] = flows[entries[node]] + flow
        flows = list(np.cumsum(flows, axis=0))
        room = ledger.default("room.temperature", 200.0, 400.0)
        last = ultimate + flows[-1] * GAS_CONSTANT * room / speed
        pressures, conductances = pressures_along(tubes, flows, last)
        said = {f"at {number}": pressure for number, pressure in enumerate(pressures)}
        for kind, found in by_kind.items():
            total = sum((flow for _, flow in found), np.zeros(ledger.draws.size))
            said[kind] = total * GAS_CONSTANT * STATED
        said["pump"] = last
        said["speed"] = 1 / (np.sum(1 / np.array(conductances), axis=0) + 1 / speed)
        return figure_of(ledger, pressures[0], said, loads.picture)

    def inflow(self, state: str) -> Figure:
        """What comes into the joined spaces besides what the charge gives [mol/s]."""
        return self.once("inflow", state, self._inflow)

    def _inflow(self, state: str) -> Figure:
        ledger = self.ledger()
        loads = self._loads(state, ledger)
        total = np.zeros(ledger.draws.size)
        for kind, found in self._flows(loads, ledger, state).items():
            if kind != "charge":
                total = total + sum((flow for _, flow in found), np.zeros(ledger.draws.size))
        return figure_of(ledger, total, None, loads.picture)

    def pump_down(self, state: str, pressure: float) -> Figure:
        """Time to bring the joined spaces from one atmosphere to a pressure; `LONGEST` where never."""
        return self.once(f"pump-down {pressure}", state, lambda name: self._pump_down(name, pressure))

    def _pump_down(self, state: str, pressure: float) -> Figure:
        ledger, way = self.ledger(), self.way_to_pump(state)
        loads = self._loads(state, ledger)
        tubes = self._tubes(way, loads, ledger)
        speed, ultimate = self.pump(ledger)
        volume = self.spaces(state).volume(loads.group)
        kinds = self._flows(loads, ledger, state)
        shares = self._shares(state, way, loads, ledger, pressure)
        totals = {
            kind: sum((shares(node) * flow for node, flow in found), np.zeros(ledger.draws.size))
            * GAS_CONSTANT
            * STATED
            for kind, found in kinds.items()
        }
        decaying = (totals["walls"] + totals["rings"]) * pumped_time(self.rig, state)
        steady = sum((flow for kind, flow in totals.items() if kind not in ("walls", "rings")), 0 * speed)
        speeds = np.array([speed_behind(tubes, float(step), speed) for step in _TABLE])
        times = np.concatenate([[0.0], np.geomspace(0.1, LONGEST, 150)])
        run = pump_down(times, volume, ATMOSPHERE, ultimate, steady, decaying, _TABLE, speeds)
        falling = np.minimum.accumulate(np.asarray(run.pressure), axis=0)
        reached = np.array([_crossing(times, falling[:, one], pressure) for one in range(ledger.draws.size)])
        hold = hold_of(self.rig, state)
        said = {"volume": np.array([volume])}
        if hold is not None:
            said["after"] = np.array(
                [np.interp(hold, times, column) for column in np.asarray(run.pressure).T]
            )
        return figure_of(ledger, reached, said, loads.picture)

    def permeation(self, state: str) -> Figure:
        """Air that reaches the metal through rubber and plastic, by its oxygen, as a leak [Pa m^3/s]."""
        return self.once("permeation", state, self._permeation)

    def _permeation(self, state: str) -> Figure:
        ledger, way = self.ledger(), self.way_to_pump(state)
        loads = self._loads(state, ledger)
        shares = self._shares(state, way, loads, ledger)
        total, said = np.zeros(ledger.draws.size), {}
        for node, flow in loads.seals():
            part = shares(node) * flow * GAS_CONSTANT * STATED
            said[f"joints of {self.tree.instances[node[0]].row.name}"] = part
            total = total + part
        for node, (oxygen, _, water) in loads.hoses():
            atoms = 2 * oxygen + water
            part = shares(node) * atoms / _KNOWN_OXYGEN * GAS_CONSTANT * STATED
            said[self.tree.instances[node[0]].row.name] = part
            total = total + part
        return figure_of(ledger, total, said, loads.picture)

    def hydrogen(self, state: str) -> Figure:
        """Hydrogen that comes in through hot metal, as a leak [Pa m^3/s]."""
        return self.once("hydrogen", state, self._hydrogen)

    def _hydrogen(self, state: str) -> Figure:
        ledger = self.ledger()
        loads = self._loads(state, ledger)
        total, said = np.zeros(ledger.draws.size), {}
        for node, flow in loads.hydrogen():
            total = total + flow * GAS_CONSTANT * STATED
            said[self.tree.instances[node[0]].row.name] = flow
        return figure_of(ledger, total, said, loads.picture)

    def argon_oxygen(self, state: str) -> Figure:
        """Oxygen molecules in the argon that reaches the rig, and its water, as shares."""
        return self.once("argon-oxygen", state, self._argon_oxygen)

    def _argon_oxygen(self, state: str) -> Figure:
        ledger, argon = self.ledger(), dict(self.rig.plant.argon or {})
        for key in ("purity", "flow"):
            if argon.get(key) is None:
                ledger.missing.append(Missing(f"plant.argon.{key}", f"the {key} of the argon is not stated"))
        if ledger.missing:
            return figure_of(ledger, np.full(ledger.draws.size, np.nan))
        impure = 1.0 - argon["purity"]
        oxygen = impure * ledger.default("argon.oxygen", 0.0, 1.0)
        water = impure * ledger.default("argon.water", 0.0, 1.0)
        flow = (
            ledger.figure("plant.argon.flow", argon["flow"], "m^3/s") * ATMOSPHERE / (GAS_CONSTANT * STATED)
        )
        said = {"bottle": oxygen, "flow": flow}
        hose = self.rig.plant.argon_hose
        if hose is not None and ("permeability", hose.of, "oxygen") in ledger.tables.rows:
            loads = GasLoads(self.situation, state, self.spaces(state), frozenset(), ledger)
            ratio = ledger.default("argon-hose.ratio", 1.01, 5.0)
            room = ledger.default("room.temperature", 200.0, 400.0)
            through = loads.permeated(hose.of, (1.0, ratio, hose.length), room)
            said["hose"] = through[0] / flow
            oxygen, water = oxygen + through[0] / flow, water + through[2] / flow
        said["water"] = water
        return figure_of(ledger, oxygen, said)

    def pressure_at(self, state: str, on: str, at: float | None) -> Array | None:
        """Base pressure where a gauge sits; None where it is not joined to the pumped spaces."""
        way, spaces = self.way_to_pump(state), self.spaces(state)
        if not way:
            return None
        entries = self._entries(state, way)
        for number, place in place_in(self.tree, on, at):
            node = spaces.node(number, place)
            if node not in entries:
                return None
            index, said = entries[node], self.base_pressure(state).said
            passage = way[index]
            share = 0.0
            if passage.instance == number and passage.length > 0:
                share = min(max((place - passage.start) / (passage.end - passage.start), 0.0), 1.0)
            return (1 - share) * said[f"at {index}"] + share * said[f"at {index + 1}"]
        return None

    def pump(self, ledger: Ledger) -> tuple[Array, Array]:
        """Speed and ultimate pressure of the pump."""
        pump: Mapping[str, object] = self.rig.plant.pump or {}
        speed = ledger.figure("plant.pump.speed", pump["speed"], "m^3/s", 1e-9)  # type: ignore[arg-type]
        if pump.get("ultimate") is not None:
            return speed, ledger.figure("plant.pump.ultimate", pump["ultimate"], "Pa")  # type: ignore[arg-type]
        return speed, ledger.sampled("pump.ultimate", "pumps", str(pump["kind"]), "ultimate", 0.0, 1e5)

    def _loads(self, state: str, ledger: Ledger) -> GasLoads:
        spaces = self.spaces(state)
        return GasLoads(self.situation, state, spaces, spaces.group(self.retort(state)), ledger)

    def _flows(self, loads: GasLoads, ledger: Ledger, state: str) -> dict[str, list[tuple[Node, Array]]]:
        """Everything that comes in, by kind."""
        retort = self.retort(state)
        return {
            "leak": [(retort, self.leak(ledger) / (GAS_CONSTANT * STATED))],
            "walls": list(loads.walls()),
            "rings": list(loads.rings()),
            "seals": list(loads.seals()),
            "hoses": [(node, sum(flows[1:], flows[0])) for node, flows in loads.hoses()],
            "charge": [(retort, loads.charge_water())],
            "hydrogen": list(loads.hydrogen()),
        }

    def leak(self, ledger: Ledger) -> Array:
        """The leak of the whole rig as somebody measured it [Pa m^3/s]."""
        band = self.rig.assume.get("leak")
        if band is None:
            ledger.missing.append(
                Missing(
                    "assume.leak", "nobody has measured the leak of the rig: give it as `leak` under [assume]"
                )
            )
            return np.full(ledger.draws.size, np.nan)
        return ledger.figure("assume.leak", band, "Pa m^3/s")

    def air(self, ledger: Ledger) -> Gas:
        """Air as a gas that flows."""
        mass, well = (
            ledger.sampled(f"air.{name}", "gases", "air", name, 0.0, 1e3)[0]
            for name in ("molar-mass", "well")
        )
        return Gas(
            float(mass), ledger.sampled("air.diameter", "gases", "air", "diameter", 1e-11, 1e-8), float(well)
        )

    def _tubes(self, way: tuple[Passage, ...], loads: GasLoads, ledger: Ledger) -> list[Tube]:
        singles = [self.tree.instances[passage.instance] for passage in way]
        middles = [(passage.start + passage.end) / 2 for passage in way]
        radii = [single.tube_at(place).bore / 2 for single, place in zip(singles, middles, strict=True)]
        means = [loads.mean_temperature(passage.instance) for passage in way]
        return tubes_of(radii, [passage.length for passage in way], means, self.air(ledger))

    def _entries(self, state: str, way: tuple[Passage, ...]) -> dict[Node, int]:
        """For every joined space, the passage of the way that its gas comes into."""
        spaces = self.spaces(state)
        came = spaces.ways(self.retort(state))
        on_way = {spaces.node(each.instance, (each.start + each.end) / 2): i for i, each in enumerate(way)}
        found: dict[Node, int] = {}
        for node in came:
            step: Node = node
            while step not in on_way:
                back = came[step]
                if back is None:
                    break
                step = back[0]
            found[node] = on_way.get(step, 0)
        return found

    def _shares(
        self, state: str, way: tuple[Passage, ...], loads: GasLoads, ledger: Ledger, pressure: float = 0.0
    ) -> Callable[[Node], Array]:
        """Which share of what comes into a space the retort feels, and the metal in it takes, beside the pump."""
        if not way:
            return lambda _: np.ones(ledger.draws.size)
        tubes = self._tubes(way, loads, ledger)
        speed, ultimate = self.pump(ledger)
        entries = self._entries(state, way)
        _, conductances = pressures_along(tubes, [0 * speed for _ in tubes], ultimate + pressure + 0 * speed)
        resistances = 1 / np.array(conductances)

        def share(node: Node) -> Array:
            index = entries[node]
            up, down = np.sum(resistances[:index], axis=0), np.sum(resistances[index:], axis=0) + 1 / speed
            return np.asarray(down / (up + down))

        return share


def _crossing(times: Array, falling: Array, pressure: float) -> float:
    """When a falling pressure comes down to another one."""
    if not np.all(np.isfinite(falling)):
        return float("nan")
    if falling[-1] > pressure:
        return LONGEST
    place = int(np.argmax(falling <= pressure))
    high, low = np.log(falling[place - 1]), np.log(falling[place])
    share = (high - np.log(pressure)) / (high - low) if high > low else 1.0
    return float(times[place - 1] + share * (times[place] - times[place - 1]))
