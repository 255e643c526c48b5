# SPDX-License-Identifier: MIT
"""Bores that continue each other, joined at the planes between them."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Array

__all__ = ["joined_areas"]


def joined_areas(sections: list[tuple[float, Array]]) -> Array:
    """Exchange areas of a run of bores from those of its sections.

    Each section is its radius [m] and its areas [m^2], (rings + 2) squared with the near disc first and
    the far disc last: heat leaving = areas @ emissive power. The answer has the near disc of the
    first section, all rings, and the far disc of the last. In a plane between two sections the
    narrower disc sends into its section what falls on the wider one, and the wider disc sends what
    falls on the narrower one in that share of its area, and in the rest what the wall beside it sends.
    """
    if len(sections) == 1:
        return sections[0][1]
    rings = [areas.shape[0] - 2 for _, areas in sections]
    total, planes = sum(rings), len(sections) - 1
    known = total + 2
    size = known + 2 * planes
    starts = np.concatenate([[0], np.cumsum(rings)[:-1]]) + 1
    places = [_places(index, starts, rings, known, planes) for index in range(len(sections))]
    whole = np.zeros((size, size))  # heat leaving every surface, discs of planes included
    for (_, areas), place in zip(sections, places, strict=True):
        whole[np.ix_(place, place)] += areas
    equations = np.zeros((2 * planes, size))
    annuli = []
    for plane in range(planes):
        before, after = sections[plane], sections[plane + 1]
        far, near = known + 2 * plane, known + 2 * plane + 1
        wide_first = before[0] >= after[0]
        wide, narrow = (far, near) if wide_first else (near, far)
        wall = places[plane][-2] if wide_first else places[plane + 1][1]
        big, small = (np.pi * max(before[0], after[0]) ** 2, np.pi * min(before[0], after[0]) ** 2)
        share = small / big
        rows = slice(2 * plane, 2 * plane + 2)
        equations[rows] = _plane(whole, wide, narrow, wall, big, small, share)
        annuli.append((wall, narrow, big * (1.0 - share)))
    unknown = np.arange(known, size)
    follow = -np.linalg.solve(equations[:, unknown], equations[:, :known])
    for wall, narrow, area in annuli:
        whole[wall, wall] += area
        whole[wall, narrow] -= area
    reduced: Array = whole[:known, :known] + whole[:known, known:] @ follow
    return reduced


def _places(index: int, starts: Array, rings: list[int], known: int, planes: int) -> list[int]:
    """Where the surfaces of a section stand in the whole."""
    near = 0 if index == 0 else known + 2 * (index - 1) + 1
    far = known - 1 if index == planes else known + 2 * index
    first = int(starts[index])
    return [near, *range(first, first + rings[index]), far]


def _plane(whole: Array, wide: int, narrow: int, wall: int, big: float, small: float, share: float) -> Array:
    """The two balances of a plane: what each disc sends is what the other receives."""
    size = whole.shape[0]
    falls_on_wide = np.eye(size)[wide] - whole[wide] / big
    falls_on_narrow = np.eye(size)[narrow] - whole[narrow] / small
    first = np.eye(size)[narrow] - falls_on_wide
    second = np.eye(size)[wide] - share * falls_on_narrow - (1.0 - share) * np.eye(size)[wall]
    return np.array([first, second])
