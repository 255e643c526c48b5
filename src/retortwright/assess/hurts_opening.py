# SPDX-License-Identifier: MIT
"""Question 8, afterwards: when it may be opened, what a quench gives and how long it takes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from retortwright.assess.check import Check, limit_from_rule
from retortwright.assess.closed_rules import cooling_time
from retortwright.assess.hurts_around import (
    book,
    figure_on,
    kept_back,
    listed,
    made,
    plain,
    rule_number,
    words_of,
    worse_end,
)
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.physics.constants import ATMOSPHERE, GAS_CONSTANT
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.situation.figure import Figure
from retortwright.situation.fine_powder import fine_powder
from retortwright.situation.gasloads import STATED
from retortwright.situation.hazard import Quench, burnable, metal_mass, quench_of
from retortwright.situation.inventory import Stock, inventory_of
from retortwright.situation.situation import Situation
from retortwright.situation.timing import hottest_state

__all__ = [
    "QuenchPlan",
    "alcohol_for",
    "argon_volume",
    "gas_litres",
    "ignites",
    "opening_checks",
    "opening_time",
    "quench_plan",
    "quenched",
]

_FIERCE = ("K", "Rb", "Cs")
_NAMES = {"H2": "hydrogen", "NH3": "ammonia", "C2H2": "acetylene", "CH4": "methane"}


@dataclass(frozen=True, slots=True)
class QuenchPlan:
    """What a quench gives and takes: gases and heat, least hours, flow of the fastest gas."""

    quench: Quench
    time: Figure  # s
    fastest: Figure  # m^3/s of burning gas
    solvent: float  # m^3


def opening_checks(situation: Situation) -> Iterator[Check]:
    """When it may be opened, and the quench of what is left; none where there is no charge."""
    state = hottest_state(situation.rig)
    if state is None or not situation.rig.charge:
        return
    opening = _opening(situation, state)
    if opening is not None:
        yield opening
    yield _quench(situation, state)
    yield _quench_hydrogen(situation, state)


# ---- opening


def opening_time(situation: Situation) -> tuple[Figure | None, float]:
    """Time until every wall is cold enough to open, and how cold that is [K]."""
    cold = rule_number(book(situation), "closed", "open-below")
    return cooling_time(situation, np.full(situation.draws.size, cold)), cold


def argon_volume(situation: Situation) -> float:
    """Argon that flushes the whole inside before it is opened [m^3]."""
    whole = sum(single.volume for single in situation.tree.instances)
    return whole * rule_number(book(situation), "opening", "purge")


def _opening(situation: Situation, state: str) -> Check | None:
    figure, cold = opening_time(situation)
    if figure is None:
        return None
    volume = argon_volume(situation)
    flow = (situation.rig.plant.argon or {}).get("flow")
    flush = f"then {plain(volume * 1e3)} L of argon, ten volumes"
    flush += f", {plain(volume / flow.best / 60)} min at its flow" if flow else "; how much flows is not said"
    says = [f"every wall below {cold - 273.15:.0f} degC; {flush}", *ignites(situation)]
    notes = (
        "vent the side of the gauge first: hydrogen stands in any dead end that was shut while it cooled",
    )
    return made(
        situation, "opening", state, f"piece.{situation.tree.instances[0].row.name}",
        "time from the furnace off to opening", "hours", figure, limit_from_rule(book(situation), "opening"),
        f"{'; '.join(says)}.", notes,
    )  # fmt: skip


def ignites(situation: Situation) -> tuple[str, ...]:
    """What may take fire when air comes to it, by place."""
    inventory, ledger, found = inventory_of(situation), book(situation), []
    for stock in inventory.stocks:
        masses = metal_mass(ledger, [stock])
        grams = {metal: float(np.median(mass)) * 1e3 for metal, mass in masses.items()}
        told = [f"{plain(mass)} g {metal}" for metal, mass in grams.items() if mass >= 0.005]
        if told and stock.kind in ("pot", "line", "cold end", "pump side"):
            sure = "will take fire in air" if stock.kind == "cold end" else "may take fire in air"
            found.append(f"{listed(told)} in the {stock.place} {sure}")
    powder = fine_powder(situation)
    if powder is not None:
        share = plain(float(np.median(powder.share)) * 100)
        found.append(
            f"{share} % of the {situation.rig.aim.metal} lands on walls below {powder.below - 273.15:.0f} degC, most "
            f"in the {powder.place}: powder that may take fire by itself"
        )
    return tuple(found)


# ---- quench


def quenched(situation: Situation) -> tuple[Stock, ...]:
    """What has to be quenched: all but what is closed off in the receivers."""
    return inventory_of(situation).of_kind("pot", "line", "cold end", "pump side")


def alcohol_for(situation: Situation) -> str:
    """The first alcohol: the mild one where a fierce metal is in it."""
    ledger, stocks = book(situation), quenched(situation)
    metals = [metal for stock in stocks for formula in stock.moles for metal in burnable(formula, ledger)]
    metals += [situation.rig.aim.metal]
    fierce = next((each for each in metals if each in _FIERCE), metals[0])
    return words_of(situation, fierce, "alcohol") or "2-propanol"


def quench_plan(situation: Situation) -> QuenchPlan:
    """The plan of the quench, made once."""
    return situation.once("quench plan", lambda: _plan(situation))


def _plan(situation: Situation) -> QuenchPlan:
    ledger, inventory, stocks = book(situation), inventory_of(situation), quenched(situation)
    quench = quench_of(ledger, stocks)
    if quench.unsaid and not ledger.missing:
        quench = _with_unsaid(ledger, quench, stocks)
    soonest = rule_number(ledger, "quench", "soonest")
    time = np.maximum(quench.heat / ledger.default("quench.heat", 0.1, 1e6), soonest)
    said = {"heat": quench.heat, **quench.gases}
    taken = figure_on(inventory, ledger, time, said)
    fastest = _litres(quench.whole) / 1e3 / time * ledger.default("quench.peak", 1.0, 100.0)
    metal = sum(metal_mass(ledger, stocks).values(), np.zeros(time.shape))
    solvent = worse_end(metal) / 1e3 * _number(situation, "quench", "solvent")
    return QuenchPlan(quench, taken, figure_on(inventory, ledger, fastest, said), solvent)


def _with_unsaid(ledger: Ledger, quench: Quench, stocks: tuple[Stock, ...]) -> Quench:
    """Substances without a heat in our tables count as their metal: that is more."""
    extra = np.zeros(quench.heat.shape)
    for stock in stocks:
        plain_metals = {
            element: moles * count
            for formula, moles in stock.moles.items()
            if formula in quench.unsaid
            for element, count in _metals(formula).items()
        }
        extra = extra + quench_of(ledger, [Stock(stock.place, stock.kind, plain_metals)]).heat
    return Quench(quench.gases, quench.heat + extra, quench.unsaid)


def _metals(formula: str) -> dict[str, int]:
    return {each: count for each, count in elements_of(formula).items() if each not in ("N", "H", "O", "C")}


def _number(situation: Situation, subject: str, name: str) -> float:
    row = situation.tables.find("hazards", subject, name)
    return number_of(row).best if isinstance(row, Row) else float("nan")


def _litres(moles: Array) -> Array:
    """Litres at 20 degC and one atmosphere."""
    return np.asarray(moles * GAS_CONSTANT * STATED / ATMOSPHERE * 1e3)


def gas_litres(quench: Quench) -> tuple[str, ...]:
    """Each gas of a quench in words."""
    middles = {gas: float(np.median(_litres(moles))) for gas, moles in quench.gases.items()}
    return tuple(
        f"{plain(litres)} L {_NAMES.get(gas, gas)}" for gas, litres in middles.items() if litres >= 5e-4
    )


def _quench(situation: Situation, state: str) -> Check:
    plan = quench_plan(situation)
    retort = f"piece.{situation.tree.instances[0].row.name}"
    because = "what is left to be quenched is not known."
    if not plan.time.missing:
        heat = float(np.median(plan.quench.heat)) / 1e3
        because = (
            f"{plain(heat)} kJ and {listed(list(gas_litres(plan.quench)))}; {alcohol_for(situation)} first, drop by "
            f"drop, in {plain(plan.solvent * 1e3)} L of dry inert solvent under argon, at no more heat than the bath "
            "takes; water last."
        )
    notes = (words_of(situation, "quench", "hand-in"), words_of(situation, "quench", "never"))
    return made(
        situation, "quench", state, retort, "least time that the quench takes", "hours", plan.time,
        limit_from_rule(book(situation), "quench"), because, notes,
    )  # fmt: skip


def _quench_hydrogen(situation: Situation, state: str) -> Check:
    """The fastest gas over what the hood draws."""
    plan, hood, ledger = quench_plan(situation), situation.rig.safety.hood, book(situation)
    limit = limit_from_rule(book(situation), "quench-hydrogen")
    most = limit.value * (1.0 - kept_back(situation, "quench-hydrogen"))
    wanted = plain(worse_end(plan.fastest.values) / most * 3600)
    if hood is None:
        says = f"what the hood draws is not said: {wanted} m3/h at least, as safety.hood"
        ledger.missing.append(Missing("safety.hood", says))
        flow = np.full(ledger.draws.size, np.nan)
    else:
        flow = ledger.figure("safety.hood", hood, "m^3/s", 1e-9)
    ledger.used |= {belief.name: belief for belief in plan.fastest.inputs}
    figure = figure_on(inventory_of(situation), ledger, plan.fastest.values / flow, dict(plan.fastest.said))
    because = (
        f"gas comes in fits, {plain(float(np.median(plan.fastest.values)) * 6e4)} L/min at the fastest; the hood has "
        f"to draw {wanted} m3/h."
    )
    return made(
        situation, "quench-hydrogen", state, "safety.hood", "burning gas in what the hood draws at the quench",
        "portion", figure, limit, because,
    )  # fmt: skip
