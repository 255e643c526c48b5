# SPDX-License-Identifier: MIT
"""The one alias for a number or an array of numbers."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["Array", "Real"]

Array = NDArray[np.float64]
Real = float | Array
