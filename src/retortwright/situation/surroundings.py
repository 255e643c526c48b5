# SPDX-License-Identifier: MIT
"""What surrounds each cell of wall in one regime, as a list of exchanges.

A cell lies in a furnace, or in a bath, or under lagging, or under a wet cloth, or in the open;
tapes and coils come on top. Where two of the first four overlap, the one named first rules.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing
from retortwright.rig.compound import Stretch
from retortwright.rig.parts import Cool, Heat, Rig
from retortwright.rig.tree import Tree
from retortwright.situation.exchange import (
    Bath,
    Coil,
    Exchange,
    FullPower,
    Furnace,
    Lagging,
    OpenAir,
    Tape,
    WetWrap,
)
from retortwright.situation.films import FannedAir, StillAir, fanned_air, still_air
from retortwright.situation.mesh import Mesh, cells_over
from retortwright.situation.regime import Regime

__all__ = ["ROOM", "surroundings_of"]

ROOM = "room"
_BATHS = {"dry ice": 194.65, "liquid nitrogen": 77.36, "ice water": 273.15}  # K, at 1 atm

_Cells = NDArray[np.intp]


class _Builder:
    """Collects the exchanges of one regime."""

    def __init__(
        self, rig: Rig, tree: Tree, mesh: Mesh, regime: Regime, ledger: Ledger, width: Array
    ) -> None:
        self.rig, self.tree, self.mesh, self.regime, self.ledger = rig, tree, mesh, regime, ledger
        self.free = np.ones(len(mesh.start))  # share of each cell that nothing covers yet
        self.area = np.pi * mesh.outside[:, None] * width + self._ends()  # m^2
        self.width = width
        self.room = ledger.default("room.temperature")
        self.exchanges: list[Exchange] = []

    def _ends(self) -> Array:
        """Area of closures and bottoms, counted to the outermost cell."""
        ends = np.zeros((len(self.mesh.start), 1))
        for number, single in enumerate(self.tree.instances):
            if single.row.closed is not None:
                ends[self.mesh.last[number]] += np.pi / 4 * single.tube_at(single.length).outside ** 2
            if single.row.bottom is not None:
                ends[self.mesh.first[number]] += np.pi / 4 * single.tube_at(0.0).outside ** 2
        return ends

    def covered(self, over: Mapping[str, Stretch]) -> Array:
        """The share of each cell under some stretches."""
        share = np.zeros(len(self.mesh.start))
        for row, stretch in over.items():
            share += cells_over(self.mesh, self.tree, row, stretch.start, stretch.end)
        return np.clip(share, 0.0, 1.0)

    def taken(self, over: Mapping[str, Stretch]) -> tuple[_Cells, Array]:
        """Cells and their share that this cover gets and no other will."""
        share = np.minimum(self.covered(over), self.free)
        self.free = self.free - share
        cells = np.flatnonzero(share > 1e-9)
        return cells, share[cells, None]

    def emissivity(self, cells: _Cells) -> Array:
        """Outside emissivity of some cells, (cells, samples)."""
        found = np.empty((len(cells), self.ledger.draws.size))
        rows = self.mesh.instance[cells]
        for number in np.unique(rows):
            found[rows == number] = self.ledger.emissivity(*self._skin(int(number)))
        return found

    def _skin(self, number: int) -> tuple[str, str]:
        row = self.tree.instances[number].row
        if row.finish is not None:
            return row.of, row.finish
        metal = ("materials", row.of, "emissivity-unstated") in self.ledger.tables.rows
        return row.of, "unstated" if metal else "plain"

    def still(self, cells: _Cells) -> StillAir:
        """Free convection on some cells."""
        rows = [self.tree.instances[int(number)] for number in self.mesh.instance[cells]]
        sizes = [
            (round(float(outside), 6), single.length, abs(single.row.slope))
            for outside, single in zip(self.mesh.outside[cells], rows, strict=True)
        ]
        factor = self.ledger.default("convection.free")
        return still_air(np.array(sizes), self.ledger.ends("room.temperature"), factor)

    def open_air(self, name: str, cells: _Cells, share: Array, cool: Cool | None) -> OpenAir:
        """Cells in still or moving air."""
        film: StillAir | FannedAir = self.still(cells)
        if cool is not None and cool.speed is not None:
            speed = self.ledger.figure(f"cool.{cool.name}.speed", cool.speed, "m/s", 1e-3)
            factor = self.ledger.default("convection.fan")
            film = fanned_air(self.still(cells), self.mesh.outside[cells], self.room, speed, factor)
        return OpenAir(name, cells, self.area[cells] * share, self.emissivity(cells), self.room, film)


def surroundings_of(
    rig: Rig, tree: Tree, mesh: Mesh, regime: Regime, ledger: Ledger, width: Array
) -> list[Exchange]:
    """The exchanges of a rig in one regime; `width` is the cell length, (cells, samples or 1)."""
    builder = _Builder(rig, tree, mesh, regime, ledger, width)
    _furnaces(builder)
    _baths(builder)
    _tapes_and_coils(builder)
    _laggings(builder)
    _wraps(builder)
    for cool in rig.cool:
        if cool.by == "air" and cool.name in regime.cold:
            cells, share = builder.taken(cool.over)
            if len(cells):
                builder.exchanges.append(builder.open_air(f"cool.{cool.name}", cells, share, cool))
    bare = np.flatnonzero(builder.free > 1e-9)
    if len(bare):
        builder.exchanges.append(builder.open_air(ROOM, bare, builder.free[bare, None], None))
    return builder.exchanges


def _furnaces(builder: _Builder) -> None:
    ledger = builder.ledger
    for heat in builder.rig.heat:
        if heat.holds is not None:
            continue
        cells, share = builder.taken(heat.over)
        if not len(cells):
            continue
        target = builder.regime.set_point(heat.name)
        offset = ledger.default("furnace.offset")
        if builder.regime.over:
            offset = offset + ledger.default("furnace.overshoot")
        chamber = builder.room if target is None else target + offset
        inside = ledger.default("furnace.emissivity")
        skin = builder.emissivity(cells)
        fill = ledger.default("furnace.fill")
        both = 1.0 / (1.0 / skin + fill * (1.0 / inside - 1.0))
        film = ledger.default("furnace.film")
        area = builder.area[cells] * share
        builder.exchanges.append(Furnace(f"heat.{heat.name}", cells, area, both, film, chamber))


def _baths(builder: _Builder) -> None:
    for cool in builder.rig.cool:
        if cool.by not in _BATHS or cool.name not in builder.regime.cold:
            continue
        cells, share = builder.taken(cool.over)
        if len(cells):
            contact = builder.ledger.default("bath.contact")
            area = builder.area[cells] * share
            builder.exchanges.append(Bath(f"cool.{cool.name}", cells, area, contact, _BATHS[cool.by]))


def _tapes_and_coils(builder: _Builder) -> None:
    """These do not take their cells away: the wall under them still sees the room."""
    ledger, regime = builder.ledger, builder.regime
    for heat in builder.rig.heat:
        target = regime.set_point(heat.name)
        if heat.holds is None or target is None:
            continue
        share = np.minimum(builder.covered(heat.over), builder.free)
        cells = np.flatnonzero(share > 1e-9)
        if len(cells):
            if builder.regime.stuck == heat.name:
                builder.exchanges.append(_stuck_on(builder, heat, cells, share[cells, None]))
                continue
            holds = target + ledger.default("tape.offset")
            contact = ledger.default("tape.contact")
            area = builder.area[cells] * share[cells, None]
            builder.exchanges.append(Tape(f"heat.{heat.name}", cells, area, contact, holds))
    for cool in builder.rig.cool:
        if cool.by != "water coil" or cool.name not in regime.cold or cool.flow is None or cool.inlet is None:
            continue
        share = np.minimum(builder.covered(cool.over), builder.free)
        cells = np.flatnonzero(share > 1e-9)
        if len(cells):
            flow = ledger.figure(f"cool.{cool.name}.flow", cool.flow, "m^3/s", 1e-9)
            inlet = ledger.figure(f"cool.{cool.name}.inlet", cool.inlet, "K", 273.15)
            contact = ledger.default("coil.contact")
            area = builder.area[cells] * share[cells, None]
            builder.exchanges.append(Coil(f"cool.{cool.name}", cells, area, contact, flow, inlet))


def _stuck_on(builder: _Builder, heat: Heat, cells: _Cells, share: Array) -> Exchange:
    """A tape without its thermostat gives its whole power, spread over what it covers."""
    ledger, name = builder.ledger, f"heat.{heat.name}"
    if heat.power is None:
        says = f"how strong {heat.name} is: give its power, to know what happens when it sticks on"
        ledger.missing.append(Missing(f"{name}.power", says))
        return _nowhere(name, cells, ledger)
    area = builder.mesh.outside[cells, None] * builder.mesh.width[cells, None] * share
    return FullPower(name, cells, heat.power * area / np.sum(area))


def _laggings(builder: _Builder) -> None:
    ledger, mesh = builder.ledger, builder.mesh
    for lag in builder.rig.lag:
        cells, share = builder.taken(lag.over)
        found = ledger.curve(lag.of, "conductivity")
        if not len(cells):
            continue
        if found is None:
            builder.exchanges.append(_nowhere(f"lag.{lag.name}", cells, ledger))
            continue
        curve, table_factor = found
        inner = mesh.outside[cells, None] / 2
        width = builder.width[cells] * share
        shape = np.log((inner + lag.thick) / inner) / (2 * math.pi * width)
        outer = 2 * math.pi * (inner + lag.thick) * width
        factor = table_factor * ledger.default("lag.fit")
        surface = ledger.default("lag.surface")
        exchange = Lagging(f"lag.{lag.name}", cells, shape, outer, curve, factor, surface, builder.room)
        builder.exchanges.append(exchange)


def _nowhere(name: str, cells: _Cells, ledger: Ledger) -> Exchange:
    """An exchange that has no number: a datum of it is missing."""
    nothing = np.full(ledger.draws.size, np.nan)
    return Bath(name, cells, np.full((len(cells), 1), np.nan), nothing, math.nan)


def _wraps(builder: _Builder) -> None:
    ledger = builder.ledger
    for cool in builder.rig.cool:
        if cool.by != "wet wrap" or cool.name not in builder.regime.cold or cool.feed is None:
            continue
        cells, share = builder.taken(cool.over)
        if not len(cells):
            continue
        feed = ledger.figure(f"cool.{cool.name}.feed", cool.feed, "m^3/s", 1e-12)
        contact = ledger.default("wrap.contact")
        humidity = ledger.default("room.humidity")
        area = builder.area[cells] * share
        exchange = WetWrap(
            f"cool.{cool.name}", cells, area, contact, builder.room, humidity, feed, builder.still(cells)
        )
        builder.exchanges.append(exchange)
