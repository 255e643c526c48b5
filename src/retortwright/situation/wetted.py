# SPDX-License-Identifier: MIT
"""Which wall, liner, filler, gasket or seat is touched by what, and how hot it is there.

Vapour of the product touches the retort, the ways as far as more than a thousandth of it still passes, and
the arms to 2 mm beyond where it reaches at the far end of its band. Liquid touches every wall from the first
place where metal has landed to the far ends of the receivers; a wall colder than the metal melts is asked at its
melting point, since no liquid comes colder. What stands in the pot touches the liner where there is one, else
the retort; its vapours and its hydrogen touch both. Each pair is kept in the state in which it is hottest, and
what melts there is not asked as a solid too.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL
from retortwright.reference.attacks import attacked, wetted_part
from retortwright.reference.datum import Missing
from retortwright.reference.species import Species, find_species
from retortwright.rig.tree import Joint
from retortwright.situation.closed_pressure import closed_of
from retortwright.situation.crossing import Crossing, blank, crossing_of
from retortwright.situation.drains import melted_share
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.landing import Landing
from retortwright.situation.pot_contents import in_the_pot
from retortwright.situation.timing import is_hot

if TYPE_CHECKING:
    from retortwright.situation.situation import Situation

__all__ = ["Wetted", "wetted_of"]

_PASSES = 1e-3  # share of the stream from which on vapour counts as there
_LANDED = 0.01  # share of the stream that has landed from which on liquid counts as there
_AT_IT = 2e-3  # m: vapour that comes so near to a wall touches it
_ENTERS = 1e-4  # m: an arm that vapour comes less far into gets none
_LIQUID = 0.02  # share of what lands that lands melted, from which on there is liquid
_SCALES = ("mild steel", "household steel", "304L", "316L", "310S", "Ni-Cr-Fe", "nickel", "copper", "brass")

_Cells = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Wetted:
    """One surface and what touches it in the state in which that is hottest."""

    at: str  # dotted key in the rig file
    name: str  # the key without its table and without `of`
    material: str
    agent: str  # as the table of attacks names it
    state: str
    figure: Figure  # of its temperature [K]
    joint: Joint | None  # where it is part of a joint
    row: str  # the piece by its name in the file


@dataclass(frozen=True, slots=True)
class _Touch:
    """What touches some cells."""

    agent: str
    cells: _Cells
    least: float = 0.0  # K: it comes no colder
    lining: bool = False  # it does not get behind a liner
    joints: str = "all"  # which joints: all on these cells, the bottom, or none
    unknown: Missing | None = None  # why nobody can say whether it comes there


def wetted_of(situation: Situation) -> tuple[Wetted, ...]:
    """Every surface with everything that touches it, made once."""
    return situation.once("wetted surfaces", lambda: tuple(_hottest(_in_states(situation))))


def _hottest(found: Iterable[Wetted]) -> Iterator[Wetted]:
    """Of each pair the one that is hottest at the end of its band; one without a number comes first."""
    best: dict[tuple[str, str], tuple[float, Wetted]] = {}
    for each in found:
        values = each.figure.values
        heat = float(np.quantile(values, 1 - TAIL)) if np.all(np.isfinite(values)) else np.inf
        key = (each.at, each.agent)
        if key not in best or heat > best[key][0]:
            best[key] = heat, each
    melted = {(at, agent.partition("(")[0]) for at, agent in best if "(l)" in agent}
    for (at, agent), (_, each) in best.items():
        if not agent.endswith("(s)") or (at, agent.removesuffix("(s)")) not in melted:
            yield each


def _in_states(situation: Situation) -> Iterator[Wetted]:
    if not situation.rig.charge:
        return
    for state in (each.name for each in situation.rig.states if is_hot(situation.rig, each.name)):
        together = situation.vapour(state)
        crossing = None if together is None else crossing_of(situation, state)
        yield from _InState(situation, state, crossing).all()


class _InState:
    """All that is touched in one state."""

    def __init__(self, situation: Situation, state: str, crossing: Crossing | Missing | None) -> None:
        self.situation, self.state, self.crossing = situation, state, crossing
        self.tree, self.mesh, self.tables = situation.tree, situation.mesh, situation.tables
        self.picture = situation.heat(state)
        self.metal = situation.rig.aim.metal
        self.retort = np.arange(self.mesh.first[0], self.mesh.last[0] + 1)

    def all(self) -> Iterator[Wetted]:
        """Every surface with what touches it."""
        touches = [*self._pot(), *self._outside()]
        if isinstance(self.crossing, Crossing):
            touches += self._vapour(self.crossing)
        elif isinstance(self.crossing, Missing):
            touches.append(_Touch(f"{self.metal}(g)", self._anywhere(), unknown=self.crossing))
        for touch in touches:
            if len(touch.cells):
                yield from self._walls(touch)
                yield from self._joints(touch)

    # ---- what touches which cells

    def _pot(self) -> Iterator[_Touch]:
        values = self.picture.temperature[self.retort]
        if not np.all(np.isfinite(values)):
            values = self.situation.dry(self.state).temperature[self.retort]
        hottest = float(np.quantile(np.max(values, axis=0), 1 - TAIL)) if np.all(np.isfinite(values)) else 0.0
        for each in in_the_pot(self.situation, hottest):
            kept_off = not each.is_gas and self.tree.instances[0].row.lined is not None
            joints = "none" if kept_off else "bottom"
            yield _Touch(each.agent, self.retort, lining=not each.is_gas, joints=joints)

    def _outside(self) -> Iterator[_Touch]:
        """Air on hot walls that do not scale but burn or turn brittle; scaling is another question."""
        for number, single in enumerate(self.tree.instances):
            if single.row.of in attacked(self.tables, "air") and single.row.of not in (
                *_SCALES,
                "borosilicate",
            ):
                cells = np.arange(self.mesh.first[number], self.mesh.last[number] + 1)
                yield _Touch("air", cells, joints="none")

    def _vapour(self, crossing: Crossing) -> Iterator[_Touch]:
        """Vapour of the product, and liquid from where it lands on."""
        vapour = crossing.vapour
        gas, liquid = [self.retort], []
        for way, twin in zip(vapour.ways.ways, vapour.same, strict=True):
            landing = vapour.landings[twin]  # its cells are the first of the way
            gas.append(way.cells[: _reached(landing)])
            liquid.append(way.cells[_first(landing) :])
        far = {name: float(np.quantile(reach, 1 - TAIL)) for name, reach in vapour.reaches.items()}
        for arm in vapour.ways.arms:
            near = arm.outward - self.mesh.width[arm.cells] / 2  # a cell is touched where its near edge is
            gas.append(arm.cells[(near <= far[arm.name] + _AT_IT) & (far[arm.name] > _ENTERS)])
        yield _Touch(f"{self.metal}(g)", np.unique(np.concatenate(gas)))
        melting = self._melting()
        if liquid and np.isfinite(melting) and float(np.max(melted_share(crossing, melting))) > _LIQUID:
            yield _Touch(f"{self.metal}(l)", np.unique(np.concatenate(liquid)), melting)

    def _melting(self) -> float:
        liquid = find_species(self.tables, f"{self.metal}(l)")
        return liquid.melts if isinstance(liquid, Species) and liquid.melts is not None else float("nan")

    def _anywhere(self) -> _Cells:
        """All cells from the retort to the receivers: where vapour may be as long as nobody can say more."""
        on_way = {0, *closed_of(self.situation).on_way()}
        return np.flatnonzero(np.isin(self.mesh.instance, sorted(on_way)))

    # ---- the surfaces on these cells

    def _walls(self, touch: _Touch) -> Iterator[Wetted]:
        rows: dict[str, list[int]] = {}
        for cell in touch.cells.tolist():
            rows.setdefault(self.tree.instances[self.mesh.instance[cell]].row.name, []).append(cell)
        for name, cells in rows.items():
            piece = self.situation.rig.piece(name)
            walls = self.picture.temperature[cells]
            figure = self._figure(np.maximum(np.max(walls, axis=0), touch.least), touch)
            if piece.lined is not None and touch.agent != "air":
                at = f"piece.{name}.lined"
                yield Wetted(at, f"{name}.lined", piece.lined, touch.agent, self.state, figure, None, name)
            if piece.lined is None or not touch.lining:
                yield Wetted(f"piece.{name}.of", name, piece.of, touch.agent, self.state, figure, None, name)

    def _joints(self, touch: _Touch) -> Iterator[Wetted]:
        cells = frozenset(touch.cells.tolist())
        seen: set[str] = set()
        for joint in self.tree.joints:
            material = wetted_part(self.tables, joint.kind)
            wanted = touch.joints == "all" or (
                touch.joints == "bottom" and joint.key.endswith(".bottom.joined")
            )
            if material is None or joint.key in seen or not wanted or not self._meets(joint, cells):
                continue
            seen.add(joint.key)
            values = np.maximum(self.picture.joints[joint.key], touch.least)
            row = self.tree.instances[joint.instance].row.name
            yield Wetted(
                joint.key, joint.name, material, touch.agent, self.state, self._figure(values, touch), joint, row,
            )  # fmt: skip

    def _meets(self, joint: Joint, cells: frozenset[int]) -> bool:
        """Whether one of the two sides of a joint is touched."""
        if int(self.mesh.cell_at(joint.instance, joint.place)) in cells:
            return True
        return joint.onto >= 0 and int(self.mesh.cell_at(joint.onto, joint.onto_place)) in cells

    def _figure(self, values: Array, touch: _Touch) -> Figure:
        if touch.unknown is not None:
            return blank(self.situation, touch.unknown)
        if isinstance(self.crossing, Crossing):
            return figure_of(self.crossing.ledger(), values)
        ledger = Ledger(self.situation.rig, self.tables, self.situation.draws)
        return figure_of(ledger, values, picture=self.picture)


def _reached(landing: Landing) -> int:
    """How many cells of a way vapour comes to, at the far end of the samples."""
    share = np.quantile(landing.passing / landing.entering, 1 - TAIL, axis=1)
    return min(int(np.count_nonzero(share > _PASSES)) + 1, len(landing.cells))


def _first(landing: Landing) -> int:
    """From which cell of a way on there is liquid, at the near end of the samples."""
    share = np.quantile(landing.passing / landing.entering, TAIL, axis=1)
    landed = np.flatnonzero(share < 1.0 - _LANDED)
    return int(landed[0]) if len(landed) else len(landing.cells) - 1
