# SPDX-License-Identifier: MIT
"""Straight lines and rectangles on paper, many at once: what runs through what."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array

__all__ = ["crossings", "cut_rectangles", "inside_or_near", "nearest_on", "over_squares"]

_ALONG = 24  # places along a line at which squares are looked up
_FLAT = 1e-9


def nearest_on(boxes: Array, points: Array) -> Array:
    """The point of each rectangle (left, top, right, bottom) that is nearest to its point (x, y)."""
    return np.clip(points, boxes[:, :2], boxes[:, 2:])


def crossings(starts: Array, ends: Array, lines: Array) -> Array:
    """How many of some lines (x, y, x, y) each line from a start to an end crosses."""
    if not len(lines):
        return np.zeros(len(starts))
    first, last = lines[None, :, :2], lines[None, :, 2:]
    start, end = starts[:, None], ends[:, None]
    apart = _turn(start, end, first) * _turn(start, end, last) < 0
    across = _turn(first, last, start) * _turn(first, last, end) < 0
    return np.asarray(np.sum(apart & across, axis=1), dtype=float)


def cut_rectangles(starts: Array, ends: Array, boxes: Array) -> NDArray[np.bool_]:
    """Whether each line (rows) runs through each rectangle (columns)."""
    low = np.zeros((len(starts), len(boxes)))
    high = np.ones((len(starts), len(boxes)))
    apart = np.zeros((len(starts), len(boxes)), dtype=bool)
    for axis in (0, 1):
        here, way = starts[:, None, axis], (ends - starts)[:, None, axis]
        least, most = boxes[None, :, axis], boxes[None, :, axis + 2]
        still = np.abs(way) < _FLAT
        safe = np.where(still, 1.0, way)
        near, far = (least - here) / safe, (most - here) / safe
        low = np.where(still, low, np.maximum(low, np.minimum(near, far)))
        high = np.where(still, high, np.minimum(high, np.maximum(near, far)))
        apart |= still & ((here <= least) | (here >= most))
    return np.asarray((low < high) & ~apart)


def over_squares(starts: Array, ends: Array, full: NDArray[np.bool_], corner: Array, square: float) -> Array:
    """The length of each line that lies over full squares."""
    shares = (np.arange(_ALONG) + 0.5)[None, :, None] / _ALONG
    spots = starts[:, None] + shares * (ends - starts)[:, None]
    places = np.floor((spots - corner) / square).astype(int)
    rows, columns = places[..., 1], places[..., 0]
    within = (rows >= 0) & (rows < full.shape[0]) & (columns >= 0) & (columns < full.shape[1])
    over = np.zeros(rows.shape, dtype=bool)
    over[within] = full[rows[within], columns[within]]
    return np.asarray(np.mean(over, axis=1) * np.linalg.norm(ends - starts, axis=1))


def inside_or_near(outline: Array, across: Array, down: Array, reach: float) -> NDArray[np.bool_]:
    """Which places of a grid (rows down, columns across) lie inside an outline or near its edge."""
    x, y = across[None, :], down[:, None]
    inside = np.zeros((len(down), len(across)), dtype=bool)
    close = np.zeros_like(inside)
    for (x0, y0), (x1, y1) in zip(np.roll(outline, 1, axis=0), outline, strict=True):
        if y0 != y1:
            inside ^= ((y0 > y) != (y1 > y)) & (x < x0 + (y - y0) * (x1 - x0) / (y1 - y0))
        size = max((x1 - x0) ** 2 + (y1 - y0) ** 2, _FLAT)
        share = np.clip(((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / size, 0.0, 1.0)
        close |= np.hypot(x - x0 - share * (x1 - x0), y - y0 - share * (y1 - y0)) < reach
    return inside | close


def _turn(start: Array, end: Array, spot: Array) -> Array:
    """On which side of a line a spot lies."""
    return np.asarray(
        (end[..., 0] - start[..., 0]) * (spot[..., 1] - start[..., 1])
        - (end[..., 1] - start[..., 1]) * (spot[..., 0] - start[..., 0])
    )
