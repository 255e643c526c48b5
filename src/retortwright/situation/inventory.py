# SPDX-License-Identifier: MIT
"""What lies where when the run is over: in the pot, on the way, in the receivers, at the cold end, toward the pump.

Amounts come from the balance of the charge; where they lie from the walls: what stays in the pot
does not arrive, the film and what lands solid stay on their pieces, what does not land goes on
toward the pump, the rest is in the receivers. Alkali metal out of impurities that is much more
volatile than the product collects where the way is colder than 250 degC.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from retortwright.belief.beliefs import Belief
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.situation.charge import charge_of
from retortwright.situation.connected import place_in
from retortwright.situation.crossing import Crossing, crossing_of, metal_states
from retortwright.situation.figure import Figure
from retortwright.situation.holdup import held_back, receivers_of
from retortwright.situation.outlet import outlet_of
from retortwright.situation.pot_balance import PotBalance, add, pot_balance
from retortwright.situation.situation import Situation
from retortwright.situation.takers import molar

__all__ = ["Inventory", "Stock", "fresh_of", "inventory_of", "landing_known", "stopped_of"]

_Share = tuple[tuple[str, str], Array]  # place and kind, and the share of the metal that comes over
_Placing = Callable[[Situation, Ledger, PotBalance], Iterator["Stock"]]
_MATTERS = 1e-3  # share of the metal from which on it counts that it rests on the vapour
_APART = 100.0  # K between the one-pascal temperatures of two metals from which on they part on the way


@dataclass(frozen=True, slots=True)
class Stock:
    """What lies at one place: moles by formula, (samples,)."""

    place: str  # name of the piece
    kind: str  # pot, line, receiver, cold end, pump side
    moles: Mapping[str, Array]


@dataclass(frozen=True, slots=True)
class Inventory:
    """Everything by place, what left as gas, and what it was made from."""

    when: str
    stocks: tuple[Stock, ...]
    gone: Mapping[str, Array]
    weighed: Mapping[str, Array]  # by formula, into the pot
    brought: Mapping[str, Array]  # by formula, from air
    inputs: tuple[Belief, ...]
    cites: frozenset[str]
    missing: tuple[Missing, ...]

    def of_kind(self, *kinds: str) -> tuple[Stock, ...]:
        """The stocks at some kinds of place."""
        return tuple(each for each in self.stocks if each.kind in kinds)

    def figure(self, values: Array, said: Mapping[str, Array] | None = None) -> Figure:
        """A figure that rests on this inventory."""
        spread = np.full(values.shape, np.nan) if self.missing else values
        return Figure(spread, said or {}, self.inputs, self.cites, self.missing)


def inventory_of(situation: Situation) -> Inventory:
    """What lies where after the run, made once."""
    return situation.once("inventory", lambda: _made(situation, "after the run", _spread))


def stopped_of(situation: Situation) -> Inventory:
    """The same if the run ends with all that has been freed still in the pot."""
    return situation.once(
        "inventory stopped", lambda: _made(situation, "if all that is freed stays in the pot", _all)
    )


def fresh_of(situation: Situation) -> Inventory:
    """The charge as it is weighed in, made once: nothing has reacted yet."""
    return situation.once("inventory fresh", lambda: _made(situation, "before anything has reacted", _none))


def landing_known(situation: Situation) -> bool:
    """Whether it is known where vapour lands; if not, all but the film counts in the receivers."""
    return any(isinstance(crossing_of(situation, state), Crossing) for state in metal_states(situation))


def _made(situation: Situation, when: str, placed: _Placing) -> Inventory:
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    balance = pot_balance(charge_of(situation), ledger)
    if balance is None or ledger.missing:
        return Inventory(
            when, (), {}, {}, {}, tuple(ledger.used.values()), frozenset(ledger.cites), tuple(ledger.missing)
        )
    stocks = tuple(placed(situation, ledger, balance))
    gone = {} if placed is _none else balance.gone
    brought = {} if placed is _none else balance.brought
    return Inventory(
        when, stocks, gone, balance.weighed, brought, tuple(ledger.used.values()), frozenset(ledger.cites),
        tuple(ledger.missing),
    )  # fmt: skip


def _retort(situation: Situation) -> str:
    return situation.tree.instances[0].row.name


def _none(situation: Situation, _: Ledger, balance: PotBalance) -> Iterator[Stock]:
    yield Stock(_retort(situation), "pot", balance.weighed)


def _all(situation: Situation, _: Ledger, balance: PotBalance) -> Iterator[Stock]:
    pot = dict(balance.stays)
    for metal, moles in balance.freed.items():
        add(pot, metal, moles)
    yield Stock(_retort(situation), "pot", pot)


def _spread(situation: Situation, ledger: Ledger, balance: PotBalance) -> Iterator[Stock]:
    """All of it by place; each amount of metal is dealt out once, so that nothing is lost."""
    metal = situation.rig.aim.metal
    pot, places = dict(balance.stays), _Places(situation, ledger)
    arrives = ledger.default("charge.arrives", 0.0, 1.0)
    product = balance.freed.get(metal, np.zeros(ledger.draws.size))
    shares = places.shares(product * arrives)
    found: dict[tuple[str, str], dict[str, Array]] = {}
    for element, moles in balance.freed.items():
        order = _volatility(situation, element, metal)
        if order == "colder":
            add(found.setdefault((places.cold_end(), "cold end"), {}), element, moles)
        elif order == "pot":
            add(pot, element, moles)
        else:
            add(pot, element, moles * (1.0 - arrives))
            for where, share in shares.items():
                add(found.setdefault(where, {}), element, moles * arrives * share)
    yield Stock(_retort(situation), "pot", pot)
    for (place, kind), moles_there in found.items():
        if any(np.any(each > 0.0) for each in moles_there.values()):
            yield Stock(place, kind, moles_there)


def _volatility(situation: Situation, element: str, metal: str) -> str:
    """Whether a freed metal goes with the product, farther, or stays in the pot."""
    if element == metal:
        return "with"
    rows = [situation.tables.find("metals", each, "one-pascal") for each in (element, metal)]
    if not all(isinstance(row, Row) for row in rows):
        return "pot"
    own, product = (number_of(row).best for row in rows if isinstance(row, Row))
    if own < product - _APART:
        return "colder"
    return "pot" if own > product + _APART else "with"


class _Places:
    """Where on the way the metal that comes over lies in the end."""

    def __init__(self, situation: Situation, ledger: Ledger) -> None:
        self.situation, self.ledger = situation, ledger
        self.receivers = [situation.tree.instances[n].row.name for n in receivers_of(situation.tree)]
        self.crossing = next(
            (
                made
                for state in metal_states(situation)
                if isinstance(made := crossing_of(situation, state), Crossing)
            ),
            None,
        )

    def shares(self, came: Array) -> dict[tuple[str, str], Array]:
        """Shares of the metal that comes over, by place and kind; they add up to one."""
        left = np.ones(self.ledger.draws.size)
        found: dict[tuple[str, str], Array] = {}
        for where, wanted in (*self._of_vapour(), *self._films(came)):
            taken = np.minimum(np.nan_to_num(wanted), left)
            found[where] = found[where] + taken if where in found else taken
            left = left - taken
        last = (self.receivers[0], "receiver") if self.receivers else (_retort(self.situation), "line")
        found[last] = found[last] + left if last in found else left
        return found

    def _of_vapour(self) -> list[_Share]:
        """What goes on toward the pump, then what lands solid; they rest on the vapour where they matter."""
        if self.crossing is None:
            return []
        found = [*self._beyond(self.crossing), *self._solid(self.crossing)]
        if any(np.any(np.nan_to_num(share) > _MATTERS) for _, share in found):
            vapour = self.crossing.vapour
            self.ledger.used |= {belief.name: belief for belief in vapour.inputs}
            self.ledger.cites |= vapour.cites
        return found

    def _films(self, came: Array) -> Iterator[_Share]:
        """What the film on each piece takes."""
        if self.receivers:
            moles = molar(self.ledger, self.situation.rig.aim.metal)
            _, films = held_back(self.situation.tree, self.ledger, self.situation.rig.aim.metal)
            with np.errstate(divide="ignore", invalid="ignore"):
                for name, kept in films.items():
                    piece = name.removeprefix("on ")
                    yield (piece, self._kind(piece)), np.where(came > 0.0, kept / moles / came, 0.0)

    def _kind(self, piece: str) -> str:
        return "receiver" if piece in self.receivers else "line"

    def _beyond(self, crossing: Crossing) -> Iterator[_Share]:
        """The share that passes the place where the way to the pump leaves that of the metal."""
        outlet, pump = outlet_of(crossing), self.situation.rig.plant.pump
        if outlet is None or pump is None:
            return
        with np.errstate(divide="ignore", invalid="ignore"):
            share = np.clip(outlet.passed / crossing.vapour.entering, 0.0, 1.0)
        yield (str(pump["on"]), "pump side"), share

    def _solid(self, crossing: Crossing) -> Iterator[_Share]:
        """The shares that land solid, by piece."""
        vapour, known = crossing.vapour, set[str]()
        melting = crossing.melting(crossing.plain_ledger())
        for landing in vapour.landings:
            numbers = crossing.mesh.instance[landing.cells]
            names = np.array([crossing.tree.instances[n].row.name for n in numbers])
            solid = np.where(crossing.heat.temperature[landing.cells] < melting, landing.landed, 0.0)
            for name in dict.fromkeys(names.tolist()):
                if name not in known:
                    known.add(name)
                    with np.errstate(divide="ignore", invalid="ignore"):
                        yield (
                            (name, self._kind(name)),
                            np.sum(solid[names == name], axis=0) / landing.entering,
                        )

    def cold_end(self) -> str:
        """The first piece of the way of the metal that is colder than alkali metal condenses in vacuum."""
        row = self.ledger.row("rules", "opening", "cold-end")
        cold = number_of(row).best if row is not None else float("nan")
        if self.crossing is not None:
            way = self.crossing.vapour.ways.ways[0]
            for cell in way.cells:
                if float(np.median(self.crossing.heat.temperature[cell])) < cold:
                    return self.situation.tree.instances[int(self.crossing.mesh.instance[cell])].row.name
        pump = self.situation.rig.plant.pump
        if self.receivers or pump is None:
            return self.receivers[0] if self.receivers else _retort(self.situation)
        number, _ = next(place_in(self.situation.tree, str(pump["on"]), None))
        return self.situation.tree.instances[number].row.name
