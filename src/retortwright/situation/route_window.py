# SPDX-License-Identifier: MIT
"""From which temperature a charge gives its metal, and up to which what comes along is little enough.

The pressures are those of the first question: one salt and one reductant where that picture holds, the
general balance of all species where it does not (alloys, slags of two oxides, chlorides that boil).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import reduce

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.ground.ranges import Mask
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.situation.any_charge import any_charge, unmixed_metals
from retortwright.situation.charge import charge_of
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.equilibrium import Vapours, charge_equilibrium
from retortwright.situation.reaction import FRESH, ReactionWork, carried_share, crossing, product_pressure
from retortwright.situation.route import Route, molar_mass
from retortwright.situation.situation import Situation

__all__ = ["GRID", "RouteWindow", "Seen", "route_window"]

_COLDEST, _HOTTEST, _STEPS = 600.0, 1900.0, 15  # K, straight in 1/T
GRID = 1 / np.linspace(1 / _COLDEST, 1 / _HOTTEST, _STEPS)  # K
_SIMPSON = np.array([1.0, 4.0, 1.0]) / 6
_SHUT = 1e8  # Pa: so far above all vapours that no bubble of gas takes any of the charge


@dataclass(frozen=True, slots=True)
class Seen:
    """What stands over the charge at one temperature, over the samples."""

    temperature: float  # K
    product: Array  # Pa, with the share taken that the window is for
    reductant: Array  # mass over that of the product, on the way there
    salt: Array

    @property
    def besides(self) -> float:
        """Mass of both over that of the product, in the middle."""
        return float(np.median(self.reductant + self.salt))


@dataclass(frozen=True, slots=True)
class RouteWindow:
    """Temperatures of the charge [K] over the samples, and the pressures behind them."""

    fresh: Array  # from which the product of a fresh charge keeps a useful pressure
    low: Array  # the same when half of what can come has left
    late: Array  # the same when nearly all has; nan where that is not computed
    clean: Mapping[str, Array]  # up to which no more reductant, salt comes along than the grade allows
    bottom: float  # from which, and up to which, all this is known
    top: float
    taken: float  # share of the metal in the charge that has left at `low`
    nearly: float  # share of it that has left at `late`
    ceiling: float  # share of it that can come at all
    pressure: Array  # of the product with so much taken, (GRID, samples) [Pa]
    carried: Mapping[str, Array]  # of reductant, salt, (GRID, samples)
    general: bool  # whether the general balance was used
    alloys: tuple[tuple[str, str], ...]  # metals that are taken as pure and are not

    @property
    def upper(self) -> Array:
        """Up to which both are little enough [K]."""
        return np.asarray(reduce(np.minimum, self.clean.values()))

    def at(self, temperature: float) -> Seen:
        """What stands over the charge at a temperature [K], straight in the logarithm over 1/T."""
        place = 1 / temperature

        def read(values: Array) -> Array:
            with np.errstate(divide="ignore"):
                logs = np.log(values)
            columns = [np.interp(-place, -1 / GRID, logs[:, i]) for i in range(logs.shape[1])]
            return np.exp(np.array(columns))

        return Seen(
            temperature, read(self.pressure), *(read(self.carried[what]) for what in ("reductant", "salt"))
        )


def route_window(situation: Situation, ledger: Ledger, beside: str = "") -> RouteWindow | None:
    """The window of the charge of a rig; None with what is missing written down."""
    work = ReactionWork(situation)
    route = work.route
    if isinstance(route, Missing):
        ledger.missing.append(route)
        return None
    ceiling = float(np.median(charge_of(situation).possible().said.get("ceiling", np.array([np.nan]))))
    taken, late = _rule(ledger, "taken") * ceiling, _rule(ledger, "late") * ceiling
    wanted = number_of(situation.tables.rows["rules", "pressure-fresh", "limit"]).best
    lefts = np.array([FRESH, taken / 2, taken, late])
    found = _explicit(work, ledger, route, lefts) if not beside else None
    general = found is None
    if found is None:
        found = _general(situation, ledger, route, lefts)
    if found is None:
        return None
    shares = {
        what: np.einsum("p,tps->ts", _SIMPSON, carried_share(situation.tables, found, route, what)[:, :3])
        for what in ("reductant", "salt")
    }
    pressure = product_pressure(found, route)
    known = np.isfinite(pressure[:, :3]).all(axis=1) & np.isfinite(shares["reductant"] + shares["salt"])
    inside = _first_stretch(np.asarray(known.all(axis=1)))
    if inside.sum() < 2:
        says = "its slag or melt is not in our tables at the temperatures at which metal comes"
        ledger.missing.append(Missing(f"charge.{route.salt}", says))
        return None
    with np.errstate(divide="ignore", invalid="ignore"):
        over = np.log(pressure / wanted)[inside]
    grid = GRID[inside]
    fresh, low = (crossing(grid, over[:, part]) for part in (0, 2))
    last = crossing(grid, over[:, 3])
    clean = {
        what: _clean(grid, share[inside], work.grade(ledger, what), low) for what, share in shares.items()
    }
    span = (float(grid[0]), float(grid[-1]), taken, late, ceiling)
    own = _alloys(situation, route)
    return RouteWindow(fresh, low, last, clean, *span, pressure[:, 2], shares, general, own)


def _alloys(situation: Situation, route: Route) -> tuple[tuple[str, str], ...]:
    """The metals with which the product alloys, though it is taken as pure."""
    pairs = unmixed_metals(situation.tables, dict.fromkeys((route.salt, route.reductant), 1.0))
    return tuple(pair for pair in pairs if route.metal in pair)


def _rule(ledger: Ledger, name: str) -> float:
    row = ledger.row("rules", "route-card", name)
    return number_of(row).best if isinstance(row, Row) else float("nan")


def _explicit(work: ReactionWork, ledger: Ledger, route: Route, lefts: Array) -> Vapours | None:
    """One salt and one reductant, as in the first question; None where that picture does not hold."""
    own = work.ledger()
    temperature = GRID[:, None, None] + np.zeros(own.draws.size)
    equilibrium = charge_equilibrium(Chemistry(own), route, temperature)
    if equilibrium is None or own.missing:
        return None
    _take_over(ledger, own)
    return equilibrium.at(lefts[:, None] + np.zeros(own.draws.size))


def _general(situation: Situation, ledger: Ledger, route: Route, lefts: Array) -> Vapours | None:
    """The balance of all species, the metal that has left taken out of what was weighed."""
    own = Ledger(situation.rig, situation.tables, situation.draws)
    amounts: dict[str, float] = {}
    for each in situation.rig.charge:
        amounts[each.formula] = each.mass.best / molar_mass(situation.tables, each.formula)
    per_salt = 1 / (amounts[route.salt] * route.per_salt)
    amounts = {formula: moles * per_salt for formula, moles in amounts.items()}
    charge = any_charge(Chemistry(own), amounts)
    if charge is None or own.missing:
        ledger.missing += own.missing
        return None
    atoms: dict[str, Array] = {}
    for formula, moles in amounts.items():
        for element, count in elements_of(formula).items():
            atoms[element] = atoms.get(element, np.zeros((3, 1))) + count * moles
    atoms[route.metal] = atoms[route.metal] - lefts[:3, None]
    found = charge.at(atoms, GRID[:, None, None] + np.zeros(own.draws.size), _SHUT)
    _take_over(ledger, own)
    blank = np.full((len(GRID), 1, own.draws.size), np.nan)
    pressures = {name: np.concatenate([each, blank], axis=1) for name, each in found.pressures.items()}
    nothing = np.zeros(1)
    return Vapours(pressures, nothing, nothing, nothing, nothing)


def _take_over(ledger: Ledger, own: Ledger) -> None:
    ledger.used |= own.used
    ledger.cites |= own.cites


def _first_stretch(known: Mask) -> Mask:
    """The longest run of neighbours that are known."""
    runs, best = np.zeros(len(known), dtype=int), np.zeros(len(known), dtype=bool)
    for place, good in enumerate(known):
        runs[place] = (runs[place - 1] + 1 if place else 1) if good else 0
    last = int(np.argmax(runs))
    best[last - runs[last] + 1 : last + 1] = True
    return best


def _clean(grid: Array, share: Array, most: Array, low: Array) -> Array:
    """The first temperature above the start of the window at which more comes along than allowed."""
    with np.errstate(divide="ignore"):
        over = np.log(share / most)
    reaching = np.array([np.interp(-1 / start, -1 / grid, over[:, i]) for i, start in enumerate(low)])
    over = np.where(grid[:, None] < low, -1.0, over)
    return np.where(reaching > 0, low, np.maximum(crossing(grid, over), low))
