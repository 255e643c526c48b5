# SPDX-License-Identifier: MIT
"""Whether vapour gets over the crest of its way, or all of it condenses on rising walls and runs back.

The walls that rise from the charge have to be kept at the dew point by vapour that comes and runs
back. That takes heat, which the furnace has to give, vapour, which has to pass the retort, and
metal, which hangs on those walls as a film. Where one of them is not enough nothing is delivered.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.choked import choked_mass_flux
from retortwright.reference.datum import Missing
from retortwright.situation.charge import charge_of
from retortwright.situation.crossing import Crossing
from retortwright.situation.figure import Figure
from retortwright.situation.supply import spare_power
from retortwright.situation.vapour_exchange import HotVapour

__all__ = ["Reflux", "delivered", "reflux_of", "stays_solid"]

_MONATOMIC = 5 / 3
_LITTLE = 0.05  # W: less reflux than this asks nothing of a furnace
_SOME = 1.0  # W of reflux from which on it matters where it stays
_WET = 30.0  # W/m^2 from vapour, from which on a wall counts as wet


@dataclass(frozen=True, slots=True)
class Reflux:
    """What runs back on the rising walls and in the arms on them: (samples,)."""

    heat: Array  # W that those walls take at the dew point
    rising: Array  # W of it on the way itself, up to its crest
    area: Array  # m^2 that are wet


def reflux_of(crossing: Crossing) -> Reflux:
    """The reflux of a state."""
    samples = crossing.situation.draws.size
    heat, rising, area = np.zeros(samples), np.zeros(samples), np.zeros(samples)
    temperature, mesh = crossing.heat.temperature, crossing.mesh
    for exchange in crossing.exchanges:
        if not isinstance(exchange, HotVapour):
            continue
        leaving, _ = exchange.heat(temperature[exchange.cells])
        own = np.isin(exchange.cells, crossing.vapour.ways.back)
        heat = heat - np.sum(leaving, axis=0)
        rising = rising - np.sum(leaving[own], axis=0)
        inside = np.pi * (mesh.outside - 2 * mesh.wall)[exchange.cells] * mesh.width[exchange.cells]
        wet = -leaving > _WET * inside[:, None]
        area = area + np.sum(np.where(wet, inside[:, None], 0.0), axis=0)
    return Reflux(heat, rising, area)


def stays_solid(crossing: Crossing) -> Missing | None:
    """Why nothing can be said where walls from which metal should run back are colder than it melts."""
    melting = crossing.melting(crossing.plain_ledger())
    dew = float(np.median(crossing.vapour.dew))
    heat = float(np.median(reflux_of(crossing).heat))
    if not (dew < melting and heat > _SOME):
        return None
    says = (
        f"vapour at {dew - 273.15:.0f} degC meets colder walls above the charge or in arms, and {crossing.metal} "
        f"melts at {melting - 273.15:.0f} degC: it stays there as a crust, and how that grows is not computed"
    )
    return Missing(f"piece.{crossing.tree.instances[0].row.name}", says)


def delivered(crossing: Crossing) -> Figure:
    """The share of what leaves the charge that gets over the crest of its way: all or nothing."""
    ledger, vapour = crossing.ledger(), crossing.vapour
    reflux = reflux_of(crossing)
    product = vapour.entering * vapour.latent
    brought = _brought(crossing)
    film = _film(crossing, ledger, reflux.area)
    freed, _ = charge_of(crossing.situation).freed(ledger)
    said = {"heat": reflux.heat, "rising": reflux.rising, "brought": brought, "film": film, "freed": freed}
    enough = (reflux.rising <= brought) & (film <= freed)
    if np.any(reflux.heat > _LITTLE):
        spare, more = spare_power(crossing, ledger)
        said |= more | {"spare": spare}
        enough &= reflux.heat + product <= spare
    return crossing.figure(ledger, enough.astype(float), said)


def _brought(crossing: Crossing) -> Array:
    """Heat that vapour can bring through the retort at the speed of sound [W]."""
    vapour, stream = crossing.vapour, crossing.vapour.stream
    bore = crossing.tree.instances[0].row.tube.bore
    flux = choked_mass_flux(stream.over_charge, stream.temperature, stream.gas.molar_mass, _MONATOMIC)
    return np.asarray(flux) * np.pi / 4 * bore**2 / stream.gas.molar_mass * vapour.latent


def _film(crossing: Crossing, ledger: Ledger, area: Array) -> Array:
    """Metal that hangs on the wet walls [kg]."""
    density = crossing.liquid_density(ledger, _dew(crossing))
    return np.asarray(ledger.default("film.thickness", 0.0, 0.01) * density * area)


def _dew(crossing: Crossing) -> NDArray[np.float64]:
    return np.asarray(crossing.vapour.dew)
