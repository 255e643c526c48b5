# SPDX-License-Identifier: MIT
"""Every picture of a rig by its name."""

from __future__ import annotations

from collections.abc import Callable

from retortwright.assess.assessment import Assessment
from retortwright.report.drawing.line_plot import line_plot
from retortwright.report.drawing.pressure_plot import pressure_plot
from retortwright.report.drawing.scene import drawing

__all__ = ["PICTURES", "picture_of"]

PICTURES: dict[str | None, Callable[[Assessment, str | None], str]] = {
    None: drawing,
    "pressures": pressure_plot,
    "line": line_plot,
}


def picture_of(assessment: Assessment, state: str | None = None, plot: str | None = None) -> str:
    """The SVG of a rig in a state: the section, or the plot of that name."""
    return PICTURES[plot](assessment, state)
