# SPDX-License-Identifier: MIT
"""Chemical potentials in a melt of two salts with a common anion, and of gases over it.

Mixing is ideal in the cations (a mole of either salt brings one of its own), with a two-term
Margules excess Gibbs energy x1 x2 (w + v x2).
"""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, positive, quietly
from retortwright.physics.constants import GAS_CONSTANT

__all__ = ["equilibrium_pressure", "excess_gibbs", "first_potential", "second_potential"]


@quietly
def excess_gibbs(share: Real, constant: Real, slope: Real) -> Real:
    """Excess Gibbs energy of a mole of a binary melt.

    Parameters
    ----------
    share : of the second salt, in moles [1]
    constant : w [J/mol]
    slope : v [J/mol]

    Returns
    -------
    excess : [J/mol]

    Range
    -----
    Share between 0 and 1; nan otherwise.

    Source
    ------
    Margules form with two terms [sangster-pelton-1987], eq. (2), written for one mole of melt.

    Example
    -------
    >>> float(excess_gibbs(0.5, -17000.0, 0.0))
    -4250.0
    """
    inside = np.greater_equal(share, 0.0) & np.less_equal(share, 1.0)
    return kept(inside, share * (1 - share) * (constant + slope * share))


@quietly
def first_potential(temperature: Real, share: Real, pure: Real, constant: Real, slope: Real) -> Real:
    """Chemical potential of the first salt of a binary melt.

    Parameters
    ----------
    temperature : [K]
    share : of the second salt, in moles [1]
    pure : Gibbs energy of the pure liquid first salt [J/mol]
    constant : w of the excess Gibbs energy x1 x2 (w + v x2) [J/mol]
    slope : v [J/mol]

    Returns
    -------
    potential : [J/mol]

    Range
    -----
    Share from 0 to below 1, temperature above zero; nan otherwise.

    Source
    ------
    Exact: partial molar quantity of the excess Gibbs energy above and ideal mixing of the cations.

    Example
    -------
    >>> round(float(first_potential(1000.0, 0.5, 0.0, -17000.0, 0.0)), 1)
    -10013.1
    """
    excess = share**2 * (constant - slope) + 2 * slope * share**3
    inside = positive(temperature) & np.greater_equal(share, 0.0) & np.less(share, 1.0)
    return kept(inside, pure + GAS_CONSTANT * temperature * np.log1p(-share) + excess)


@quietly
def second_potential(temperature: Real, share: Real, pure: Real, constant: Real, slope: Real) -> Real:
    """Chemical potential of the second salt of a binary melt.

    Parameters
    ----------
    temperature : [K]
    share : of the second salt, in moles [1]
    pure : Gibbs energy of the pure liquid second salt [J/mol]
    constant : w of the excess Gibbs energy x1 x2 (w + v x2) [J/mol]
    slope : v [J/mol]

    Returns
    -------
    potential : [J/mol]

    Range
    -----
    Share above 0 up to 1, temperature above zero; nan otherwise.

    Source
    ------
    Exact: partial molar quantity of the excess Gibbs energy above and ideal mixing of the cations.

    Example
    -------
    >>> round(float(second_potential(1000.0, 0.5, 0.0, -17000.0, 0.0)), 1)
    -10013.1
    """
    excess = (1 - share) ** 2 * (constant + 2 * slope * share)
    inside = positive(temperature, share) & np.less_equal(share, 1.0)
    return kept(inside, pure + GAS_CONSTANT * temperature * np.log(share) + excess)


@quietly
def equilibrium_pressure(temperature: Real, potential: Real, gibbs: Real, standard_pressure: Real) -> Real:
    """Partial pressure of a gas in equilibrium with what it forms from.

    Parameters
    ----------
    temperature : [K]
    potential : sum of the chemical potentials of its elements, each times its atoms [J/mol]
    gibbs : standard Gibbs energy of the gas [J/mol]
    standard_pressure : to which that Gibbs energy belongs [Pa]

    Returns
    -------
    pressure : [Pa]

    Range
    -----
    Temperature and standard pressure above zero; nan otherwise. Ideal gas.

    Source
    ------
    Exact: mu = g + R T ln(p / p0) for an ideal gas.

    Example
    -------
    >>> round(float(equilibrium_pressure(900.0, -5000.0, 0.0, 1e5)), 0)
    51264.0
    """
    inside = positive(temperature, standard_pressure)
    return kept(inside, standard_pressure * np.exp((potential - gibbs) / (GAS_CONSTANT * temperature)))
