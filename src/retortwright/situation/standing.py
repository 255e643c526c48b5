# SPDX-License-Identifier: MIT
"""How the wall of one row of pieces stands: what folds it, what its ends bear, its life in creep and in scale.

A vacuum counts as full, whatever gas is left. The wall is the thinnest of the row, less what scale takes
in the runs that it has to last. A tube counts as held round only
where it is closed at both ends; elsewhere it is as long as you please.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.middles import known_middle
from retortwright.physics.collapse import sphere_collapse, tube_collapse
from retortwright.physics.constants import ATMOSPHERE
from retortwright.physics.ovality import out_of_round_collapse, out_of_round_stress, squash_pressure
from retortwright.physics.scaling import parabolic_loss, runs_to_loss
from retortwright.reference.datum import Missing, Row
from retortwright.rig.compound import Tube
from retortwright.rig.parts import Piece
from retortwright.situation.exposure import (
    Spell,
    evacuated,
    governing,
    hottest,
    instances_of,
    original,
    spells_of,
)
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.heat import HeatPicture
from retortwright.situation.situation import Situation
from retortwright.situation.standing_ends import ends_of, worst_end
from retortwright.situation.wall_metal import (
    LONGEST_RUNS,
    WallMetal,
    is_above,
    limit_of,
    needed_of,
    rule_number,
)

__all__ = ["Standing", "standing_of"]

_THICK = 0.249  # of the radius, the most wall for which thin-shell buckling is worked out: more is no weaker
_ENDLESS = 1000.0  # radii
_MOST = 0.5  # of the samples


class Standing:
    """The wall of one row in one situation."""

    def __init__(self, situation: Situation, row: str) -> None:
        self.situation, self.row = situation, row
        self.pieces = instances_of(situation, row)
        self.piece: Piece = situation.tree.instances[self.pieces[0]].row
        self.state = governing(situation, self.pieces)  # the hottest with a vacuum behind it
        self._known: dict[
            str, tuple[Array, Ledger]
        ] = {}  # what no temperature changes, and what it is made of

    def ledger(self) -> Ledger:
        """A new ledger."""
        return Ledger(self.situation.rig, self.situation.tables, self.situation.draws)

    def _once(self, name: str, ledger: Ledger, make: Callable[[Ledger], Array]) -> Array:
        """What `make` makes, made once; what it is made of is written down in every ledger that asks for it."""
        if name not in self._known:
            own = self.ledger()
            self._known[name] = make(own), own
        values, own = self._known[name]
        ledger.used |= own.used
        ledger.cites |= own.cites
        ledger.missing += own.missing
        return values

    # ---- what there is

    def hot(self, state: str) -> Array:
        """The hottest of the wall in a state [K]."""
        return hottest(self.situation, state, self.pieces)

    def is_above(self, prop: str) -> bool:
        """Whether the wall gets hotter than a temperature of its material in a state of the programme."""
        known = original(self.situation)
        if known is not self.situation:
            return standing_of(known, self.row).is_above(prop)
        states = dict.fromkeys(step.state for step in self.situation.rig.steps)
        return any(
            is_above(self.ledger(), self.piece.of, prop, self.hot(state))
            for state in (*states, *self._idle())
        )

    def _idle(self) -> tuple[str, ...]:
        return () if self.state is None else (self.state,)

    @property
    def closed_both(self) -> bool:
        """Whether ends hold the tube round at both sides."""
        return self.piece.bottom is not None and self.piece.closed is not None

    def thinned(self, ledger: Ledger) -> Array:
        """The share of the wall that is left after the runs that it has to last, at least that at which it is retired.

        Where its loss is not known, or only from memory, it is as it is when retired.
        """
        return self._once("thinned", ledger, self._thinned)

    def _thinned(self, ledger: Ledger) -> Array:
        size = ledger.draws.size
        row = self.situation.tables.find("materials", self.piece.of, "scaling-from")
        if isinstance(row, Missing) or not self.is_above("scaling-from"):
            return np.ones(size)
        share = rule_number(ledger, "scale-runs", "share")
        own = self.ledger()
        metal = WallMetal(own, self.piece.of)
        loss = self._loss(own, metal, spells_of(self.situation, own, self.pieces))
        runs = limit_of(own, "scale-runs")
        if own.missing or not np.all(np.isfinite(loss)) or not all(each.seen for each in own.used.values()):
            return np.full(size, 1.0 - share)
        ledger.used |= own.used
        ledger.cites |= own.cites
        nominal = min(each.wall for each in self._tubes)
        return np.asarray(1.0 - np.minimum(share, runs * loss / nominal))

    @property
    def _tubes(self) -> tuple[Tube, ...]:
        return (self.piece.tube,) if self.piece.tapers_to is None else (self.piece.tube, self.piece.tapers_to)

    def wall(self, ledger: Ledger, new: bool = False) -> Array:
        """The thinnest of the wall [m]: as it is when retired, or new."""
        least = min(each.wall for each in self._tubes) * np.asarray(
            ledger.default("tolerance.wall", 0.3, 3.0)
        )
        return np.asarray(least if new else least * self.thinned(ledger))

    @property
    def outside(self) -> float:
        """The widest of it [m]."""
        return max(each.outside for each in self._tubes)

    # ---- collapse

    def collapse(self) -> Figure | None:
        """Pressure on the wall over that which folds it, in the hottest state with a vacuum behind it."""
        if self.state is None:
            return None
        ledger, hot = self.ledger(), self.hot(self.state)
        metal = WallMetal(ledger, self.piece.of)
        wall = self.wall(ledger)
        radius = (self.outside - wall) / 2
        elastic = self._elastic(ledger, metal, hot, wall, radius)
        strength = metal.yield_stress(hot)
        if self.piece.shape == "flask":
            folds = np.minimum(elastic, 2 * strength * wall / radius)
            squash = 2 * np.asarray(squash_pressure(strength, wall, radius))
        else:
            squash = np.asarray(squash_pressure(strength, wall, radius))
            folds = np.asarray(
                out_of_round_collapse(elastic, strength, wall, radius, self._deviation(ledger))
            )
        said = {"elastic": elastic, "squash": squash, "folds": folds, "hot": hot, "wall": wall}
        return self.figure(ledger, ATMOSPHERE / folds, said, [self.state])

    def _elastic(self, ledger: Ledger, metal: WallMetal, hot: Array, wall: Array, radius: Array) -> Array:
        thin = np.minimum(wall, _THICK * radius)
        modulus = metal.modulus(hot)
        return modulus * self._once("folding", ledger, lambda own: self._folding(own, thin, radius))

    def _folding(self, ledger: Ledger, thin: Array, radius: Array) -> Array:
        """Pressure that buckles the wall, over its modulus of elasticity [1]."""
        poisson = WallMetal(ledger, self.piece.of).poisson()
        if self.piece.shape == "flask":
            cap = rule_number(ledger, "collapse", "cap")
            return np.asarray(cap * sphere_collapse(1.0, poisson, thin, radius))
        length = self.piece.length.best if self.closed_both else _ENDLESS * radius
        return np.asarray(tube_collapse(1.0, poisson, thin, radius, length))

    def _deviation(self, ledger: Ledger) -> Array:
        """How far the wall is off the circle: a quarter of the difference of the diameters [m]."""
        return np.asarray(ledger.default("out-of-round") * self.outside / 4)

    # ---- ends

    def ends(self) -> dict[str, Figure]:
        """For each end that the file describes: its stress over the yield stress, or what is not known of it."""
        return ends_of(self)

    # ---- creep

    def creep(self) -> Figure | None:
        """Runs until creep breaks the wall or a flat or dished end, by the sum of the shares of each spell."""
        if self.state is None or not self.is_above("creep-from"):
            return None
        ledger = self.ledger()
        metal = WallMetal(ledger, self.piece.of)
        if isinstance(self.situation.tables.find("materials", self.piece.of, "rupture"), Missing):
            says = f"no creep data of {self.piece.of} in our tables: how long it stands hot under vacuum is not known"
            ledger.missing.append(Missing(f"materials/{self.piece.of}/rupture", says))
        spells = spells_of(self.situation, ledger, self.pieces, self._empty())
        if not spells:
            says = "the programme does not say how long this wall is hot: give its steps a hold or a ramp"
            ledger.missing.append(Missing("programme.steps", says))
        total, end = np.zeros(ledger.draws.size), worst_end(self, ledger, metal)
        for spell in spells:
            total = total + self._share(ledger, metal, spell, end)
        runs = np.minimum(1.0 / np.maximum(total, 1.0 / LONGEST_RUNS), LONGEST_RUNS)
        hot = self.hot(self.state)
        said = {"hot": hot, "stress": self._stress(ledger, metal, hot), "end": end}
        said["least"] = metal.least_tested()
        metal.note_beyond(hot)
        said["life"] = metal.life(self._factored(ledger, said), hot)
        runs = self._bounded(ledger, runs, said)
        states = dict.fromkeys([self.state, *(step.state for step in self.situation.rig.steps)])
        return self.figure(ledger, runs, said, states)

    def _bounded(self, ledger: Ledger, runs: Array, said: Mapping[str, Array]) -> Array:
        """The runs; none where a lower bound, from a stress below all tests, is not enough to say that they hold."""
        bound = self._factored(ledger, said) < said["least"]
        short = bound & (runs < needed_of(ledger, "creep-runs"))
        known = np.isfinite(runs)
        if np.any(known) and np.mean(short[known]) > _MOST:
            middle = {name: known_middle(each) for name, each in said.items()}
            says = (
                f"rupture of {self.piece.of} was tested from {middle['least'] / 1e6:.2g} MPa on: for less, at "
                f"{middle['hot'] - 273.15:.0f} degC, only that it lasts {middle['life']:.2g} h or more is known"
            )
            ledger.missing.append(Missing(f"materials/{self.piece.of}/rupture", says))
        return np.where(short, np.nan, runs)

    def _empty(self) -> frozenset[int]:
        found = evacuated(self.situation)[: len(self.situation.rig.steps)]
        return frozenset(number for number, empty in enumerate(found) if empty & set(self.pieces))

    def _factored(self, ledger: Ledger, said: Mapping[str, Array]) -> Array:
        factor = rule_number(ledger, "creep-runs", "factor")
        return np.asarray(np.maximum(said["stress"], said["end"]) * factor)

    def _share(self, ledger: Ledger, metal: WallMetal, spell: Spell, end: Array) -> Array:
        """The share of its life that the wall spends in a spell."""
        stress = self._stress(ledger, metal, spell.temperature)
        hours = metal.life(self._factored(ledger, {"stress": stress, "end": end}), spell.temperature)
        creeping = spell.temperature >= metal.creeps_from()
        return np.asarray(np.where(creeping, spell.time / 3600.0 / hours, 0.0))

    def _stress(self, ledger: Ledger, metal: WallMetal, hot: Array) -> Array:
        """Largest stress in the wall under an atmosphere, as it is out of round [Pa]."""
        wall = self.wall(ledger)
        radius = (self.outside - wall) / 2
        if self.piece.shape == "flask":
            return np.asarray(ATMOSPHERE * radius / (2 * wall))
        elastic = self._elastic(ledger, metal, hot, wall, radius)
        return np.asarray(out_of_round_stress(ATMOSPHERE, elastic, wall, radius, self._deviation(ledger)))

    # ---- scale

    def scale(self) -> Figure | None:
        """Runs until the share of the wall has scaled away at which it is retired."""
        if not self.is_above("scaling-from"):
            return None
        if isinstance(self.situation.tables.find("materials", self.piece.of, "scaling-from"), Missing):
            return None
        ledger = self.ledger()
        metal = WallMetal(ledger, self.piece.of)
        spells = spells_of(self.situation, ledger, self.pieces)
        if not spells:
            says = "the programme does not say how long this wall is hot: give its steps a hold or a ramp"
            ledger.missing.append(Missing("programme.steps", says))
        loss = self._loss(ledger, metal, spells)
        share = rule_number(ledger, "scale-runs", "share")
        wall = self.wall(ledger, new=True)
        least = wall * share / LONGEST_RUNS
        runs = np.asarray(runs_to_loss(wall, share, np.maximum(loss, least)))
        states = dict.fromkeys(step.state for step in self.situation.rig.steps)
        hot = np.max([self.hot(state) for state in states], axis=0) if states else np.full(len(loss), np.nan)
        return self.figure(ledger, runs, {"loss": loss, "hot": hot, "wall": wall}, states)

    def _loss(self, ledger: Ledger, metal: WallMetal, spells: Iterable[Spell]) -> Array:
        """Metal that one run takes [m]."""
        parabolic = isinstance(
            self.situation.tables.find("materials", self.piece.of, "scaling-parabolic"), Row
        )
        prop = "scaling-parabolic" if parabolic else "scaling"
        total = np.zeros(ledger.draws.size)
        for spell in spells:
            rate = metal.scaling(prop, spell.temperature)
            counts = spell.temperature >= metal.scales_from()
            total = total + np.where(counts, rate * spell.time, 0.0)
        if not parabolic:
            return total
        return np.where(total > 0, np.asarray(parabolic_loss(np.maximum(total, 1e-30), 1.0)), total)

    # ---- all of it

    def figure(
        self, ledger: Ledger, values: Array, said: Mapping[str, Array], states: Iterable[str]
    ) -> Figure:
        """A figure of all that a ledger and the temperatures of some states were made from."""
        pictures: list[HeatPicture] = [self.situation.heat(state) for state in states]
        inputs = {belief.name: belief for picture in pictures for belief in picture.inputs}
        cites = frozenset(cite for picture in pictures for cite in picture.cites)
        ledger.missing += [each for picture in pictures for each in picture.missing]
        own = figure_of(ledger, values, said)
        inputs |= {belief.name: belief for belief in own.inputs}
        return Figure(own.values, own.said, tuple(inputs.values()), own.cites | cites, own.missing)


def standing_of(situation: Situation, row: str) -> Standing:
    """The standing of a row, made once."""
    return situation.once(f"standing of {row}", lambda: Standing(situation, row))
