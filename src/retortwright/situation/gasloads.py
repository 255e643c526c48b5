# SPDX-License-Identifier: MIT
"""The gas that comes into the joined spaces of a rig in one state, by kind and by place.

Walls give off what they hold: unbaked surfaces by the inverse law of time, hotter ones what
their metal can have left. No credit is given for an earlier bake. All flows are molar.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.constants import ATMOSPHERE, GAS_CONSTANT
from retortwright.physics.outgassing import outgassing_flux, spent_store_flow
from retortwright.physics.permeation import (
    activated,
    metal_wall_hydrogen,
    tube_wall_hydrogen,
    tube_wall_permeation,
)
from retortwright.physics.wet import saturation_pressure_of_water
from retortwright.reference.datum import Missing
from retortwright.situation.connected import Connected, Node
from retortwright.situation.heat import HeatPicture
from retortwright.situation.situation import Situation
from retortwright.situation.timing import heated_time, is_hot, pumped_time

__all__ = ["STATED", "GasLoads", "Permeated", "outside_air"]

STATED = 293.15  # K, at which throughputs are stated
_PERMEABILITY_AT = 298.15  # K, at which permeabilities stand in the table
_HOUR = 3600.0
_RING = 0.03  # m, bore of the ring of elastomer for which a joint's leak is stated
_GLOWS = 573.15  # K, below it hydrogen through metal is left out

Permeated = tuple[Array, Array, Array]  # oxygen, nitrogen, water [mol/s]


def outside_air(ledger: Ledger) -> Permeated:
    """Partial pressures of oxygen, nitrogen and water in the room [Pa]."""
    room = ledger.default("room.temperature", 200.0, 400.0)
    humidity = ledger.default("room.humidity", 0.0, 1.0)
    water = np.asarray(humidity * saturation_pressure_of_water(room))
    oxygen = ledger.sampled("air.oxygen", "gases", "air", "oxygen-share", 0.0, 1.0)
    nitrogen = ledger.sampled("air.nitrogen", "gases", "air", "nitrogen-share", 0.0, 1.0)
    dry = ATMOSPHERE - water
    return oxygen * dry, nitrogen * dry, water


class GasLoads:
    """What comes in, for one state; every method gives flows by the space they enter [mol/s]."""

    def __init__(
        self, situation: Situation, state: str, spaces: Connected, group: frozenset[Node], ledger: Ledger
    ) -> None:
        self.situation, self.state, self.spaces, self.group = situation, state, spaces, group
        self.ledger = ledger
        self.picture: HeatPicture = situation.heat(state)

    def walls(self) -> Iterator[tuple[Node, Array]]:
        """What the inner surfaces give off."""
        ledger, rig = self.ledger, self.situation.rig
        pumped, heated = pumped_time(rig, self.state), heated_time(rig, self.state)
        energy = ledger.sampled("outgassing.activation", "outgassing", "water", "activation", 0.0, 3e5)
        baking = ledger.sampled("baking.from", "outgassing", "baking", "from", 300.0, 900.0)
        for node in sorted(self.group):
            material = self.situation.tree.instances[node[0]].row.of
            flux = ledger.sampled(f"outgassing.{material}", "outgassing", material, "unbaked", 0.0, 10.0)
            temperature = self._cells(node[0])
            given = outgassing_flux(flux, pumped, _HOUR, np.minimum(temperature, baking), STATED, energy)
            area, wall = self._sizes(node[0])
            flow = np.sum(area * given, axis=0) / (GAS_CONSTANT * STATED)
            hot = temperature > baking
            if np.any(hot):
                held = ledger.sampled(f"held.{material}", "outgassing", material, "held", 0.0, 1e3)
                share = ledger.default("wall.giving", 0.0, 1.0)
                store = np.sum(np.where(hot, wall * held, 0.0), axis=0)
                flow = flow + spent_store_flow(store, share, heated)
            yield node, self.spaces.share(node) * flow

    def rings(self) -> Iterator[tuple[Node, Array]]:
        """What rings of elastomer at joints give off."""
        pumped = pumped_time(self.situation.rig, self.state)
        energy = self.ledger.sampled("outgassing.activation", "outgassing", "water", "activation", 0.0, 3e5)
        for node, joint_key, elastomer, bore in self._elastomers():
            flux = self.ledger.sampled(
                f"outgassing.{elastomer}", "outgassing", elastomer, "unbaked", 0.0, 10.0
            )
            face = self.ledger.default("seal.face", 1e-5, 0.1)
            warm = self.picture.joints[joint_key]
            given = outgassing_flux(flux, pumped, _HOUR, warm, STATED, energy)
            yield node, np.asarray(np.pi * bore * face * given / (GAS_CONSTANT * STATED))

    def seals(self) -> Iterator[tuple[Node, Array]]:
        """Air that permeates the rings of elastomer at joints."""
        for node, key, elastomer, bore in self._elastomers():
            kind = next(joint.kind for joint in self.situation.tree.joints if joint.key == key)
            leak = self.ledger.sampled(f"elastomer.{kind}", "joints", kind, "leak", 0.0, 1.0) * 0.1
            energy = self._activation(elastomer)
            warmer = activated(self.picture.joints[key], _PERMEABILITY_AT, energy)
            yield node, np.asarray(leak * warmer * bore / _RING / (GAS_CONSTANT * STATED))

    def hoses(self) -> Iterator[tuple[Node, Permeated]]:
        """Oxygen, nitrogen and water that permeate the walls of rubber and plastic."""
        for node in sorted(self.group):
            row = self.situation.tree.instances[node[0]].row
            if ("permeability", row.of, "oxygen") not in self.ledger.tables.rows:
                continue
            mean = self.mean_temperature(node[0])
            length = self.situation.tree.instances[node[0]].length * self.spaces.share(node)
            shape = (row.tube.bore, row.tube.outside, length)
            yield node, self.permeated(row.of, shape, mean)

    def permeated(self, material: str, shape: tuple[float, Array | float, float], mean: Array) -> Permeated:
        """Oxygen, nitrogen and water through a hose: bore, outside and length [m], temperature [K]."""
        ledger = self.ledger
        oxygen = ledger.sampled(
            f"permeability.{material}.oxygen", "permeability", material, "oxygen", 0.0, 1.0
        )
        water = ledger.sampled(f"permeability.{material}.water", "permeability", material, "water", 0.0, 1.0)
        nitrogen = oxygen * ledger.default("permeation.nitrogen", 0.0, 1.0)
        warmer = activated(mean, _PERMEABILITY_AT, self._activation(material))
        flows = [
            np.asarray(tube_wall_permeation(permeability * warmer, *shape, pressure, 0.0))
            for permeability, pressure in zip((oxygen, nitrogen, water), outside_air(ledger), strict=True)
        ]
        return flows[0], flows[1], flows[2]

    def charge_water(self) -> Array:
        """Water, or the hydrogen it turns into, that the charge gives off while it is heated."""
        rig, ledger = self.situation.rig, self.ledger
        total = np.zeros(ledger.draws.size)
        if not is_hot(rig, self.state):
            return total
        for reagent in rig.charge:
            if "H2O" in reagent.contains:
                mass = ledger.figure(f"charge.{reagent.formula}.mass", reagent.mass, "kg")
                key = f"charge.{reagent.formula}.contains.H2O"
                share = ledger.figure(key, reagent.contains["H2O"], "1")
                molar = ledger.sampled("water.molar-mass", "gases", "water", "molar-mass", 1e-3, 1.0)
                total = total + mass * share / molar
        given = ledger.default("charge.giving", 0.0, 1.0) if np.any(total > 0) else 0.0
        return np.asarray(spent_store_flow(total, given, heated_time(rig, self.state)))

    def hydrogen(self) -> Iterator[tuple[Node, Array]]:
        """Hydrogen through walls of hot metal, inward."""
        for node in sorted(self.group):
            row = self.situation.tree.instances[node[0]].row
            metal = ("materials", row.of, "emissivity-unstated") in self.ledger.tables.rows
            if metal and np.any(self._cells(node[0]) > _GLOWS):
                yield node, self.spaces.share(node) * self._hydrogen_of(node[0])

    def _hydrogen_of(self, number: int) -> Array:
        ledger, single = self.ledger, self.situation.tree.instances[number]
        material, temperature = single.row.of, self._cells(number)
        factor = ledger.sampled(f"hydrogen.{material}", "permeability", material, "hydrogen", 0.0, 1.0)
        energy, lowest, highest = (
            ledger.sampled(f"hydrogen.{material}.{name}", "permeability", material, name, 0.0, 1e6)
            for name in ("hydrogen-activation", "hydrogen-from", "hydrogen-to")
        )
        if np.any(temperature > highest):
            ledger.missing.append(
                Missing(
                    f"permeability/{material}/hydrogen",
                    f"hydrogen in {material} is known to {highest[0]:.0f} K; asked at {np.nanmax(temperature):.0f} K",
                )
            )
        permeability = factor * np.exp(-energy / (GAS_CONSTANT * np.maximum(temperature, lowest)))
        outside = ledger.default("hydrogen.outside", 0.0, 1e6)
        skin = ledger.default("hydrogen.skin", 0.0, 1.0)
        mesh, cells = self.situation.mesh, self._slice(number)
        bore = (mesh.outside - 2 * mesh.wall)[cells, None]
        size = (bore, mesh.outside[cells, None], mesh.width[cells, None])
        flow = np.sum(tube_wall_hydrogen(permeability, *size, outside, 0.0), axis=0)
        if single.row.bottom is not None:
            plate = np.pi / 4 * single.row.tube.bore**2
            flow = flow + metal_wall_hydrogen(permeability[0], plate, single.row.bottom.thick, outside, 0.0)
        return np.asarray(flow * skin)

    def mean_temperature(self, number: int) -> Array:
        """Temperature of a piece, mean over its length [K]."""
        width = self.situation.mesh.width[self._slice(number), None]
        return np.asarray(np.sum(self._cells(number) * width, axis=0) / np.sum(width))

    def _slice(self, number: int) -> slice:
        return slice(self.situation.mesh.first[number], self.situation.mesh.last[number] + 1)

    def _cells(self, number: int) -> Array:
        return self.picture.temperature[self._slice(number)]

    def _sizes(self, number: int) -> tuple[Array, Array]:
        """Inner surface [m^2] and volume of the wall [m^3] of each cell of a piece."""
        mesh, cells, single = self.situation.mesh, self._slice(number), self.situation.tree.instances[number]
        outside, wall, width = mesh.outside[cells], mesh.wall[cells], mesh.width[cells]
        area, metal = np.pi * (outside - 2 * wall) * width, np.pi * (outside - wall) * wall * width
        for row, cell in ((single.row.bottom, 0), (single.row.closed, -1)):
            if row is not None:
                plate = np.pi / 4 * (outside[cell] - 2 * wall[cell]) ** 2
                area[cell] += plate
                metal[cell] += plate * (row.thick or wall[cell])
        return area[:, None], metal[:, None]

    def _activation(self, material: str) -> Array:
        return self.ledger.sampled(
            f"permeation.activation.{material}", "permeability", material, "activation", 0.0, 3e5
        )

    def _elastomers(self) -> Iterator[tuple[Node, str, str, float]]:
        """Space, key of the joint, material and bore of each ring of elastomer."""
        for joint in self.situation.tree.joints:
            node = self.spaces.node(joint.instance, joint.place)
            if ("joints", joint.kind, "elastomer") not in self.ledger.tables.rows or node not in self.group:
                continue
            row = self.ledger.row("joints", joint.kind, "elastomer")
            if row is not None and joint.tube is not None:
                yield node, joint.key, row.data, joint.tube.bore
