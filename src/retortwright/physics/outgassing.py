# SPDX-License-Identifier: MIT
"""Gas that surfaces and walls give off under vacuum: it dies away with time and comes faster warm."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly
from retortwright.physics.permeation import activated

__all__ = ["outgassed_amount", "outgassing_flux", "spent_store_flow"]


@quietly
def outgassing_flux(
    flux: Real,
    time: Real,
    reference_time: Real,
    temperature: Real,
    reference_temperature: Real,
    activation_energy: Real,
) -> Real:
    """Gas that an unbaked surface gives off, some time after pumping began.

    Parameters
    ----------
    flux : throughput per area at the reference time and temperature [Pa m/s]
    time : since pumping began [s]
    reference_time : at which the flux is known [s]
    temperature : of the surface [K]
    reference_temperature : at which the flux is known [K]
    activation_energy : of the release [J/mol]

    Returns
    -------
    flux : throughput per area [Pa m/s]

    Range
    -----
    Flux and activation energy not below zero, times and temperatures above zero; nan otherwise. The
    store behind the surface has no end here: of use up to some 150 degC, from minutes to days.

    Source
    ------
    Inverse law of time for unbaked metal [elsey-1975]; activation by its definition.

    Example
    -------
    >>> f"{outgassing_flux(3e-6, 36000.0, 3600.0, 293.15, 293.15, 40e3):.1e}"
    '3.0e-07'
    """
    decayed = flux * np.divide(reference_time, time)
    inside = positive(time, reference_time) & not_negative(flux)
    return kept(inside, decayed * activated(temperature, reference_temperature, activation_energy))


@quietly
def outgassed_amount(flux: Real, reference_time: Real, start: Real, end: Real) -> Real:
    """Gas that a surface gives off between two times by the inverse law.

    Parameters
    ----------
    flux : throughput per area at the reference time [Pa m/s]
    reference_time : at which the flux is known [s]
    start : of the interval, since pumping began [s]
    end : of the interval, since pumping began [s]

    Returns
    -------
    amount : pressure times volume per area [Pa m]

    Range
    -----
    Times above zero, end not before start, flux not below zero; nan otherwise.

    Source
    ------
    Exact: integral of the inverse law [elsey-1975].

    Example
    -------
    >>> round(float(outgassed_amount(1.0, 3600.0, 3600.0, 7200.0)))
    2495
    """
    amount = flux * reference_time * np.log(np.divide(end, start))
    inside = positive(reference_time, start) & np.greater_equal(end, start) & not_negative(flux)
    return kept(inside, amount)


@quietly
def spent_store_flow(store: Real, share: Real, time: Real) -> Real:
    """Flow out of a store of gas that is being emptied, by what can be left of it.

    Parameters
    ----------
    store : gas held when the emptying began [mol]
    share : of the store that this much time passes by; 1 gives the most that is possible [1]
    time : since it began [s]

    Returns
    -------
    flow : [mol/s]

    Range
    -----
    Store not below zero, share zero to 1, time above zero; nan otherwise.

    Source
    ------
    Exact for share 1: a flow that only falls has by any time given at least itself times that time,
    and no more than the store.

    Example
    -------
    >>> f"{spent_store_flow(2.5e-4, 0.3, 7200.0):.2e}"
    '1.04e-08'
    """
    inside = not_negative(store, share) & np.less_equal(share, 1.0) & positive(time)
    return kept(inside, np.divide(store * share, time))
