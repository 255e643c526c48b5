# SPDX-License-Identifier: MIT
"""What could bound the stream of metal that leaves the charge: its surface, the line, the heat.

None of them is the rate of the reaction, which no published law gives: they are ceilings.
"""

from __future__ import annotations

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.physics.gas import effusion_flux
from retortwright.physics.vaporisation import evaporation_flux_share
from retortwright.reference.datum import Missing
from retortwright.situation.charge_heat import charge_power, furnace_power
from retortwright.situation.charge_room import charge_room
from retortwright.situation.crossing import Crossing
from retortwright.situation.figure import Figure
from retortwright.situation.holdup import held_back
from retortwright.situation.reflux import reflux_of

__all__ = ["heat_rate", "line_rate", "spare_power", "surface_rate", "wanted_rate"]


def wanted_rate(crossing: Crossing, ledger: Ledger) -> Array:
    """The stream that brings what is wanted, and what the walls keep, within the hold [kg/s]."""
    held, _ = held_back(crossing.tree, ledger, crossing.metal)
    return np.asarray((crossing.wanted(ledger) + held) / crossing.held_for(ledger))


def surface_rate(crossing: Crossing) -> Figure:
    """What the face of the charge gives off into nothing but its own vapour [kg/s]."""
    ledger, stream = crossing.ledger(), crossing.vapour.stream
    area = _face(crossing, ledger)
    coefficient = ledger.default("evaporation.coefficient", 1e-4, 1.0)
    share = np.asarray(evaporation_flux_share(np.zeros(ledger.draws.size), coefficient))
    flux = np.asarray(effusion_flux(stream.over_charge, stream.temperature, stream.gas.molar_mass))
    said = {"area": area, "pressure": stream.over_charge, "flux": share * flux}
    return crossing.figure(ledger, share * flux * area, said)


def _face(crossing: Crossing, ledger: Ledger) -> Array:
    """The level face of the charge in the retort [m^2]."""
    room = charge_room(crossing.charge)
    figure = room.cold() if room.melts() is False else room.melted()
    ledger.used |= {belief.name: belief for belief in figure.inputs}
    ledger.cites |= figure.cites
    ledger.missing += list(figure.missing)
    vessel = room.vessel
    rises = np.diff(vessel.below) / np.diff(vessel.levels)
    middles = (vessel.levels[1:] + vessel.levels[:-1]) / 2
    return np.asarray(np.interp(np.minimum(figure.values, vessel.height), middles, rises))


def line_rate(crossing: Crossing) -> Figure:
    """What the way to the receivers takes from the pressure over the charge [kg/s]."""
    ledger, vapour = crossing.ledger(), crossing.vapour
    said = {"pressure": vapour.stream.over_charge, "entering": vapour.entering}
    most = np.maximum(vapour.most, 0.0)  # none where the line is hotter than the charge can fill
    return crossing.figure(ledger, most * crossing.molar_mass(ledger), said)


def spare_power(crossing: Crossing, ledger: Ledger) -> tuple[Array, dict[str, Array]]:
    """What the furnace has left for charge and vapour when it holds the dry rig at its set-point [W]."""
    power = furnace_power(crossing.charge, crossing.state)
    if power is None:
        first = next((each.name for each in crossing.rig.heat if each.holds is None), "furnace")
        says = f"how much power the furnace has is not said: heat.{first}.power"
        ledger.missing.append(Missing(f"heat.{first}.power", says))
        return np.full(ledger.draws.size, np.nan), {}
    dry = crossing.situation.dry(crossing.state)
    led = [f"heat.{each.name}" for each in crossing.rig.heat if each.holds is None]
    walls = -np.sum([dry.flows[name] for name in led if name in dry.flows], axis=0)
    useful = power * ledger.default("furnace.useful", 0.01, 1.0)
    said = {"power": np.full(ledger.draws.size, power), "useful": useful, "walls": np.asarray(walls)}
    return np.asarray(np.maximum(useful - walls, 0.0)), said


def heat_rate(crossing: Crossing) -> Figure:
    """What the furnace can evaporate, with the heat that the reaction and what runs back take [kg/s]."""
    ledger = crossing.ledger()
    spare, said = spare_power(crossing, ledger)
    back = reflux_of(crossing).heat
    spare = np.maximum(spare - back, 0.0)
    figure = charge_power(crossing.charge)
    ledger.used |= {belief.name: belief for belief in figure.inputs}
    ledger.cites |= figure.cites
    ledger.missing += list(figure.missing)
    if ledger.missing:
        return crossing.figure(ledger, np.full(ledger.draws.size, np.nan))
    freed, _ = crossing.charge.freed(ledger)
    each = (np.maximum(figure.said["reaction"], 0.0) + figure.said["vapour"]) / freed
    return crossing.figure(ledger, spare / each, said | {"spare": spare, "each": each, "back": back})
