# SPDX-License-Identifier: MIT
"""Whether vapour gets over the crest of its way, or all of it condenses on rising walls and runs back.

The walls that rise from the charge, and the arms on them, have to be kept at the dew point by
vapour that comes and runs back. That takes heat, which the furnace has to give, vapour, which has
to pass the retort, and metal, which hangs on those walls as a film. Where one of them is not enough
nothing is delivered.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.choked import choked_mass_flux
from retortwright.reference.datum import Missing
from retortwright.situation.charge import charge_of
from retortwright.situation.crossing import Crossing
from retortwright.situation.figure import Figure
from retortwright.situation.reflux import reflux_of
from retortwright.situation.supply import spare_power

__all__ = ["delivered", "stays_solid"]

_MONATOMIC = 5 / 3
_LITTLE = 0.05  # W: less reflux than this asks nothing of a furnace
_SOME = 1.0  # W of reflux from which on it matters where it stays


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
    ledger = crossing.ledger()
    reflux = reflux_of(crossing)
    brought = _brought(crossing)
    film = _film(crossing, ledger, reflux.area)
    freed, _ = charge_of(crossing.situation).freed(ledger)
    said = {"heat": reflux.heat, "rising": reflux.rising, "brought": brought, "film": film, "freed": freed}
    enough = (reflux.rising <= brought) & (film <= freed)
    if np.any(reflux.heat > _LITTLE):
        spare, more = spare_power(crossing, ledger)
        said |= more | {"spare": spare}
        enough &= reflux.heat <= np.maximum(spare, _LITTLE)
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
