# SPDX-License-Identifier: MIT
"""The middle of what is known."""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Array

__all__ = ["known_middle"]


def known_middle(values: Array) -> float:
    """The median of the numbers among some values; nan where there is none.

    >>> known_middle(np.array([1.0, float("nan"), 3.0]))
    2.0
    """
    known = np.asarray(values)[np.isfinite(values)]
    return float(np.median(known)) if known.size else float("nan")
