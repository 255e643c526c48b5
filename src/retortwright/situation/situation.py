# SPDX-License-Identifier: MIT
"""What happens in a rig: solved once per regime over all samples, asked by every question."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, TypeVar, cast

import numpy as np

from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing, curve_of
from retortwright.reference.tables import Tables
from retortwright.rig.parts import Rig
from retortwright.rig.tree import Tree, tree_of
from retortwright.situation.heat import CLOSE, HeatPicture, steady_heat
from retortwright.situation.loss import Loss, lasting
from retortwright.situation.mesh import Mesh, mesh_of
from retortwright.situation.regime import Regime, regime_of
from retortwright.situation.transient import LossPicture, through_loss
from retortwright.situation.vapour_state import VapourState, gives_metal, vapour_state

__all__ = ["STEP_ERROR", "Situation"]

_T = TypeVar("_T")
STEP_ERROR = 0.2  # K, what one step in time may differ from its first-order companion
_NEAR = 1e-4  # K, what may be left to go in a first guess
_ROUGH = 1e-2  # K


class Situation:
    """The pictures of one rig for one set of draws, computed when first asked for."""

    def __init__(
        self,
        rig: Rig,
        tables: Tables,
        draws: Draws,
        split: int = 1,
        near: Situation | None = None,
        rough: bool = False,
    ) -> None:
        self.rig = rig
        self.tables = tables
        self.draws = draws
        self.split = split  # parts that each cell is cut into, to study the error
        self.near = near  # much the same rig, solved: its pictures serve as first guesses
        self.rough = rough  # to a hundredth of a kelvin only: for a search that is confirmed afterwards
        like = near if near is not None and near.rig is rig and near.tables is tables else None
        self.tree: Tree = tree_of(rig) if like is None else like.tree
        if like is None or like.split != split:
            self.mesh: Mesh = mesh_of(rig, self.tree, _ordinary_conductivity(rig, tables), split)
        else:
            self.mesh = like.mesh
        self.tolerance = STEP_ERROR
        self.audit = False  # account for the heat of each step in time
        self._losses: dict[Loss, LossPicture] = {}
        self._known: dict[str, Any] = {}
        self._middles: dict[Regime, Array | None] = {}
        alike = near is not None and near.draws == draws and _same_wall(near.rig, rig)
        self._heat: dict[Regime, HeatPicture] = dict(near._heat) if near is not None and alike else {}

    def once(self, name: str, make: Callable[[], _T]) -> _T:
        """What `make` makes, made at the first call of that name."""
        if name not in self._known:
            self._known[name] = make()
        return cast("_T", self._known[name])

    def heat(self, state: str) -> HeatPicture:
        """The steady temperatures in a state with what vapour gives to the walls.

        Where that is not known it is missing, and the temperatures are those without it.
        """
        together = self.vapour(state)
        if isinstance(together, VapourState):
            return together.heat
        dry = self.dry(state)
        return dry if together is None else replace(dry, missing=(*dry.missing, together))

    def dry(self, state: str) -> HeatPicture:
        """The steady temperatures in a state without any vapour: what a thermal blank would show."""
        return self.heat_in(regime_of(self.rig, state))

    def vapour(self, state: str) -> VapourState | Missing | None:
        """Wall and vapour together; None where the charge gives no metal, else why they are not known."""
        if not gives_metal(self, state):
            return None
        return self.once(f"vapour {state}", lambda: vapour_state(self, state))

    def vapour_after(self, loss: Loss) -> VapourState | Missing | None:
        """Wall and vapour together as they would last after a loss: vapour comes farther where less cools."""
        before = self.vapour(loss.start)
        if not isinstance(before, VapourState):
            return before
        regime = lasting(self.rig, loss)
        return self.once(
            f"vapour in {loss.start} {regime}", lambda: vapour_state(self, loss.start, regime, before)
        )

    def heat_in(self, regime: Regime, before: Array | None = None) -> HeatPicture:
        """The steady temperatures in a regime; `before` are those that it may come from."""
        if regime not in self._heat:
            close = _ROUGH if self.rough else CLOSE
            start, middle = self._start(regime, before)
            ledger = Ledger(self.rig, self.tables, self.draws)
            self._heat[regime] = steady_heat(
                self.rig, self.tree, self.mesh, regime, ledger, start, close, (), middle
            )
        return self._heat[regime]

    def _start(self, regime: Regime, before: Array | None) -> tuple[Array | None, Array | None]:
        """A first guess for all samples, and the temperatures with every belief at its middle if they are known.

        Each sample is as far from the middle as it was in the regime whose middle is nearest.
        """
        if not regime.hot and not regime.cold:
            return None, None
        if self.near is not None:
            start = self._from_near(self.near, regime)
            if start is None and before is not None and np.all(np.isfinite(before)):
                start = before
            return start, None
        middle = self.middle(regime)
        if middle is None:
            return None, None
        known = [each for each in self._heat if self._middles.get(each) is not None and each != regime]
        if not known:
            return np.repeat(middle, self.draws.size, axis=1), middle
        nearest = min(known, key=lambda each: float(np.sum(np.abs(self._known_middle(each) - middle))))
        apart = self._heat[nearest].temperature - self._known_middle(nearest)
        return middle + np.where(np.isfinite(apart), apart, 0.0), middle

    def _known_middle(self, regime: Regime) -> Array:
        return cast("Array", self._middles[regime])

    def _from_near(self, near: Situation, regime: Regime) -> Array | None:
        """A first guess from the most similar picture of another situation, piece by piece."""
        hottest = regime.hottest
        known = sorted(
            near._heat.values(),
            key=lambda picture: (picture.regime != regime, abs(picture.regime.hottest - hottest)),
        )
        return self.carried(near, known[0].temperature) if known else None

    def columns_of(self, near: Situation) -> slice | list[int]:
        """Which samples of another situation are those of this one."""
        if self.draws.pick is None or near.draws.pick is not None:
            return slice(None)
        return list(self.draws.pick)

    def carried(self, near: Situation, temperature: Array) -> Array | None:
        """Temperatures of another situation piece by piece on the cells of this one; None where that is no help."""
        before = temperature[:, self.columns_of(near)]
        if not np.all(np.isfinite(before)):
            return None
        if before.shape[1] != self.draws.size or len(near.tree.instances) != len(self.tree.instances):
            return None
        start = np.empty((len(self.mesh.start), self.draws.size))
        for number, (own, other) in enumerate(zip(self.tree.instances, near.tree.instances, strict=True)):
            mine = slice(self.mesh.first[number], self.mesh.last[number] + 1)
            theirs = slice(near.mesh.first[number], near.mesh.last[number] + 1)
            places = near.mesh.middle[theirs] / other.length
            at = self.mesh.middle[mine] / own.length
            if len(places) == 1:
                start[mine] = before[theirs]
                continue
            upper = np.clip(np.searchsorted(places, at), 1, len(places) - 1)
            share = np.clip((at - places[upper - 1]) / (places[upper] - places[upper - 1]), 0.0, 1.0)[:, None]
            known_part = before[theirs]
            start[mine] = (1 - share) * known_part[upper - 1] + share * known_part[upper]
        return start

    def middle(self, regime: Regime) -> Array | None:
        """The temperatures with every belief at its middle, (cells, 1)."""
        if regime not in self._middles:
            known = {each: found for each, found in self._middles.items() if found is not None}
            start = None
            if known:
                start = known[min(known, key=lambda each: _apart(each, regime))]
            found = self._middle_from(regime, start)
            if found is None and start is not None:
                found = self._middle_from(regime, None)
            self._middles[regime] = found
        return self._middles[regime]

    def _middle_from(self, regime: Regime, start: Array | None) -> Array | None:
        draws = Draws(self.draws.samples, self.draws.seed, width=0.0, pick=(0,))
        ledger = Ledger(self.rig, self.tables, draws)
        found = steady_heat(self.rig, self.tree, self.mesh, regime, ledger, start, _NEAR).temperature
        return found if np.all(np.isfinite(found)) else None

    def lasting(self, loss: Loss) -> HeatPicture:
        """The steady state after a loss that nobody ever notices."""
        together = self.vapour_after(loss)
        if isinstance(together, VapourState):
            return together.heat
        found = self.heat_in(lasting(self.rig, loss), self.heat(loss.start).temperature)
        gone = together is not None and isinstance(self.vapour(loss.start), VapourState)
        return replace(found, missing=(*found.missing, together)) if gone and together is not None else found

    def through(self, loss: Loss) -> LossPicture:
        """The course of a loss from the steady state it happens in."""
        if loss not in self._losses:
            start = self.heat(loss.start)
            ledger = Ledger(self.rig, self.tables, self.draws)
            together = self.vapour_after(loss)
            inside = together.stayed if isinstance(together, VapourState) else ()
            found = through_loss(
                self.rig, self.tree, self.mesh, loss, ledger, start.temperature, self.tolerance, self.audit, inside
            )  # fmt: skip
            known = {belief.name: belief for belief in (*found.inputs, *start.inputs)}
            missing = (*found.missing, *(each for each in start.missing if each not in found.missing))
            inputs, cites = tuple(known[name] for name in sorted(known)), found.cites | start.cites
            self._losses[loss] = replace(found, inputs=inputs, cites=cites, missing=missing)
        return self._losses[loss]

    def narrowed(self, belief: str, left: float) -> Situation:
        """The same rig with one belief known better; temperatures it has no part in are kept."""
        made = self.drawn(self.draws.narrowed(belief, left))
        for regime, picture in self._heat.items():
            if belief not in {each.name for each in picture.inputs}:
                made._heat[regime] = picture
        return made

    def drawn(self, draws: Draws) -> Situation:
        """The same rig with other draws."""
        return Situation(self.rig, self.tables, draws, self.split, near=self)


def _apart(one: Regime, other: Regime) -> tuple[float, int]:
    """How far two regimes are apart: in the hottest set-point, then in what heats and cools."""
    differ = len(set(one.hot) ^ set(other.hot)) + len(set(one.cold) ^ set(other.cold))
    return abs(one.hottest - other.hottest), differ


def _same_wall(one: Rig, other: Rig) -> bool:
    """Whether two rigs differ only in what does not matter to the temperatures of one regime."""
    return (one.pieces, one.heat, one.lag, one.cool, one.assume) == (
        other.pieces,
        other.heat,
        other.lag,
        other.cool,
        other.assume,
    )


def _ordinary_conductivity(rig: Rig, tables: Tables) -> Mapping[str, float]:
    """Conductivity near 500 K, only to size the cells."""
    found: dict[str, float] = {}
    for piece in rig.pieces:
        row = tables.find("materials", piece.of, "conductivity")
        found[piece.of] = 10.0 if isinstance(row, Missing) else float(curve_of(row).held(500.0))
    return found
