# SPDX-License-Identifier: MIT
"""What bounds the stream at each moment of a run: the share of the samples that each thing bounds."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.situation.run_in_time import RunInTime
from retortwright.situation.run_rates import Look

__all__ = ["LIMITS", "limits_of"]

LIMITS = ("cold", "reaction", "surface", "line", "heat", "plug", "spent")
_SLOW = 0.05  # of the mean pace, below which a charge counts as too cold, or as spent
_MOSTLY = 0.9  # of what comes, from which on it counts as spent
_SHUT = 0.98  # of the bore
_BEHIND = 5.0  # K under what the set-point asks


def limits_of(run: RunInTime, looks: Sequence[Look]) -> dict[str, Array]:
    """The shares over time, (times,) each; they add up to one."""
    codes = np.stack([_codes(run, place, look) for place, look in enumerate(looks)])
    return {name: np.mean(codes == number, axis=1) for number, name in enumerate(LIMITS)}


def _codes(run: RunInTime, place: int, look: Look) -> Array:
    """The number of what bounds each sample at one moment."""
    parts, time = run.parts, float(run.times[place])
    gone = run.of("gone")[place] / parts.comes
    stretch = run.programme.at(time)
    slow = look.leaving < _SLOW * parts.comes / parts.time
    least = np.argmin(np.stack([look.reaction, look.surface, look.line]), axis=0)
    if run.crossing.charge.redistils:
        least = 1 + np.argmin(np.stack([look.surface, look.line]), axis=0)
    code = 1 + least
    if stretch.hot:
        which = np.arange(len(gone))
        part = (time - stretch.start) / (stretch.end - stretch.start)
        target = np.full(len(gone), stretch.before + part * (stretch.after - stretch.before))
        behind = parts.heat.aimed(target, which) - look.mass
        code = np.where(behind > _BEHIND, LIMITS.index("heat"), code)
    code = np.where(slow, LIMITS.index("cold"), code)
    code = np.where(slow & (gone > _MOSTLY), LIMITS.index("spent"), code)
    return np.where(parts.crust * gone >= _SHUT, LIMITS.index("plug"), code)
