# SPDX-License-Identifier: MIT
"""What of a trace in the vapour the walls of the line could catch before the product lands.

From the charge to the place where the product begins to land, each stretch of wall that is colder than
the trace is saturated at takes up what diffuses to it through the stream (a settled laminar stream in a
tube). That is the most: what turns to fog in the stream goes on to the receiver with the product.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.physics.carry_over import share_past_wall
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.physics.melts import equilibrium_pressure
from retortwright.physics.vaporisation import hard_sphere_diffusivity
from retortwright.reference.datum import Missing
from retortwright.reference.species import STANDARD_PRESSURE, condensed_of, gases_of
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.crossing import Crossing
from retortwright.situation.landing import Landing
from retortwright.situation.takers import molar

__all__ = ["saturated", "share_past"]

_SHERWOOD = 3.66  # settled laminar stream in a tube of even wall
_LANDS = 0.99  # share of the product that still passes where it begins to land


def share_past(crossing: Crossing, ledger: Ledger, formula: str, ratio: Array) -> Array:
    """The share of a trace that gets past the walls where they catch all they can, (samples,).

    `ratio` is molecules of the trace over those of the product as they leave the charge, (samples,).
    """
    landing = crossing.vapour.landings[crossing.vapour.same[0]]
    cells = landing.cells[: _before_landing(landing)]
    if not len(cells):
        return np.ones(ledger.draws.size)
    wall, mesh = crossing.heat.temperature[cells], crossing.mesh
    over = np.maximum(landing.along[: len(cells)], 1e-9)
    least = saturated(Chemistry(ledger), formula, wall) / over
    passes = _past_each(crossing, ledger, formula, landing, wall, over, mesh.width[cells])
    passes = np.where(landing.passing[: len(cells)] > _LANDS * landing.entering, passes, 1.0)
    left = np.broadcast_to(ratio, (ledger.draws.size,)).copy()
    for one, share in zip(least, passes, strict=True):
        left = np.where(left > one, one + (left - one) * share, left)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(ratio > 0, left / ratio, 1.0)


def _before_landing(landing: Landing) -> int:
    """How many cells the stream passes before the product lands in the last of the samples."""
    still = np.any(landing.passing > _LANDS * landing.entering, axis=1)
    return int(np.argmin(still)) if not np.all(still) else len(still)


def _past_each(
    crossing: Crossing,
    ledger: Ledger,
    formula: str,
    landing: Landing,
    wall: Array,
    over: Array,
    width: Array,
) -> Array:
    """The share that gets past each cell, (cells, samples)."""
    mass, own = molar(ledger, crossing.metal), molar(ledger, formula)
    diameter = crossing.vapour.stream.gas.diameter
    if ("metals", formula, "collision-diameter") in ledger.tables.rows:
        name = f"collision-diameter.{formula}"
        other = ledger.sampled(name, "metals", formula, "collision-diameter", 1e-11, 1e-8)
        diameter = (diameter + other) / 2
    diffusivity = hard_sphere_diffusivity(over, wall, own, mass, diameter)
    density = over / (GAS_CONSTANT * wall)
    flow = np.maximum(landing.passing[: len(over)], 1e-30)
    return np.asarray(share_past_wall(_SHERWOOD, diffusivity, density, width[:, None], flow))


def saturated(chemistry: Chemistry, formula: str, temperature: Array) -> Array:
    """Pressure of all molecules of a pure metal or salt over itself [Pa]; nan with the reason written down."""
    tables, elements = chemistry.ledger.tables, elements_of(formula)
    condensed = [each.name for each in condensed_of(tables, elements) if each.formula == formula]
    gases = [each for each in gases_of(tables, elements) if _times(each.elements, elements) > 0.0]
    if not condensed or not gases:
        says = f"no thermochemical data of {formula} and its vapour in our tables"
        chemistry.ledger.missing.append(Missing(f"species/{formula}(g)", says))
        return np.full(np.shape(temperature), np.nan)
    pure, total = chemistry.lowest(condensed, temperature), np.zeros(np.shape(temperature))
    for gas in gases:
        units, own = _times(gas.elements, elements), chemistry.gibbs(gas.name, temperature)
        total = total + np.asarray(equilibrium_pressure(temperature, units * pure, own, STANDARD_PRESSURE))
    return np.asarray(total)


def _times(gas: Mapping[str, int], formula: Mapping[str, int]) -> float:
    """How many formulas a gas is made of; none where it is made of something else."""
    if set(gas) != set(formula):
        return 0.0
    times = {gas[element] / count for element, count in formula.items()}
    return times.pop() if len(times) == 1 else 0.0
