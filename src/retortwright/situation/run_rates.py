# SPDX-License-Identifier: MIT
"""The rates of a run: heat and metal of every sample at one moment.

The metal comes at the pace of practice as it is at the hottest set-point, and in proportion to the
pressure over the charge where that is colder or hotter. The face of the charge and the way to the
receivers bound it; where two of the three are alike they hinder each other, by a sixth at most.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.physics.receding import receding_face_pace
from retortwright.situation.charge_course import ChargeCourse
from retortwright.situation.over_charge import OverCharge
from retortwright.situation.run_heat import RunHeat
from retortwright.situation.run_line import Passing
from retortwright.situation.run_programme import Stretch

__all__ = ["DRIVING", "STATES", "Look", "RunParts", "StretchRates", "lesser"]

STATES = (
    "heat", "bound", "free",  # J, mol, mol
    "gone", "furnace", "room", "taken", "wet",  # mol, then sums of heat [J], and the time at which water leaves [s]
)  # fmt: skip
DRIVING = tuple(range(3))
_HEAT, _BOUND, _FREE = DRIVING
_SHARP = 4  # power by which what hinders adds up
_SPENT = 1e-3  # share left from which on the rest follows in proportion
_PROMPT = 20.0  # s in which free metal leaves where nothing hinders it
_CONTROLLED = 30.0  # s in which a furnace that can brings the mass to its set-point
_WATER_FROM, _WATER_OVER = 373.15, 20.0  # K from which water leaves, K over which that sets in
_LAST_OPEN = 0.02  # of the bore, over which a crust shuts it
_HOTTEST = 3.0  # ln of the pace over that at the hottest set-point, at most
_SATURATED = 0.03  # ln of the pressure over that of the metal: so near counts as free metal in the pot


@dataclass(frozen=True, slots=True)
class RunParts:
    """What the rates of a rig are made of: arrays (samples,)."""

    heat: RunHeat
    over: OverCharge
    passing: Passing
    face: Array  # mol/s/Pa that the face of the charge gives off at the hottest set-point
    comes: Array  # mol that leave the pot in all
    time: Array  # s in which they do at the hottest set-point
    peak: Array
    crust: Array  # of the bore filled where it is fullest when all has come; above 1 it shuts before
    besides: Mapping[str, Array]  # kg that have come along, (shares, samples), as in `over`
    course: ChargeCourse | None  # where the pressures are those of one


@dataclass(frozen=True, slots=True)
class Look:
    """One moment: (samples,)."""

    mass: Array  # K of wall and charge together
    capacity: Array  # J/K
    charge: Array  # K
    over: Array  # ln of the product's pressure over the charge [Pa]
    reaction: Array  # mol/s that the charge would free
    surface: Array  # mol/s that its face would give off
    line: Array  # mol/s that the way would take
    freed: Array  # mol/s
    leaving: Array  # mol/s


def lesser(one: Array, other: Array) -> Array:
    """The lesser of two, less where they are alike."""
    least, most = np.minimum(one, other), np.maximum(one, other)
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.where(most > 0.0, least / most, 0.0)
    return np.asarray(least / (1.0 + np.maximum(ratio, 0.0) ** _SHARP) ** (1.0 / _SHARP))


class StretchRates:
    """The rates over one stretch of the programme."""

    def __init__(self, parts: RunParts, stretch: Stretch, passing: Passing | None = None) -> None:
        self.parts, self.stretch = parts, stretch
        self.passing = parts.passing if passing is None else passing
        self.ramp = (stretch.after - stretch.before) / (stretch.end - stretch.start)

    def look(self, state: Array, which: NDArray[np.intp]) -> Look:
        """What comes and what bounds it."""
        parts, comes = self.parts, self.parts.comes[which]
        mass, capacity = parts.heat.at(state[_HEAT], which)
        charge = parts.heat.charge(mass, which)
        left = np.fmin(np.fmax(state[_BOUND] / comes, 0.0), 1.0)
        gone = 1.0 - (state[_BOUND] + state[_FREE]) / comes
        over, top, pure = parts.over.at(gone, charge, which)
        pace = receding_face_pace(left, parts.time[which], parts.peak[which]) * left / (left + _SPENT)
        reaction = comes * pace * np.exp(np.minimum(over - top, _HOTTEST))
        surface = parts.face[which] * np.exp(over) * np.sqrt(parts.over.top[which] / charge)
        fullness = parts.crust[which] * gone
        line = np.exp(self.passing.at(over, which)) * np.clip((1.0 - fullness) / _LAST_OPEN, 0.0, 1.0)
        bound = lesser(surface, line)
        near = (over - pure + _SATURATED) / _SATURATED
        pooling = np.clip(near, 0.0, 1.0)  # whether metal that cannot leave lies free in the pot
        freed = pooling * reaction + (1.0 - pooling) * lesser(reaction, bound)
        leaving = lesser(bound, np.maximum(freed + state[_FREE] / _PROMPT, 0.0))
        return Look(mass, capacity, charge, over, reaction, surface, line, freed, leaving)

    def power(self, time: Array, look: Look, which: NDArray[np.intp]) -> tuple[Array, Array, Array]:
        """What the furnace gives, what goes to the room, and what reaction and vapour take [W]."""
        heat, stretch = self.parts.heat, self.stretch
        taken = heat.reaction[which] * look.freed + heat.vapour[which] * look.leaving
        usual = self.parts.comes[which] / self.parts.time[which]
        back = heat.back[which] * look.leaving / (look.leaving + 0.1 * usual)
        room = heat.loss[which] * (look.mass - heat.room[which]) + back
        cooling = look.capacity * (look.mass - heat.room[which]) / heat.decay[which]
        least = np.maximum(room + taken - cooling, 0.0)  # its own walls cool no faster
        if not stretch.hot:
            return least, room, taken
        target = stretch.before + self.ramp * (time - stretch.start)
        behind = heat.aimed(target, which) - look.mass
        wanted = room + taken + look.capacity * (self.ramp + behind / _CONTROLLED)
        return np.maximum(np.minimum(wanted, heat.power[which]), least), room, taken

    def __call__(self, time: Array, state: Array, which: NDArray[np.intp]) -> Array:
        """The rates of all states."""
        look = self.look(state, which)
        furnace, room, taken = self.power(time, look, which)
        rates = np.empty_like(state)
        rates[_HEAT] = furnace - room - taken
        rates[_BOUND] = -look.freed
        rates[_FREE] = look.freed - look.leaving
        rates[3], rates[4], rates[5], rates[6] = look.leaving, furnace, room, taken
        rates[7] = np.clip((look.charge - _WATER_FROM) / _WATER_OVER, 0.0, 1.0)
        return rates
