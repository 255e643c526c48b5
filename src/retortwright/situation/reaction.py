# SPDX-License-Identifier: MIT
"""What stands over the charge of a rig: pressures fresh and late, what comes over besides, which temperatures serve."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.species import name_parts
from retortwright.reference.tables import Tables
from retortwright.situation.charge import needed_conversion
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.equilibrium import Vapours, charge_equilibrium
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.reaction_course import course_carried, course_pressure
from retortwright.situation.route import Route, anion_of, molar_mass, route_of
from retortwright.situation.timing import hottest_state

if TYPE_CHECKING:
    from retortwright.situation.situation import Situation

__all__ = ["COLDEST", "FRESH", "HOTTEST", "ReactionWork", "carried_share", "crossing", "product_pressure"]

FRESH = 1e-3  # share of the metal that has left a charge that counts as fresh
COLDEST, HOTTEST = 650.0, 1650.0  # K, between which a serving temperature is looked for
_STEPS_OF_HEAT, _STEPS_OF_RUN = 16, 6
_BESIDES = 0.02  # share of the charge, or of its salt, from which on a third substance counts


class ReactionWork:
    """Figures of the reaction of one situation, each made when first asked for."""

    def __init__(self, situation: Situation) -> None:
        self.situation = situation
        self.rig, self.tables = situation.rig, situation.tables
        self.route: Route | Missing = route_of(self.rig, self.tables)
        self.state = hottest_state(self.rig)
        self._grid = 1 / np.linspace(1 / COLDEST, 1 / HOTTEST, _STEPS_OF_HEAT)
        self._nothing = np.zeros(situation.draws.size)

    def ledger(self) -> Ledger:
        """A new ledger."""
        return Ledger(self.rig, self.tables, self.situation.draws)

    def charge_temperature(self, ledger: Ledger) -> Array:
        """Temperature of the charge in the hottest state [K]."""
        target = self.rig.set_point(self.state) if self.state is not None else None
        if target is None:
            ledger.missing.append(Missing("programme.steps", "no step of the programme heats the charge"))
            return np.full(ledger.draws.size, np.nan)
        return target + ledger.default("furnace.offset") + ledger.default("charge.offset")

    def pressure(self, late: bool) -> Figure:
        """Pressure of the product over the charge, fresh or when as much has left as is wanted [Pa]."""
        make = partial(self._pressure, late=late)
        course = partial(course_pressure, self, late, FRESH)
        return self.situation.once(f"pressure late={late}", lambda: self._figure(make, course))

    def _pressure(self, ledger: Ledger, route: Route, late: bool) -> tuple[Array, dict[str, Array]]:
        left = needed_conversion(self.situation, ledger) if late else np.full(ledger.draws.size, FRESH)
        temperature = self.charge_temperature(ledger)
        equilibrium = charge_equilibrium(Chemistry(ledger), route, temperature)
        if equilibrium is None:
            return np.full(ledger.draws.size, np.nan), {}
        vapours = equilibrium.at(left)
        said = {"left": left, "temperature": temperature, "saturated": vapours.saturated.astype(float)}
        for solid in equilibrium.pair.solids:
            if 0 < solid.share < 1:
                knee = (
                    route.salts * solid.share / (route.lefts * (1 - solid.share) + route.salts * solid.share)
                )
                said[f"knee {solid.name}"] = np.full(ledger.draws.size, knee)
                said[f"after {solid.name}"] = product_pressure(equilibrium.at(min(knee + 0.05, 0.98)), route)
        return product_pressure(vapours, route), said

    def carried(self, what: str) -> Figure:
        """Mass of `reductant` or `salt` that leaves with the product until enough has left, over the product's."""
        make = partial(self._carried, what=what)
        course = partial(course_carried, self, what)
        return self.situation.once(f"carried {what}", lambda: self._figure(make, course))

    def _carried(self, ledger: Ledger, route: Route, what: str) -> tuple[Array, dict[str, Array]]:
        temperature = self.charge_temperature(ledger)
        equilibrium = charge_equilibrium(Chemistry(ledger), route, temperature)
        if equilibrium is None:
            return np.full(ledger.draws.size, np.nan), {}
        left = needed_conversion(self.situation, ledger)
        shares = np.mean(carried_share(self.tables, equilibrium.at(_parts_of(left)), route, what), axis=-2)
        last = carried_share(self.tables, equilibrium.at(left), route, what)
        return shares, {"left": left, "last": last, "temperature": temperature}

    def serving(self) -> tuple[Figure, Figure, Figure]:
        """Temperatures of the charge [K]: from which the product comes at a useful rate, and up to which
        what comes along (said for `reductant` and `salt`) and the wall of the retort allow."""
        return self.situation.once("serving", self._serving)

    def _serving(self) -> tuple[Figure, Figure, Figure]:
        makers = (self._useful_from, self._clean_up_to, self._wall_up_to)
        low, clean, wall = (self._served(self._figure(make)) for make in makers)
        return low, clean, wall

    def _served(self, figure: Figure) -> Figure:
        """The figure, with the reason where no sample of it has a number."""
        if figure.missing or np.any(np.isfinite(figure.values)) or isinstance(self.route, Missing):
            return figure
        says = "its melt or slag is not in our tables at the temperatures at which it would serve"
        return replace(figure, missing=(Missing(f"charge.{self.route.salt}", says),))

    def _useful_from(self, ledger: Ledger, route: Route) -> tuple[Array, dict[str, Array]]:
        """The coldest charge over which the product keeps a useful pressure until enough has left."""
        row = ledger.row("rules", "pressure-late", "limit")
        wanted = number_of(row).best if isinstance(row, Row) else np.nan
        equilibrium = charge_equilibrium(Chemistry(ledger), route, self._grid[:, None] + self._nothing)
        if equilibrium is None:
            return self._nothing + np.nan, {}
        pressure = product_pressure(equilibrium.at(needed_conversion(self.situation, ledger)), route)
        return crossing(self._grid, np.log(pressure / wanted)), {}

    def _clean_up_to(self, ledger: Ledger, route: Route) -> tuple[Array, dict[str, Array]]:
        """The hottest charge from which no more comes along than the grade allows."""
        allowed = {what: self.grade(ledger, what) for what in ("reductant", "salt")}
        temperature = self._grid[:, None, None] + self._nothing
        equilibrium = charge_equilibrium(Chemistry(ledger), route, temperature)
        if equilibrium is None:
            return self._nothing + np.nan, {}
        vapours = equilibrium.at(_parts_of(needed_conversion(self.situation, ledger)))
        ends = {}
        for what, most in allowed.items():
            share = np.mean(carried_share(self.tables, vapours, route, what), axis=-2)
            ends[what] = crossing(self._grid, np.log(share / most))
        return np.minimum(ends["reductant"], ends["salt"]), ends

    def _wall_up_to(self, ledger: Ledger, route: Route) -> tuple[Array, dict[str, Array]]:
        """The charge when the wall of the retort is at its service limit."""
        del route
        retort = next(piece for piece in self.rig.pieces if piece.on is None)
        row = ledger.row("materials", retort.of, "service-limit")
        value = number_of(row).best if isinstance(row, Row) else np.nan
        return value + ledger.default("charge.offset"), {}

    def grade(self, ledger: Ledger, what: str) -> Array:
        """What the grade allows of reductant or salt, as a mass over that of the product."""
        grade = self.rig.aim.grade
        if grade is None:
            ledger.missing.append(
                Missing("aim.grade", "how clean the metal has to be is not said: aim.grade")
            )
            return np.full(ledger.draws.size, np.nan)
        return ledger.sampled(f"grade.{grade}.{what}", "grades", grade, what, 0.0, 1.0)

    def _figure(
        self,
        make: Callable[[Ledger, Route], tuple[Array, dict[str, Array]]],
        course: Callable[[], Figure] | None = None,
    ) -> Figure:
        """From the picture of one salt and one reductant; where that does not serve, from the `course`."""
        ledger = self.ledger()
        besides = self.route if isinstance(self.route, Missing) else self.besides()
        if besides is None and not isinstance(self.route, Missing):
            values, said = make(ledger, self.route)
            if not ledger.missing or course is None:
                return figure_of(ledger, values, said)
        if besides is not None:
            ledger.missing.append(besides)
        if course is not None:
            other = course()
            if not other.missing:
                return other
            ledger.missing = [*other.missing]
        return figure_of(ledger, self._nothing + np.nan)

    def besides(self) -> Missing | None:
        """What is in the charge besides one salt and one reductant, enough of it to matter; None where nothing is."""
        if isinstance(self.route, Missing):
            return None
        pair = (self.route.salt, self.route.reductant)
        whole = sum(each.mass.best for each in self.rig.charge)
        for each in self.rig.charge:
            found = each.formula if each.formula not in pair and each.mass.best > _BESIDES * whole else None
            if each.formula == pair[0]:
                inside = each.contains.items()
                found = next((name for name, band in inside if name != "H2O" and band.best > _BESIDES), found)
            if found is not None:
                says = f"{found} is in the charge besides {pair[0]} and {pair[1]}: "
                says += "the temperatures that serve are computed for two only"
                return Missing(f"charge.{each.formula}", says)
        return None


