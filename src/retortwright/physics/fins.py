# SPDX-License-Identifier: MIT
"""A tree of fins: heat conducted along connected walls that lose heat on the way.

The wall is cut into cells; each cell but the first conducts to one parent cell, parents come
before children, so that the linear system of a Newton step is solved by one sweep from the
leaves to the root and one back. Arrays are (cells, samples).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array, Real
from retortwright.ground.ranges import quietly

__all__ = ["half_cell_resistance", "series_conductance", "solve_tree", "solve_tree_with_loops"]


@quietly
def half_cell_resistance(width: Real, conductivity: Real, section: Real) -> Real:
    """Thermal resistance from the centre of a cell of wall to its edge.

    Parameters
    ----------
    width : of the cell along the wall [m]
    conductivity : of the wall [W/m/K]
    section : area of wall metal that the heat crosses [m^2]

    Returns
    -------
    resistance : [K/W]

    Range
    -----
    All above zero; nan otherwise.

    Source
    ------
    Fourier's law, R = L / (k A) with L half the cell [incropera], eq. (3.6).

    Example
    -------
    >>> round(float(half_cell_resistance(0.004, 20.0, 1e-5)), 3)
    10.0
    """
    width, conductivity, section = np.asanyarray(width), np.asanyarray(conductivity), np.asanyarray(section)
    resistance = 0.5 * width / (conductivity * section)
    return np.where(
        (width > 0 * width) & (conductivity > 0 * conductivity) & (section > 0 * section), resistance, np.nan
    )


@quietly
def series_conductance(first: Real, second: Real, between: Real) -> Real:
    """Conductance of two half cells and a contact in series.

    Parameters
    ----------
    first : resistance on one side [K/W]
    second : resistance on the other side [K/W]
    between : resistance of the contact between them [K/W]

    Returns
    -------
    conductance : [W/K]

    Range
    -----
    Resistances not below zero and not all zero; nan otherwise.

    Source
    ------
    Resistances in series [incropera], eq. (3.19).

    Example
    -------
    >>> round(float(series_conductance(10.0, 10.0, 5.0)), 3)
    0.04
    """
    total = first + second + between
    return np.where(total > 0 * total, 1.0 / total, np.nan)


def solve_tree(
    parent: NDArray[np.intp], diagonal: Array, upward: Array, downward: Array, load: Array
) -> Array:
    """The solution of a linear system whose couplings form a tree.

    Row i reads diagonal[i] x[i] + upward[i] x[parent[i]] + sum over children c of downward[c] x[c] = load[i].

    Parameters
    ----------
    parent : index of each cell's parent, smaller than its own; -1 for the first [1]
    diagonal : (cells, samples) [W/K]
    upward : coefficient of the parent in the cell's row [W/K]
    downward : coefficient of the cell in its parent's row [W/K]
    load : right-hand side [W]

    Returns
    -------
    solution : (cells, samples) [K]

    Range
    -----
    Diagonally dominant systems, as conduction with losses gives them; no pivoting.

    Source
    ------
    Gaussian elimination in leaf-to-root order creates no new entries [hines-1984], sec. 2.

    Example
    -------
    >>> one = np.ones((2, 1))
    >>> solve_tree(np.array([-1, 0]), 2 * one, -one, -one, np.array([[3.0], [0.0]])).ravel().tolist()
    [2.0, 1.0]
    """
    pivot, right = diagonal.copy(), load.copy()
    cells = len(parent)
    ups = parent.tolist()
    for cell in range(cells - 1, 0, -1):
        above = ups[cell]
        factor = downward[cell] / pivot[cell]
        pivot[above] -= factor * upward[cell]
        right[above] -= factor * right[cell]
    solution = np.empty_like(right)
    solution[0] = right[0] / pivot[0]
    for cell in range(1, cells):
        solution[cell] = (right[cell] - upward[cell] * solution[ups[cell]]) / pivot[cell]
    return solution


def solve_tree_with_loops(
    parent: NDArray[np.intp],
    diagonal: Array,
    upward: Array,
    downward: Array,
    load: Array,
    loops: list[tuple[int, int]],
    loop_conductance: Array,
) -> Array:
    """The solution of a tree with some more links that close loops.

    Parameters
    ----------
    parent : as for `solve_tree` [1]
    diagonal : of the tree alone [W/K]
    upward : as for `solve_tree` [W/K]
    downward : as for `solve_tree` [W/K]
    load : right-hand side [W]
    loops : the two cells of each further link [1]
    loop_conductance : (links, samples) [W/K]

    Returns
    -------
    solution : (cells, samples) [K]

    Range
    -----
    As for `solve_tree`; conductances not below zero.

    Source
    ------
    Each link is a rank-one change, handled by the Sherman-Morrison formula [golub-van-loan], sec. 2.1.

    Example
    -------
    >>> one = np.ones((2, 1))
    >>> up, load = np.array([-1, 0]), np.array([[3.0], [0.0]])
    >>> x = solve_tree_with_loops(up, one, 0 * one, 0 * one, load, [(0, 1)], one[:1])
    >>> x.ravel().round(6).tolist()
    [2.0, 1.0]
    """
    solution = solve_tree(parent, diagonal, upward, downward, load)
    done: list[tuple[int, int, Array, Array]] = []
    for (left, right), conductance in zip(loops, loop_conductance, strict=True):
        unit = np.zeros_like(load)
        unit[left], unit[right] = 1.0, -1.0
        response = solve_tree(parent, diagonal, upward, downward, unit)
        for a, b, strength, earlier in done:
            response = response - strength * (response[a] - response[b]) * earlier
        strength = conductance / (1.0 + conductance * (response[left] - response[right]))
        solution = solution - strength * (solution[left] - solution[right]) * response
        done.append((left, right, strength, response))
    return solution
