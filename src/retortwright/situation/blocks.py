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

__all__ = ["Block", "Eliminated", "Slopes", "blocks_of", "solve_blocks"]


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


class Eliminated:
    """The matrix of a step, eliminated from the leaves to the root, for any number of loads."""

    def __init__(
        self,
        blocks: list[Block],
        bores: list[Bore],
        parent: NDArray[np.intp],
        slopes: Slopes,
        inverses: dict[int, Array] | None = None,
    ) -> None:
        self._blocks = blocks
        self._parent: list[int] = parent.tolist()
        self._upward = slopes.upward
        self._diagonal, self._factor = slopes.diagonal.copy(), np.zeros_like(slopes.diagonal)
        self._dense: list[_Dense | None] = []
        rows, factors = list(self._diagonal), list(self._factor)
        up, down, work = list(slopes.upward), list(slopes.downward), np.empty(slopes.diagonal.shape[1])
        for block in reversed(blocks):
            if block.bore in slopes.bores:
                made = _Dense(block, bores[block.bore], parent, slopes, self._diagonal, inverses)
                self._dense.append(made)
                if block.parent >= 0:
                    rows[block.parent] -= made.drawn
                continue
            self._dense.append(None)
            for cell in reversed(block.cells.tolist()):
                above = self._parent[cell]
                if above >= 0:
                    np.divide(down[cell], rows[cell], out=factors[cell])
                    np.multiply(factors[cell], up[cell], out=work)
                    np.subtract(rows[above], work, out=rows[above])
        self._dense.reverse()

    def solved(self, loads: Array) -> Array:
        """Solutions for loads (cells, samples) or (cells, columns, samples)."""
        found = loads.copy()
        rows, factors, work = list(found), list(self._factor), np.empty(loads.shape[1:])
        for block, dense in zip(reversed(self._blocks), reversed(self._dense), strict=True):
            if dense is not None:
                seen = dense.inside(found)
                if block.parent >= 0:
                    rows[block.parent] -= seen
                continue
            for cell in reversed(block.cells.tolist()):
                above = self._parent[cell]
                if above >= 0:
                    np.multiply(factors[cell], rows[cell], out=work)
                    np.subtract(rows[above], work, out=rows[above])
        return self._back(found, rows, work)

    def _back(self, found: Array, rows: list[Array], work: Array) -> Array:
        shape = (found.shape[0], *(1,) * (found.ndim - 2), found.shape[-1])
        share = list(self._upward / self._diagonal)
        diagonal = list(self._diagonal.reshape(shape))
        for block, dense in zip(self._blocks, self._dense, strict=True):
            if dense is not None:
                dense.back(found)
                continue
            for cell in block.cells.tolist():
                rows[cell] /= diagonal[cell]
                above = self._parent[cell]
                if above >= 0:
                    np.multiply(share[cell], rows[above], out=work)
                    np.subtract(rows[cell], work, out=rows[cell])
        return found


def solve_blocks(
    blocks: list[Block], bores: list[Bore], parent: NDArray[np.intp], slopes: Slopes, loads: Array
) -> Array:
    """Solutions for loads (cells, samples) or (cells, columns, samples)."""
    return Eliminated(blocks, bores, parent, slopes).solved(loads)


class _Dense:
    """A block with all slopes among its cells, as an inverse for each sample."""

    def __init__(
        self,
        block: Block,
        bore: Bore,
        parent: NDArray[np.intp],
        slopes: Slopes,
        diagonal: Array,
        inverses: dict[int, Array] | None,
    ) -> None:
        self._cells, self._above = block.cells, block.parent
        own, full = bore.own, slopes.bores[block.bore]
        if inverses is not None and block.bore in inverses:
            self._inverse = inverses[block.bore]
        else:
            matrix = _dense_matrix(block, bore, parent, slopes, diagonal)
            self._inverse = np.asarray(np.linalg.inv(matrix), dtype=np.float64)
            if inverses is not None:
                inverses[block.bore] = self._inverse
        if block.parent < 0:
            return
        column, self._row = np.zeros((len(full), own)), np.zeros((len(full), own))
        column[:, 0], self._row[:, 0] = slopes.upward[self._cells[0]], slopes.downward[self._cells[0]]
        if bore.near >= own:
            column += full[:, :own, bore.near]
            self._row += full[:, bore.near, :own]
        self._of_above = (self._inverse @ column[:, :, None])[:, :, 0]
        self.drawn = np.sum(self._row * self._of_above, axis=1)  # from the diagonal of the cell above

    def inside(self, found: Array) -> Array | float:
        """Put the block's own solution in place of its load; what the cell above sees of it."""
        loads = found[self._cells]
        flat = loads.reshape(len(self._cells), -1, loads.shape[-1]).transpose(2, 0, 1)
        own = self._inverse @ flat
        found[self._cells] = own.transpose(1, 2, 0).reshape(loads.shape)
        if self._above < 0:
            return 0.0
        seen: Array = np.einsum("si,sic->cs", self._row, own)
        return seen.reshape(loads.shape[1:])

    def back(self, found: Array) -> None:
        """Take the answer of the cell above into account."""
        if self._above >= 0:
            share = self._of_above.T.reshape(len(self._cells), *(1,) * (found.ndim - 2), found.shape[-1])
            found[self._cells] -= share * found[self._above]


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
