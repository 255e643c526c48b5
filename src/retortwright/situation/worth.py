# SPDX-License-Identifier: MIT
"""What a run costs in metal that clings, in hours and in money; prices come from the user alone.

The rig and the runs that are lost before the first good one are spread over the good runs. Part of a run's
cost grows with the charge (what is weighed in), the rest does not: from that follows the batch that pays.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.units import Band
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.rig.parts import Money
from retortwright.situation.charge import charge_of
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.holdup import held_back
from retortwright.situation.timing import Stage, stretches

if TYPE_CHECKING:
    from retortwright.situation.situation import Situation

__all__ = ["NEVER", "WorthWork"]

NEVER = 1e3  # kg: a batch that pays nowhere below it pays never
_LEAST = 1e-6  # kg of product that a run is taken to give at least
_OVER = 1.0  # K above the room, to which a furnace that is off cools within a sensible time


@dataclass(frozen=True, slots=True)
class _Costs:
    """Of one good run with its share of the lost ones and of the rig."""

    weighed: Array  # grows with the charge
    parts: dict[str, Array]  # does not

    @property
    def fixed(self) -> Array:
        """All that does not grow with the charge."""
        return np.asarray(sum(self.parts.values(), np.zeros(np.shape(self.weighed))))


class WorthWork:
    """Figures of question 10 for one situation."""

    def __init__(self, situation: Situation) -> None:
        self.situation = situation
        self.rig, self.tables = situation.rig, situation.tables
        self.picture = charge_of(situation)

    def ledger(self) -> Ledger:
        """A new ledger."""
        return Ledger(self.rig, self.tables, self.situation.draws)

    def smallest(self) -> Figure:
        """The batch from which on a run is worth it: some times what the walls keep [kg]."""
        ledger = self.ledger()
        row = ledger.row("rules", "batch", "limit")
        least = number_of(row).best if isinstance(row, Row) else float("nan")
        key = self.tables.find("rules", "batch", "tighten-limit")
        if isinstance(key, Row):
            least = max(least, self.rig.tighten.get(key.data, least))
        held, places = held_back(self.situation.tree, ledger, self.picture.metal)
        return figure_of(ledger, least * held, {"held": held} | places)

    def hours(self) -> Figure:
        """Time of a run: the programme, and what is done before and after it [s]."""
        ledger = self.ledger()
        time, said = self._time(ledger)
        return figure_of(ledger, time, said)

    def _time(self, ledger: Ledger) -> tuple[Array, dict[str, Array]]:
        set_up = ledger.default("run.set-up", 0.0)
        programme = np.zeros(ledger.draws.size)
        for one in stretches(self.rig):
            programme = programme + self._stretch(ledger, one)
        return set_up + programme, {"set-up": set_up, "programme": programme}

    def _stretch(self, ledger: Ledger, one: Stage) -> Array:
        """Ramp and hold; the way down where no ramp is said, as the furnace cools by itself."""
        hold = np.full(ledger.draws.size, one.hold)
        if one.ramp is None:
            room = ledger.default("room.temperature", 200.0, 400.0)
            decay = ledger.default("furnace.decay", 60.0, 1e6)
            end = np.maximum(one.after, room + _OVER)
            return hold + decay * np.log(np.maximum((one.before - room) / (end - room), 1.0))
        if one.ramp == 0.0 and one.hold == 0.0 and one.after > one.before:
            says = f"how long {one.state} takes is not said: ramp and hold in programme.steps"
            ledger.missing.append(Missing("programme.steps", says))
        return hold + one.ramp

    def cost(self) -> Figure:
        """Cost of the metal that arrives [money/kg]."""
        ledger = self.ledger()
        costs = self._costs(ledger)
        product = self.picture.product()
        self._take_over(ledger, product)
        arrives = np.maximum(product.values, _LEAST)
        if costs is None:
            return figure_of(ledger, arrives * np.nan)
        said = {"weighed in": costs.weighed} | costs.parts
        return figure_of(ledger, (costs.weighed + costs.fixed) / arrives, said | {"product": product.values})

    def break_even(self) -> Figure:
        """The batch from which on it is cheaper than buying, with more of the same weighed in [kg]."""
        ledger = self.ledger()
        costs, money = self._costs(ledger), self.rig.money
        freed, _ = self.picture.freed(ledger)
        came = np.maximum(freed * ledger.default("charge.arrives", 0.0, 1.0), _LEAST)
        held, _ = held_back(self.situation.tree, ledger, self.picture.metal)
        if costs is None or money is None:
            return figure_of(ledger, came * np.nan)
        each = costs.weighed / came
        gain = ledger.figure("money.buying", money.buying, "1/kg") - each
        with np.errstate(divide="ignore", invalid="ignore"):
            mass = np.where(gain > 0, (costs.fixed + each * held) / gain, NEVER)
        return figure_of(ledger, np.minimum(mass, NEVER), {"each": each, "fixed": costs.fixed})

    def _costs(self, ledger: Ledger) -> _Costs | None:
        """None, with the reason written down, where a price is missing."""
        money = self.rig.money
        if money is None:
            ledger.missing.append(Missing("money", "what things cost is not said: [money]"))
            return None
        lost = ledger.default("run.lost", 0.0)
        share = 1.0 + lost / money.runs
        weighed = np.zeros(ledger.draws.size)
        for each in self.rig.charge:
            if each.formula not in money.price:
                key = f"money.price.{each.formula}"
                ledger.missing.append(Missing(key, f"what {each.formula} costs is not said: {key}"))
                continue
            price = ledger.figure(f"money.price.{each.formula}", money.price[each.formula], "1/kg")
            weighed = weighed + price * self.picture.mass(ledger, each)
        return _Costs(weighed * share, dict(self._fixed(ledger, money, share)))

    def _fixed(self, ledger: Ledger, money: Money, share: Array) -> Iterator[tuple[str, Array]]:
        """What a good run costs besides what is weighed in."""
        for key, band in (("waste", money.waste), ("consumables", money.consumables)):
            yield key, share * _figure(ledger, key, band, "1")
        yield "rig", _figure(ledger, "rig", money.rig, "1") / money.runs
        if money.hour is not None:
            yield "hours", share * _figure(ledger, "hour", money.hour, "1/s") * self._time(ledger)[0]

    def _take_over(self, ledger: Ledger, figure: Figure) -> None:
        ledger.used |= {belief.name: belief for belief in figure.inputs}
        ledger.cites |= figure.cites
        ledger.missing += [each for each in figure.missing if each not in ledger.missing]


def _figure(ledger: Ledger, key: str, band: Band | None, unit: str) -> Array:
    return np.zeros(ledger.draws.size) if band is None else ledger.figure(f"money.{key}", band, unit)
