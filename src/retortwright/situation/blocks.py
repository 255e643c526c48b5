# SPDX-License-Identifier: MIT
"""The linear system of a step, solved block by block from the leaves of the tree to its root.

A block is a run of cells that shares a bore, or a piece without one. Where radiation carries much
of the heat the block is dense, with all slopes of its bore; elsewhere it is the tree of its wall
alone, steered by half the diffusive conductance of the bore, which converges best. A block hangs
on one cell of another, so that eliminating it changes that cell only.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array
from retortwright.situation.bore import Bore
from retortwright.situation.mesh import Mesh

__all__ = ["Block", "Slopes", "blocks_of", "solve_blocks"]


@dataclass(frozen=True, slots=True)
class Block:
    """Cells that are eliminated together; the first hangs on `parent`, -1 for the root."""

    cells: NDArray[np.intp]
    parent: int
    bore: int  # which bore, -1 without one


@dataclass(frozen=True, slots=True)
class Slopes:
    """The matrix of a step: the tree of the wall, (cells, samples), and the bores in full where dense."""

    diagonal: Array
    upward: Array
    downward: Array
    bores: dict[int, Array]  # (samples, surfaces, surfaces)


def blocks_of(mesh: Mesh, bores: list[Bore]) -> list[Block]:
    """The blocks of a mesh, parents before children."""
    owner = np.full(len(mesh.start), -1)
    for number, bore in enumerate(bores):
        owner[bore.cells[: bore.own]] = number
    found = [
        Block(bore.cells[: bore.own], int(mesh.parent[bore.cells[0]]), number)
        for number, bore in enumerate(bores)
    ]
    for first, last in zip(mesh.first, mesh.last, strict=True):
        if owner[first] < 0:
            found.append(Block(np.arange(first, last + 1), int(mesh.parent[first]), -1))
    return sorted(found, key=lambda block: int(block.cells[0]))


def solve_blocks(
    blocks: list[Block],
    bores: list[Bore],
    parent: NDArray[np.intp],
    slopes: Slopes,
    loads: Array,
    inverses: dict[int, Array] | None = None,
) -> Array:
    """Solutions for loads (cells, samples, columns); `inverses` of dense blocks are used and kept."""
    diagonal, right = slopes.diagonal.copy(), loads.copy()
    kept: list[Array | None] = []
    for block in reversed(blocks):
        if block.bore in slopes.bores:
            bore = bores[block.bore]
            kept.append(_eliminate_dense(block, bore, parent, slopes, diagonal, right, inverses))
        else:
            _eliminate_tree(block, parent, slopes, diagonal, right)
            kept.append(None)
    solution = np.empty_like(right)
    for block, dense in zip(blocks, reversed(kept), strict=True):
        above = solution[block.parent] if block.parent >= 0 else np.zeros_like(right[0])
        if dense is None:
            _back_tree(block, parent, slopes, diagonal, right, solution, above)
        else:
            inside = dense[:, :, :-1] - dense[:, :, -1:] * above[:, None, :]
            solution[block.cells] = inside.transpose(1, 0, 2)
    return solution


def _eliminate_tree(
    block: Block, parent: NDArray[np.intp], slopes: Slopes, diagonal: Array, right: Array
) -> None:
    up, down = slopes.upward, slopes.downward
    ups = parent[block.cells].tolist()
    for cell, above in zip(reversed(block.cells.tolist()), reversed(ups), strict=True):
        if above < 0:
            continue
        factor = down[cell] / diagonal[cell]
        diagonal[above] -= factor * up[cell]
        right[above] -= factor[:, None] * right[cell]


def _back_tree(
    block: Block,
    parent: NDArray[np.intp],
    slopes: Slopes,
    diagonal: Array,
    right: Array,
    solution: Array,
    above: Array,
) -> None:
    ups = parent[block.cells].tolist()
    for place, (cell, up) in enumerate(zip(block.cells.tolist(), ups, strict=True)):
        before = above if place == 0 else solution[up]
        solution[cell] = (right[cell] - slopes.upward[cell][:, None] * before) / diagonal[cell][:, None]


def _eliminate_dense(
    block: Block,
    bore: Bore,
    parent: NDArray[np.intp],
    slopes: Slopes,
    diagonal: Array,
    right: Array,
    inverses: dict[int, Array] | None,
) -> Array:
    """The block's own solutions: of its loads and, in the last column, of a unit above it."""
    cells, own = block.cells, bore.own
    full = slopes.bores[block.bore]
    column, row = np.zeros((len(full), own)), np.zeros((len(full), own))
    if block.parent >= 0:
        column[:, 0], row[:, 0] = slopes.upward[cells[0]], slopes.downward[cells[0]]
        if bore.near >= own:
            column += full[:, :own, bore.near]
            row += full[:, bore.near, :own]
    loads = np.concatenate([right[cells].transpose(1, 0, 2), column[:, :, None]], axis=2)
    if inverses is not None and block.bore in inverses:
        found: Array = inverses[block.bore] @ loads
    else:
        matrix = _dense_matrix(block, bore, parent, slopes, diagonal)
        if inverses is None:
            found = np.linalg.solve(matrix, loads)
        else:
            inverses[block.bore] = np.asarray(np.linalg.inv(matrix), dtype=np.float64)
            found = inverses[block.bore] @ loads
    if block.parent >= 0:
        seen = np.einsum("si,sic->sc", row, found)
        diagonal[block.parent] -= seen[:, -1]
        right[block.parent] -= seen[:, :-1]
    return found


def _dense_matrix(
    block: Block, bore: Bore, parent: NDArray[np.intp], slopes: Slopes, diagonal: Array
) -> Array:
    """All slopes among the cells of a block, (samples, cells, cells)."""
    cells, own = block.cells, bore.own
    matrix: Array = slopes.bores[block.bore][:, :own, :own].copy()
    index = np.arange(own)
    matrix[:, index, index] += diagonal[cells].T
    local = {int(cell): place for place, cell in enumerate(cells.tolist())}
    rows = index[1:]
    above = np.array([local[int(up)] for up in parent[cells[1:]].tolist()], dtype=np.intp)
    matrix[:, rows, above] += slopes.upward[cells[1:]].T
    matrix[:, above, rows] += slopes.downward[cells[1:]].T
    return matrix