def _parts_of(left: Array) -> Array:
    """The middles of equal parts of the run, along a new axis before the samples."""
    return (np.arange(_STEPS_OF_RUN)[:, None] + 0.5) / _STEPS_OF_RUN * left


def product_pressure(vapours: Vapours, route: Route) -> Array:
    """The sum over the gases that are nothing but the product metal [Pa]."""
    own = [gas for gas in vapours.pressures if set(elements_of(name_parts(gas)[0])) == {route.metal}]
    return np.asarray(sum((vapours.pressures[gas] for gas in own[1:]), vapours.pressures[own[0]]))


def carried_share(tables: Tables, vapours: Vapours, route: Route, what: str) -> Array:
    """Mass of reductant, or of salt counted by its anion, over that of the product in the vapour.

    A suboxide of the reductant (SiO, Al2O) is reductant that comes over with its oxygen, and no oxide of the product.
    """
    (anion,) = anion_of(route.salt, route.metal)
    suboxide = route.reductant if anion == "O" else None
    salt = vapours.atoms(anion, without=suboxide)
    product = vapours.atoms(route.metal) * molar_mass(tables, route.metal)
    if what == "reductant":
        mass = vapours.atoms(route.reductant) * molar_mass(tables, route.reductant)
        if suboxide is not None:
            mass = mass + vapours.atoms(anion, beside=suboxide) * molar_mass(tables, anion)
        return np.asarray(mass / product)
    per_anion = molar_mass(tables, route.salt) / elements_of(route.salt)[anion]
    return np.asarray(salt * per_anion / product)


def crossing(grid: Array, over: Array) -> Array:
    """Where a rising curve first comes above zero, straight in 1/T; the ends of what is known of it where it does not.

    A curve may begin to be known only at some temperature. Unknown again above that before it crosses, it has none.
    """
    known = np.isfinite(over)
    start = np.argmax(known, axis=0)
    above = over > 0
    place = np.argmax(above, axis=0)
    upper = np.clip(place, np.minimum(start + 1, len(grid) - 1), len(grid) - 1)
    columns = np.arange(over.shape[1])
    low, high = over[upper - 1, columns], over[upper, columns]
    with np.errstate(invalid="ignore", divide="ignore"):
        weight = np.clip(low / (low - high), 0.0, 1.0)
    found = 1 / ((1 - weight) / grid[upper - 1] + weight / grid[upper])
    found = np.where(np.any(above, axis=0), found, grid[-1])
    found = np.where(np.any(above, axis=0) & (place == start), grid[start], found)
    last = np.where(np.any(above, axis=0), place, len(grid) - 1)
    rows = np.arange(len(grid))[:, None]
    whole = known | (rows < start) | (rows > last)
    return np.where(np.any(known, axis=0) & np.all(whole, axis=0), found, np.nan)
