# SPDX-License-Identifier: MIT
"""Everything that a steady or transient solution of the wall needs, gathered once per regime."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Curve
from retortwright.rig.parts import Rig
from retortwright.rig.tree import Tree
from retortwright.situation.blocks import Block, blocks_of
from retortwright.situation.bore import Bore, along_bore, bores_of
from retortwright.situation.exchange import Exchange, picked
from retortwright.situation.mesh import Mesh
from retortwright.situation.ready import Conduction, Steer, conduction_of, steer_of
from retortwright.situation.regime import Regime
from retortwright.situation.surroundings import surroundings_of

__all__ = ["Loop", "Wall", "wall_of"]

_GLOWS = 500.0  # K, above which what falls on a step in the bore weighs
_MUCH = 2.0  # radiation over conduction, above which a bore keeps its slopes in full
_MUCH_BY_A_STEP = 0.4  # the same for a hot bore with a step
_MUCH_IN_TIME = 0.4  # the same where slopes that only steer cost accuracy


@dataclass(frozen=True, slots=True)
class Loop:
    """A by-pass whose far end meets another piece."""

    cells: tuple[int, int]
    contact: Array  # (samples,) K/W


@dataclass(frozen=True, slots=True)
class Wall:
    """The conducting wall with its surroundings; arrays (cells, samples) or (cells, 1)."""

    mesh: Mesh
    width: Array
    section: Array  # m^2 of metal
    contact: Array  # K/W between each cell and its parent
    curves: list[tuple[NDArray[np.intp], Curve, Array]]  # cells, k(T), factor (samples,)
    exchanges: list[Exchange]
    bores: list[Bore]
    between: list[Array]  # exchange areas of each dense bore, (samples, surfaces, surfaces)
    blocks: list[Block]
    loops: list[Loop]
    conduction: Conduction | None = None  # both once the wall is ready to step
    steer: Steer | None = None

    def conductivity(self, temperature: Array) -> tuple[Array, Array]:
        """k of each cell [W/m/K] and its relative slope [1/K]; end values are carried on."""
        value, steep = np.full_like(temperature, np.nan), np.full_like(temperature, np.nan)
        for cells, curve, factor in self.curves:
            at = temperature[cells]
            plain = curve.held(at)
            value[cells] = factor * plain
            steep[cells] = curve.held(at + 1.0) / plain - 1.0
        return value, steep

    def ready(self) -> tuple[Conduction, Steer]:
        """What does not change from step to step."""
        if self.conduction is not None and self.steer is not None:
            return self.conduction, self.steer
        conduction = conduction_of(self.mesh, self.width, self.section, self.contact, self.curves)
        return conduction, steer_of(self.mesh, self.bores)

    def sloped(self, temperature: Array | None, in_time: bool = False) -> Wall:
        """The same, ready to step: full slopes in the bores that carry much at such temperatures, or in all."""
        bores, between = [], []
        for bore in self.bores:
            dense = temperature is None or self._carries_much(bore, temperature, in_time)
            bores.append(replace(bore, dense=dense))
            between.append(bore.between() if dense else np.zeros((bore.weights.shape[1], 0, 0)))
        made = replace(self, bores=bores, between=between, conduction=None, steer=None)
        conduction, steer = made.ready()
        return replace(made, conduction=conduction, steer=steer)

    def _carries_much(self, bore: Bore, temperature: Array, in_time: bool) -> bool:
        """Judged with the nominal wall, so that it does not depend on which samples are computed."""
        own = bore.cells[: bore.own]
        if len(own) < 2:
            return False
        stepped = bore.stepped and np.max(temperature[own]) > _GLOWS
        conductivity = np.ones_like(temperature)
        for cells, curve, _ in self.curves:
            conductivity[cells] = curve.held(temperature[cells])
        mesh = self.mesh
        whole = conductivity[own] * (np.pi * (mesh.outside - mesh.wall) * mesh.wall)[own, None]
        beside = (whole[1:] + whole[:-1]) / (mesh.width[own][1:] + mesh.width[own][:-1])[:, None]
        much = _MUCH_BY_A_STEP if stepped else _MUCH
        if in_time:
            much = 0.0 if stepped else _MUCH_IN_TIME
        return bool(np.max(along_bore(bore, mesh, temperature) / beside) > much)

    def picked(self, keep: NDArray[np.bool_]) -> Wall:
        """The same for some of the samples."""

        def cut(array: Array) -> Array:
            return array if array.shape[-1] == 1 else array[..., keep]

        return replace(
            self,
            width=cut(self.width),
            section=cut(self.section),
            contact=cut(self.contact),
            curves=[(cells, curve, factor[keep]) for cells, curve, factor in self.curves],
            exchanges=[picked(exchange, keep) for exchange in self.exchanges],
            bores=[replace(bore, weights=bore.weights[:, keep]) for bore in self.bores],
            between=[areas[keep] for areas in self.between],
            loops=[replace(loop, contact=loop.contact[keep]) for loop in self.loops],
            conduction=None if self.conduction is None else self.conduction.picked(keep),
        )


def wall_of(rig: Rig, tree: Tree, mesh: Mesh, regime: Regime, ledger: Ledger) -> Wall:
    """The wall of a rig in one regime, with every belief drawn."""
    width = _widths(tree, mesh, ledger)
    factor = ledger.default("tolerance.wall")
    thick = np.minimum(mesh.wall[:, None] * factor, 0.499 * mesh.outside[:, None])
    section = np.pi * (mesh.outside[:, None] - thick) * thick
    curves = _curves(tree, mesh, ledger)
    exchanges = surroundings_of(rig, tree, mesh, regime, ledger, width)
    contact, loops = _contacts(tree, mesh, ledger, section)
    bores = bores_of(tree, mesh, ledger)
    blocks = blocks_of(mesh, bores)
    return Wall(mesh, width, section, contact, curves, exchanges, bores, [], blocks, loops)


def _widths(tree: Tree, mesh: Mesh, ledger: Ledger) -> Array:
    width = mesh.width[:, None]
    for number, single in enumerate(tree.instances):
        if single.row.length.wide:
            if width.shape[1] == 1:
                width = np.repeat(width, ledger.draws.size, axis=1)
            length = ledger.figure(f"piece.{single.row.name}.length", single.row.length, "m", 1e-4)
            width[mesh.first[number] : mesh.last[number] + 1] *= length / single.length
    return width


def _curves(tree: Tree, mesh: Mesh, ledger: Ledger) -> list[tuple[NDArray[np.intp], Curve, Array]]:
    materials = np.array([tree.instances[number].row.of for number in mesh.instance])
    found = []
    for material in dict.fromkeys(materials.tolist()):
        curve = ledger.curve(material, "conductivity")
        if curve is not None:
            found.append((np.flatnonzero(materials == material), *curve))
    return found


def _contacts(tree: Tree, mesh: Mesh, ledger: Ledger, section: Array) -> tuple[Array, list[Loop]]:
    contact = np.zeros((len(mesh.start), ledger.draws.size))
    loops = []
    for joint in tree.joints:
        between = joint.key.endswith(("meets.joined", f"{tree.instances[joint.instance].row.name}.joined"))
        if joint.onto < 0 or not between:
            continue
        own = mesh.cell_at(joint.instance, joint.place)
        name = f"contact.{joint.kind}"
        conductance = ledger.sampled(name, "joints", joint.kind, "contact", 1e-3, 1e12)
        resistance = 1.0 / (conductance * section[own])
        if joint.key.endswith("meets.joined"):
            loops.append(Loop((own, mesh.cell_at(joint.onto, joint.onto_place)), resistance))
        else:
            contact[own] = resistance
    return contact, loops
