# SPDX-License-Identifier: MIT
"""The dew point of the product's vapour along the ways and arms of a state, with its band."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL
from retortwright.report.drawing.vapour_view import GONE
from retortwright.situation.mesh import Mesh
from retortwright.situation.vapour import Vapour

__all__ = ["DewCurve", "dew_curves"]


@dataclass(frozen=True, slots=True)
class DewCurve:
    """Distance from the foot of the retort [m] and dew point [K]: low, middle and high end of its band."""

    way: Array
    low: Array
    middle: Array
    high: Array


def dew_curves(vapour: Vapour, mesh: Mesh, starts: Sequence[float]) -> Iterator[DewCurve]:
    """One curve for each way that is told apart, up to where hardly any vapour is left, and for each arm."""
    far = np.asarray(starts)[mesh.instance] + mesh.middle
    for landing in vapour.landings:
        left = np.median(landing.passing / landing.entering, axis=1)
        last = int(np.argmax(left <= GONE)) + 1 if np.any(left <= GONE) else len(left)
        yield _curve(vapour, far[landing.cells[:last]], landing.along[:last])
    for arm in vapour.ways.arms:
        inside = arm.outward <= np.median(vapour.reaches[arm.name])
        places = arm.outward[inside]
        order = np.argsort(places, kind="stable")
        mouth = vapour.stream.saturation.pressure(vapour.mouths[arm.name])
        left = np.clip(1.0 - vapour.falls[arm.name] * places[order][:, None], 1e-9, None)
        if len(order) > 1:
            yield _curve(vapour, far[arm.cells[inside]][order], mouth * left)


def _curve(vapour: Vapour, far: Array, pressure: Array) -> DewCurve:
    saturation = vapour.stream.saturation
    dews = np.array([saturation.dew(np.maximum(each, saturation.faintest)) for each in pressure])
    known = np.all(np.isfinite(dews), axis=1)
    ends = np.full((3, len(dews)), np.nan)
    if np.any(known):
        ends[:, known] = np.quantile(dews[known], [TAIL, 0.5, 1 - TAIL], axis=1)
    return DewCurve(far, ends[0], ends[1], ends[2])
