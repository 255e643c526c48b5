# SPDX-License-Identifier: MIT
"""A pump with its ultimate pressure, what a hose leaves of its speed, and the emptying of a volume."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array, Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly

__all__ = [
    "PumpDown",
    "base_pressure",
    "effective_speed",
    "pump_down",
    "pump_down_time",
    "pump_throughput",
]


_TURNS = 3  # of finding the speed at the middle pressure of a step


@dataclass(frozen=True, slots=True)
class PumpDown:
    """Pressure at each time, and what was pumped until then."""

    pressure: Real
    pumped: Real


@quietly
def pump_throughput(speed: Real, pressure: Real, ultimate_pressure: Real) -> Real:
    """Gas that a pump takes at a pressure, zero at its ultimate pressure.

    Parameters
    ----------
    speed : of the pump far above its ultimate pressure [m^3/s]
    pressure : at its inlet [Pa]
    ultimate_pressure : that it reaches without a load [Pa]

    Returns
    -------
    throughput : negative where the pump gives back gas [Pa m^3/s]

    Range
    -----
    Speed above zero, pressures not below zero; nan otherwise.

    Source
    ------
    S (p - p_ultimate) [dushman-1962], chapter 3.

    Example
    -------
    >>> round(float(pump_throughput(1.1e-3, 10.0, 0.5)), 5)
    0.01045
    """
    inside = positive(speed) & not_negative(pressure, ultimate_pressure)
    return kept(inside, speed * (pressure - ultimate_pressure))


@quietly
def effective_speed(speed: Real, conductance: Real) -> Real:
    """Speed of a pump behind a passage, at the near end of the passage.

    Parameters
    ----------
    speed : of the pump [m^3/s]
    conductance : of the passage [m^3/s]

    Returns
    -------
    speed : [m^3/s]

    Range
    -----
    Both above zero; nan otherwise. One temperature.

    Source
    ------
    Resistances in series, 1 / (1 / S + 1 / C) [dushman-1962], chapter 2.

    Example
    -------
    >>> round(float(effective_speed(1.1e-3, 0.1e-3)) * 1e3, 4)
    0.0917
    """
    both = np.divide(1.0, np.divide(1.0, speed) + np.divide(1.0, conductance))
    return kept(positive(speed, conductance), both)


@quietly
def base_pressure(load: Real, speed: Real, ultimate_pressure: Real) -> Real:
    """Pressure at which a pump takes just the gas that comes in.

    Parameters
    ----------
    load : throughput of all gas that comes in [Pa m^3/s]
    speed : of the pump where the pressure is asked for [m^3/s]
    ultimate_pressure : of the pump [Pa]

    Returns
    -------
    pressure : [Pa]

    Range
    -----
    Speed above zero, the rest not below zero; nan otherwise.

    Source
    ------
    p_ultimate + Q / S [dushman-1962], chapter 3.

    Example
    -------
    >>> round(float(base_pressure(1e-5, 1e-4, 0.5)), 3)
    0.6
    """
    inside = positive(speed) & not_negative(load, ultimate_pressure)
    return kept(inside, ultimate_pressure + np.divide(load, speed))


@quietly
def pump_down_time(volume: Real, speed: Real, start: Real, end: Real, base: Real) -> Real:
    """Time to empty a volume with a constant speed down to a pressure.

    Parameters
    ----------
    volume : to be emptied [m^3]
    speed : of the pump at the volume [m^3/s]
    start : pressure at the start [Pa]
    end : pressure that is to be reached [Pa]
    base : pressure at which it would end [Pa]

    Returns
    -------
    time : [s]

    Range
    -----
    Volume and speed above zero, start not below end, end above the base; nan otherwise.

    Source
    ------
    V / S ln((p1 - p0) / (p2 - p0)) [dushman-1962], chapter 3.

    Example
    -------
    >>> round(float(pump_down_time(5e-3, 2e-3, 101325.0, 100.0, 0.0)), 1)
    17.3
    """
    time = np.divide(volume, speed) * np.log(np.divide(start - base, end - base))
    inside = positive(volume, speed) & not_negative(base) & np.greater(end, base)
    return kept(inside & np.greater_equal(start, end), time)


@quietly
def pump_down(
    times: Array,
    volume: Real,
    start: Real,
    ultimate_pressure: Real,
    load: Real,
    decaying: Real,
    table_pressures: Array,
    table_speeds: Array,
) -> PumpDown:
    """Emptying of a volume through a passage that resists more the thinner the gas.

    Parameters
    ----------
    times : of the answer, rising from zero [s]
    volume : to be emptied [m^3]
    start : pressure at the start [Pa]
    ultimate_pressure : of the pump [Pa]
    load : throughput that stays: leaks and permeation [Pa m^3/s]
    decaying : gas by the inverse law of time, its throughput times the time [Pa m^3]
    table_pressures : rising pressures at which the speed is given [Pa]
    table_speeds : of the pump at the volume, one row a pressure [m^3/s]

    Returns
    -------
    pressure : at each time [Pa]
    pumped : gas pumped until then [Pa m^3]

    Range
    -----
    Volume above zero, the rest not below zero; nan otherwise. Speed straight between its pressures and
    held beyond them; the decaying gas begins after the first of the times. Conserves gas to rounding;
    in each step speed and load are constant: with 40 times a decade the pressure is good to 1 %.

    Source
    ------
    Exact solution in steps of constant speed and load [dushman-1962], chapter 3.

    Example
    -------
    >>> t = np.linspace(0.0, 17.3, 50)
    >>> run = pump_down(t, 5e-3, 101325.0, 0.0, 0.0, 0.0, np.array([1.0, 1e5]), np.array([[2e-3], [2e-3]]))
    >>> round(float(run.pressure[-1, 0]))
    100
    """
    shape = np.broadcast_shapes(*(np.shape(each) for each in (volume, start, load)), table_speeds.shape[1:])
    inside = positive(volume) & not_negative(start, ultimate_pressure, load, decaying)
    pressure = np.broadcast_to(np.asarray(start), shape) * np.where(inside, 1.0, np.nan)
    pumped = 0 * pressure * volume
    pressures, amounts = [pressure], [pumped]
    for number in range(len(times) - 1):
        before, after = times[number], times[number + 1]
        step = after - before
        given = load * step + (decaying * np.log(after / before) if before > 0 * before else 0 * decaying)
        reached = pressure
        for _ in range(_TURNS):
            middle = np.sqrt(pressure * reached)
            speed = _speed_at(middle, table_pressures, table_speeds)
            level = ultimate_pressure + np.divide(given, step * speed)
            reached = level + (pressure - level) * np.exp(-np.divide(speed * step, volume))
        pumped = pumped + given - volume * (reached - pressure)
        pressure = reached
        pressures.append(pressure)
        amounts.append(pumped)
    return PumpDown(np.stack(pressures), np.stack(amounts))


def _speed_at(pressure: Real, table_pressures: Array, table_speeds: Array) -> Real:
    """Speed at a pressure, straight between the logarithms of the pressures of the table."""
    place = np.clip(np.searchsorted(table_pressures, pressure) - 1, 0, len(table_pressures) - 2)
    low, high = table_pressures[place], table_pressures[place + 1]
    share = np.clip(np.divide(np.log(np.divide(pressure, low)), np.log(np.divide(high, low))), 0.0, 1.0)
    column = np.arange(table_speeds.shape[1])
    below, above = table_speeds[place, column], table_speeds[place + 1, column]
    return (1 - share) * below + share * above
