# SPDX-License-Identifier: MIT
"""Radiation down the bore of a tube: an enclosure of wall rings and two black ends."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Array, Real
from retortwright.physics.constants import STEFAN_BOLTZMANN

__all__ = ["diffusive_bore_conductance", "tube_exchange_matrix"]


def tube_exchange_matrix(edges: Array, radius: float, emissivity: Real) -> Array:
    """Radiative exchange areas of a bore cut into rings, with a black disc at either end.

    The net heat that leaves surface i is the sum over j of G[i, j] sigma (T_i^4 - T_j^4). Surface 0
    is the disc at the first edge, 1 to n the rings in order, n + 1 the disc at the last edge. A disc
    stands for what lies beyond: an opening into a cavity or a flask sends and takes like a black one.

    G is symmetric and has no negative entry. Its diagonal is what comes back to the surface itself,
    which moves no heat, so that each row adds up to emissivity times area of its surface.

    Parameters
    ----------
    edges : of the n rings along the axis, rising, n + 1 numbers [m]
    radius : of the bore, one number [m]
    emissivity : of the wall, one number or one for each sample [1]

    Returns
    -------
    areas : (n + 2, n + 2), or (samples, n + 2, n + 2) [m^2]

    Range
    -----
    Rising edges, radius above zero, emissivity above 0 to 1; nan otherwise. Grey, diffuse walls of one
    emissivity, each ring at one temperature and evenly lit, which overstates what a bore with
    adiabatic walls lets pass: by 1.5 % for rings half a radius wide, 0.4 % for a quarter, 0.06 %
    for a tenth.

    Source
    ------
    Exact for the rings: the enclosure of grey surfaces in total exchange areas
    [hottel-sarofim], sec. 3; view factors as in `view_factors`.

    Example
    -------
    >>> areas = tube_exchange_matrix(np.array([0.0, 0.01, 0.02]), 0.01, 1.0)
    >>> (areas[0] / (np.pi * 0.01**2)).round(4).tolist()
    [0.0, 0.618, 0.2104, 0.1716]
    """
    bound = np.asanyarray(edges) / np.asanyarray(radius)
    rising = np.all(bound[1:] > bound[:-1]) & np.all(np.asanyarray(radius) > 0 * np.asanyarray(radius))
    direct, area = _direct_areas(np.where(rising, bound, np.nan))
    wall = np.asanyarray(emissivity)
    wall = np.where((wall > 0.0) & (wall <= 1.0), wall, np.nan)[..., np.newaxis]
    is_wall = np.ones(len(area))
    is_wall[0] = is_wall[-1] = 0.0
    absorbed = 1.0 - (1.0 - wall) * is_wall
    reflected = (1.0 - absorbed) / area
    system = np.eye(len(area)) - direct * reflected[..., np.newaxis, :]
    met = np.linalg.solve(system, np.broadcast_to(direct, system.shape))
    total = absorbed[..., :, np.newaxis] * met * absorbed[..., np.newaxis, :]
    balanced = 0.5 * (total + np.swapaxes(total, -1, -2))
    return np.asanyarray(np.pi * radius * radius * balanced)


def diffusive_bore_conductance(temperature: Real, diameter: Real) -> Real:
    """Radiative conductance of a unit length of long bore, where radiation goes by diffusion.

    A long tube whose walls give back what they get lets the fraction 4 D / (3 L) pass of what one
    black end sends: Q = (pi D^2 / 4) (4 D / 3 L) sigma (T_1^4 - T_2^4). Over a short piece dL this is
    Q = -(pi D^2 / 4) (4 D / 3) 4 sigma T^3 dT/dL, a conductivity (16/3) sigma T^3 D of the bore's section.

    Parameters
    ----------
    temperature : of the wall [K]
    diameter : of the bore [m]

    Returns
    -------
    conductance : heat flow by gradient of temperature [W m/K]

    Range
    -----
    Both above zero; nan otherwise. Gradients small over a diameter, tubes long against it; it
    overstates what goes down a short one: 2.6-fold at L = D, by 22 % at L = 10 D, 5 % at L = 50 D.

    Source
    ------
    The limit of long tubes for diffuse walls, 8 r / (3 L) [clausing-1932], which holds for
    radiation between adiabatic walls as for molecules.

    Example
    -------
    >>> round(float(diffusive_bore_conductance(1073.15, 0.01)) * 1e6, 1)
    293.5
    """
    hot, wide = np.asanyarray(temperature), np.asanyarray(diameter)
    hot = np.where(hot > 0 * hot, hot, np.nan)
    wide = np.where(wide > 0 * wide, wide, np.nan)
    return (4.0 * np.pi / 3.0) * STEFAN_BOLTZMANN * (hot * wide) ** 3  # type: ignore[no-any-return]


def _direct_areas(bound: Array) -> tuple[Array, Array]:
    """Direct exchange areas and areas of discs and rings, all by pi r^2, for edges by radius.

    Pieces of a bore send to each other what the discs at their edges see of one another. With a
    disc outside either end as a ring of no further edge, one double difference gives all.
    """
    apart = np.abs(bound[:, np.newaxis] - bound)
    root = 2.0 / (np.sqrt(apart * apart + 4.0) + apart)
    seen = root * root
    between = np.abs(np.diff(np.diff(seen, axis=0), axis=1))
    width = np.diff(bound)
    far = np.sqrt(width * width + 4.0)
    np.fill_diagonal(between, 2.0 * width * (width + width * width / (far + 2.0)) / (far + width))
    direct = np.zeros((len(bound) + 1, len(bound) + 1))
    direct[1:-1, 1:-1] = between
    direct[0, 1:-1] = direct[1:-1, 0] = seen[0, :-1] - seen[0, 1:]
    direct[-1, 1:-1] = direct[1:-1, -1] = seen[-1, 1:] - seen[-1, :-1]
    direct[0, -1] = direct[-1, 0] = seen[0, -1]
    return direct, np.concatenate([[1.0], 2.0 * width, [1.0]])
