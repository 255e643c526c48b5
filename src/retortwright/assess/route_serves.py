# SPDX-License-Identifier: MIT
"""The temperatures between which a route serves, as the finding `window`, and what stands over it there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.assess.check import Check, finding_of, limit_from_rule
from retortwright.assess.finding import Finding
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.melts import equilibrium_pressure
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.species import STANDARD_PRESSURE
from retortwright.situation.candidates import Candidate
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.figure import figure_of
from retortwright.situation.reaction import crossing
from retortwright.situation.route_window import GRID, RouteWindow, Seen, route_window
from retortwright.situation.situation import Situation

__all__ = ["Served", "served"]

_STEP = 50.0  # K above the start at which a window is looked at where practice has no temperature


@dataclass(frozen=True, slots=True)
class Served:
    """A window with its finding."""

    window: RouteWindow
    finding: Finding
    upper: Array  # K, over the samples: the colder of what comes along, the wall, and the end of the data
    rules: str  # what the upper end is due to: reductant, salt, wall or data
    looked_at: float  # K
    seen: Seen

    @property
    def within(self) -> bool:
        """Whether a useful pressure is reached where our data hold."""
        return bool(np.median(self.window.low) < self.window.top * (1 - 1e-9))


def served(
    situation: Situation, candidate: Candidate, cap: float | None, usual: Row | None
) -> Served | Missing:
    """The window of a charge; the datum that is missing where there is none."""
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    make = _saturated if candidate.redistils else route_window
    window = make(situation, ledger, candidate.beside)
    if window is None:
        return ledger.missing[0]
    ends = {what: float(np.median(values)) for what, values in window.clean.items()}
    upper = np.minimum(window.upper, window.top)
    ends["data"] = window.top
    if cap is not None:
        wall = cap + ledger.default("charge.offset")
        upper, ends["wall"] = np.minimum(upper, wall), float(np.median(wall))
    rules = min(ends, key=lambda each: ends[each])
    if ends[rules] > window.top * (1 - 1e-9):
        rules = "data"
    low, high = float(np.median(window.low)), float(np.median(upper))
    finding = _finding(situation, candidate, ledger, window, upper)
    looked_at = _looked_at(low, high, usual)
    return Served(window, finding, upper, rules, looked_at, window.at(looked_at))


def _looked_at(low: float, high: float, usual: Row | None) -> float:
    """The temperature of practice where it serves, else a little above the start."""
    if usual is not None and low <= number_of(usual).best <= max(high, low):
        return number_of(usual).best
    return max(low, min(low + _STEP, high))


def _finding(
    situation: Situation, candidate: Candidate, ledger: Ledger, window: RouteWindow, upper: Array
) -> Finding:
    """The width of the window against that of practice.

    Where the pressure is not reached before our data end, hotter might do; not so at the hot end of all that is
    looked at, nor where more of something else than of the metal comes over by then.
    """
    end = window.top * (1 - 1e-9)
    ends = np.median(window.low) >= end and np.median(upper) >= end and window.top < GRID[-1] * (1 - 1e-9)
    if ends and not window.at(window.top).besides > 1:
        says = f"no useful pressure up to {window.top - 273.15:.0f} degC, where our data end"
        ledger.missing.append(Missing(f"charge.{candidate.salt}", says))
    figure = figure_of(ledger, upper - window.low)
    at = f"charge.{candidate.salt}"
    check = Check(
        "window", "distil", candidate.salt, "temperatures of the charge that serve", at, "temperature_difference",
        figure, limit_from_rule(Ledger(situation.rig, situation.tables, situation.draws), "window"), "",
        "low", doubtful=bool(window.alloys) or candidate.redistils,
    )  # fmt: skip
    return finding_of(situation, check, 1)


def _saturated(situation: Situation, ledger: Ledger, beside: str) -> RouteWindow | None:
    """The metal alone: its own saturated vapour, and nothing known of what else is in it."""
    del beside
    metal, chemistry = situation.rig.aim.metal, Chemistry(ledger)
    temperature = GRID[:, None] + np.zeros(ledger.draws.size)
    condensed = chemistry.lowest(
        [
            f"{metal}({phase})"
            for phase in "sl"
            if ("species", f"{metal}({phase})", "piece-1") in situation.tables.rows
        ],
        temperature,
    )
    gas = chemistry.gibbs(f"{metal}(g)", temperature)
    pressure = np.asarray(equilibrium_pressure(temperature, condensed, gas, STANDARD_PRESSURE))
    known = np.isfinite(pressure).all(axis=1)
    if known.sum() < 2:
        ledger.missing.append(Missing(f"species/{metal}(g)", f"no vapour pressure of {metal} in our tables"))
        return None
    wanted = number_of(situation.tables.rows["rules", "pressure-fresh", "limit"]).best
    grid = GRID[known]
    low = crossing(grid, np.log(pressure[known] / wanted))
    nothing = np.full(pressure.shape, np.nan)
    high = np.full(len(low), grid[-1])
    ends = (float(grid[0]), float(grid[-1]))
    return RouteWindow(
        low, low, low, {"reductant": high, "salt": high}, *ends, 1.0, 1.0, 1.0, pressure,
        {"reductant": nothing, "salt": nothing}, False, (),
    )  # fmt: skip
